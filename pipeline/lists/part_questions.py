"""What the list of parts cannot tell, as questions: each stays until a fact answers it; no other fact closes it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

from pipeline.lists.logged import OTHER_SIDE, LoggedFact, sides
from pipeline.lists.part_lives import MAKING_FAST, Life, undone_and_put_away
from pipeline.reading.fact import Side
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import PartEvent, Question

_COMING_OFF = frozenset({"remove", "undo", "drill-out", "separate"})


@dataclass(frozen=True)
class TagReading:
    """A tag that was told of a part (None where nobody can say of which); ``given`` where it was put on then."""

    tag: str
    part: Life | None
    entry: str
    on: date
    given: bool


@dataclass
class BothSides:
    """Of which parts both sides were told to come off, and what was then told of each side's coming off."""

    _planned: dict[str, dict[Side, str]] = field(default_factory=dict)
    _both: dict[str, tuple[str, ...]] = field(default_factory=dict)
    _told: set[tuple[str, Side]] = field(default_factory=set)

    def take_in(self, logged: LoggedFact) -> None:
        """Take in a fact; they come in the order in which they were said."""
        fact = logged.fact
        if fact.item is None or fact.act not in _COMING_OFF:
            return
        told = [side for side in sides(fact.side) if side]
        if fact.status == "planned":
            planned = self._planned.setdefault(fact.item, {})
            planned.update(dict.fromkeys(told, logged.entry))
            if fact.side == "both" or (told and set(planned) == set(OTHER_SIDE) and fact.act == "remove"):
                self._set(fact.item, tuple(planned.values()))
        elif fact.status == "done" and fact.side == "both":
            self._set(fact.item, (logged.entry,))
        if fact.act == "remove" and fact.status in ("done", "not-done"):
            self._told.update((fact.item, side) for side in told)

    def _set(self, item: str, entries: tuple[str, ...]) -> None:
        if item not in self._both:
            self._told -= {(item, side) for side in OTHER_SIDE}
        self._both[item] = tuple(dict.fromkeys((*self._both.get(item, ()), *entries)))

    def unanswered(self, item: str, side: Side) -> tuple[str, ...]:
        """Return the entries that told of both sides, where nothing was told since of this side's coming off."""
        return () if (item, side) in self._told else self._both.get(item, ())


def questions(
    parts: Sequence[Life], readings: Sequence[TagReading], both: BothSides, vocabulary: Vocabulary
) -> dict[int, list[Question]]:
    """Return what is to be asked about each part on the list, by the ``id`` of its life.

    Args:
        parts: those on the list, in its order.
        readings: every tag that was told, in order.
        both: what was told of both sides at once.
        vocabulary: tells which parts are pairs.
    """
    asked = {id(part): list(_of_one(part)) for part in parts}
    for part in parts:
        asked[id(part)] += _other_side(part, parts, both, vocabulary)
    for tag in sorted({reading.tag for reading in readings}):
        for part, question in _of_tag(tag, parts, readings):
            asked[id(part)].append(question)
    return asked


def _of_one(part: Life) -> Iterator[Question]:
    if part.state == "off" and part.removed_on:
        if not part.is_kept and part.moved_on:
            yield _question("moved-not-stowed", part, (part.moved_on,), (part.moved_in,))
        elif not part.is_kept:
            yield _question("not-stowed", part, (part.removed_on,), (part.removed_in,))
        if part.some_back_on and part.number_off:
            between = (part.removed_on, part.some_back_on)
            question = _question("some-still-off", part, between, (part.removed_in, part.some_back_in))
            yield question.model_copy(update={"numbers": (part.number_off,)})
        if fast := _made_fast(part):
            yield _question("fast-while-off", part, tuple(one.on for one in fast), tuple(one.entry for one in fast))
        if part.again_on:
            yield _question("removed-twice", part, (part.removed_on, part.again_on), (part.removed_in, part.again_in))
    elif part.state == "replaced" and part.removed_on and part.replaced_on:
        if not part.is_kept and part.removed_on < part.replaced_on:  # else it is often thrown away
            yield _question("not-stowed", part, (part.removed_on,), (part.removed_in,))
    elif part.state == "unknown":
        kept = [event for event in part.life if event.stowage or event.tag]
        since = next((at for at in range(len(part.life) - 1, -1, -1) if part.life[at].what == "refitted"), -1)
        kept = [event for event in part.life[since + 1 :] if event.stowage or event.tag] or kept
        days = tuple(event.on for event in kept[:1])
        if undone_and_put_away(part.life[since + 1 :]) is None and not part.is_new_one_waiting:
            yield _question("not-removed", part, days, [event.entry for event in kept])
    elif part.state == "refitted" and part.refitted_on and not (part.ever_off or part.ever_kept or part.made):
        fitted = [event.entry for event in part.life if event.what == "refitted"]
        yield _question("not-removed-but-refitted", part, (part.refitted_on,), fitted)


def _made_fast(part: Life) -> list[PartEvent]:
    """Return when a part was tightened or locked since it came off, as only a part that is on can be."""
    came_off = max((at for at, one in enumerate(part.life) if one.act == "remove"), default=-1)
    return [one for one in part.life[came_off + 1 :] if one.act in MAKING_FAST]


def _other_side(part: Life, parts: Sequence[Life], both: BothSides, vocabulary: Vocabulary) -> Iterator[Question]:
    if part.state != "off" or part.side not in OTHER_SIDE or not _is_pair(part.item, vocabulary):
        return
    other = OTHER_SIDE[part.side]
    if any(one.item == part.item and one.side in (other, None) for one in parts):
        return
    told = both.unanswered(part.item, other)
    if told and part.removed_on:
        entries = (*told, part.removed_in)
        yield _question("other-side-not-told", part, (part.removed_on,), entries, ((part.item, other),))


def _is_pair(item: str, vocabulary: Vocabulary) -> bool:
    part = vocabulary.part(item)
    pair = any(one.part == item and one.number == 2 and one.of == "aircraft" for one in vocabulary.sets)
    return pair or (part is not None and part.symmetrical)


def _of_tag(tag: str, parts: Sequence[Life], readings: Sequence[TagReading]) -> Iterator[tuple[Life, Question]]:
    """Yield the question of one tag for each part that it was last told of; a refitted part has none any more."""
    last = {id(reading.part): reading for reading in readings if reading.part}
    holders = [part for part in parts if part.state != "refitted" and id(part) in last and last[id(part)].tag == tag]
    if len(holders) < 2:
        return
    told = [one for one in readings if one.tag == tag and (one.part is None or one.part in holders)]
    later = next(one for one in told if one.part is not None and one.part is not told[0].part)
    kind = "one-tag-two-parts" if later.given else "tag-read-elsewhere"
    days = tuple(dict.fromkeys((told[0].on, later.on)))
    first, *others = sorted(holders, key=lambda part: next(at for at, one in enumerate(told) if one.part is part))
    question = _question(kind, first, days, [one.entry for one in told], [(one.item, one.side) for one in others])
    question = question.model_copy(update={"tag": tag})
    for part in holders:
        yield part, question


def _question(
    kind: str,
    part: Life,
    days: tuple[date, ...],
    entries: Iterable[str],
    others: Iterable[tuple[str, Side | None]] = (),
) -> Question:
    return Question(
        kind=kind,
        item=part.item,
        side=part.side,
        place=part.place,
        position=part.position,
        called=part.called,
        tag=part.tag,
        days=days,
        others=tuple(others),
        entries=tuple(dict.fromkeys(entries)),
    )
