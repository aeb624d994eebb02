"""Which fasteners were bagged: of which joint they are, whether they are told again, how many of each side."""

import re
from collections.abc import Iterable, Sequence

from pipeline.lists.bags import FURTHER, is_contents_told_again
from pipeline.lists.fastenings import Fastenings
from pipeline.lists.holding import TAKEN_WITH, Fastened, is_fastener, kinds_agree
from pipeline.lists.logged import LoggedFact, same_side
from pipeline.lists.loose_fasteners import (
    are_in_it_now,
    are_of_those,
    are_of_what_came_off,
    goes_with,
    in_all,
    is_told_as_again,
    ordinal_told,
    part_named,
)
from pipeline.lists.told_joints import ToldJoints
from pipeline.reading.fact import MarkedFact

_ALL_IN = re.compile(
    r"\b(?:all|the lot|everything)\b(?: (?:of (?:them|these|those)|are|is|went|gone|now|put))* (?:in|into)\b",
    re.IGNORECASE,
)
_FURTHER = re.compile(rf"\b(?:{FURTHER})\b", re.IGNORECASE)
_SPLIT = re.compile(r"\bsplit\b", re.IGNORECASE)
_EACH = re.compile(r"\b(?:each|apiece|(?:a|per|either|each) side)\b", re.IGNORECASE)


