"""What holds the aircraft up: each support, since when, and until when."""

import re
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from itertools import product
from typing import Literal

from pipeline.lists.gear_named import UNDER, gear_given_up, gear_named, may_tell_of_leaving
from pipeline.lists.lifting_gear import HANGING, LiftingGear
from pipeline.lists.logged import OTHER_SIDE, LoggedFact, at_their_engines, same_place, same_side
from pipeline.lists.named_parts import NamedParts
from pipeline.lists.positions import several_told
from pipeline.lists.refitted import is_refitted, is_set_down
from pipeline.lists.services import is_service
from pipeline.lists.swaps import Which, which_one
from pipeline.reading.fact import MarkedFact, Place, Side
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import SupportLine, SupportQuestion

_GONE = frozenset({"remove", "move", "lower", "store"})
_PUT = frozenset({"support", "fit", "connect"})
_FASTENING = ("tighten", "lock")
_SEVERAL = re.compile(
    r"\b(?:two|three|four|five|six|both|[2-6]) (?:[\w-]+ ){0,2}?"
    r"(?:jack|trestle|stand|prop|strop|sling|chock|block)s\b",
    re.IGNORECASE,
)
_ALL = re.compile(r"\b(?:all|both|every|each|last)\b", re.IGNORECASE)
_Part = tuple[str | None, Side | None, str]
_STANDS_UNDER = frozenset({"trestle", "jack", "prop"})
_ONTO = re.compile(r"\bon(?:to)?\b", re.IGNORECASE)


class _Lines(list[SupportLine]):
    """The lines in order; those that stand are found without a look at the others. None that ended stands again."""

    def __init__(self) -> None:
        super().__init__()
        self._standing: dict[int, None] = {}

    def append(self, line: SupportLine) -> None:
        if line.until is None:
            self._standing[len(self)] = None
        super().append(line)

    def change(self, index: int, line: SupportLine) -> None:
        """Put a line in place of what it was before."""
        if line.until is not None:
            self._standing.pop(index, None)
        self[index] = line

    def standing(self) -> list[tuple[int, SupportLine]]:
        """Return the lines that stand, each with its place among all."""
        return [(index, self[index]) for index in self._standing]


