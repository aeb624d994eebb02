"""Which services and controls were disconnected or opened, whether they are blanked, and whether connected again."""

import re
from collections.abc import Iterable, Sequence

from pipeline.lists.controls_called import controls_called, is_engine_control, is_no_flight_control
from pipeline.lists.logged import LoggedFact, in_order, last_words, position_of, same_side, sides
from pipeline.lists.of_one_service import OfOneService, ServiceLines
from pipeline.lists.parted_at import is_another_end, joint_called, parted_at
from pipeline.lists.positions import several_told
from pipeline.lists.refitted import tells_of_all
from pipeline.lists.services import ENGINE_CONTROLS, PARTED, inspected_again, is_service, must_be_blanked
from pipeline.reading.fact import MarkedFact, Side
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import DisconnectionLine, LineQuestion

_WITH = re.compile(
    r"\b(?:capped|blanked|plugged|covered|bunged|taped)\b[^.;]*?\bwith ([^.,;]{2,40}?)(?= and |[.,;]|$)"
)
_ANYWHERE = frozenset({"main", "front", "rear", "centre", "inner", "outer", "upper", "lower"})
_CLOSING = frozenset({"connect", "fit"})
_ONE_OF_THEM = re.compile(r"\b(?:one|another|the other|the last|the first|the second)\b", re.IGNORECASE)


