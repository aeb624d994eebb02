"""The fastenings of one joint and kind while they are added up: how many became what, and in which bags they are."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from pipeline.hardware.part_numbers import find_part_numbers
from pipeline.lists.bags import Emptied, OfABag, PutTogether, TakenOut
from pipeline.lists.holding import TAKEN_WITH
from pipeline.lists.logged import LoggedFact, same_side
from pipeline.reading.fact import Place, Side
from pipeline.records import Move


@dataclass(eq=False)
class Fastenings:
    """A line while it is added up; ``number`` is its place among all lines."""

    number: int
    item: str | None
    of: str
    side: Side | None
    place: tuple[Place, ...] | None
    position: str = ""
    numbers: dict[str, int] = field(default_factory=dict)
    about: set[str] = field(default_factory=set)
    uncounted: set[str] = field(default_factory=set)
    bags: list[str] = field(default_factory=list)
    part_numbers: list[str] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)
    adrift: bool = False  # bagged or found, and nobody said of what joint
    explained: bool = False  # adrift, but as many as were explained in the entry to hold what it tells of
    in_bag: tuple[int | None, date] | None = None  # as told again later
    emptied: dict[str, date] = field(default_factory=dict)
    came_along: bool = False  # bagged with what came off, and nobody spoke of undoing these
    _told_in: dict[str, list[str]] = field(default_factory=dict)  # what each entry did to it

    def told_in(self, entry: str) -> Sequence[str]:
        """Return what an entry did to it, in order, as its moves say it: "undo 8", "bag"."""
        return self._told_in.get(entry, ())

    def _move(self, told: LoggedFact | OfABag, what: str) -> None:
        self.moves.append(Move(on=told.at.date(), what=what, entry=told.entry))
        self._told_in.setdefault(told.entry, []).append(what)

    def tell(self, logged: LoggedFact, what: str, number: str, count: int | None, *, whole: bool = False) -> None:
        """Add a fact: ``whole`` where it tells the number of all, which may have been told before one by one."""
        if number:
            if count is None:
                self.uncounted.add(number)
            else:
                before = self.numbers.get(number, 0)
                self.numbers[number] = max(before, count) if whole else before + count
                if logged.fact.about:
                    self.about.add(number)
        told = what if count is None else f"{what} {count}"
        self._move(logged, told)
        self.take_part_numbers(logged)

    def put_right(self, logged: LoggedFact, what: str, number: str, count: int) -> None:
        """Take in that a number that was told before was wrong: "it was six bolts, not five"."""
        self.numbers[number] = count
        self._move(logged, f"{what} {count}")

    def count_up_to(self, logged: LoggedFact, number: int | None) -> None:
        """Take in one more than was undone by its place among all: "the sixth is in bag eight" of five."""
        if number and self.numbers.get("undone") == number - 1 and "undone" not in self.uncounted:
            self.put_right(logged, "undo", "undone", number)

    def take_from_undone(self, logged: LoggedFact, count: int) -> None:
        """Take in that some of those that its entry told to be undone came out otherwise, and count them there."""
        told = any(what.rpartition(" ")[0] in {"undo", *TAKEN_WITH} for what in self.told_in(logged.entry))
        if told and self.numbers.get("undone", 0) > count:
            self.numbers["undone"] -= count

    def begin_again(self, *, undone: bool) -> None:
        """Take in that what it holds comes off once more: what is back is told anew, and so is what is bagged.

        Where only some were back, the others lie in their bags still.

        Args:
            undone: how many come out is told anew, too.
        """
        all_were_back = undone or self.numbers.get("fitted", 0) >= self.numbers.get("undone", 0)
        for number in (
            "fitted",
            "tightened",
            *(("bagged",) if all_were_back else ()),
            *(("undone",) if undone else ()),
        ):
            self.numbers.pop(number, None)
            self.uncounted.discard(number)
            self.about.discard(number)
        if all_were_back:
            self.bags, self.in_bag, self.emptied = [], None, {}

    def take_over(self, line: "Fastenings") -> None:
        """Take in what was told of the same ones without their kind: "they're off", of ten bolts just undone."""
        self.bags += [bag for bag in line.bags if bag not in self.bags]
        self.uncounted |= line.uncounted - set(self.numbers)
        self.moves[:] = sorted((*self.moves, *line.moves), key=lambda move: move.on)

    def takes_back_out(self, count: int | None) -> bool:
        """Take in that some of those that are back came out once more: they are back no longer. False: it was not so.

        Args:
            count: how many came out; all of them are no case of this.
        """
        fitted = self.numbers.get("fitted", 0)
        if count is None or count >= fitted or "fitted" in self.uncounted:
            return False
        for number in ("fitted", "tightened"):
            if number in self.numbers:
                self.numbers[number] = max(0, self.numbers[number] - count)
        return True

    def is_back(self, entry: str, *, all_of_it: bool) -> bool:
        """Tell whether its fastenings were told to be back, some or all, in an entry before this one."""
        fitted, undone = self.numbers.get("fitted", 0), self.numbers.get("undone", 0)
        now = any(what.startswith("fit ") for what in self.told_in(entry))
        return fitted > 0 and not now and (not all_of_it or fitted >= undone)

    def tell_again(self, logged: LoggedFact, count: int | None) -> None:
        """Take in what is in its bag now: none came to it."""
        self.in_bag = (count, logged.at.date())
        what = "in the bag" if count is None else f"in the bag {count}"
        self._move(logged, what)

    def has_fewer(self, count: int | None, bag: str | None, *, told: bool) -> bool:
        """Tell whether so many in its bag are what is left of those bagged, where words tell what is in it now."""
        there = self.there()
        return told and bag in self.bags and count is not None and there is not None and count < there

    def tell_other_bag(self, logged: LoggedFact, bag: str, *, split: bool) -> None:
        """Take in that what is bagged is in another bag now; where its bag was ``split``, only some of it."""
        self.bags, self.in_bag = list(dict.fromkeys((*(self.bags if split else ()), bag))), None
        self.emptied.pop(bag, None)
        self._move(logged, "in another bag")

    def tell_put_together(self, said: PutTogether) -> None:
        """Take in that what is in one of its bags is in another one now."""
        self.bags = list(dict.fromkeys(said.into if bag == said.bag else bag for bag in self.bags))
        self.emptied.pop(said.into, None)
        self._move(said, "in another bag")

    def tell_empty(self, emptied: Emptied) -> None:
        """Take in that one of its bags is empty."""
        self.emptied[emptied.bag] = emptied.at.date()
        self._move(emptied, "empty")

    def tell_taken(self, taken: TakenOut, count: int, fitted: bool) -> None:
        """Take in that some were taken out of its bag, and fitted where nobody counted them otherwise."""
        self._move(taken, f"out of the bag {count}")
        there = self.there()
        if there is not None and there >= count:
            self.in_bag = (there - count, taken.at.date())
            if there == count and len(self.bags) == 1:
                self.emptied[taken.bag] = taken.at.date()
        if fitted:
            self.numbers["fitted"] = self.numbers.get("fitted", 0) + count
            self._move(taken, f"fit {count}")

    @property
    def lacking(self) -> int:
        """Return how many that were undone are not bagged yet."""
        return self.numbers.get("undone", 0) - self.numbers.get("bagged", 0)

    def there(self) -> int | None:
        """Return how many are in its bags, where that is known."""
        if self.in_bag:
            return self.in_bag[0]
        return None if "bagged" in self.uncounted else self.numbers.get("bagged")

    def told_with_its_part(self, logged: LoggedFact, count: int | None) -> bool:
        """Tell whether so many were told already as what held the part, in the same entry: "it's off, 22 screws"."""
        told = {f"{act} {count}" for act in TAKEN_WITH}
        undone = logged.fact.act == "undo" and count is not None
        return undone and any(what in told for what in self.told_in(logged.entry))

    def may_take(self, act: str, count: int | None) -> bool:
        """Tell whether so many of its fastenings can be fitted, or made fast, as far as the numbers tell."""
        out = self.numbers.get("undone", 0) + self.numbers.get("drilled_out", 0)
        if not out and "undone" not in self.uncounted:
            return False
        left = out - (self.numbers.get("fitted", 0) if act == "fit" else 0)
        return "undone" in self.uncounted or (left > 0 if count is None else count <= left)

    def is_all_bagged(self, count: int | None, entry: str) -> bool:
        """Tell whether so many are all that came out, and were told to be bagged in an entry before this one."""
        return self._all_are_bagged_before(entry) and count in (None, self.numbers["bagged"])

    def is_some_of_the_bagged(self, count: int | None, bag: str, entry: str) -> bool:
        """Tell whether some of what was bagged, all of it in an entry before this one, are in this bag now.

        Of what an entry shares out to several bags the rest needs no number, and stays where it was.
        """
        shared_out = "in another bag" in self.told_in(entry)
        bagged_before = self._all_are_bagged_before(entry) or self._some_were_bagged_before(entry)
        some = shared_out if count is None else count < self.numbers.get("undone", 0)
        return some and (shared_out or bag not in self.bags) and bagged_before

    def is_share_of_the_bagged(self, count: int | None, bag: str, entry: str) -> bool:
        """Tell whether so many may be some of what the entry has told to be in another bag."""
        bagged = any(what.startswith("bag") for what in self.told_in(entry))
        return bagged and bag not in self.bags and count is not None and count < self.numbers.get("bagged", 0)

    def _some_were_bagged_before(self, entry: str) -> bool:
        """Tell whether they were bagged in an entry before this one, and nobody counted them then."""
        uncounted = "bagged" in self.uncounted and "bagged" not in self.numbers and "undone" not in self.uncounted
        return bool(self.bags) and uncounted and not self._came_out_or_in_a_bag_in(entry)

    def _came_out_or_in_a_bag_in(self, entry: str) -> bool:
        """Tell whether an entry tells that they came out, or were bagged: then what it bags is not moved."""
        return any(what.startswith(("bag", "undo", *TAKEN_WITH)) for what in self.told_in(entry))

    def _all_are_bagged_before(self, entry: str) -> bool:
        if self._came_out_or_in_a_bag_in(entry):
            return False
        undone, bagged = self.numbers.get("undone", 0), self.numbers.get("bagged", 0)
        counted = not self.uncounted & {"undone", "bagged"}
        return bool(self.bags) and counted and undone == bagged > 0

    def take_part_numbers(self, logged: LoggedFact) -> None:
        """Keep standard part numbers that were said in the same words, or in the sentence around them."""
        for found in find_part_numbers(logged.sentence):
            if found.number not in self.part_numbers:
                self.part_numbers.append(found.number)

    def is_other_side_of(self, line: "Fastenings") -> bool:
        """Tell whether it is the same joint, kind and place on the other side of the aircraft."""
        same = (self.item, self.of, self.place, self.position) == (line.item, line.of, line.place, line.position)
        return same and self.item is not None and not same_side(self.side, line.side)

    def lacks(self, count: int | None) -> bool:
        """Tell whether so many can be of those that were undone and are not bagged yet."""
        undone, bagged = self.numbers.get("undone"), self.numbers.get("bagged", 0)
        unknown = count is None or undone is None or "undone" in self.uncounted or "undone" in self.about
        return unknown or count <= undone - bagged  # type: ignore[operator]

    def open(self) -> bool:
        """Tell whether some that were undone are not bagged yet, as far as the numbers tell."""
        undone, bagged = self.numbers.get("undone", 0), self.numbers.get("bagged", 0)
        if "undone" in self.uncounted:
            return not self.bags
        return undone > bagged and not ("bagged" in self.uncounted and self.bags)


class Begun:
    """The lines that were begun, in order, to be found by the part that they hold and by their bags."""

    def __init__(self) -> None:
        """Begin with none."""
        self.lines: list[Fastenings] = []
        self._of_item: dict[str, list[Fastenings]] = {}
        self._ever_in: dict[str, dict[Fastenings, None]] = {}

    @property
    def items(self) -> Sequence[str]:
        """Return the parts that lines were begun of, in order."""
        return tuple(self._of_item)

    def begin(
        self, item: str | None, of: str, logged: LoggedFact, side: Side | None, place: tuple[Place, ...] | None
    ) -> Fastenings:
        """Begin a line for what a fact tells of."""
        line = Fastenings(len(self.lines), item, of, side, place, logged.position)
        self.lines.append(line)
        if item is not None:
            self._of_item.setdefault(item, []).append(line)
        return line

    def of(self, item: str) -> Sequence[Fastenings]:
        """Return the lines of what holds a part."""
        return self._of_item.get(item, ())

    def put_into(self, line: Fastenings, bag: str) -> None:
        """Keep in mind that a line has a bag: one more, or another in place of those that it had."""
        self._ever_in.setdefault(bag, {})[line] = None

    def ever_in(self, bag: str) -> tuple[Fastenings, ...]:
        """Return the lines of what was ever told to be in a bag, those put there first come first."""
        return tuple(self._ever_in.get(bag, ()))

    def in_bag(self, bag: str | None) -> list[Fastenings]:
        """Return the lines of what is in a bag now, those put there first come first."""
        return [line for line in self._ever_in.get(bag or "", ()) if bag in line.bags and bag not in line.emptied]
