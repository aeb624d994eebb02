"""What holds the aircraft up: each support, since when, and until when."""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import datetime
from itertools import product
from typing import Literal

from pipeline.lists.lifting_gear import LiftingGear
from pipeline.lists.logged import LoggedFact, in_order, same_place, same_side
from pipeline.reading.fact import MarkedFact, Place
from pipeline.records import Move, SupportLine, SupportQuestion

_GONE = frozenset({"remove", "move", "lower", "store"})
# What hangs from gear of these kinds alone does not stand on anything; common practice, no source.
_HANGING = frozenset({"hoist", "sling", "spreader-bar", "crane", "gantry", "strop"})
_PUT = frozenset({"support", "fit", "connect"})
# "The trestle under frame 12 has come away" is about a support, and tells that it is there no longer.
_MAY_TELL_OF_LEAVING = re.compile(
    r"\b(?:away|gone|out from|out of the way|no longer|come out|came out|off (?:the|its|their|those|that) (?:\w+ )?"
    r"(?:trestle|jack|cradle|sling|hoist|stand|prop|chock)s?)\b",
    re.IGNORECASE,
)
_ONTO = re.compile(r"\bon(?:to)?\b", re.IGNORECASE)


def holding_up(
    facts: Iterable[LoggedFact], gear: LiftingGear, is_a: Callable[[str, str], bool]
) -> tuple[SupportLine, ...]:
    """Return one line for each support that was told of, in the order that they were put there.

    A support stands until a later fact tells that it, or what stands on it, was taken away, lowered, moved or stored.
    Told again in between, it stays one line. What people hold in their hands is no support.

    Args:
        facts: of all days, in any order.
        gear: tells lifting gear from parts of the aircraft.
        is_a: tells whether a part is another or belongs to it: what is moved takes what belongs to it along.
    """
    lines: list[SupportLine] = []
    for logged in in_order(facts):
        fact = logged.fact
        if fact.status != "done" or fact.act is None:
            continue
        if gear.is_gear(fact.item):
            _take_gear(lines, logged)
        elif fact.act == "support" and fact.of != "person":
            _take_support(lines, logged, _gear_named(gear, logged))
        elif fact.act == "lift" and fact.of != "person":
            _end(lines, logged, _is_of(fact))
            lines.append(_line(logged, _gear_named(gear, logged), "lift"))
        elif fact.act in ("lower", "move", "store"):
            _take_away(lines, logged, _gear_named(gear, logged), is_a)
        elif fact.act == "remove" and fact.item is not None:
            for index, line in _open(lines):
                if _goes_with(line, fact, is_a):
                    lines[index] = _asked(line, logged, "came-off")
    return tuple(lines)


def _gear_named(gear: LiftingGear, logged: LoggedFact) -> tuple[str, ...]:
    return gear.named_in(logged.said) or gear.named_in(logged.around)


def held_up_at(lines: Iterable[SupportLine], moment: datetime) -> tuple[SupportLine, ...]:
    """Return what holds the aircraft up at a moment: the supports told of by then, and not yet told to be gone."""
    return tuple(line for line in lines if line.since <= moment and (line.until is None or moment < line.until))


def _take_support(lines: list[SupportLine], logged: LoggedFact, by: tuple[str, ...]) -> None:
    if _may_tell_of_leaving(logged):
        _end(lines, logged, _is_of(logged.fact), "may-be-gone")
        return
    if by and set(by) <= _HANGING:
        _take_support_at(lines, logged, by, "lift")
        return
    for place in _spots(logged.fact.place):
        fact = logged.fact.model_copy(update={"place": place})
        _take_support_at(lines, logged.model_copy(update={"fact": fact}), by, "support")


def _take_support_at(
    lines: list[SupportLine], logged: LoggedFact, by: tuple[str, ...], how: Literal["support", "lift"]
) -> None:
    for index, line in _open(lines):
        if line.how == how and _is_of(logged.fact)(line) and _same_spot(line.place, logged.fact.place):
            lines[index] = line.model_copy(
                update={
                    "by": tuple(dict.fromkeys((*line.by, *by))),
                    "side": line.side or logged.fact.side,
                    "moves": (*line.moves, _move(logged)),
                }
            )
            return
    # what was hung is set down where it is now supported
    if how == "support":
        _end(lines, logged, lambda line: line.how == "lift" and _is_of(logged.fact)(line))
    lines.append(_line(logged, by, how))


