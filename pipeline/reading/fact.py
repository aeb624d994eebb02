"""A fact: one thing that an engineer would want in the logbook, with the words that it came from."""

from typing import Literal, get_args

from pipeline.values import Value

Status = Literal["done", "planned", "explained", "not-done", "seen"]
Side = Literal["port", "starboard", "both"]
Scheme = Literal["frame", "station", "rib", "stringer", "spar", "bay", "longeron"]
SCHEMES = frozenset(get_args(Scheme))


class Place(Value):
    """Where on the airframe: "frame" "12", "spar" "front", "frame" "11-12" for between the two."""

    scheme: Scheme
    at: str


class Measure(Value):
    """A value as said, with its unit's usual symbol."""

    value: float
    unit: str


class Stowage(Value):
    """Where a part is kept."""

    rack: str | None = None
    shelf: str | None = None
    box: str | None = None
    bag: str | None = None
    pallet: str | None = None
    stand: str | None = None
    room: str | None = None


class MarkedFact(Value):
    """One fact in the keys of the marked notes. ``act``, ``item``, ``finding`` are notations of the vocabulary."""

    status: Status
    act: str | None = None
    item: str | None = None
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    count: int | None = None
    of: str | None = None
    about: bool | None = None
    measure: tuple[Measure, ...] | None = None
    finding: str | None = None
    absent: bool | None = None
    grade: Literal["light", "moderate", "heavy"] | None = None
    stowage: Stowage | None = None
    tag: str | None = None


_WHY = {"words", "rule", "inferred", "confidence", "doubts"}


class Fact(MarkedFact):
    """A fact with what it was read from.

    ``words`` is (from, to): the characters of the text, end exclusive; ``rule`` says which pattern read it,
    ``inferred`` lists the keys that were carried on from earlier words with the reason. ``confidence`` is the share
    of facts read by that rule that were right on marked notes; ``doubts`` says why a person should check the fact,
    where two readings stay possible.
    """

    words: tuple[int, int] = (0, 0)
    rule: str = ""
    inferred: tuple[tuple[str, str], ...] = ()
    confidence: float = 1.0
    doubts: tuple[str, ...] = ()

    def as_marked(self) -> dict[str, object]:
        """Return the fact in the form that notes are marked in: keys that apply and no others."""
        return self.model_dump(mode="json", exclude_none=True, exclude=_WHY)
