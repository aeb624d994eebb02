"""Where a large part stands: "on the engine stand in bay two" is a place in the hangar, and none on the aircraft."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.reader import ReadByRule

_STAND_ABOUT = (
    "powerplant",
    "structure",
    "control-surface",
    "undercarriage",
)  # a battery may be in the hull


def in_a_bay(lexicon: Lexicon, one: ReadByRule, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a large part that is stored with no other place told is in the bay that its sentence names.

    Args:
        lexicon: tells the kinds of parts.
        one: what the rules read.
        facts: those read.
    """
    return [_in_its_bay(one, fact) if _lacks_a_place(lexicon, fact) else fact for fact in facts]


def _lacks_a_place(lexicon: Lexicon, fact: Fact) -> bool:
    large = lexicon.part_kind.get(fact.item or "") in _STAND_ABOUT
    return large and fact.act == "store" and fact.stowage is None and fact.status == "done"


def _in_its_bay(one: ReadByRule, fact: Fact) -> Fact:
    start, end = one.sentence(fact.words[0])
    for at, piece in enumerate(one.pieces[:-1]):
        bay = next((place for place in piece.places if place.scheme == "bay"), None)
        there = start <= piece.start < end and at and one.pieces[at - 1].low in ("in", "into")
        if bay is None or piece.kind != "place" or not there or one.pieces[at + 1].low in ("of", "on"):
            continue
        places = tuple(place for place in fact.place or () if place != bay)
        return fact.model_copy(update={"stowage": Stowage(room=f"bay {bay.at}"), "place": places or None})
    return fact
