"""What writing needs of the vocabulary: preferred terms, explanations in plain English, and what kind of part it is."""

from typing import Protocol


class PartLike(Protocol):
    """A part of the vocabulary, as far as writing looks at it."""

    @property
    def kind(self) -> str:
        """What sort of part: "structure", "controls", "fastener" …"""
        ...

    @property
    def zone(self) -> str:
        """Where on the aircraft: "wing", "tail", "gear" …"""
        ...


class Terms(Protocol):
    """Looks notations up. An unknown notation raises KeyError."""

    def preferred(self, notation: str) -> str:
        """Return the term that the trade prefers ("main undercarriage")."""
        ...

    def gloss(self, notation: str) -> str:
        """Return the explanation in plain English, "" where there is none."""
        ...

    def part(self, notation: str) -> PartLike:
        """Return the part of this notation."""
        ...


def term(terms: Terms, notation: str) -> str:
    """Return the preferred term, and the notation in plain letters where the vocabulary has lost it."""
    try:
        return terms.preferred(notation) or notation.replace("-", " ")
    except KeyError:
        return notation.replace("-", " ")


def gloss(terms: Terms, notation: str) -> str:
    """Return the explanation of a notation, "" where the vocabulary has none."""
    try:
        return (terms.gloss(notation) or "").strip()
    except KeyError:
        return ""


def kind_and_zone(terms: Terms, notation: str | None) -> tuple[str, str]:
    """Return a part's kind and zone, ("", "") where it is not known or not a part."""
    if notation is None:
        return "", ""
    try:
        part = terms.part(notation)
    except KeyError:
        return "", ""
    return (part.kind or "", part.zone or "") if part is not None else ("", "")
