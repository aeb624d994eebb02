"""One finished line of the register of fasteners: its numbers, what they leave open, and what should be asked."""

from collections.abc import Iterator

from pipeline.lists.expected_fasteners import Expected
from pipeline.lists.fastenings import Fastenings
from pipeline.records import FastenerLine, LineQuestion


def fastener_line(line: Fastenings, expected: Expected, is_off: bool) -> FastenerLine:
    """Return the finished line, with what its numbers leave open.

    Args:
        line: all that was told of the fastenings.
        expected: how many there should be.
        is_off: whether what they hold was said to have come off.
    """
    numbers, unsure = line.numbers, line.uncounted
    gone = numbers.get("undone", 0) + numbers.get("drilled_out", 0)
    told = {"undone", "drilled_out"} & set(numbers)
    known = expected.count is not None and told and not unsure & {"undone", "drilled_out"}
    left = max(0, (expected.count or 0) - gone) if known else None
    bagged = numbers.get("bagged", 0)
    accounted = bagged + numbers.get("missing", 0) + numbers.get("broken", 0)
    counted = "undone" in numbers and not unsure & {"undone", "bagged"}
    not_bagged = max(0, numbers.get("undone", 0) - accounted) if counted else None
    told_how = {"undone", "drilled_out", "fitted"} & {*numbers, *unsure} or "bagged" in unsure
    whole = expected.count if bagged and not told_how and is_off else None
    made = FastenerLine(
        item=line.item,
        side=line.side,
        place=line.place,
        position=line.position,
        of=line.of,
        expected=expected.count,
        expected_about=expected.about,
        expected_from=expected.source,
        **numbers,
        about=tuple(sorted(line.about)),
        uncounted=tuple(sorted(unsure)),
        bags=tuple(line.bags),
        in_bag=line.in_bag[0] if line.in_bag else None,
        in_bag_on=line.in_bag[1] if line.in_bag else None,
        emptied_on=max(line.emptied.values()) if line.bags and set(line.bags) == set(line.emptied) else None,
        left=left,
        not_bagged=not_bagged,
        to_account_for=None if whole is None else max(0, whole - accounted),
        part_numbers=tuple(line.part_numbers),
        moves=tuple(line.moves),
    )
    return made.model_copy(update={"questions": tuple(_questions(line, made, expected, is_off))})


def _questions(line: Fastenings, made: FastenerLine, expected: Expected, is_off: bool) -> Iterator[LineQuestion]:
    exact = not (made.expected_about or made.about)
    if line.adrift and (line.explained or made.emptied_on):
        pass  # it is known what they are of, or they are there no more
    elif line.adrift and any(move.what.startswith(("bag", "store")) for move in line.moves):
        yield LineQuestion(kind="bag-of-no-joint", bags=made.bags)
    elif made.item is None:
        yield LineQuestion(kind="joint-not-told")
    if expected.doubt:
        yield expected.doubt
    gone = (made.undone or 0) + (made.drilled_out or 0)
    if made.expected is not None and gone > made.expected and exact:
        yield LineQuestion(kind="more-than-expected", numbers=(gone, made.expected))
    if made.left and made.expected and exact and is_off:
        yield LineQuestion(kind="off-with-some-left", numbers=(made.left, made.expected))
    if made.not_bagged and not made.fitted and not made.about:
        yield LineQuestion(kind="not-bagged", numbers=(made.not_bagged, made.undone or 0))
    if made.to_account_for and exact:
        yield LineQuestion(kind="to-account-for", numbers=(made.to_account_for, made.expected or 0))
    yield from _bagged_and_back(line, made)


def _lost_since(line: Fastenings) -> int:
    """Return how many were told to be missing or broken as the others went back: "on with twelve, two missing"."""
    back = [move.on for move in line.moves if move.what.startswith("fit")]
    told = [move.what.partition(" ") for move in line.moves if back and move.on >= min(back)]
    return sum(int(number) for what, _, number in told if what in ("missing", "broken") and number.isdigit())


def _bagged_and_back(line: Fastenings, made: FastenerLine) -> Iterator[LineQuestion]:
    """Ask where more were bagged than undone, or fewer are back than came out."""
    undone, bagged = made.undone or 0, made.bagged or 0
    out = max(undone + (made.drilled_out or 0), bagged)
    fitted = (made.fitted or 0) + _lost_since(line)
    if made.fitted and fitted < out and not made.about and "fitted" not in made.uncounted:
        yield LineQuestion(kind="fewer-back", numbers=(made.fitted, out))
    nobody_spoke_of_undoing = made.to_account_for is not None and bagged <= (made.expected or 0)
    if nobody_spoke_of_undoing or (line.came_along and not undone):
        return  # what they held is off: they were undone
    if not line.adrift and bagged and not undone and "undone" not in line.uncounted:
        yield LineQuestion(kind="bagged-not-undone", numbers=(bagged,))
    elif not line.adrift and bagged > undone and "undone" not in line.uncounted:
        yield LineQuestion(kind="more-bagged-than-undone", numbers=(bagged, undone))
