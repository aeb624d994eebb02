"""Places: a bay in which a large part stands is none of the aircraft, and a range is one place, not its two ends."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.laws.case import Case
from pipeline.reading.lexicon import Lexicon

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
    """Return the facts, without the places that are only numbers of what was counted: "ribs: three bad"."""
    return [_at_its_numbers(case, fact) if fact.place else fact for fact in facts]


def _at_its_numbers(case: Case, fact: Fact) -> Fact:
    own = case.own_pieces(fact)
    said = {place for piece in own for place in piece.places}
    once = [piece.whole for piece in own].count(fact.count) == 1
    counted = {place for place in fact.place or () if once and place not in said and place.at == str(fact.count)}
    places = tuple(place for place in fact.place or () if place not in counted)
    return fact.model_copy(update={"place": places or None}) if counted else fact


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


def moved_to_its_store(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, those of moving with the store to which something went: "from rack eight to rack four"."""
    return [_in_its_store(case, fact) if fact.act == "move" and fact.stowage is None else fact for fact in facts]


def _in_its_store(case: Case, fact: Fact) -> Fact:
    stores = [at for at in case.own(fact) if at and case.pieces[at].kind == "stow"]
    to = [at for at in stores if case.pieces[at - 1].low in ("to", "onto", "into")]
    if len(to) != 1:
        return fact
    key, name = case.pieces[to[0]].stow
    return fact.model_copy(update={"stowage": Stowage.model_validate({key: name})})
