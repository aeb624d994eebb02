"""What writing needs of the vocabulary: preferred terms, plain explanations, and what kind of part it is."""

from collections.abc import Sequence
from typing import Protocol

from pipeline.lists.known_parts import PartLike


class ChapterLike(Protocol):
    """A system chapter of the vocabulary."""

    @property
    def chapter(self) -> str:
        """Two figures."""
        ...

    @property
    def title(self) -> str:
        """Its title: "Flight Controls"."""
        ...


class NameLike(Protocol):
    """A name that people say for something of the vocabulary."""

    @property
    def text(self) -> str:
        """Return the words: "aileron cable"."""
        ...

    @property
    def notation(self) -> str:
        """Return what they stand for: "control-cable"."""
        ...


class Terms(Protocol):
    """Looks notations up. One that it does not know comes back in plain letters, without a gloss or a part."""

    def __hash__(self) -> int:
        """Return a hash: what is worked out from all terms is kept by them."""
        ...

    def preferred(self, notation: str) -> str:
        """Return the term that the trade prefers ("main undercarriage")."""
        ...

    def gloss(self, notation: str) -> str:
        """Return the explanation in plain English, "" where there is none."""
        ...

    def part(self, notation: str) -> PartLike | None:
        """Return the part of this notation, None where it is not a part's."""
        ...

    @property
    def parts(self) -> Sequence[PartLike]:
        """Every part that the vocabulary knows."""
        ...

    @property
    def chapters(self) -> Sequence[ChapterLike]:
        """The system chapters that the vocabulary knows."""
        ...

    def names(self) -> Sequence[NameLike]:
        """Return every name that people say, of parts and of all else."""
        ...


def term(terms: Terms, notation: str) -> str:
    """Return the preferred term, and the notation in plain letters where the vocabulary has lost it."""
    return terms.preferred(notation) or notation.replace("-", " ")


def gloss(terms: Terms, notation: str) -> str:
    """Return the explanation of a notation, "" where the vocabulary has none."""
    return terms.gloss(notation).strip()


def kind_and_zone(terms: Terms, notation: str | None) -> tuple[str, str]:
    """Return a part's kind and zone, ("", "") where it is not known or not a part."""
    part = None if notation is None else terms.part(notation)
    return ("", "") if part is None else (part.kind, part.zone)


def chapter_text(terms: Terms, notation: str | None) -> str:
    """Return a part's system chapter with its title, "27 Flight Controls"; "" where there is none."""
    part = None if notation is None else terms.part(notation)
    number = "" if part is None else part.chapter
    title = next((one.title for one in terms.chapters if one.chapter == number), "")
    return f"{number} {title}".strip()


def belongs_to(terms: Terms, narrow: str, broad: str) -> bool:
    """Tell whether a part is another, or belongs to it step by step ("aileron-hinge" to "outer-wing")."""
    seen: set[str] = set()
    at = narrow
    while at and at not in seen:
        if at == broad:
            return True
        seen.add(at)
        part = terms.part(at)
        at = part.broader if part is not None else ""
    return False
