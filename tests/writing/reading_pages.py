"""Reads written pages back with the standard library's parser, which knows nothing of how they were made."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

_VOID = frozenset({"meta", "img", "br", "link", "input", "hr"})


@dataclass
class Element:
    """One element of a page: its name, its attributes, and what is inside."""

    name: str
    attributes: dict[str, str]
    children: list["Element | str"] = field(default_factory=list)

    def all(self, name: str) -> list["Element"]:
        found = []
        for child in self.children:
            if isinstance(child, Element):
                found += [child] if child.name == name else []
                found += child.all(name)
        return found

    def everything(self) -> list["Element"]:
        found = []
        for child in self.children:
            if isinstance(child, Element):
                found += [child, *child.everything()]
        return found

    @property
    def text(self) -> str:
        whole = "".join(child if isinstance(child, str) else child.text for child in self.children)
        return " ".join(whole.split())


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Element("", {})
        self.open = [self.root]
        self.unbalanced: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(element)
        if tag not in _VOID:
            self.open.append(element)

    def handle_endtag(self, tag: str) -> None:
        if self.open[-1].name != tag:
            self.unbalanced.append(f"</{tag}> inside <{self.open[-1].name}>")
            return
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].children.append(data)


def read_page(html: str) -> Element:
    """Return a page's elements; every element must be closed in its place."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    assert not reader.unbalanced, reader.unbalanced
    assert reader.open == [reader.root], [one.name for one in reader.open]
    return reader.root
