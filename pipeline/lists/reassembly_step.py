"""One step of putting together again, and which act puts right which act of taking apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from pipeline.lists.logged import LoggedFact, position_of, same_place, same_side
from pipeline.reading.fact import Place, Side, Stowage
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Held

StepAct = Literal["fit", "secure", "release", "connect", "refill", "close"]
Question = Literal[
    "undoing-not-told", "parting-not-told", "locking-not-told", "tightening-not-told", "which-connected"
]
BACK: dict[str, StepAct] = {
    "remove": "fit",
    "undo": "secure",
    "drill-out": "secure",
    "separate": "secure",
    "support": "release",
    "disconnect": "connect",
    "drain": "refill",
    "open": "close",
}
"""What puts right each act of taking apart. Source: common practice, no source."""


@dataclass(frozen=True, eq=False)  # known by identity: there are many edges between steps
class Step:
    """One step. ``at`` and ``turn`` tell when it was undone: the instant, and which fact of all it was.

    ``last_turn`` is the last fact that undid some of it, where it was undone bit by bit.
    ``parted_at`` is where a service was parted, in the speaker's words; ``called`` what a control was called by.
    ``told_afterwards``: that it came off was told together with where it is kept, so it came off some time before.
    """

    act: StepAct
    item: str
    side: Side | None
    place: tuple[Place, ...] | None
    position: str = ""
    called: str = ""
    at: datetime | None = None
    turn: int = -1
    last_turn: int = -1
    undone_in: str = ""
    told_afterwards: bool = False
    joint: str = ""
    parted_at: str = ""
    held: tuple[Held, ...] = ()
    tag: str | None = None
    stowage: Stowage | None = None
    kept_in_words: str = ""
    blanked: bool = False
    done_on: date | None = None
    questions: tuple[Question, ...] = ()
    entries: tuple[str, ...] = ()

    def is_at(self, item: str | None, side: Side | None, place: Sequence[Place] | None, position: str = "") -> bool:
        """Tell whether a fact can be of the same thing."""
        return (
            self.item == item
            and same_side(self.side, side)
            and same_place(self.place, place)
            and same_position((self.side, self.position), (side, position))
        )

    def is_same(self, other: "Step") -> bool:
        """Tell whether another step can be of the same thing."""
        return self.is_at(other.item, other.side, other.place, other.position)

    def is_alongside(self, other: "Step") -> bool:
        """Tell whether another step can be on the same side, and of the same engine."""
        return same_side(self.side, other.side) and same_position(
            (self.side, self.position), (other.side, other.position)
        )


Done = tuple[int, LoggedFact]
"""A fact with which of all it is."""


def spot_of(
    logged: LoggedFact, vocabulary: Vocabulary
) -> tuple[str | None, Side | None, Sequence[Place] | None, str]:
    """Return where a fact's work was, as ``Step.is_at`` takes it."""
    return logged.fact.item, logged.fact.side, logged.fact.place, position_of(logged, vocabulary)


def both_entries(one: tuple[str, ...], other: tuple[str, ...]) -> tuple[str, ...]:
    """Return the entries of both, each once, in order."""
    return tuple(dict.fromkeys((*one, *other)))
