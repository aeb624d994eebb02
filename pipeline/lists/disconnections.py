"""Which services and controls were disconnected or opened, whether they are blanked, and whether connected again."""

import re
from collections.abc import Iterable, Sequence

from pipeline.lists.logged import LoggedFact, in_order, same_place, same_side, sides
from pipeline.lists.services import inspected_again, is_service, must_be_blanked
from pipeline.reading.fact import Side
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import DisconnectionLine, LineQuestion, Move

_WITH = re.compile(
    r"\b(?:capped|blanked|plugged|covered|bunged|taped)\b[^.;]*?\bwith ([^.,;]{2,40}?)(?= and |[.,;]|$)"
)
_CLOSING = frozenset({"connect", "fit"})


def disconnections(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> tuple[DisconnectionLine, ...]:
    """Return one line for each service that was disconnected, in the order that they were parted.

    A line is closed when the service is said to be connected or fitted again; parted once more, it is a new line.

    Args:
        facts: of all days, in any order.
        vocabulary: tells services from other parts, and which joints they cross.
    """
    ordered = in_order(facts)
    entries: dict[str, list[LoggedFact]] = {}
    for logged in ordered:
        entries.setdefault(logged.entry, []).append(logged)
    lines: list[DisconnectionLine] = []
    for logged in ordered:
        if logged.fact.status == "done":
            _take_in(lines, logged, entries[logged.entry], vocabulary)
    return tuple(line.model_copy(update={"questions": tuple(_questions(line))}) for line in lines)


def _take_in(
    lines: list[DisconnectionLine], logged: LoggedFact, here: Sequence[LoggedFact], vocabulary: Vocabulary
) -> None:
    fact = logged.fact
    service = is_service(fact.item, vocabulary)
    if fact.act == "disconnect" or (service and fact.act in ("remove", "open")):
        for side in sides(fact.side):
            _part(lines, logged, side, here, vocabulary)
    elif fact.act in _CLOSING and fact.item:
        _connect(lines, logged, vocabulary)
    elif fact.act == "blank":
        _blank(lines, logged, vocabulary)
    elif fact.act == "tag" or fact.tag:
        _change(lines, _open(lines, logged, vocabulary), logged, tag=fact.tag, tagged_on=logged.at.date())
    elif fact.act in ("inspect", "test") and service:
        for index in _of(lines, logged, vocabulary):
            if lines[index].connected_on:
                _change(lines, [index], logged)


def _part(
    lines: list[DisconnectionLine],
    logged: LoggedFact,
    side: Side | None,
    here: Sequence[LoggedFact],
    vocabulary: Vocabulary,
) -> None:
    fact = logged.fact
    sided = logged.model_copy(update={"fact": fact.model_copy(update={"side": side})})
    known = [
        index
        for index in _open(lines, sided, vocabulary)
        if lines[index].item == fact.item and fact.item and (lines[index].side == side or fact.act != "disconnect")
    ]
    if known:  # told again, or taken out after it was disconnected
        _change(lines, known[-1:], logged)
        return
    joint = _joint(logged, side, here, vocabulary)
    lines.append(
        DisconnectionLine(
            item=fact.item,
            side=side,
            place=fact.place,
            joint=joint,
            joint_inferred=joint is not None,
            act=str(fact.act),
            count=fact.count if fact.of == fact.item and fact.side != "both" else None,
            disconnected_on=logged.at.date(),
            must_be_blanked=must_be_blanked(fact.item, vocabulary),
            tag=fact.tag,
            tagged_on=logged.at.date() if fact.tag else None,
            inspect_independently=inspected_again(fact.item, vocabulary),
            moves=(_move(logged),),
        )
    )


def _joint(logged: LoggedFact, side: Side | None, here: Sequence[LoggedFact], vocabulary: Vocabulary) -> str | None:
    """Return the joint told in the same entry that this service crosses: the last before it, else the next after."""
    crossed = {joint.part for joint in vocabulary.joints if logged.fact.item in joint.services}
    at = next(index for index, one in enumerate(here) if one is logged)
    fitting = [
        index
        for index, one in enumerate(here)
        if one.fact.item in crossed and one.fact.item != logged.fact.item and same_side(one.fact.side, side)
    ]
    before = [index for index in fitting if index < at]
    near = before[-1:] or fitting[:1]
    return here[near[0]].fact.item if near else None


def _connect(lines: list[DisconnectionLine], logged: LoggedFact, vocabulary: Vocabulary) -> None:
    fact = logged.fact
    open_lines = _open(lines, logged, vocabulary)
    open_lines = [index for index in open_lines if lines[index].item == fact.item] or open_lines
    for side in sides(fact.side):
        if len([index for index in open_lines if same_side(lines[index].side, side)]) > 1:
            _change(lines, open_lines, logged)  # which of them is a question; a wrong guess would hide an open one
            return
    if open_lines:
        _change(lines, open_lines, logged, connected_on=logged.at.date())
    elif fact.act == "connect" and is_service(fact.item, vocabulary):
        lines.extend(
            DisconnectionLine(
                item=fact.item,
                side=side,
                place=fact.place,
                connected_on=logged.at.date(),
                inspect_independently=inspected_again(fact.item, vocabulary),
                moves=(_move(logged),),
            )
            for side in sides(fact.side)
            if not any(lines[index].side in (side, None) for index in _of(lines, logged, vocabulary))
        )


def _blank(lines: list[DisconnectionLine], logged: LoggedFact, vocabulary: Vocabulary) -> None:
    fact, on = logged.fact, logged.at.date()
    found = _WITH.search(logged.around or logged.said)
    cover = found.group(1) if found else ""
    if fact.item is None or not is_service(fact.item, vocabulary):
        here = [
            index
            for index in _open(lines, logged, vocabulary, any_item=fact.item is None)
            if any(move.entry == logged.entry for move in lines[index].moves)
        ]
        _change(lines, here[-1:], logged, blanked_on=on, blanked_with=cover)
        return
    known = _open(lines, logged, vocabulary)
    if known:
        _change(lines, known, logged, blanked_on=on, blanked_with=cover)
    else:
        lines.extend(
            DisconnectionLine(
                item=fact.item,
                side=side,
                place=fact.place,
                blanked_on=on,
                blanked_with=cover,
                must_be_blanked=must_be_blanked(fact.item, vocabulary),
                inspect_independently=inspected_again(fact.item, vocabulary),
                moves=(_move(logged),),
            )
            for side in sides(fact.side)
        )


def _of(
    lines: Sequence[DisconnectionLine], logged: LoggedFact, vocabulary: Vocabulary, *, any_item: bool = False
) -> list[int]:
    """Return the lines that a fact can be of: the same service or its kind, side and place."""
    fact = logged.fact
    return [
        index
        for index, line in enumerate(lines)
        if (any_item or _same_service(line.item, fact.item, vocabulary))
        and same_side(line.side, fact.side)
        and same_place(line.place, fact.place)
    ]


def _open(
    lines: Sequence[DisconnectionLine], logged: LoggedFact, vocabulary: Vocabulary, *, any_item: bool = False
) -> list[int]:
    found = _of(lines, logged, vocabulary, any_item=any_item)
    return [index for index in found if lines[index].connected_on is None]


def _same_service(one: str | None, other: str | None, vocabulary: Vocabulary) -> bool:
    if one is None or other is None:
        return False
    return one == other or vocabulary.is_a(one, other)


def _change(lines: list[DisconnectionLine], which: Sequence[int], logged: LoggedFact, **changes: object) -> None:
    kept = {key: value for key, value in changes.items() if value}
    for index in which:
        line = lines[index]
        lines[index] = line.model_copy(update={**kept, "moves": (*line.moves, _move(logged))})


def _move(logged: LoggedFact) -> Move:
    return Move(on=logged.at.date(), what=str(logged.fact.act), entry=logged.entry)


def _questions(line: DisconnectionLine) -> Iterable[LineQuestion]:
    if line.disconnected_on is None:
        yield LineQuestion(kind="connected-not-parted" if line.connected_on else "blanked-not-parted")
    elif line.item is None:
        yield LineQuestion(kind="service-not-told")
    if line.must_be_blanked and line.disconnected_on and not line.blanked_on and not line.connected_on:
        yield LineQuestion(kind="not-blanked", days=(line.disconnected_on,))
    told = [move.on for move in line.moves if move.what in _CLOSING]
    if line.connected_on is None and told:
        yield LineQuestion(kind="which-was-connected", days=(max(told),))
