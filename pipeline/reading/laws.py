"""What the rules say beyond doubt, to which the learnt reading is held, and what of theirs is never lost."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.learnt.deciding import RULE, by_rules_only
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.nouns import PREPOSITIONS
from pipeline.reading.pieces import DETERMINERS
from pipeline.reading.reader import ReadByRule
from pipeline.reading.sides_said import SidesSaid
from pipeline.reading.slots import emptied
from pipeline.reading.standing import CONSUMED


def held_to(lexicon: Lexicon, one: ReadByRule, read: Sequence[Fact]) -> list[Fact]:
    """Return the facts of one note that may stand: those read, held to the laws, and what they forgot.

    Args:
        lexicon: of the vocabulary.
        one: what the rules read.
        read: the facts that the two readings together gave.
    """
    sides = SidesSaid(lexicon, one.pieces)
    facts = [sides.held_to(fact) for fact in read if not (_forbidden(fact, one) or _of_what_is_spent(fact, one))]
    facts += [*_let_down(facts, one), *_cracks(facts, one)]
    return _with_tags(facts, one)


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
        if there and all(emptied(one.pieces, at) for at in there):
            return True
    if fact.item not in CONSUMED or not (fact.finding or fact.act in ("repair", "inspect")):
        return False
    start, end = one.sentence(fact.words[0])
    own = [at for at, p in enumerate(one.pieces) if start <= p.start < end and p.sense("part") == fact.item]
    return bool(fact.act) or all(_after_where(one, at) for at in own)


def _after_where(one: ReadByRule, at: int) -> bool:
    step = at - 1
    while step >= 0 and one.pieces[step].low in DETERMINERS:
        step -= 1
    return step >= 0 and one.pieces[step].low in PREPOSITIONS


def _cracks(facts: Sequence[Fact], one: ReadByRule) -> Iterator[Fact]:
    """Yield the cracks that the rules read and that were forgotten: none is dropped for want of its part."""
    told = {one.sentence(fact.words[0]) for fact in facts if fact.finding == "crack"}
    for fact in one.note.facts:
        if fact.finding == "crack" and not fact.absent and one.sentence(fact.words[0]) not in told:
            yield by_rules_only(fact)


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
