"""What holds each joint: how many fasteners are expected, undone, drilled out, bagged, fitted, missing or broken."""

import re
from collections.abc import Iterable, Sequence
from itertools import permutations

from pipeline.lists.bags import Emptied, OfABag, PutTogether, TakenOut, is_contents_told_again
from pipeline.lists.expected_fasteners import Expectations
from pipeline.lists.fastener_lines import fastener_line
from pipeline.lists.fastenings import Begun, Fastenings
from pipeline.lists.holding import TAKEN_WITH, Fastened, Sides, fastened, is_fastener, kinds_agree
from pipeline.lists.logged import LoggedFact, in_order, names_of, position_of, same_place, same_side
from pipeline.lists.loose_fasteners import are_of_what_came_off, goes_with, in_all, number_taken_back, part_named
from pipeline.lists.named_parts import NamedParts
from pipeline.lists.positions import several_told
from pipeline.lists.swaps import are_new_fasteners
from pipeline.lists.usual_joints import holds
from pipeline.reading.fact import MarkedFact, Side
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FastenerLine

_NUMBER_OF = {"undo": "undone", "drill-out": "drilled_out", "fit": "fitted", "tighten": "tightened"}


def fasteners(
    facts: Iterable[LoggedFact],
    vocabulary: Vocabulary,
    emptied: Sequence[Emptied] = (),
    taken: Sequence[TakenOut] = (),
    together: Sequence[PutTogether] = (),
) -> tuple[FastenerLine, ...]:
    """Return one line for each joint or held part and kind of fastener, in the order that they are first told of.

    Args:
        facts: of all days, in any order.
        vocabulary: tells fasteners from parts, and how many hold a joint of this type.
        emptied: the bags that were said to be empty.
        taken: what was said to be out of a bag.
        together: the bags whose contents were said to be in another one.
    """
    ordered = [one.model_copy(update={"position": position_of(one, vocabulary)}) for one in in_order(facts)]
    of_bags: list[OfABag] = [*taken, *together, *emptied]
    of_bags.sort(key=lambda one: (one.at, one.entry, isinstance(one, Emptied)))
    return _Adding(ordered, vocabulary).lines(of_bags)


