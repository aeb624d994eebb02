"""What a page says, read as a browser reads it: a second reading, apart from the one that takes sentences out."""

from html.parser import HTMLParser

from pipeline.writing.supporters.public_text import INLINE


class PageReading(HTMLParser):
    """All that a page holds: paragraphs, attributes, and what is not shown.

    Args:
        page: HTML or SVG.
    """

    def __init__(self, page: str) -> None:
        """Read the page."""
        super().__init__(convert_charrefs=True)
        self.paragraphs: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.comments: list[str] = []
        self.code: list[str] = []
        self._text = ""
        self._in_code = False
        self.feed(page)
        self.close()
        self._end_paragraph()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take an element's attributes; one that is not part of a line ends the paragraph."""
        if tag not in INLINE:
            self._end_paragraph()
        self._in_code = tag in ("style", "script")
        self.attributes.extend((name, value) for name, value in attrs if value)

    def handle_endtag(self, tag: str) -> None:
        """End the paragraph with an element that is not part of a line."""
        if tag not in INLINE:
            self._end_paragraph()
        self._in_code = False

    def handle_data(self, data: str) -> None:
        """Take text, or what stands in a style or script."""
        if self._in_code:
            self.code.append(data)
        else:
            self._text += data

    def handle_comment(self, data: str) -> None:
        """Take a comment."""
        self.comments.append(data)

    def handle_pi(self, data: str) -> None:
        """Take a processing instruction."""
        self.comments.append(data)

    def unknown_decl(self, data: str) -> None:
        """Take a marked section (CDATA)."""
        self.comments.append(data)

    def _end_paragraph(self) -> None:
        if self._text.strip():
            self.paragraphs.append(" ".join(self._text.split()))
        self._text = ""
