"""What the rules say beyond doubt, to which the learnt reading is held, and what of theirs is never lost."""

from collections.abc import Iterator, Sequence

from pipeline.reading.bagged import is_named, taken_from, with_bags
from pipeline.reading.bays import in_a_bay
from pipeline.reading.counted_each import of_both
from pipeline.reading.fact import Fact
from pipeline.reading.learnt.deciding import RULE, by_rules_only
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.never_read_so import put_right
from pipeline.reading.nouns import only_where
from pipeline.reading.pieces import Piece
from pipeline.reading.reader import ReadByRule
from pipeline.reading.shared_counts import added_up, shared_out
from pipeline.reading.sides_said import SidesSaid
from pipeline.reading.slots import emptied
from pipeline.reading.standing import CONSUMED
from pipeline.reading.stays_there import without_what_stays
from pipeline.reading.supports import UNDER_IT, also_under, gear_away, stands_on_gear
from pipeline.reading.told_in_short import covered, too_by_then

_HEAVY = ("powerplant", "structure", "control-surface", "undercarriage")  # kinds of parts that no line is taken for

_PARTED = ("past: connect", "past: disconnect")


def held_to(lexicon: Lexicon, one: ReadByRule, read: Sequence[Fact]) -> list[Fact]:
    """Return the facts of one note that may stand: those read, held to the laws, and what they forgot.

    Args:
        lexicon: of the vocabulary.
        one: what the rules read.
        read: the facts that the two readings together gave.
    """
    sides = SidesSaid(lexicon, one.pieces)
    facts = [sides.held_to(fact) for fact in read if not (_forbidden(fact, one) or _of_what_is_spent(fact, one))]
    facts = without_what_stays(lexicon, one, covered(lexicon, one, facts))
    facts = _supported(lexicon, put_right(lexicon, one, facts), one)
    facts += [*_let_down(facts, one), *_cracks(facts, one)]
    facts = _worn(lexicon, facts, one)
    facts += [*_parted(facts, one), *_taken_off(lexicon, facts, one)]
    kept = in_a_bay(lexicon, one, with_bags(lexicon, one, _with_tags(facts, one)))
    kept = too_by_then(one, added_up(one, shared_out(one, kept)))
    return [sides.of_all(fact) for fact in of_both(one, kept)]


def _forbidden(fact: Fact, one: ReadByRule) -> bool:
    """Tell whether a fact goes against what the rules say beyond doubt: that is never believed.

    It says done what was not, or not yet, or not by us; planned what a part only might do; or removed what was taken
    off its trestles.
    """
    if fact.rule != RULE:
        return False
    laws = {"done": one.not_done, "planned": one.supposed}.get(fact.status, ())
    start, end = fact.words
    let_down = fact.act == "remove" and any(first <= start < last for first, last in one.let_down)
    return let_down or any(first <= start and end <= last for first, last in laws)


def _of_what_is_spent(fact: Fact, one: ReadByRule) -> bool:
    """Tell whether a fact is told of glue or paint that was not itself looked at, or of an empty bag."""
    if fact.act in ("store", "bag") and fact.stowage is not None:
        kept = {(key, str(name).lower()) for key, name in fact.stowage.model_dump(exclude_none=True).items()}
        stores = [at for at, piece in enumerate(one.pieces) if piece.kind == "stow"]
        there = [at for at in stores if (one.pieces[at].stow[0], one.pieces[at].stow[1].lower()) in kept]
        if there and all(emptied(one.pieces, at) or taken_from(one.pieces, at) for at in there):
            return True
    if fact.item not in CONSUMED or not (fact.finding or fact.act in ("repair", "inspect")):
        return False
    start, end = one.sentence(fact.words[0])
    own = [at for at, p in enumerate(one.pieces) if start <= p.start < end and p.sense("part") == fact.item]
    return bool(fact.act) or all(only_where(one.pieces, at) for at in own)


def _cracks(facts: Sequence[Fact], one: ReadByRule) -> Iterator[Fact]:
    """Yield the cracks that the rules read and that were forgotten: none is dropped for want of its part."""
    told = {one.sentence(fact.words[0]) for fact in facts if fact.finding == "crack"}
    for fact in one.note.facts:
        if fact.finding == "crack" and not fact.absent and one.sentence(fact.words[0]) not in told:
            yield by_rules_only(fact)


def _worn(lexicon: Lexicon, facts: Sequence[Fact], one: ReadByRule) -> list[Fact]:
    """Return the facts, with what is wrong with what holds a part told of that: "the hinge pin is worn".

    It is told so where nothing else was read of the sentence, or the same of a part that the sentence does not name.
    """
    found = list(facts)
    for fact in one.note.facts:
        plain = fact.rule == "seen: adjective" and not fact.absent and fact.finding not in lexicon.good
        named = fact.item in lexicon.fasteners and not any(key == "item" for key, _ in fact.inferred)
        if not (plain and named):
            continue
        own = [other for other in found if one.sentence(other.words[0]) == one.sentence(fact.words[0])]
        if not own:
            found.append(by_rules_only(fact))
        elif len(own) == 1 and own[0].finding == fact.finding and not is_named(lexicon, one, own[0]):
            found[found.index(own[0])] = by_rules_only(fact)
    return found