class _Adding:
    def __init__(self, facts: Sequence[LoggedFact], vocabulary: Vocabulary) -> None:
        self._facts = facts
        self._vocabulary = vocabulary
        self._sides = Sides(facts, vocabulary)
        self._expected = Expectations(facts, vocabulary, self._sides)
        self._begun = Begun()
        self._held_in: dict[str, list[LoggedFact]] = {}  # what was explained to hold a part, by entry
        for logged in facts:
            if self._is_held_by(logged.fact):
                self._held_in.setdefault(logged.entry, []).append(logged)
        self._undone_in: dict[str, list[Fastenings]] = {}  # by entry, in order
        self._undone_by: dict[Fastenings, list[LoggedFact]] = {}
        # each line once: that of which something was undone last comes last
        self._undone: dict[Fastenings, None] = {}
        self._at_once: set[tuple[Fastenings, Fastenings]] = set()  # what one fact undid on both sides
        self._of_joint: dict[tuple[str | None, str, str], list[Fastenings]] = {}
        self._told_in: dict[str, set[Fastenings]] = {}  # by entry
        self._off: dict[str, set[Side | None]] = {}
        self._parts = NamedParts(vocabulary)
        self._here: dict[str, list[LoggedFact]] = {}  # all facts of an entry
        for logged in facts:
            self._here.setdefault(logged.entry, []).append(logged)

    def lines(self, said: Sequence[OfABag]) -> tuple[FastenerLine, ...]:
        said_of_bags = list(said)
        for logged in self._facts:
            fact = logged.fact
            while said_of_bags and (said_of_bags[0].at, said_of_bags[0].entry) < logged.turn:
                self._of_a_bag(said_of_bags.pop(0))
            if fact.status == "done" and self._is_bagging(fact):
                self._bag(logged)
            elif fact.status == "done":
                self._work(logged)
            elif fact.status == "seen" and fact.finding in ("missing", "broken") and not fact.absent:
                self._found(logged)
            elif self._is_held_by(fact):
                self._held_by(logged)
        for one in said_of_bags:
            self._of_a_bag(one)
        return tuple(
            fastener_line(line, self._expected.of(line.item, line.of, line.side, line.place), self._is_off(line))
            for line in self._begun.lines
        )

    def _is_bagging(self, fact: MarkedFact) -> bool:
        bagged = fact.act == "bag" or bool(fact.act == "store" and fact.stowage and fact.stowage.bag)
        return bagged and (is_fastener(fact.item, self._vocabulary) or is_fastener(fact.of, self._vocabulary))

    def _is_held_by(self, fact: MarkedFact) -> bool:
        return fact.act == "held-by" and fact.item is not None and is_fastener(fact.of, self._vocabulary)

    def _held_by(self, logged: LoggedFact) -> None:
        fact = logged.fact
        for side, _ in self._sides.spread(fact.item, fact.side, None):
            one = Fastened(item=fact.item, of=str(fact.of), side=side, count=None)
            # a number that was told for every side stands with the sides, where there are any
            held = [x for x in self._joint(one, logged) if self._may_be(x, logged, side)]
            for line in held or [self._find(one, logged)]:
                self._tell(line, logged, "held-by", "", fact.count)

    def _work(self, logged: LoggedFact) -> None:
        fact = logged.fact
        if fact.act in ("remove", "separate") and fact.item:
            self._off.setdefault(fact.item, set()).add(fact.side)
        usual = self._expected.usual_kind(fact.item)
        at_once: list[Fastenings] = []
        fact = in_all(logged, self._here[logged.entry], self._vocabulary)
        for one in fastened(fact, self._vocabulary, self._sides, usual):
            undoing = fact.act in TAKEN_WITH | {"undo", "drill-out"}
            if one.item is None and not undoing:
                line = self._last_undone(logged, one.of, one.side) or self._find(one, logged)
            elif fact.act == "lock" and not (one.of and one.count):
                continue  # locking wire and tabs say nothing of how many hold
            else:
                line = self._put_back(one, logged) or self._find(one, logged)
            number = "undone" if fact.act in TAKEN_WITH else _NUMBER_OF.get(str(fact.act), "")
            if are_new_fasteners(logged, self._vocabulary):
                number = ""  # one for one: as many are in as before
            whole = fact.act in TAKEN_WITH or line.told_with_its_part(logged, one.count)
            self._tell(line, logged, str(fact.act), number, one.count, whole=whole)
            if undoing:
                self._undone_in.setdefault(logged.entry, []).append(line)
                self._undone_by.setdefault(line, []).append(logged)
                self._undone.pop(line, None)
                self._undone[line] = None
                at_once.append(line)
        self._at_once |= set(permutations(at_once, 2))

    def _put_back(self, one: Fastened, logged: LoggedFact) -> Fastenings | None:
        """Return the line of what came out, where it goes in again under another name, or is made fast under none.

        The bolts of an engine mount go in as the engine's; "tightened and locked" is of the one kind that it has.
        """
        act = logged.fact.act
        if one.item is None or act not in ("fit", "tighten", "lock"):
            return None
        alike = [x for x in self._of_one_joint(one.item) if x.of and kinds_agree(x.of, one.of, self._vocabulary)]
        alike = self._of_that_engine([x for x in alike if same_side(x.side, one.side)], logged, one.side)
        own = [x for x in alike if x.item == one.item]
        if own:
            return own[0] if not one.of and len(own) == 1 else None
        kin = [x for x in alike if x.may_take(act, one.count)]
        return kin[0] if len(kin) == 1 else None

    def _of_a_bag(self, said: OfABag) -> None:
        held = self._begun.in_bag(said.bag)
        if isinstance(said, PutTogether):
            for line in held:
                line.tell_put_together(said)
                self._begun.put_into(line, said.into)
        elif isinstance(said, Emptied):
            for line in held:
                line.tell_empty(said)
        else:
            self._take_out(said, held)

    def _take_out(self, taken: TakenOut, held: Sequence[Fastenings]) -> None:
        """Take in what went out of a bag into what was put back on in that entry, where it is clear of which line."""
        back = [one for one in self._here.get(taken.entry, ()) if one.fact.status == "done"]
        back = [one for one in back if one.fact.act in ("fit", "connect", "tighten", "lock")]
        kind = [x for x in held if x.of and re.fullmatch(rf"(?:{names_of(x.of, self._vocabulary)})s?", taken.kind)]
        fitted = [x for x in kind if any(self._is_on(x, one) for one in back)]
        lines = fitted or kind
        shares = [line.there() for line in lines] if len(lines) > 1 else [taken.number]
        if not back or not lines or None in shares or sum(one or 0 for one in shares) != taken.number:
            return
        for line, share in zip(lines, shares, strict=True):
            counted = any(move.entry == taken.entry and move.what.startswith("fit ") for move in line.moves)
            line.tell_taken(taken, share or 0, fitted=line in fitted and not counted)

    def _is_on(self, line: Fastenings, back: LoggedFact) -> bool:
        """Tell whether a fact says that what a line's fasteners hold went back on."""
        fact = back.fact
        told = same_side(line.side, fact.side) and same_position(
            (line.side, line.position), (fact.side, back.position)
        )
        return line.item is not None and fact.item == line.item and fact.act in ("fit", "connect") and told

    def _bag(self, logged: LoggedFact) -> None:
        fact = in_all(logged, self._here[logged.entry], self._vocabulary)
        bag = fact.stowage.bag if fact.stowage else None
        of = str(fact.item if is_fastener(fact.item, self._vocabulary) else fact.of)
        if of == fact.item:
            line = (
                self._of_part_named(logged, of)
                or self._of_what_came_off_with_them(logged, of)
                or self._last_undone(logged, of, fact.side, told_only_here=True)
                or self._came_along(logged, of)
                or self._in_that_bag(logged, of, bag, left=True)
                or self._held_here(logged, of)
                or self._bagged_there(logged, of, bag)
                or self._last_undone_before(logged, of)
                or self._in_that_bag(logged, of, bag, left=False)
            )
        else:
            of = str(fact.of)
            line = self._find(Fastened(item=fact.item, of=of, side=fact.side, count=None), logged)
        if line is None:
            line = self._adrift(logged, of)
            line.explained = self._is_explained_here(logged, of)
        elif line is self._in_that_bag(logged, of, bag, left=line.open()):
            self._told_in.setdefault(logged.entry, set()).add(line)
            line.tell_again(logged, fact.count if fact.of in (None, of) else None)
            return
        elif bag and line.is_all_bagged(fact.count, logged.entry) and is_contents_told_again(logged, left=False):
            self._told_in.setdefault(logged.entry, set()).add(line)
            line.tell_other_bag(logged, bag)
            self._begun.put_into(line, bag)
            return
        if "undone" in line.numbers and self._came_off_uncounted(line, logged):
            line.uncounted.add("undone")
        for one, count in self._shares(line, logged, fact.count if fact.of in (None, of) else None):
            self._tell(one, logged, "bag", "bagged", count)
            if bag:
                one.emptied.pop(bag, None)
                one.bags += [] if bag in one.bags else [bag]
                self._begun.put_into(one, bag)

    def _came_off_uncounted(self, line: Fastenings, logged: LoggedFact) -> bool:
        """Tell whether the sentence that bags them says that their part came off, and not how many held it."""
        told = [
            one.fact
            for one in self._here[logged.entry]
            if one.around and one.around == logged.around and one.fact.item == line.item
            if one.fact.status == "done" and one.fact.act in TAKEN_WITH | {"undo", "drill-out"}
        ]
        return bool(told) and all(fact.count is None for fact in told)

    def _of_part_named(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the fasteners of the part that the sentence says they are of: "the bolts of the port float"."""
        item = part_named(logged, of, self._begun.items, self._vocabulary, self._parts)
        if item is None:
            return None
        kin = [x for x in self._of_one_joint(item) if kinds_agree(x.of, of, self._vocabulary)]
        kin = [x for x in kin if self._may_be(x, logged, logged.fact.side)]
        called = kin[0].item if kin and all(x.item != item for x in kin) else item
        return self._find(self._one_of(called, of, logged.fact.side), logged)

    def _of_one_joint(self, item: str) -> list[Fastenings]:
        """Return the lines of a part, and of what is told of as one joint with it: an engine and its mount."""
        both = (
            one
            for one in self._begun.items
            if one == item or holds(one, item, self._vocabulary) or holds(item, one, self._vocabulary)
        )
        return [line for one in both for line in self._begun.of(one)]

    def _came_along(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return what is bagged with what came off, where nobody spoke of undoing it.

        Nuts that are named with the bolts of a part are of that part; and fasteners that are bagged in an entry that
        tells of one part that came off, and not of what held it, held that.
        """
        side, here = logged.fact.side, self._undone_in.get(logged.entry, [])
        for line in reversed(here):
            told = any(one.around and one.around == logged.around for one in self._undone_by[line])
            if line.item and told and same_side(line.side, side) and goes_with(line.of, of):
                return self._find(self._one_of(line.item, of, line.side), logged, came_along=True)
        if here or logged.entry in self._held_in:
            return None
        return self._of_the_only_part_off(self._here[logged.entry], logged, of)

    def _of_what_came_off_with_them(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the fasteners of the one part that their sentence says came off, where it counts none undone."""
        sentence = [one for one in self._here[logged.entry] if one.around and one.around == logged.around]
        undone = self._undone_in.get(logged.entry, ())
        if any(one in sentence for line in undone for one in self._undone_by[line]):
            return None
        return self._of_the_only_part_off(sentence, logged, of) if undone else None

    def _of_the_only_part_off(self, told: Iterable[LoggedFact], logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the fasteners of the part that was told to come off, where that is only one and may have such."""
        off = {
            (str(one.fact.item), self._one_of(one.fact.item, of, one.fact.side).side): one
            for one in told
            if one.fact.status == "done" and one.fact.act in ("remove", "open") and one.fact.item
            if not is_fastener(one.fact.item, self._vocabulary)
        }
        if len(off) != 1:
            return None
        (((item, its_side), told_off),) = off.items()
        if not same_side(its_side, logged.fact.side) or not self._expected.may_be_of(item, of):
            return None
        return self._find(self._one_of(item, of, its_side), told_off, came_along=True)

    def _one_of(self, item: str | None, of: str, side: Side | None) -> Fastened:
        return Fastened(item=item, of=of, side=side if self._sides.are_apart(str(item)) else None, count=None)

    def _in_that_bag(self, logged: LoggedFact, of: str, bag: str | None, *, left: bool) -> Fastenings | None:
        """Return the line of such fasteners that was told to be in that bag before, where they are told again."""
        if not bag or not is_contents_told_again(logged, left=left):
            return None
        known = [
            line
            for line in self._begun.in_bag(bag)
            if kinds_agree(line.of, of, self._vocabulary)
            and self._may_be(line, logged, logged.fact.side)
            and all(move.entry != logged.entry for move in line.moves)
        ]
        return known[-1] if known else None

    def _bagged_there(self, logged: LoggedFact, of: str, bag: str | None) -> Fastenings | None:
        """Return the one line of such fasteners that is in that bag, to which more came: "the sixth is in bag 8"."""
        known = [x for x in self._begun.in_bag(bag) if x.of == of]
        known = [x for x in known if x.item and self._may_be(x, logged, logged.fact.side)]
        return known[0] if bag and len(known) == 1 and not is_contents_told_again(logged, left=False) else None

    def _is_explained_here(self, logged: LoggedFact, of: str) -> bool:
        """Tell whether so many were explained in the entry to hold one thing, or all of them together."""
        held = [
            one.fact.count
            for one in self._held_in.get(logged.entry, ())
            if kinds_agree(str(one.fact.of), of, self._vocabulary) and one.fact.count is not None
        ]
        return logged.fact.count is not None and logged.fact.count in (*held, sum(held))

    def _shares(self, line: Fastenings, logged: LoggedFact, count: int | None) -> list[tuple[Fastenings, int | None]]:
        """Share what was bagged out to both sides, where it is as many as both lack, or both were undone in one."""
        here = [x for x in self._undone_in.get(logged.entry, []) if x.side is not None and x is not line]
        other = next((x for x in reversed(here) if x.is_other_side_of(line) and x.open()), None)
        if other is None or not line.open() or logged.fact.side in ("port", "starboard"):
            return [(line, count)]
        together = (line, other) in self._at_once
        lacks = [x.numbers.get("undone", 0) - x.numbers.get("bagged", 0) for x in (other, line)]
        if (count is None and together) or count == sum(lacks):
            return [(x, None if count is None else lack) for x, lack in zip((other, line), lacks, strict=True)]
        return [(line, count)]

    def _found(self, logged: LoggedFact) -> None:
        fact = logged.fact
        if is_fastener(fact.item, self._vocabulary):
            of = str(fact.item)
            told = sorted(self._told_in.get(logged.entry, ()), key=lambda one: one.number)
            near = [x for x in told if x.of == of]
            near = [x for x in near if x.item and self._may_be(x, logged, fact.side)]
            near = [x for x in near if same_place(x.place, fact.place)]
            line = near[-1] if near else self._adrift(logged, of)
        elif is_fastener(fact.of, self._vocabulary) and fact.item:
            side = fact.side if self._sides.are_apart(fact.item) else None
            line = self._find(Fastened(item=fact.item, of=str(fact.of), side=side, count=None), logged)
        else:
            return
        self._tell(line, logged, str(fact.finding), str(fact.finding), fact.count)

    def _tell(
        self, line: Fastenings, logged: LoggedFact, what: str, number: str, count: int | None, *, whole: bool = False
    ) -> None:
        self._told_in.setdefault(logged.entry, set()).add(line)
        wrong = number_taken_back(logged.around or logged.said) if count is not None else None
        put_right = "undone" if what == "held-by" else number
        if count is not None and wrong is not None and line.numbers.get(put_right) == wrong:
            line.put_right(logged, what, put_right, count)
        else:
            line.tell(logged, what, number, count, whole=whole)

    def _may_be(self, line: Fastenings, logged: LoggedFact, side: Side | None) -> bool:
        """Tell whether a line can be of the side and the engine that a fact is of."""
        engine = same_position((line.side, line.position), (side, logged.position))
        return same_side(line.side, side) and engine

    def _of_that_engine(self, lines: Sequence[Fastenings], logged: LoggedFact, side: Side | None) -> list[Fastenings]:
        """Return the lines of the engine that a fact is of; none where it does not tell which of two."""
        fitting = [x for x in lines if same_position((x.side, x.position), (side, logged.position))]
        exact = [x for x in fitting if x.position == logged.position]
        return exact or ([] if several_told(x.position for x in fitting) else fitting)

    def _joint(self, one: Fastened, logged: LoggedFact) -> list[Fastenings]:
        """Return the lines of a joint and a kind, in order. Work on an unnamed joint has lines of its entry."""
        return self._of_joint.setdefault((one.item, one.of, "" if one.item is not None else logged.entry), [])

    def _find(self, one: Fastened, logged: LoggedFact, *, came_along: bool = False) -> Fastenings:
        """Find the line of a joint and a kind, or begin it."""
        place = logged.fact.place
        known = self._of_that_engine(self._joint(one, logged), logged, one.side)
        if not self._expected.is_for_the_whole(one.item, one.of):
            known = [x for x in known if same_place(x.place, place) and (x.place is None) == (place is None)]
        exact = [x for x in known if x.side == one.side]
        loose = known if one.side is None and len(known) == 1 else []
        for line in (*exact, *loose):
            if line.place != place:
                line.place = None if self._expected.is_for_the_whole(one.item, one.of) else line.place
            line.position = line.position or logged.position
            return line
        line = self._begun.begin(one.item, one.of, logged, one.side, place)
        line.came_along = came_along
        self._joint(one, logged).append(line)
        return line

    def _held_here(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the joint that such fasteners hold as the same entry explains it, where that is only one."""
        side = logged.fact.side
        held = {
            (one.fact.item, one.fact.of, each): one
            for one in self._held_in.get(logged.entry, ())
            if kinds_agree(str(one.fact.of), of, self._vocabulary)
            for each, _ in self._sides.spread(one.fact.item, one.fact.side, None)
            if same_side(each, side)
        }
        if len(held) != 1:
            return None
        (item, kind, each), told = next(iter(held.items()))
        return self._find(Fastened(item=item, of=str(kind), side=each, count=None), told)

    def _last_undone(
        self, logged: LoggedFact, of: str, side: Side | None, *, told_only_here: bool = False
    ) -> Fastenings | None:
        """Return the joint that loose fasteners of a kind are of.

        That is the one undone last before in the same entry, an open one rather than one that is all bagged; failing
        that, the last one of that kind in any entry that lacks as many, unless it is to be of this entry.
        """
        here = [x for x in self._undone_in.get(logged.entry, []) if self._may_be(x, logged, side)]
        agree = [x for x in here if kinds_agree(x.of, of, self._vocabulary)]
        if agree:
            return next((x for x in reversed(agree) if x.open()), agree[-1])
        if told_only_here:
            return None
        fitting = (x for x in reversed(self._undone) if x.of and self._may_be(x, logged, side))
        fitting = (x for x in fitting if x.open() and x.lacks(logged.fact.count))
        return next((x for x in fitting if kinds_agree(x.of, of, self._vocabulary)), None)

    def _last_undone_before(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the joint of another entry that loose fasteners may be of, unless they are of what came off now."""
        if are_of_what_came_off(logged, of, self._vocabulary):
            return None
        return self._last_undone(logged, of, logged.fact.side)

    def _adrift(self, logged: LoggedFact, of: str) -> Fastenings:
        fact = logged.fact
        line = self._begun.begin(None, of, logged, fact.side, fact.place)
        line.adrift = True
        return line

    def _is_off(self, line: Fastenings) -> bool:
        return any(same_side(line.side, side) for side in self._off.get(line.item or "", ()))
