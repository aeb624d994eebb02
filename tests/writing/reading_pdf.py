"""A PDF as a reading program meets it: its text, its structure, its metadata, and the files inside."""

import io
from collections.abc import Iterator
from xml.etree import ElementTree

import pikepdf
import pypdfium2


def opened(pdf: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(pdf))


def text_of(pdf: bytes) -> str:
    """The words of all pages, with every run of white space and unseen break as one blank."""
    document = pypdfium2.PdfDocument(pdf)
    pages = [page.get_textpage().get_text_bounded() for page in document]
    # U+FFFE stands for a hyphen at the end of a line (pdfium), U+200B is a place where a long word may be broken
    return " ".join(" ".join(pages).replace("\u200b", "").replace("\ufffe", "-").split())


def elements(document: pikepdf.Pdf) -> Iterator[pikepdf.Dictionary]:
    """Every element of the structure tree, in order. Source: ISO 32000-1, 14.7.2 (structure hierarchy)."""
    waiting = [document.Root.StructTreeRoot.K]
    while waiting:
        one = waiting.pop(0)
        if isinstance(one, pikepdf.Array):
            waiting[:0] = list(one)
        elif isinstance(one, pikepdf.Dictionary):
            if "/S" in one:
                yield one
            if "/K" in one:
                waiting.insert(0, one.K)


def metadata(document: pikepdf.Pdf) -> dict[str, str]:
    """The XMP properties that are plain texts, or the first of a list, by their names with namespace."""
    tree = ElementTree.fromstring(document.Root.Metadata.read_bytes().decode())
    found = {}
    for description in tree.iter("{http://www.w3.org/1999/02/22-rdf-syntax-ns#}Description"):
        for child in description:
            texts = [text.strip() for text in child.itertext() if text.strip()]
            found[child.tag] = texts[0] if texts else ""
    return found


def attached(document: pikepdf.Pdf) -> dict[str, pikepdf.Dictionary]:
    """The file specifications of the document's associated files, by name. Source: ISO 19005-3, 6.8."""
    return {str(one.UF): one for one in document.Root.AF}
