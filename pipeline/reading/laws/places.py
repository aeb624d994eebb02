"""Places: a bay in which a large part stands is none of the aircraft, and a range is one place, not its two ends."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact, Place, Stowage
from pipeline.reading.laws.case import Case
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import Piece

# Kinds of parts that stand about in a hangar: a battery may be in the hull.
_STAND_ABOUT = ("powerplant", "structure", "control-surface", "undercarriage")


def ranges_as_one(_case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "between frame eight and frame eleven" is one place, and its ends are none beside it."""
    return [_in_one_range(fact) for fact in facts]


def _in_one_range(fact: Fact) -> Fact:
    ends = {(place.scheme, end) for place in fact.place or () if "-" in place.at for end in place.at.split("-")}
    places = tuple(place for place in fact.place or () if (place.scheme, place.at) not in ends)
    return fact if places == (fact.place or ()) else fact.model_copy(update={"place": places})


def numbers_of_places(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the places that bare numbers are: "three cracked ribs, 4, 6 and 9" are at no rib 3.

    Nor are they between 6 and 9, where "between" was not said.
    """
    return [_at_its_numbers(case, fact) if fact.place else fact for fact in facts]


def _at_its_numbers(case: Case, fact: Fact) -> Fact:
    own = case.own_pieces(fact)
    said = {place for piece in own for place in piece.places}
    numbers = [piece.whole for piece in own]
    found: list[Place] = []
    for place in fact.place or ():
        ends = place.at.split("-") if place not in said and _joined(own, place.at) else [place.at]
        counted = place not in said and place.at == str(fact.count) and numbers.count(fact.count) == 1
        found += [] if counted else [place.model_copy(update={"at": end}) for end in ends]
    places = tuple(dict.fromkeys(found))
    return fact if places == fact.place else fact.model_copy(update={"place": places or None})


def _joined(pieces: Sequence[Piece], ends: str) -> bool:
    """Tell whether the two ends of a range are only joined by "and", with no "between" before them."""
    for at in range(len(pieces) - 2):
        first, joint, last = pieces[at : at + 3]
        before = [piece.low for piece in pieces[max(0, at - 3) : at]]
        if joint.low == "and" and f"{first.digits}-{last.digits}" == ends and "between" not in before:
            return True
    return False


def in_a_bay(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a large part stored with no other place told is in the bay that its sentence names."""
    return [_in_its_bay(case, fact) if _lacks_a_place(case.lexicon, fact) else fact for fact in facts]


def _lacks_a_place(lexicon: Lexicon, fact: Fact) -> bool:
    large = lexicon.part_kind.get(fact.item or "") in _STAND_ABOUT
    return large and fact.act == "store" and fact.stowage is None and fact.status == "done"


def _in_its_bay(case: Case, fact: Fact) -> Fact:
    pieces = case.pieces
    for at in case.own(fact):
        bay = next((place for place in pieces[at].places if place.scheme == "bay"), None)
        if bay is None or pieces[at].kind != "place" or not 0 < at < len(pieces) - 1:
            continue
        if pieces[at - 1].low not in ("in", "into") or pieces[at + 1].low in ("of", "on"):
            continue
        places = tuple(place for place in fact.place or () if place != bay)
        return fact.model_copy(update={"stowage": Stowage(room=f"bay {bay.at}"), "place": places or None})
    return fact
