"""Which parts are off: when each came off, what held it, its tag, where it is kept, and its condition."""

from collections.abc import Callable, Iterable

from pipeline.lists.logged import LoggedFact, in_order, same_place, same_side, sides
from pipeline.reading.fact import Fact, Side
from pipeline.records import Move, PartOff

_STOWING = frozenset({"store", "bag", "tag", "move", "lower"})
# With these, a place is where the supports or the slings were, and not where the part belongs.
_HANDLING = frozenset({"support", "lift", "lower", "move"})


def parts_off(facts: Iterable[LoggedFact], is_part: Callable[[str], bool]) -> tuple[PartOff, ...]:
    """Return one line for each part that was taken off or is said to be stowed, in the order that they first appear.

    Args:
        facts: of all days, in any order.
        is_part: tells whether a notation is a part of the aircraft, and not a fastener, a material or equipment.
    """
    parts: list[PartOff] = []
    for logged in in_order(facts):
        fact = logged.fact
        if fact.item is None or not is_part(fact.item) or fact.status not in ("done", "seen"):
            continue
        for side in sides(fact.side):
            _take_in(parts, logged, fact, side)
    return tuple(_line(part) for part in parts if part.removed_on or part.stowage or part.tag)


def _take_in(parts: list[PartOff], logged: LoggedFact, fact: Fact, side: Side | None) -> None:
    if fact.act in _HANDLING:
        fact = fact.model_copy(update={"place": None})
    index = _find(parts, fact, side)
    if index is None:
        parts.append(PartOff(item=str(fact.item), side=side, place=fact.place))
        index = len(parts) - 1
    part = parts[index]
    on = logged.at.date()
    move = Move(on=on, what=_what(fact), entry=logged.entry)
    part = _but(
        part,
        side=part.side or side,
        place=part.place or fact.place,
        tag=fact.tag or part.tag,
        moves=(*part.moves, move),
    )
    if fact.status == "seen":
        part = _but(part, condition=tuple(dict.fromkeys((*part.condition, _condition(fact)))))
    elif fact.act == "remove":
        part = _but(part, removed_on=part.removed_on or on, held_by=_held(fact) or part.held_by, refitted_on=None)
    elif fact.act in ("undo", "drill-out"):
        part = _but(part, held_by=_held(fact) or part.held_by)
    elif fact.act == "fit" and part.removed_on:
        part = _but(part, refitted_on=on, stowage=None)
    if fact.stowage and fact.act in _STOWING | {"remove"}:
        part = _but(part, stowage=fact.stowage)
    parts[index] = part


def _but(part: PartOff, **changes: object) -> PartOff:
    return part.model_copy(update=changes)


def _find(parts: list[PartOff], fact: Fact, side: Side | None) -> int | None:
    """Find the part meant: by its tag, else the latest of that name on that side and at that place."""
    if fact.tag:
        for index, part in enumerate(parts):
            if part.tag == fact.tag and part.item == fact.item:
                return index
    for index in range(len(parts) - 1, -1, -1):
        part = parts[index]
        if part.item != fact.item or not same_side(part.side, side) or not same_place(part.place, fact.place):
            continue
        if part.tag and fact.tag and part.tag != fact.tag:
            continue
        return index
    return None


def _line(part: PartOff) -> PartOff:
    questions = []
    if part.removed_on and not part.refitted_on and part.stowage is None:
        questions.append(f"It came off on {part.removed_on}: nobody said where it is kept.")
    if not part.removed_on and (part.stowage or part.tag):
        questions.append("It is stowed or tagged, but nobody said when it came off.")
    return _but(part, questions=tuple(questions))


def _what(fact: Fact) -> str:
    return str(fact.act) if fact.status == "done" else _condition(fact)


def _held(fact: Fact) -> str:
    if fact.count is None or fact.of is None or fact.of in ("person", fact.item):
        return ""
    about = "about " if fact.about else ""
    return f"{about}{fact.count} {fact.of.replace('-', ' ')}{'' if fact.count == 1 else 's'}"


def _condition(fact: Fact) -> str:
    size = ", ".join(f"{measure.value:g} {measure.unit}" for measure in fact.measure or ())
    name = str(fact.finding).replace("-", " ")
    words = ["no" if fact.absent else fact.grade, name, size]
    return " ".join(word for word in words if word)
