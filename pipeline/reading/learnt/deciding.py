"""Which of the likely readings of a note are kept as its facts, and what is said of each."""

import math
from collections.abc import Collection, Sequence

from pipeline.reading.fact import Fact, Measure, Place, Stowage
from pipeline.reading.learnt.heads import Told
from pipeline.reading.learnt.opinion import Opinion, Read
from pipeline.reading.learnt.prepared import Count, Filler, Kept
from pipeline.reading.spans import overlap

KEPT_FROM = 0.27
SECOND_FROM = 0.6  # for a further part of which the same is told by the same words
SURE_FROM = 0.8
SETTLED_FROM = 0.997  # chance from which a doubt of the rules is taken as settled
RULE = "learnt from marked notes"
ONLY_RULES = "only the rules read this"  # a doubt

_PLAINLY_TOLD = "state: remove"
"""The rule of "the port wing is off": what both readings take for it is right as often (0.95) as what neither doubts,
however little the learnt one gives for it, which shares its chance out over "she's off" and what follows."""
_POSSIBLE_FROM = 0.1  # chance by the learnt reading from which a fact of the rules may stand
_TRUSTED_FROM = 0.7  # confidence of such a fact
_SAME_PLACE, _SAME_TELLING, _SAME_WORK = 4, 6, 8  # word pieces


def kept(readings: Sequence[Told]) -> list[Told]:
    """Return the readings that are taken as facts, in the order said: likely ones, none of them twice.

    What one word tells, it mostly tells of one part; and one name is one part.
    """
    taken: list[Told] = []
    by_chance = sorted(readings, key=lambda one: -one.chance)
    for told in sorted(_gathered(by_chance), key=lambda one: -one.chance):
        if told.chance <= KEPT_FROM or any(_same(told, other) for other in taken):
            continue
        likelier = [at for at, other in enumerate(taken) if _of_another_part(told, other)]
        if not likelier or (
            told.chance > SECOND_FROM and not any(_by_the_same_name(told, taken[at]) for at in likelier)
        ):
            taken.append(told)
        else:
            rivals = dict.fromkeys((*taken[likelier[0]].rivals, told.item.replace("-", " ")))
            taken[likelier[0]] = taken[likelier[0]]._replace(rivals=tuple(rivals))
    return sorted(_one_part_a_tag(taken), key=lambda one: one.piece)


def _one_part_a_tag(taken: Sequence[Told]) -> list[Told]:
    """Return the readings, each tag left with the part that it most likely hangs on (taken: likeliest first)."""
    owners: dict[object, str] = {}
    found = []
    for told in taken:
        others = {f for f in told.fillers if f.slot == "tag" and owners.setdefault(f.value, told.item) != told.item}
        if not others or told.told != "tag":
            found.append(told._replace(fillers=tuple(f for f in told.fillers if f not in others)))
    return found


def half_believed(readings: Sequence[Told], taken: Sequence[Told], opinion: Opinion) -> list[Fact]:
    """Return facts of rules that are mostly right which the learnt reading thinks possible, but did not take.

    It knows no work on a part that the vocabulary lacks. Such work is kept where the rules are sure of it.
    """
    told: list[tuple[str, str | None, str, int]] = [(one.told, one.item, one.side, one.piece) for one in taken]
    facts = []
    for read in opinion.facts:
        fact, side = read.fact, read.fact.side or ""
        same = (one for one in told if one[:2] == (read.told, fact.item) and not _opposite(one[2], side))
        if fact.item is None:
            known = any(one[0] == read.told and abs(one[3] - read.first) < _SAME_WORK for one in told)
            believed = fact.confidence >= SURE_FROM and not known
        else:
            chances = (one.chance for one in readings if (one.told, one.item) == (read.told, fact.item))
            possible = 1 - math.prod(1 - chance for chance in chances) >= _POSSIBLE_FROM
            believed = fact.confidence >= _TRUSTED_FROM and possible and not any(same)
        if believed:
            told.append((read.told, fact.item, side, read.first))
            facts.append(by_rules_only(fact))
    return facts


def by_rules_only(fact: Fact) -> Fact:
    """Return a fact of the rules with the doubt that the learnt reading did not take it."""
    return fact.model_copy(update={"doubts": (*fact.doubts, ONLY_RULES)})


def _gathered(readings: Sequence[Told]) -> list[Told]:
    """Return the readings, each with the chance that it or the same one by a neighbouring word is right.

    Whether "is" or "off" tells that "the fin is off" is anybody's choice: their chances belong together.
    """
    found = []
    for told in readings:
        beside = [one.chance for one in readings if _key(one) == _key(told) and 0 < _away(one, told) < _SAME_PLACE]
        found.append(told._replace(chance=1 - (1 - told.chance) * math.prod(1 - chance for chance in beside)))
    return found


def _key(told: Told) -> tuple[object, ...]:
    return (told.status, told.told, told.absent, told.item, told.side)


def _away(told: Told, other: Told) -> int:
    return abs(told.piece - other.piece)