def disconnections(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> tuple[DisconnectionLine, ...]:
    """Return one line for each service that was disconnected, in the order that they were parted.

    A line is closed when the service is said to be connected or fitted again; parted once more, it is a new line.
    Two open ends of one service, at two joints or told of on two days, are two lines: neither hides the other. So are
    the services of two engines, and two controls that have one name in the vocabulary.

    Args:
        facts: of all days, in any order.
        vocabulary: tells services from other parts, and which joints they cross.
    """
    ordered = in_order(facts)
    entries: dict[str, list[LoggedFact]] = {}
    for logged in ordered:
        entries.setdefault(logged.entry, []).append(logged)
    not_connected = [one for one in ordered if (one.fact.status, one.fact.act) == ("not-done", "connect")]
    lines = ServiceLines()
    for logged in ordered:
        if _is_in_and_not_connected(logged, not_connected, vocabulary):
            continue
        for told in _told(logged, vocabulary) if logged.fact.status == "done" else ():
            _take_in(lines, told, entries[logged.entry], vocabulary)
    return tuple(line.model_copy(update={"questions": (*line.questions, *_questions(line))}) for line in lines)


def _is_in_and_not_connected(logged: LoggedFact, not_connected: Sequence[LoggedFact], vocabulary: Vocabulary) -> bool:
    """Tell whether a part was fitted, and is said then or later not to be connected: "it's in, not connected"."""
    fact = logged.fact
    if (fact.status, fact.act) != ("done", "fit") or is_service(fact.item, vocabulary):
        return False
    here = (fact.side, position_of(logged, vocabulary))
    return any(
        one.fact.item == fact.item
        and one.at >= logged.at
        and same_side(one.fact.side, fact.side)
        and same_position((one.fact.side, position_of(one, vocabulary)), here)
        for one in not_connected
    )


def _told(logged: LoggedFact, vocabulary: Vocabulary) -> Iterable[OfOneService]:
    position = position_of(logged, vocabulary)
    names = controls_called(logged, vocabulary) or ("",)
    for called in names:
        yield OfOneService(logged, logged.fact.side, position, called, logged.fact.side == "both" or len(names) > 1)


def _take_in(lines: ServiceLines, told: OfOneService, here: Sequence[LoggedFact], vocabulary: Vocabulary) -> None:
    fact, on = told.fact, told.logged.at.date()
    service = is_service(fact.item, vocabulary)
    if fact.act == "disconnect" or (service and fact.act in ("remove", "open", "separate")):
        for side in sides(fact.side):
            _part(lines, told.on_side(side), here, vocabulary)
    elif fact.act in _CLOSING and fact.item and not _is_put_back_in_the_end(told.logged, here):
        _connect(lines, told, here, vocabulary)
    elif fact.act == "blank":
        _blank(lines, told, vocabulary)
    elif fact.act == "tag" or fact.tag:
        _change(
            lines, _itself(lines, _open(lines, told, vocabulary), fact, service), told, tag=fact.tag, tagged_on=on
        )
    elif fact.act in ("inspect", "test") and service:
        for index in _of(lines, told, vocabulary):
            if lines[index].connected_on:
                _change(lines, [index], told)


def _is_put_back_in_the_end(logged: LoggedFact, here: Sequence[LoggedFact]) -> bool:
    """Tell whether a sentence parts what a bolt was then put back into: "the one bolt, it's back in the jack end"."""
    return logged.fact.act == "fit" and any(
        (one.fact.status, one.fact.act, one.fact.item) == ("done", "disconnect", logged.fact.item)
        for one in here
        if one.around and one.around == logged.around
    )


def _itself(lines: ServiceLines, known: Sequence[int], fact: MarkedFact, service: bool) -> list[int]:
    """Return the lines of what a fact names: an engine's tag is not its pipes', and to fit it connects none."""
    return [index for index in known if service or fact.item is None or lines[index].item == fact.item]


def _part(lines: ServiceLines, told: OfOneService, here: Sequence[LoggedFact], vocabulary: Vocabulary) -> None:
    logged, fact = told.logged, told.fact
    at = parted_at(logged)
    called = joint_called(at, vocabulary)
    joint = called or (None if at else _joint(logged, told.side, here, vocabulary))
    taken = fact.act not in PARTED
    known = [
        index
        for index in _open(lines, told, vocabulary)
        if lines[index].item == fact.item and fact.item and (taken or _is_called(lines[index], told))
    ]
    same = [index for index in known if taken or not _is_another_end(lines[index], at, joint, logged)]
    parted = {
        "parted_at": at,
        "joint": joint,
        "joint_inferred": joint is not None and not called,
        "act": str(fact.act),
        "count": fact.count if fact.of == fact.item and not told.shared else None,
        "disconnected_on": logged.at.date(),
        "must_be_blanked": must_be_blanked(fact.item, vocabulary),
        "tag": fact.tag,
        "tagged_on": logged.at.date() if fact.tag else None,
    }
    if blanked := [index for index in same if _was_blanked_here_first(lines[index], logged)]:
        _change(lines, blanked, told, **parted)
    elif same:  # told again, or taken out after it was disconnected
        _change(lines, known if fact.act == "remove" else same[-1:], told, parted_at=at)
    else:
        asked = _may_be_told_again([lines[index] for index in known], at)
        lines.append(_line(told, vocabulary).model_copy(update={**parted, "questions": asked}))


def _was_blanked_here_first(line: DisconnectionLine, logged: LoggedFact) -> bool:
    """Tell whether an end was told to be blanked before it was told to be open, in one entry: "capped the pipe"."""
    return line.disconnected_on is None and all(move.entry == logged.entry for move in line.moves)


def _line(told: OfOneService, vocabulary: Vocabulary) -> DisconnectionLine:
    """Return a line of which nothing is told yet."""
    fact = told.fact
    return DisconnectionLine(
        item=fact.item,
        side=told.side,
        place=fact.place,
        position=told.position,
        called=told.called,
        inspect_independently=_inspected_again(told, vocabulary),
        moves=(told.logged.move,),
    )


def _inspected_again(told: OfOneService, vocabulary: Vocabulary) -> str:
    """Return as which controls a service is inspected again, by its name and by what it was called; "" for none."""
    usual = "" if is_no_flight_control(told.called) else inspected_again(told.fact.item, vocabulary)
    return ENGINE_CONTROLS if usual and is_engine_control(told.called) else usual


def _is_called(line: DisconnectionLine, told: OfOneService) -> bool:
    """Tell whether a line was told of in the same way: what was told with less may be another one."""
    return (line.side, line.position) == (told.side, told.position) and bool(line.called) == bool(told.called)


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


def _connect(lines: ServiceLines, told: OfOneService, here: Sequence[LoggedFact], vocabulary: Vocabulary) -> None:
    """Close the line that was connected; where nobody can say which, ask: a wrong guess would hide an open one."""
    fact = told.fact
    known = _open(lines, told, vocabulary)
    if fact.act == "fit":
        known = _itself(lines, known, fact, is_service(fact.item, vocabulary))
    known = [index for index in known if lines[index].item == fact.item] or known
    known = _said_at(lines, known, parted_at(told.logged), vocabulary) or _called_by(lines, known, told) or known
    closed: dict[int, bool] = {}
    each = sides("both" if _are_the_pair(lines, known, told, vocabulary) else fact.side)
    for side in each if known else ():
        own = told.on_side(side)
        meant = _told_most_alike([index for index in known if own.can_be(lines[index])], lines, own)
        sure = len(meant) == 1 and not _is_doubtful(lines[meant[0]], lines, own, here, vocabulary)
        closed |= {index: sure and closed.get(index, True) for index in meant}
    for index, sure in closed.items():
        _change(lines, [index], told, connected_on=told.logged.at.date() if sure else None)
    if not known and fact.act == "connect" and is_service(fact.item, vocabulary):
        lines.extend(
            _line(told.on_side(side), vocabulary).model_copy(update={"connected_on": told.logged.at.date()})
            for side in sides(fact.side)
            if not any(lines[index].side in (side, None) for index in _of(lines, told, vocabulary))
        )


def _are_the_pair(lines: ServiceLines, known: Sequence[int], told: OfOneService, vocabulary: Vocabulary) -> bool:
    """Tell whether words without a side are of both ends that were parted together: "the rudder cables are on"."""
    open_ends = [lines[index] for index in known]
    if told.side is not None or sorted(str(line.side) for line in open_ends) != ["port", "starboard"]:
        return False
    together = len({(line.item, line.called, line.parted_at, line.moves[0].entry) for line in open_ends}) == 1
    nouns = last_words(str(told.fact.item), vocabulary)
    return together and tells_of_all(told.logged, nouns) and not _ONE_OF_THEM.search(told.logged.sentence)


def _told_most_alike(known: Sequence[int], lines: ServiceLines, told: OfOneService) -> list[int]:
    """Return the lines of exactly the side, engine and name that were said, as far as there are any.

    What was said without one of these can be of any line.
    """
    left = list(known)
    for said, is_alike in (
        (told.side, lambda line: line.side == told.side),
        (told.position, lambda line: line.position == told.position),
        (told.called, lambda line: bool(line.called)),
    ):
        left = ([index for index in left if is_alike(lines[index])] if said else []) or left
    return left


def _is_doubtful(
    line: DisconnectionLine,
    lines: ServiceLines,
    told: OfOneService,
    here: Sequence[LoggedFact],
    vocabulary: Vocabulary,
) -> bool:
    """Tell whether something speaks against closing the only line that can be meant.

    A tank was connected, and what was parted is a part of it that nobody named; two engines are known and no words
    say which; fewer were connected than were parted; or the same entry says that one was not connected which can be
    the line's too.
    """
    if line.item != told.fact.item and not is_service(told.fact.item, vocabulary):
        return True
    alike = (lines[index] for index in _of(lines, told, vocabulary))
    if not told.position and several_told(one.position for one in alike):
        return True
    fewer = line.count and told.fact.count and told.fact.count < line.count
    if fewer and told.fact.of == line.item and not told.shared:
        return True
    at = line.parted_at
    return any(
        one.can_be(line) and not (at and (other := parted_at(one.logged)) and other != at)
        for logged in here
        if (logged.fact.status, logged.fact.act) == ("not-done", "connect") and logged.fact.item == told.fact.item
        for one in _told(logged, vocabulary)
    )


def _blank(lines: ServiceLines, told: OfOneService, vocabulary: Vocabulary) -> None:
    logged, fact, on = told.logged, told.fact, told.logged.at.date()
    found = _WITH.search(logged.sentence)
    cover = found.group(1) if found else ""
    if fact.item is None or not is_service(fact.item, vocabulary):
        here = [
            index
            for index in _open(lines, told, vocabulary, any_item=fact.item is None)
            if any(move.entry == logged.entry for move in lines[index].moves)
        ]
        _change(lines, here[-1:], told, blanked_on=on, blanked_with=cover)
        return
    known = _open(lines, told, vocabulary)
    if known:
        sure = _blanked_ends(lines, known, logged, vocabulary)
        _change(lines, sure, told, blanked_on=on, blanked_with=cover)
        _change(lines, [index for index in known if not sure], told)  # which of them is a question
    else:
        lines.extend(
            _line(told.on_side(side), vocabulary).model_copy(
                update={
                    "blanked_on": on,
                    "blanked_with": cover,
                    "must_be_blanked": must_be_blanked(fact.item, vocabulary),
                }
            )
            for side in sides(fact.side)
        )


def _blanked_ends(lines: ServiceLines, known: Sequence[int], logged: LoggedFact, vocabulary: Vocabulary) -> list[int]:
    """Return the lines that were blanked: of two open ends only that of which the entry tells, or the words.

    An end that was told without a side may be on either, once the service is known on a side.
    """
    here = [index for index in known if any(move.entry == logged.entry for move in lines[index].moves)]
    if logged.fact.side and not here and any(one.side for one in lines if one.item == logged.fact.item):
        known = [index for index in known if lines[index].side]
    meant = _said_at(lines, known, parted_at(logged), vocabulary) or here or list(known)
    ends = [index for index in meant if not lines[index].blanked_on] or meant
    names = [(lines[index].item, lines[index].side, lines[index].place) for index in ends]
    return ends if meant == here or len(set(names)) == len(names) else []


def _said_at(lines: ServiceLines, known: Sequence[int], at: str, vocabulary: Vocabulary) -> list[int]:
    """Return the lines that were parted at what these words name."""
    called = joint_called(at, vocabulary)
    return [
        index
        for index in known
        if at and (_same_words(lines[index].parted_at, at) or (called is not None and lines[index].joint == called))
    ]


def _same_words(one: str, other: str) -> bool:
    """Tell whether two are of one place in longer and in shorter words: "port main leg" and "leg"."""
    return bool(one and other) and (f" {one}".endswith(f" {other}") or f" {other}".endswith(f" {one}"))


def _called_by(lines: ServiceLines, known: Sequence[int], told: OfOneService) -> list[int]:
    """Return the lines that were parted at what the service is called by: "the brake hose" at the brake unit."""
    words = set(re.findall(r"[a-z]+", told.logged.said.lower())) - _ANYWHERE - set(str(told.fact.item).split("-"))
    return [index for index in known if words & set((lines[index].joint or "").split("-"))]


def _of(lines: ServiceLines, told: OfOneService, vocabulary: Vocabulary) -> list[int]:
    """Return the lines that a fact can be of: the same service or its kind, side, place, engine and name."""
    return [index for index in lines.of(told.fact.item, vocabulary) if told.can_be(lines[index])]


def _open(lines: ServiceLines, told: OfOneService, vocabulary: Vocabulary, *, any_item: bool = False) -> list[int]:
    known = range(len(lines)) if any_item else lines.of(told.fact.item, vocabulary)
    return [index for index in known if lines[index].connected_on is None and told.can_be(lines[index])]


def _change(lines: ServiceLines, which: Sequence[int], told: OfOneService, **changes: object) -> None:
    kept = {key: value for key, value in changes.items() if value}
    for index in which:
        line = lines[index]
        lines[index] = line.model_copy(update={**kept, "moves": (*line.moves, told.logged.move)})


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
