"""Which services and controls were disconnected or opened, whether they are blanked, and whether connected again."""

import re
from collections.abc import Iterable, Sequence

from pipeline.lists.logged import LoggedFact, in_order, same_place, same_side, sides
from pipeline.lists.parted_at import is_another_end, joint_called, parted_at
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
    Two open ends of one service, at two joints or told of on two days, are two lines: neither hides the other.

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
    return tuple(line.model_copy(update={"questions": (*line.questions, *_questions(line))}) for line in lines)


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
    at = parted_at(logged)
    called = joint_called(at, vocabulary)
    joint = called or (None if at else _joint(logged, side, here, vocabulary))
    known = [
        index
        for index in _open(lines, sided, vocabulary)
        if lines[index].item == fact.item and fact.item and (lines[index].side == side or fact.act != "disconnect")
    ]
    same = [
        index for index in known if fact.act != "disconnect" or not _is_another_end(lines[index], at, joint, logged)
    ]
    if same:  # told again, or taken out after it was disconnected
        _change(lines, known if fact.act == "remove" else same[-1:], logged, parted_at=at)
        return
    lines.append(
        DisconnectionLine(
            item=fact.item,
            side=side,
            place=fact.place,
            parted_at=at,
            joint=joint,
            joint_inferred=joint is not None and not called,
            act=str(fact.act),
            count=fact.count if fact.of == fact.item and fact.side != "both" else None,
            disconnected_on=logged.at.date(),
            must_be_blanked=must_be_blanked(fact.item, vocabulary),
            tag=fact.tag,
            tagged_on=logged.at.date() if fact.tag else None,
            inspect_independently=inspected_again(fact.item, vocabulary),
            moves=(_move(logged),),
            questions=_may_be_told_again([lines[index] for index in known], at),
        )
    )


def _is_another_end(line: DisconnectionLine, at: str, joint: str | None, logged: LoggedFact) -> bool:
    if line.joint and joint and not (at and line.parted_at):
        return line.joint != joint
    taken_out = any(move.what == "remove" for move in line.moves)
    on = line.disconnected_on
    return on is not None and not taken_out and is_another_end(line.parted_at, on, at, logged.at.date())


def _may_be_told_again(known: Sequence[DisconnectionLine], at: str) -> tuple[LineQuestion, ...]:
    """Ask whether it is another end, where open ones are known and the words do not tell them apart."""
    days = tuple(
        dict.fromkeys(one.disconnected_on for one in known if one.disconnected_on and not (at and one.parted_at))
    )
    return (LineQuestion(kind="another-end", days=days),) if days else ()


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
    open_lines = _said_at(lines, open_lines, parted_at(logged), vocabulary) or open_lines
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
        sure = _blanked_ends(lines, known, logged, vocabulary)
        _change(lines, sure, logged, blanked_on=on, blanked_with=cover)
        _change(lines, [index for index in known if not sure], logged)  # which of them is a question
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


def _blanked_ends(
    lines: Sequence[DisconnectionLine], known: Sequence[int], logged: LoggedFact, vocabulary: Vocabulary
) -> list[int]:
    """Return the lines that were blanked: of two open ends only that of which the entry tells, or the words."""
    here = [index for index in known if any(move.entry == logged.entry for move in lines[index].moves)]
    meant = _said_at(lines, known, parted_at(logged), vocabulary) or here or list(known)
    ends = [index for index in meant if not lines[index].blanked_on] or meant
    names = [(lines[index].item, lines[index].side, lines[index].place) for index in ends]
    return ends if meant == here or len(set(names)) == len(names) else []


def _said_at(lines: Sequence[DisconnectionLine], known: Sequence[int], at: str, vocabulary: Vocabulary) -> list[int]:
    """Return the lines that were parted at what these words name."""
    called = joint_called(at, vocabulary)
    return [
        index
        for index in known
        if at and (lines[index].parted_at == at or (called is not None and lines[index].joint == called))
    ]


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
    covered = [move.on for move in line.moves if move.what == "blank"]
    if line.blanked_on is None and covered:
        yield LineQuestion(kind="which-was-blanked", days=(max(covered),))