def _same(told: Told, other: Told) -> bool:
    """Tell whether two readings are one telling: by the same words, or by words near each other.

    "The port rudder is off and so is the starboard" tells two things, however near their words.
    """
    if (told.told, told.item) != (other.told, other.item):
        return False
    if told.piece != other.piece and _opposite(told.side, other.side):
        return False
    away, alike = _away(told, other), _key(told) == _key(other)
    return away < _SAME_PLACE or (alike and (away < _SAME_TELLING or set(told.fillers) == set(other.fillers)))


def _opposite(side: str, other: str) -> bool:
    return {side, other} == {"port", "starboard"}


def _of_another_part(told: Told, other: Told) -> bool:
    """Tell whether the same words tell the same of another part too."""
    return told.told == other.told and told.item != other.item and _away(told, other) < _SAME_PLACE


def _by_the_same_name(told: Told, other: Told) -> bool:
    """Tell whether the parts of two readings are read from the same words."""
    return overlap(told.named, other.named)


def as_fact(told: Told, opinion: Opinion, unseen: Collection[str] = ()) -> Fact:
    """Return a reading as a fact, with what the rules made of the same words.

    Args:
        told: the reading.
        opinion: what the rules read.
        unseen: sides that were not named in what was looked at here: those the rules carried on from earlier talk.
    """
    read = opinion.nearest(told.piece, told.told, told.item)
    if read is not None and not told.side and read.fact.side in unseen:
        told = told._replace(side=read.fact.side or "", rivals=())
    if read is not None and read.fact.status != told.status and _opposite(read.fact.side or "", told.side):
        read = None  # "the port elevator is on, the starboard one is not yet": told of the other one
    agreed = read is not None and _key_of(read.fact) == _key(told)
    if agreed and read and read.fact.rule == _PLAINLY_TOLD:
        told = told._replace(chance=max(told.chance, read.fact.confidence))
    values: dict[str, object] = {
        "status": told.status,
        "finding" if told.finding else "act": told.told,
        "absent": True if told.absent else None,
        "item": told.item,
        "side": told.side or None,
        "words": read.fact.words if agreed and read else told.words,
        "rule": read.fact.rule if agreed and read else RULE,
        "inferred": read.fact.inferred if agreed and read else (),
        "confidence": round(told.chance, 3),
        "doubts": tuple(_doubts(told, read, agreed)),
    }
    return Fact.model_validate(values | _slots(told.fillers))


def _key_of(fact: Fact) -> tuple[object, ...]:
    return (fact.status, fact.act or fact.finding, bool(fact.absent), fact.item, fact.side or "")


def _doubts(told: Told, read: Read | None, agreed: bool) -> list[str]:
    """Return why a person should check the fact."""
    doubts = []
    if read is not None and not agreed:
        other = read.fact
        if other.status != told.status:
            doubts.append(f"by the rules it was {other.status}, not {told.status}")
        elif bool(other.absent) != told.absent:
            doubts.append("by the rules it was the other way about, there and not there")
        elif (other.side or "") != told.side:
            doubts.append(f"by the rules on {other.side or 'no side'}, here {told.side or 'no side'}")
    elif read is not None and told.chance < SETTLED_FROM:
        doubts += read.fact.doubts
    if told.rivals:
        doubts.append(f"it may be {' or '.join(told.rivals)} instead")
    if told.chance < SURE_FROM and not doubts:
        doubts.append(f"likely, not sure: {round(100 * told.chance)} in 100")
    return doubts


def _slots(fillers: Sequence[Filler]) -> dict[str, object]:
    """Return the slots that the fillers fill, as fields of a fact.

    Args:
        fillers: likeliest first: of two names for one store it stays. Places and sizes come in the order said.
    """
    values = [filler.value for filler in fillers]
    as_said = [filler.value for filler in sorted(_one_size_each(fillers), key=lambda one: one.start)]
    slots: dict[str, object] = {f.slot: f.value for f in fillers if isinstance(f.value, str)}
    places = tuple(value for value in as_said if isinstance(value, Place))
    measures = tuple(value for value in as_said if isinstance(value, Measure))
    kept_in = {value.key: value.name for value in reversed(values) if isinstance(value, Kept)}
    count = next((value for value in values if isinstance(value, Count)), None)
    slots |= {"place": places} if places else {}
    slots |= {"measure": measures} if measures else {}
    slots |= {"stowage": Stowage.model_validate(kept_in)} if kept_in else {}
    slots |= {"count": count.number, "of": count.of, "about": count.about or None} if count else {}
    return slots


def _one_size_each(fillers: Sequence[Filler]) -> list[Filler]:
    """Return the fillers (likeliest first), each number as one size: in "three fifty", of pounds, are no degrees."""
    sized: set[tuple[int, int]] = set()
    found = []
    for filler in fillers:
        where = (filler.start, filler.end)
        if not isinstance(filler.value, Measure) or where not in sized:
            found.append(filler)
        if isinstance(filler.value, Measure):
            sized.add(where)
    return found