class Bagging:
    """Takes in what was bagged."""

    def __init__(self, told: ToldJoints) -> None:
        """Begin with the joints that will be told of; they are changed."""
        self._told, self._vocabulary = told, told.vocabulary
        self._last: tuple[LoggedFact, Fastenings] | None = None  # what was bagged last

    def is_bagging(self, fact: MarkedFact) -> bool:
        """Tell whether a fact says that fasteners were put into a bag."""
        bagged = fact.act == "bag" or bool(fact.act == "store" and fact.stowage and fact.stowage.bag)
        return bagged and (is_fastener(fact.item, self._vocabulary) or is_fastener(fact.of, self._vocabulary))

    def take_in(self, logged: LoggedFact) -> None:
        """Take in that fasteners were bagged, as ``is_bagging`` tells."""
        fact = in_all(logged, self._told.here[logged.entry], self._vocabulary)
        bag = fact.stowage.bag if fact.stowage else None
        of = str(fact.item if is_fastener(fact.item, self._vocabulary) else fact.of)
        if of == fact.item:
            line = self._meant(logged, of, bag)
        else:
            line = self._told.find(Fastened(item=fact.item, of=of, side=fact.side, count=None), logged)
        if line is None:
            line = self._told.adrift(logged, of)
            line.explained = self._is_explained_here(logged, of)
        elif line is self._in_that_bag(logged, of, bag, left=line.open()) or line.has_fewer(
            fact.count, bag, told=are_in_it_now(logged.sentence)
        ):
            self._told.told_in.setdefault(logged.entry, set()).add(line)
            line.tell_again(logged, fact.count if fact.of in (None, of) else None)
            return
        elif bag and (split := self._rebagged(line, logged, bag)) is not None:
            self._told.told_in.setdefault(logged.entry, set()).add(line)
            line.tell_other_bag(logged, bag, split=split)
            self._told.begun.put_into(line, bag)
            return
        if "undone" in line.numbers and self._came_off_uncounted(line, logged):
            line.uncounted.add("undone")
        if fact.count == 1:
            line.count_up_to(logged, ordinal_told(logged.sentence))
        self._last = logged, line
        for one, count in self._shares(line, logged, fact.count if fact.of in (None, of) else None):
            self._told.tell(one, logged, "bag", "bagged", count)
            if bag:
                one.emptied.pop(bag, None)
                one.bags += [] if bag in one.bags else [bag]
                self._told.begun.put_into(one, bag)

    def _meant(self, logged: LoggedFact, of: str, bag: str | None) -> Fastenings | None:
        """Return the joint that bagged fasteners are of, by whatever tells it best; None where nothing does."""
        return (
            self._of_part_named(logged, of)
            or self._of_what_came_off_with_them(logged, of)
            or self._told.last_undone(logged, of, logged.fact.side, told_only_here=True)
            or self._came_along(logged, of)
            or self._in_that_bag(logged, of, bag, left=True)
            or self._held_here(logged, of)
            or self._bagged_there(logged, of, bag)
            or self._last_undone_before(logged, of)
            or self._in_that_bag(logged, of, bag, left=False)
        )

    def _rebagged(self, line: Fastenings, logged: LoggedFact, bag: str) -> bool | None:
        """Tell whether only some of what was in its bags is in this one now; None where more came to what was bagged.

        ("I've put three of the cowling screws in bag six, the other eight are in bag one still.")
        """
        count = logged.fact.count
        if line.is_share_of_the_bagged(count, bag, logged.entry) and are_of_those(logged.sentence):
            return True
        if line.is_some_of_the_bagged(count, bag, logged.entry) and not _FURTHER.search(logged.sentence):
            return True
        if line.is_all_bagged(count, logged.entry) and is_contents_told_again(logged, left=False):
            alone = all(self._told.begun.ever_in(one) == (line,) for one in line.bags)
            return alone and _SPLIT.search(logged.sentence) is not None
        return None

    def _came_off_uncounted(self, line: Fastenings, logged: LoggedFact) -> bool:
        """Tell whether the sentence that bags them says that their part came off, and not how many held it."""
        told = [
            one.fact
            for one in self._told.here[logged.entry]
            if one.around and one.around == logged.around and one.fact.item == line.item
            if one.fact.status == "done" and one.fact.act in TAKEN_WITH | {"undo", "drill-out"}
        ]
        anew = bool(told) and all(fact.count is None for fact in told)
        return anew and not is_told_as_again(logged.sentence)

    def _of_part_named(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the fasteners of the part that the sentence says they are of: "the bolts of the port float"."""
        item = part_named(logged, of, self._told.begun.items, self._vocabulary, self._told.parts)
        if item is None:
            return None
        kin = [x for x in self._told.of_one_joint(item) if kinds_agree(x.of, of, self._vocabulary)]
        kin = [x for x in kin if self._told.may_be(x, logged, logged.fact.side)]
        called = kin[0].item if kin and all(x.item != item for x in kin) else item
        return self._told.find(self._told.one_of(called, of, logged.fact.side), logged)

    def _came_along(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return what is bagged with what came off, where nobody spoke of undoing it.

        Nuts that are named with the bolts of a part are of that part; and fasteners that are bagged in an entry that
        tells of one part that came off, and not of what held it, held that.
        """
        side, here = logged.fact.side, self._told.undone_in.get(logged.entry, [])
        if beside := self._bagged_beside(logged, of):
            return self._told.find(self._told.one_of(beside.item, of, beside.side), logged, came_along=True)
        for line in reversed(here):
            told = any(one.around and one.around == logged.around for one in self._told.undone_by[line])
            if line.item and told and same_side(line.side, side) and goes_with(line.of, of):
                return self._told.find(self._told.one_of(line.item, of, line.side), logged, came_along=True)
        if here or logged.entry in self._told.held_in:
            return None
        entry = self._told.here[logged.entry]
        return self._of_what_was_just_parted(entry, logged, of) or self._of_the_only_part_off(entry, logged, of)

    def _of_what_was_just_parted(self, entry: Sequence[LoggedFact], logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the fasteners of what was disconnected last: "fold jack disconnected, the bolt's in bag 6"."""
        before = [one for one in entry[: entry.index(logged)] if one.fact.status == "done" and one.fact.item]
        parted = [one for one in before if one.fact.act in TAKEN_WITH][-1:]
        if not parted or parted[0].fact.act != "disconnect" or not same_side(parted[0].fact.side, logged.fact.side):
            return None
        fact = parted[0].fact
        return self._told.find(self._told.one_of(fact.item, of, fact.side), parted[0], came_along=True)

    def _bagged_beside(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the bolts that their sentence bags before their nuts: "engine bolts in bag 4, the nuts in bag 5"."""
        if self._last is None or not logged.around:
            return None
        last, line = self._last
        same = (last.entry, last.around) == (logged.entry, logged.around) and same_side(line.side, logged.fact.side)
        return line if same and line.item and goes_with(line.of, of) else None

    def _of_what_came_off_with_them(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the fasteners of the one part that their sentence says came off, where it counts none undone."""
        sentence = [one for one in self._told.here[logged.entry] if one.around and one.around == logged.around]
        undone = self._told.undone_in.get(logged.entry, ())
        if any(one in sentence for line in undone for one in self._told.undone_by[line]):
            return None
        return self._of_the_only_part_off(sentence, logged, of) if undone else None

    def _of_the_only_part_off(self, told: Iterable[LoggedFact], logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the fasteners of the part that was told to come off, where that is only one and may have such."""
        off = {
            (str(one.fact.item), self._told.one_of(one.fact.item, of, one.fact.side).side): one
            for one in told
            if one.fact.status == "done" and one.fact.act in ("remove", "open") and one.fact.item
            if not is_fastener(one.fact.item, self._vocabulary)
        }
        if len(off) != 1:
            return None
        (((item, its_side), told_off),) = off.items()
        if not same_side(its_side, logged.fact.side) or not self._told.expected.may_be_of(item, of):
            return None
        return self._told.find(self._told.one_of(item, of, its_side), told_off, came_along=True)

    def _in_that_bag(self, logged: LoggedFact, of: str, bag: str | None, *, left: bool) -> Fastenings | None:
        """Return the line of such fasteners that was told to be in that bag before, where they are told again."""
        if not bag or not is_contents_told_again(logged, left=left):
            return None
        known = [
            line
            for line in self._told.begun.in_bag(bag)
            if kinds_agree(line.of, of, self._vocabulary)
            and self._told.may_be(line, logged, logged.fact.side)
            and not line.told_in(logged.entry)
        ]
        return known[-1] if known else None

    def _bagged_there(self, logged: LoggedFact, of: str, bag: str | None) -> Fastenings | None:
        """Return the one line of such fasteners that is in that bag, to which more came: "the sixth is in bag 8"."""
        known = [x for x in self._told.begun.in_bag(bag) if x.of == of]
        known = [x for x in known if x.item and self._told.may_be(x, logged, logged.fact.side)]
        return known[0] if bag and len(known) == 1 and not is_contents_told_again(logged, left=False) else None

    def _is_explained_here(self, logged: LoggedFact, of: str) -> bool:
        """Tell whether so many were explained in the entry to hold one thing, or all of them together."""
        held = [
            one.fact.count
            for one in self._told.held_in.get(logged.entry, ())
            if kinds_agree(str(one.fact.of), of, self._vocabulary) and one.fact.count is not None
        ]
        return logged.fact.count is not None and logged.fact.count in (*held, sum(held))

    def _held_here(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the joint that such fasteners hold as the same entry explains it, where that is only one."""
        side = logged.fact.side
        held = {
            (one.fact.item, one.fact.of, each): one
            for one in self._told.held_in.get(logged.entry, ())
            if kinds_agree(str(one.fact.of), of, self._vocabulary)
            for each, _ in self._told.sides.spread(one.fact.item, one.fact.side, None)
            if same_side(each, side)
        }
        if len(held) != 1:
            return None
        (item, kind, each), told = next(iter(held.items()))
        return self._told.find(Fastened(item=item, of=str(kind), side=each, count=None), told)

    def _last_undone_before(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the joint of another entry that loose fasteners may be of, unless they are of what came off now."""
        if are_of_what_came_off(logged, of, self._vocabulary):
            return None
        line = self._told.last_undone(logged, of, logged.fact.side)
        if line is None:
            return None
        told_today = any(one.at.date() == logged.at.date() for one in self._told.undone_by[line])
        return line if told_today or 1 < line.lacking == logged.fact.count else None  # of one bolt, any may be meant

    def _shares(self, line: Fastenings, logged: LoggedFact, count: int | None) -> list[tuple[Fastenings, int | None]]:
        """Share what was bagged out to the joints that it is of, where it is clear that they are several.

        It is of both sides where it is as many as both lack, or as each of them lacks and was told of each, or both
        were undone in one; and of all that was undone in the sentence, else in the entry, where all went into it.
        """
        words = logged.sentence
        if _ALL_IN.search(words) and (several := self._all_undone(line, logged)):
            return [(one, one.lacking) for one in several]
        if logged.fact.side == "both" and count and line.lacking == 2 * count and _EACH.search(words):
            return [(line, 2 * count)]
        here = [x for x in self._told.undone_in.get(logged.entry, []) if x.side is not None and x is not line]
        other = next((x for x in reversed(here) if x.is_other_side_of(line) and x.open()), None)
        if other is None or not line.open() or logged.fact.side in ("port", "starboard"):
            return [(line, count)]
        together = (line, other) in self._told.at_once
        lacks = [other.lacking, line.lacking]
        each = lacks == [count, count] and _EACH.search(words)
        if (count is None and together) or count == sum(lacks) or each:
            return [(x, None if count is None else x.lacking) for x in (other, line)]
        return [(line, count)]

    def _all_undone(self, line: Fastenings, logged: LoggedFact) -> list[Fastenings]:
        """Return the open lines of one kind undone in a fact's sentence, else in its entry, where that is several."""
        alike = [x for x in self._told.undone_in.get(logged.entry, ()) if x.of == line.of and x.open()]
        told = [x for x in alike if any(one.around == logged.around for one in self._told.undone_by[x])]
        lines = list(dict.fromkeys(told or alike))
        return lines if line in lines and len(lines) > 1 else []
