"""What was said of bags as a whole, taken into the lines: put together, empty, or so many out of one."""

import re
from collections.abc import Sequence

from pipeline.lists.bags import Emptied, OfABag, PutTogether, TakenOut
from pipeline.lists.fastenings import Fastenings
from pipeline.lists.logged import LoggedFact, names_of, same_side
from pipeline.lists.told_joints import ToldJoints
from pipeline.reading.positions import same_position


class BagContents:
    """Takes in what was said of bags as a whole."""

    def __init__(self, told: ToldJoints) -> None:
        """Begin with the joints that will be told of; they are changed."""
        self._told, self._vocabulary = told, told.vocabulary

    def take_in(self, said: OfABag) -> None:
        """Take what was said of a bag into the lines of what is in it."""
        held = self._told.begun.in_bag(said.bag)
        if isinstance(said, PutTogether):
            for line in held:
                line.tell_put_together(said)
                self._told.begun.put_into(line, said.into)
        elif isinstance(said, Emptied):
            for line in held:
                line.tell_empty(said)
        else:
            self._take_out(said, held)

    def _take_out(self, taken: TakenOut, held: Sequence[Fastenings]) -> None:
        """Take in what went out of a bag into what was put back on in that entry, where it is clear of which line."""
        back = [one for one in self._told.here.get(taken.entry, ()) if one.fact.status == "done"]
        back = [one for one in back if one.fact.act in ("fit", "connect", "tighten", "lock")]
        kind = [x for x in held if x.of and self._is_of_kind(x, taken)]
        fitted = [x for x in kind if any(self._is_on(x, one) for one in back)]
        lines = fitted or ([] if any(self._told.of_one_joint(str(one.fact.item)) for one in back) else kind)
        if not back or not lines:
            return
        for line, share in zip(lines, _shares(taken, lines), strict=False):
            counted = any(what.startswith("fit ") for what in line.told_in(taken.entry))
            line.tell_taken(taken, share, fitted=line in fitted and not counted)

    def _is_of_kind(self, line: Fastenings, taken: TakenOut) -> bool:
        """Tell whether words name the fasteners of a line: "four bolts", "four mount bolts"."""
        return re.search(rf"(?:^| )(?:{names_of(line.of, self._vocabulary)})s?$", taken.kind) is not None

    def _is_on(self, line: Fastenings, back: LoggedFact) -> bool:
        """Tell whether a fact says that what a line's fasteners hold went back on."""
        fact = back.fact
        position = same_position((line.side, line.position), (fact.side, back.position))
        told = position and same_side(line.side, fact.side) and fact.act in ("fit", "connect")
        return told and fact.item is not None and line in self._told.of_one_joint(fact.item)


def _shares(taken: TakenOut, lines: Sequence[Fastenings]) -> list[int]:
    """Return how many of each line were taken; none where the number is not all that is there of several lines."""
    if taken.each or len(lines) == 1:
        return [taken.number] * len(lines)
    there = [line.there() for line in lines]
    known = [number for number in there if number is not None]
    return known if len(known) == len(there) and sum(known) == taken.number else []