def holding_up(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> tuple[SupportLine, ...]:
    """Return one line for each support that was told of, in the order that they were put there.

    A support stands until a later fact tells that it, or what stands on it, was taken away, lowered, moved or stored.
    Told again in between, it stays one line. What people hold in their hands is no support. What hangs from a hoist
    hangs until it is set down, or was fitted and its fastenings tightened or locked. What was put on a cradle once it
    was off stands there until it is fitted.

    Args:
        facts: of all days, in any order.
        vocabulary: tells lifting gear from parts of the aircraft, and what belongs to what: what is moved takes what
            belongs to it along.
    """
    lines = _Lines()
    off: set[_Part] = set()
    put_while_off: set[int] = set()  # by the place among the lines
    several: set[int] = set()  # of more than one piece of gear, by the place among the lines
    ordered = at_their_engines(facts, vocabulary)
    gear, named, is_a = LiftingGear(vocabulary), NamedParts(vocabulary), vocabulary.is_a
    which = {(one.entry, one.fact.item, one.fact.act): which_one(one, vocabulary) for one in ordered}
    for logged in ordered:
        fact = logged.fact
        if fact.status != "done" or fact.act is None:
            continue
        known, part = len(lines), (fact.item, fact.side, logged.position)
        if gear.is_gear(fact.item):
            _take_gear(lines, logged, _named_under(named, logged), is_a, several)
        elif fact.act == "support" and fact.of != "person":
            _give_up(lines, logged, gear_given_up(gear, logged))
            _take_support(lines, logged, gear_named(gear, logged), vocabulary)
        elif fact.act == "lift" and fact.of != "person":
            _end(lines, logged, _is_of(logged))
            lines.append(_line(logged, gear_named(gear, logged), "lift"))
        elif fact.act in ("lower", "move", "store"):
            elsewhere = {item for item, _, _ in off} - {fact.item}
            _take_away(lines, logged, gear_named(gear, logged), is_a, which, elsewhere)
        elif fact.act in ("fit", *_FASTENING):
            _take_fastened(lines, logged)
            if is_refitted(logged):
                off.discard(part)
                _end_what_it_was_kept_on(lines, put_while_off, logged)
        elif fact.act == "remove" and fact.item is not None:
            put_while_off |= _take_off(lines, logged, is_a)
            off.add(part)
        put_while_off |= set(range(known, len(lines))) if part in off else set()
        several |= set(range(known, len(lines))) if _SEVERAL.search(logged.sentence) else set()
    return tuple(lines)


def _is_tied_back(logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether it is a cable, a rod, a pipe or a wire that was tied up: nothing of the aircraft rests on that."""
    part = vocabulary.part(logged.fact.item or "")
    return part is not None and (part.kind == "controls" or is_service(part.notation, vocabulary))


def _take_off(lines: _Lines, logged: LoggedFact, is_a: Callable[[str, str], bool]) -> set[int]:
    """Take in that a part came off, and return which lines are what it was put down on as it did.

    ("She came down on to the blue trolley, so the port leg's off.")
    """
    put_down = set[int]()
    for index, line in lines.standing():
        begun = line.moves[0]
        if (begun.what, begun.entry) == ("lower", logged.entry) and _is_of(logged)(line):
            put_down.add(index)
        elif _goes_with(line, logged, is_a):
            set_down = line.how == "lift" and is_set_down(logged)
            lines.change(index, _ended(line, logged) if set_down else _asked(line, logged, "came-off"))
    return put_down


def _end_what_it_was_kept_on(lines: _Lines, put_while_off: Container[int], logged: LoggedFact) -> None:
    """End the supports of a part that is on again which were put there while it was off: its cradle is empty.

    Trestles and jacks that were put under it on the day on which it went on stand there: it was fitted on to them.
    """
    for index, line in lines.standing():
        fitted_on_to = line.since.date() == logged.at.date() and not _STANDS_UNDER.isdisjoint(line.by)
        if index in put_while_off and not fitted_on_to and line.how == "support" and _is_of(logged)(line):
            lines.change(index, _ended(line, logged))


def held_up_at(lines: Iterable[SupportLine], moment: datetime) -> tuple[SupportLine, ...]:
    """Return what holds the aircraft up at a moment: the supports told of by then, and not yet told to be gone."""
    return tuple(line for line in lines if line.since <= moment and (line.until is None or moment < line.until))


def _take_support(lines: _Lines, logged: LoggedFact, by: tuple[str, ...], vocabulary: Vocabulary) -> None:
    if not by and _is_tied_back(logged, vocabulary):
        return
    if may_tell_of_leaving(logged):
        _end(lines, logged, _is_of(logged), "may-be-gone")
        return
    if by and set(by) <= HANGING:
        _take_support_at(lines, logged, by, "lift")
        return
    for place in _spots(logged.fact.place):
        _take_support_at(lines, logged.told_as(place=place), by, "support")


def _give_up(lines: _Lines, logged: LoggedFact, gear: Sequence[str]) -> None:
    """End the supports by gear that was changed for other gear: what is told of now is the other."""
    removed = logged.told_as(act="remove", place=None)
    _end(lines, removed, lambda line: not set(line.by).isdisjoint(gear) and _is_of(removed)(line))


def _take_support_at(lines: _Lines, logged: LoggedFact, by: tuple[str, ...], how: Literal["support", "lift"]) -> None:
    for index, line in lines.standing():
        if line.how == how and _is_of(logged)(line) and _same_spot(line.place, logged.fact.place):
            known = {
                "by": tuple(dict.fromkeys((*line.by, *by))),
                "side": line.side or logged.fact.side,
                "position": line.position or logged.position,
                "moves": (*line.moves, logged.move),
            }
            lines.change(index, line.model_copy(update=known))
            return
    # what was hung is set down where it is now supported
    if how == "support":
        _end(lines, logged, lambda line: line.how == "lift" and _is_of(logged)(line))
    lines.append(_line(logged, by, how))


def _named_under(parts: NamedParts, logged: LoggedFact) -> tuple[str, ...]:
    """Return the parts that words put gear under; a frame or a rib is a place, and is compared as one."""
    schemes = {place.scheme for place in logged.fact.place or ()}
    return tuple(part for part in parts.after(UNDER, logged.sentence) if part not in schemes)


def _take_gear(
    lines: _Lines,
    logged: LoggedFact,
    named: tuple[str, ...],
    is_a: Callable[[str, str], bool],
    several: Container[int],
) -> None:
    """Take in that lifting gear was itself put under something, or taken from where it stood.

    Taken from under a part that the words name, it ends no support of another part. What may be meant, but was told
    without the side or the place that the words have now, is a question; so is one jack of the three that were told.
    """
    fact = logged.fact
    if fact.act in _PUT:
        lines.append(_line(logged, (str(fact.item),), "support", item=None))
        return
    if fact.act not in _GONE:
        return
    meant = [
        index
        for index, line in lines.standing()
        if fact.item in line.by
        and same_side(line.side, fact.side)
        and same_place(line.place, _each_end(fact.place))
        and (not named or line.item is None or any(is_a(line.item, one) or is_a(one, line.item) for one in named))
    ]
    one = re.search(rf"\b{fact.item}\b", logged.sentence, re.IGNORECASE) and not _ALL.search(logged.sentence)
    sure = [index for index in meant if _tells_as_much(lines[index], fact) and not (one and index in several)]
    if len(sure) == 1 or (sure and fact.place):
        _end(lines, logged, lambda line: any(line is lines[index] for index in sure))
        return
    for index in meant:
        lines.change(index, _asked(lines[index], logged, "gear-moved"))
    if named and not meant:
        line = _line(logged, (str(fact.item),), "support", item=named[0])
        ended = {"until": logged.at, "ended_by": str(fact.act), "questions": ("never-told",)}
        lines.append(line.model_copy(update=ended))


def _tells_as_much(line: SupportLine, fact: MarkedFact) -> bool:
    """Tell whether a support was told with the side and the place that a fact names."""
    schemes = {place.scheme for place in line.place or ()}
    return (fact.side is None or line.side is not None) and {place.scheme for place in fact.place or ()} <= schemes


def _take_fastened(lines: _Lines, logged: LoggedFact) -> None:
    """End what a part hangs from once it is fitted and fastened; fitted alone, it may still hang there.

    What came off and was fitted again that day stands on the aircraft: nobody need say what else it stands on. After
    longer, whether its support is there still is a question.
    """
    if logged.fact.act == "fit":
        for index, line in lines.standing():
            if "came-off" in line.questions and _is_of(logged)(line):
                off_on = max(move.on for move in line.moves if move.what == "remove")
                same_day = off_on == logged.at.date()
                lines.change(index, _settled(line, logged, "came-off") if same_day else _asked(line, logged, None))
    hanging = [(index, line) for index, line in lines.standing() if line.how == "lift" and _is_of(logged)(line)]
    unclear = several_told(line.position for _, line in hanging) and not logged.position
    for index, line in hanging:
        if logged.fact.act == "fit" or unclear:
            lines.change(index, _asked(line, logged, "fitted-since"))
        elif "fitted-since" in line.questions:
            lines.change(index, _ended(line, logged))


def _take_away(
    lines: _Lines,
    logged: LoggedFact,
    by: tuple[str, ...],
    is_a: Callable[[str, str], bool],
    which: Mapping[tuple[str, str | None, str | None], Which],
    elsewhere: Container[str | None],
) -> None:
    """End the supports of what was lowered, moved or stored; lowered onto lifting gear, it stands on that.

    What became of the old one tells nothing of where the new one hangs; and a part that is off, and so ``elsewhere``,
    does not go along with what it belongs to.
    """
    fact = logged.fact
    if fact.item is None:
        return

    def is_this_one(line: SupportLine) -> bool:
        put = line.moves[0]
        told = {which.get((put.entry, line.item, put.what), ""), which[logged.entry, fact.item, fact.act]} - {""}
        # of what is moved or lowered, a place is where it went
        return _goes_with(line, logged, is_a) and line.item not in elsewhere and len(told) < 2

    question: SupportQuestion | None = "moved-on" if fact.act == "move" and not by else None
    _end(lines, logged, is_this_one, question)
    if fact.act == "lower" and by and _ONTO.search(logged.sentence) and not may_tell_of_leaving(logged):
        lines.append(_line(logged, by, "support"))


def _goes_with(line: SupportLine, logged: LoggedFact, is_a: Callable[[str, str], bool]) -> bool:
    """Tell whether what stands there is what a fact is about, or belongs to it."""
    item = logged.fact.item
    return bool(line.item and item and is_a(line.item, item)) and _is_on_that_side(line, logged)


def _is_on_that_side(line: SupportLine, logged: LoggedFact) -> bool:
    side = logged.fact.side
    return same_side(line.side, side) and same_position((line.side, line.position), (side, logged.position))


def _is_of(logged: LoggedFact) -> Callable[[SupportLine], bool]:
    fact = logged.fact

    def of_the_same(line: SupportLine) -> bool:
        at_places = fact.act == "support"  # of what is lifted, a place is where the slings are
        return (
            line.item == fact.item
            and _is_on_that_side(line, logged)
            and (not at_places or same_place(line.place, fact.place))
        )

    return of_the_same


def _spots(places: Sequence[Place] | None) -> Iterator[tuple[Place, ...] | None]:
    """Yield the places of one support after another: "at frames 12 and 21" is two, "front spar at rib 6" is one."""
    schemes = list(dict.fromkeys(place.scheme for place in places or ()))
    by_scheme = [[place for place in places or () if place.scheme == scheme] for scheme in schemes]
    for spot in product(*by_scheme):
        yield spot or None


def _same_spot(one: Sequence[Place] | None, other: Sequence[Place] | None) -> bool:
    return not other or set(one or ()) == set(other)


def _each_end(places: Sequence[Place] | None) -> tuple[Place, ...]:
    """Return places with a range as its two ends: "from frame 12 to 14" is told as "12-14"."""
    return tuple(Place(scheme=place.scheme, at=at) for place in places or () for at in place.at.split("-"))


def _end(
    lines: _Lines,
    logged: LoggedFact,
    meant: Callable[[SupportLine], bool],
    ask: SupportQuestion | None = None,
) -> None:
    for index, line in [(index, line) for index, line in lines.standing() if meant(line)]:
        lines.change(index, _ended(line, logged, ask))
        if line.side == "both" and logged.fact.side in OTHER_SIDE:  # what is under the other side stays there
            lines.append(line.model_copy(update={"side": OTHER_SIDE[logged.fact.side]}))
            lines.change(index, lines[index].model_copy(update={"side": logged.fact.side}))


def _settled(line: SupportLine, logged: LoggedFact, question: SupportQuestion) -> SupportLine:
    left = tuple(one for one in line.questions if one != question)
    return line.model_copy(update={"moves": (*line.moves, logged.move), "questions": left})


def _ended(line: SupportLine, logged: LoggedFact, ask: SupportQuestion | None = None) -> SupportLine:
    left = tuple(one for one in line.questions if one not in ("came-off", "fitted-since", "gear-moved"))
    ended = {"until": logged.at, "ended_by": str(logged.fact.act), "questions": left}
    return _asked(line.model_copy(update=ended), logged, ask)


def _asked(line: SupportLine, logged: LoggedFact, question: SupportQuestion | None) -> SupportLine:
    questions = tuple(dict.fromkeys((*line.questions, *((question,) if question else ()))))
    return line.model_copy(update={"moves": (*line.moves, logged.move), "questions": questions})


_SAME_ITEM = "the item of the fact"


def _line(logged: LoggedFact, by: tuple[str, ...], how: str, item: str | None = _SAME_ITEM) -> SupportLine:
    fact = logged.fact
    return SupportLine.model_validate(
        {
            "item": fact.item if item == _SAME_ITEM else item,
            "side": fact.side,
            "position": logged.position,
            "place": fact.place,
            "by": by,
            "how": how,
            "since": logged.at,
            "moves": (logged.move,),
        }
    )
