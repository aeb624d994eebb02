"""Places: a bay in which a large part stands is none of the aircraft, and a range is one place, not its two ends."""

from collections.abc import Iterator, Mapping, Sequence

from pipeline.reading.fact import Fact, Place, Stowage
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.lexicon import HEAVY, Lexicon
from pipeline.reading.spans import holds
from pipeline.reading.supports import is_gear

_PUT_RIGHT = word_set("drill-out paint prime repair strip-finish tighten treat")  # where the part was found so
_PANEL = "access-panel"
_FROM_GEAR = 7  # pieces from a jack or a trestle to where it stands
_AT = word_set("at behind by near on under")


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


def where_it_was_seen(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is done about a finding is done where that was seen, if no other place is told."""
    found: list[Fact] = []
    for fact in facts:
        seen = {f.place for f in found if f.place and _asks_for(f, fact)} if _lacks_its_place(case, fact) else set()
        if len(seen) == 1:
            why = (*fact.inferred, ("place", "where the finding was seen"))
            fact = fact.model_copy(update={"place": seen.pop(), "inferred": why})
        found.append(fact)
    return found


def _asks_for(seen: Fact, fact: Fact) -> bool:
    """Tell whether a finding is a reason for work on its part."""
    faulty = seen.finding not in (None, "sound") and not seen.absent
    return faulty and (seen.item, seen.side) == (fact.item, fact.side)


def _lacks_its_place(case: Case, fact: Fact) -> bool:
    if fact.act not in _PUT_RIGHT or fact.place:
        return False
    return not any(piece.places for piece in case.own_pieces(fact))


def as_said_anew(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a frame said in a fact's own sentence ends the frames that were said before it."""
    return [_as_said_anew(case, fact) if fact.place and len(fact.place) > 1 else fact for fact in facts]


def _as_said_anew(case: Case, fact: Fact) -> Fact:
    said = {place for piece in case.own_pieces(fact) for place in piece.places}
    anew = {place.scheme for place in fact.place or () if place in said}
    before = {place for piece in case.pieces if piece.start < case.sentence(fact)[0] for place in piece.places}
    ended = {place for place in before - said if place.scheme in anew or (anew and fact.status == "planned")}
    stays = tuple(place for place in fact.place or () if place not in ended)
    return fact if stays == fact.place else fact.model_copy(update={"place": stays})


def of_the_panel_alone(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; where a panel is that was opened tells no later sentence where the parts behind it are."""
    panels = dict(_panels_at(case))
    return [_away_from(case, fact, panels) if fact.place and fact.item != _PANEL else fact for fact in facts]


def of_what_holds_up_alone(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; where a jack or a trestle stands tells no later sentence where the work goes on."""
    gear = dict(_gear_at(case))
    return [_away_from(case, fact, gear) if fact.place and fact.act != "support" else fact for fact in facts]


def _gear_at(case: Case) -> Iterator[tuple[Place, int]]:
    """Yield the places at which only gear that holds something up is told to be, each with where that stands."""
    told = [place for piece in case.pieces for place in piece.places]
    for at, piece in enumerate(case.pieces):
        if piece.kind != "place":
            continue
        sentence = case.rules.sentence(piece.start)
        own = [p for p in case.pieces[max(0, at - _FROM_GEAR) : at] if holds(sentence, p.start)]
        if any(is_gear(case.lexicon, p.sense("part") or p.sense("short")) for p in own):
            yield from ((place, piece.start) for place in piece.places if told.count(place) == 1)


def _panels_at(case: Case) -> Iterator[tuple[Place, int]]:
    """Yield the places at which panels are told to be, and nothing else, each with where in the text it stands."""
    pieces = case.pieces
    told = [place for piece in pieces for place in piece.places]
    for noun, prep, piece in zip(pieces, pieces[1:], pieces[2:], strict=False):
        if noun.sense("part") == _PANEL and prep.low in _AT:
            yield from ((place, piece.start) for place in piece.places if told.count(place) == 1)


def _away_from(case: Case, fact: Fact, panels: Mapping[Place, int]) -> Fact:
    start = case.sentence(fact)[0]
    stays = tuple(place for place in fact.place or () if panels.get(place, start) >= start)
    return fact if stays == fact.place else fact.model_copy(update={"place": stays or None})


def in_a_bay(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a large part stored with no other place told is in the bay that its sentence names."""
    return [_in_its_bay(case, fact) if _lacks_a_place(case.lexicon, fact) else fact for fact in facts]


def not_where_it_went(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what came off is of no bay of the hangar in which the same part is told to stand now."""
    found: list[Fact] = []
    for fact in facts:
        stand = [
            f for f in facts if f.act == "store" and f.item == fact.item and case.together(f, fact) and f.stowage
        ]
        rooms = {f.stowage.room for f in stand if f.stowage}
        left = tuple(one for one in fact.place or () if one.scheme != "bay" or f"bay {one.at}" not in rooms)
        if fact.act in ("remove", "separate", "lower") and fact.place and left != fact.place:
            fact = fact.model_copy(update={"place": left or None})
        found.append(fact)
    return found


def _lacks_a_place(lexicon: Lexicon, fact: Fact) -> bool:
    large = lexicon.part_kind.get(fact.item or "") in HEAVY
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
    return [_in_its_store(case, fact) if fact.act == "move" else fact for fact in facts]


def _in_its_store(case: Case, fact: Fact) -> Fact:
    stores = [at for at in case.own(fact) if at and case.pieces[at].kind == "stow"]
    to = [at for at in stores if case.pieces[at - 1].low in ("to", "onto", "into")]
    if len(to) != 1:
        return fact
    kept = dict([case.pieces[to[0]].stow])
    for at in stores:
        if at == to[0] + 2 and case.pieces[at - 1].low in (",", "on", "in"):
            kept |= dict([case.pieces[at].stow])  # "to rack four, bottom shelf"
    told = fact.stowage.model_dump(exclude_none=True) if fact.stowage is not None else {}
    return fact.model_copy(update={"stowage": Stowage.model_validate(kept)}) if told.items() <= kept.items() else fact