def _take_gear(lines: list[SupportLine], logged: LoggedFact) -> None:
    """Take in that lifting gear was itself put under something, or taken from where it stood."""
    fact = logged.fact
    if fact.act in _PUT:
        lines.append(_line(logged, (str(fact.item),), "support", item=None))
    elif fact.act in _GONE:
        meant = [
            index
            for index, line in _open(lines)
            if fact.item in line.by
            and same_side(line.side, fact.side)
            and same_place(line.place, _each_end(fact.place))
        ]
        if len(meant) == 1 or fact.place:
            _end(lines, logged, lambda line: any(line is lines[index] for index in meant))
        else:
            for index in meant:
                lines[index] = _asked(lines[index], logged, "gear-moved")


def _take_away(
    lines: list[SupportLine], logged: LoggedFact, by: tuple[str, ...], is_a: Callable[[str, str], bool]
) -> None:
    """End the supports of what was lowered, moved or stored; lowered onto lifting gear, it stands on that."""
    fact = logged.fact
    if fact.item is None:
        return
    question: SupportQuestion | None = "moved-on" if fact.act == "move" and not by else None
    _end(
        lines,
        logged,
        # of what is moved or lowered, a place is where it went
        lambda line: _goes_with(line, fact, is_a),
        question,
    )
    if fact.act == "lower" and by and _ONTO.search(_words(logged)) and not _may_tell_of_leaving(logged):
        lines.append(_line(logged, by, "support"))


def _goes_with(line: SupportLine, fact: MarkedFact, is_a: Callable[[str, str], bool]) -> bool:
    """Tell whether what stands there is what a fact is about, or belongs to it."""
    return bool(line.item and fact.item and is_a(line.item, fact.item)) and same_side(line.side, fact.side)


def _is_of(fact: MarkedFact) -> Callable[[SupportLine], bool]:
    def of_the_same(line: SupportLine) -> bool:
        at_places = fact.act == "support"  # of what is lifted, a place is where the slings are
        return (
            line.item == fact.item
            and same_side(line.side, fact.side)
            and (not at_places or same_place(line.place, fact.place))
        )

    return of_the_same


def _words(logged: LoggedFact) -> str:
    return logged.around or logged.said


def _may_tell_of_leaving(logged: LoggedFact) -> bool:
    """Tell whether the sentence may tell of a support that left: to miss one is worse than to ask for nothing."""
    return bool(_MAY_TELL_OF_LEAVING.search(_words(logged)))


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


def _open(lines: Sequence[SupportLine]) -> list[tuple[int, SupportLine]]:
    return [(index, line) for index, line in enumerate(lines) if line.until is None]


def _end(
    lines: list[SupportLine],
    logged: LoggedFact,
    meant: Callable[[SupportLine], bool],
    ask: SupportQuestion | None = None,
) -> None:
    for index, line in [(index, line) for index, line in _open(lines) if meant(line)]:
        left = tuple(one for one in line.questions if one != "came-off")
        ended = line.model_copy(update={"until": logged.at, "ended_by": str(logged.fact.act), "questions": left})
        lines[index] = _asked(ended, logged, ask)


def _asked(line: SupportLine, logged: LoggedFact, question: SupportQuestion | None) -> SupportLine:
    questions = tuple(dict.fromkeys((*line.questions, *((question,) if question else ()))))
    return line.model_copy(update={"moves": (*line.moves, _move(logged)), "questions": questions})


_SAME_ITEM = "the item of the fact"


def _line(logged: LoggedFact, by: tuple[str, ...], how: str, item: str | None = _SAME_ITEM) -> SupportLine:
    fact = logged.fact
    return SupportLine.model_validate(
        {
            "item": fact.item if item == _SAME_ITEM else item,
            "side": fact.side,
            "place": fact.place,
            "by": by,
            "how": how,
            "since": logged.at,
            "moves": (_move(logged),),
        }
    )


def _move(logged: LoggedFact) -> Move:
    return Move(on=logged.at.date(), what=str(logged.fact.act), entry=logged.entry)