def _parted(facts: Sequence[Fact], one: ReadByRule) -> Iterator[Fact]:
    """Yield what by plain words is connected or not, of a sentence of which nothing else was read."""
    told = {one.sentence(fact.words[0]) for fact in facts}
    for fact in one.note.facts:
        plain = fact.rule in _PARTED and fact.status == "done" and fact.item is not None
        named = not any(key == "item" for key, _ in fact.inferred)
        if plain and named and one.sentence(fact.words[0]) not in told:
            yield by_rules_only(fact)


def _taken_off(lexicon: Lexicon, facts: Sequence[Fact], one: ReadByRule) -> Iterator[Fact]:
    """Yield the parts that by plain words are off and were forgotten: "the starboard outer engine is off"."""
    off = [(fact.item, fact.side) for fact in facts if fact.act == "remove"]
    for fact in one.note.facts:
        plain = fact.rule == "state: remove" and fact.status == "done"
        named = not any(key == "item" for key, _ in fact.inferred)
        known = any(item == fact.item and {side, fact.side} != {"port", "starboard"} for item, side in off)
        if not (plain and named) or known or lexicon.part_kind.get(fact.item or "") not in _HEAVY:
            continue
        start, end = fact.words
        if not any(other.act and start <= other.words[0] < end and other.act != "bag" for other in facts):
            yield by_rules_only(fact)


def _supported(lexicon: Lexicon, facts: Sequence[Fact], one: ReadByRule) -> list[Fact]:
    """Return the facts with each trestle that was put under a part: forgotten, nothing seems to hold it up."""
    aircraft = [fact for fact in stands_on_gear(lexicon, one.pieces) if not _within(fact, one.not_done)]
    found = [f for f in facts if not (f.act in ("support", "lift") and any(_overlap(f, own) for own in aircraft))]
    told = {one.sentence(fact.words[0]) for fact in facts if fact.act in ("support", "lift")}
    for fact in one.note.facts:
        under = fact.act == "support" and fact.status == "done" and one.sentence(fact.words[0]) not in told
        under = under and any(p.low in UNDER_IT and _inside(p, fact) for p in one.pieces)
        if under and not any(other.act and _overlap(fact, other) for other in (*found, *aircraft)):
            found.append(by_rules_only(_on_its_own_side(fact, one)))
    held_up = {(fact.item, fact.side) for fact in found if fact.act == "support"}
    for fact in [fact for fact in found if fact.act == "support" and fact.status == "done"]:
        more = also_under(lexicon, one.pieces, fact)
        found += [by_rules_only(other) for other in more if (other.item, other.side) not in held_up]
    gone = [fact for fact in gear_away(lexicon, one.pieces) if not _within(fact, one.not_done)]
    found = [f for f in found if f.act != "support" or not any(_overlap(f, away) for away in gone)]
    gone = [fact for fact in gone if not any(_overlap(fact, other) for other in found if other.item == fact.item)]
    return [*found, *aircraft, *gone]


def _on_its_own_side(fact: Fact, one: ReadByRule) -> Fact:
    """Return a support without a side that is said after it: "under the fuselage, and one under the port wing"."""
    start, end = one.sentence(fact.words[0])
    sides = [piece.start for piece in one.pieces if piece.kind == "side" and start <= piece.start < end]
    later = bool(sides) and min(sides) >= fact.words[1]
    return fact.model_copy(update={"side": None}) if later else fact


def _inside(piece: Piece, fact: Fact) -> bool:
    return fact.words[0] <= piece.start < fact.words[1]


def _within(fact: Fact, stretches: Sequence[tuple[int, int]]) -> bool:
    return any(first <= fact.words[0] and fact.words[1] <= last for first, last in stretches)


def _overlap(fact: Fact, other: Fact) -> bool:
    return fact.words[0] < other.words[1] and other.words[0] < fact.words[1]


def _let_down(facts: Sequence[Fact], one: ReadByRule) -> Iterator[Fact]:
    """Yield what the rules alone read as taken off what held it up: where it is forgotten, the support never ends."""
    told = {(fact.act, fact.item) for fact in facts}
    for fact in one.note.facts:
        start, end = fact.words
        off = any(start < last and end > first for first, last in one.let_down)
        if fact.act == "lower" and off and (fact.act, fact.item) not in told:
            yield by_rules_only(fact)


def _with_tags(facts: Sequence[Fact], one: ReadByRule) -> list[Fact]:
    """Return the facts with the tags that were read out and are on none of them: no tag is lost."""
    found = list(facts)
    for fact in one.note.facts:
        if fact.tag is None or any(other.tag == fact.tag for other in found):
            continue
        free = [n for n, other in enumerate(found) if other.item == fact.item and not other.tag]
        same = [n for n in free if (found[n].act, found[n].finding) == (fact.act, fact.finding)]
        if same or (free and fact.act != "tag"):
            first = (same or free)[0]
            found[first] = found[first].model_copy(update={"tag": fact.tag})
        else:
            found.append(by_rules_only(fact))
    return found
