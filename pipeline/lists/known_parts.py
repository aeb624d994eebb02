"""What lists and pages need of the vocabulary's parts."""

from collections.abc import Sequence
from typing import Protocol


class PartLike(Protocol):
    """A part of the vocabulary, as far as lists and pages look at it."""

    @property
    def notation(self) -> str:
        """By which it is known everywhere: "control-cable"."""
        ...

    @property
    def preferred(self) -> str:
        """The term that the trade prefers: "control cable"."""
        ...

    @property
    def alternatives(self) -> Sequence[str]:
        """What else people call it."""
        ...

    @property
    def kind(self) -> str:
        """What sort of part: "structure", "controls", "fastener"."""
        ...

    @property
    def zone(self) -> str:
        """Where on the aircraft: "wing", "tail", "gear"."""
        ...

    @property
    def broader(self) -> str:
        """The notation of the part that it belongs to, "" for none."""
        ...

    @property
    def symmetrical(self) -> bool:
        """Whether there is one on each side."""
        ...

    @property
    def chapter(self) -> str:
        """Its system chapter, two figures, "" for none."""
        ...


class KnownParts(Protocol):
    """Looks parts up by their notation."""

    def __hash__(self) -> int:
        """By which what is made of its parts is kept."""
        ...

    def part(self, notation: str) -> PartLike | None:
        """Return the part of this notation, None where it is not a part's."""
        ...

    @property
    def parts(self) -> Sequence[PartLike]:
        """Every part that the vocabulary knows."""
        ...


ZONES = ("nose", "front", "centre", "rear", "tail", "wing", "nacelle", "gear", "any")
"""Along the aircraft, as people walk; what may be anywhere comes last."""

ENGINES = "nacelle"
"""The zone of the engines."""

NOT_OF_THE_AIRCRAFT = frozenset({"material", "support-equipment"})
"""Kinds of what is used on the aircraft and is none of it."""
_NO_PARTS = NOT_OF_THE_AIRCRAFT | {"fastener"}


def is_of_the_aircraft(notation: str | None, vocabulary: KnownParts) -> bool:
    """Tell whether it is a part of the aircraft: no fastener, no material, and nothing that holds the aircraft up."""
    part = vocabulary.part(notation or "")
    return part is not None and part.kind not in _NO_PARTS
