"""What holds each joint: how many fasteners are expected, undone, drilled out, bagged, fitted, missing or broken."""

import re
from collections.abc import Iterable, Sequence
from itertools import permutations, takewhile

from pipeline.lists.bag_contents import BagContents
from pipeline.lists.bagging import Bagging
from pipeline.lists.bags import FURTHER, Emptied, OfABag, PutTogether, TakenOut
from pipeline.lists.fastener_lines import fastener_line
from pipeline.lists.fastenings import Fastenings
from pipeline.lists.holding import TAKEN_WITH, Fastened, fastened, is_fastener, kinds_agree
from pipeline.lists.logged import LoggedFact, at_their_engines, same_place, same_side
from pipeline.lists.loose_fasteners import are_of_those, goes_with, in_all, is_told_as_again
from pipeline.lists.swaps import are_new_fasteners, which_one
from pipeline.lists.told_joints import ToldJoints
from pipeline.reading.fact import MarkedFact, Side
from pipeline.reading.numbers import find_numbers
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FastenerLine

_NUMBER_OF = {"undo": "undone", "drill-out": "drilled_out", "fit": "fitted", "tighten": "tightened"}

_FURTHER = re.compile(rf"\b(?:{FURTHER}|others?)\b", re.IGNORECASE)
_ALL = re.compile(r"\ball (?:the )?([\w-]+)", re.IGNORECASE)
_AMISS_AT = r"(?:missing|gone|broken|sheared|snapped) (?:at|on|in|from|off)"


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
    ordered = at_their_engines(facts, vocabulary)
    of_bags: list[OfABag] = [*taken, *together, *emptied]
    of_bags.sort(key=lambda one: (one.at, one.entry, isinstance(one, Emptied)))
    return _Adding(ordered, vocabulary).lines(of_bags)


def _are_all_tight(line: Fastenings, logged: LoggedFact, count: int | None) -> bool:
    """Tell whether words count all that are tight by now: "all ten torqued".

    Where more were tight before, they are all of some others.
    """
    told = (number for found in _ALL.finditer(logged.sentence) for number in find_numbers(found[1]))
    return any(number.value == count for number in told) and (count or 0) >= line.numbers.get("tightened", 0)


def _counted(fact: MarkedFact) -> tuple[object, ...]:
    return fact.status, fact.act, fact.item, fact.side, fact.place, fact.count, fact.of


class _Adding:
    def __init__(self, facts: Sequence[LoggedFact], vocabulary: Vocabulary) -> None:
        self._facts = facts
        self._vocabulary = vocabulary
        self._told = ToldJoints(facts, vocabulary)
        self._bagging = Bagging(self._told)
        self._bags = BagContents(self._told)
        self._off: dict[str, set[Side | None]] = {}

    def lines(self, said: Sequence[OfABag]) -> tuple[FastenerLine, ...]:
        said_of_bags = list(said)
        for logged in self._facts:
            fact = logged.fact
            while said_of_bags and (said_of_bags[0].at, said_of_bags[0].entry) < logged.turn:
                self._bags.take_in(said_of_bags.pop(0))
            if fact.status == "done" and self._bagging.is_bagging(fact):
                self._bagging.take_in(logged)
            elif fact.status == "done":
                self._work(logged)
            elif fact.status == "seen" and fact.finding in ("missing", "broken") and not fact.absent:
                self._found(logged)
            elif self._told.is_held_by(fact):
                self._held_by(logged)
        for one in said_of_bags:
            self._bags.take_in(one)
        return tuple(
            fastener_line(line, self._told.expected.of(line.item, line.of, line.side, line.place), self._is_off(line))
            for line in self._of_known_kinds()
        )

    def _of_known_kinds(self) -> list[Fastenings]:
        """Return the lines; what an entry tells without kind and number is of the one kind that it counts there."""
        kept = []
        for line in self._told.begun.lines:
            bare = line.item and not line.of and not line.numbers
            kin = [x for x in self._told.begun.of(str(line.item)) if x.of and x.numbers] if bare else []
            kin = [x for x in kin if same_side(x.side, line.side) and x.place == line.place]
            kin = [x for x in kin if x.told_in(line.moves[0].entry)]
            if len(kin) == 1:
                kin[0].take_over(line)
            else:
                kept.append(line)
        return kept

    def _held_by(self, logged: LoggedFact) -> None:
        fact = logged.fact
        for side, _ in self._told.sides.spread(fact.item, fact.side, None):
            one = Fastened(item=fact.item, of=str(fact.of), side=side, count=None)
            # a number that was told for every side stands with the sides, where there are any
            held = [x for x in self._told.joint(one, logged) if self._told.may_be(x, logged, side)]
            for line in held or [self._told.find(one, logged)]:
                self._told.tell(line, logged, "held-by", "", fact.count)

    def _work(self, logged: LoggedFact) -> None:
        fact = logged.fact
        if fact.act in ("remove", "separate") and fact.item:
            self._off.setdefault(fact.item, set()).add(fact.side)
            self._comes_off_again(logged)
        usual = self._told.expected.usual_kind(fact.item)
        at_once: list[Fastenings] = []
        fact = in_all(logged, self._told.here[logged.entry], self._vocabulary)
        for one in fastened(fact, self._vocabulary, self._told.sides, usual):
            undoing = fact.act in TAKEN_WITH | {"undo", "drill-out"}
            if one.item is None and not undoing:
                line = self._told.last_undone(logged, one.of, one.side) or self._told.find(one, logged)
            elif fact.act == "lock" and not (one.of and one.count):
                continue  # locking wire and tabs say nothing of how many hold
            else:
                line = self._put_back(one, logged) or self._told.find(one, logged)
            number, whole = self._adds_to(line, one, logged), self._is_of_all(line, one, logged)
            self._told.tell(line, logged, str(fact.act), number, one.count, whole=whole)
            if undoing:
                self._told.undid(logged, line)
                at_once.append(line)
        self._told.at_once |= set(permutations(at_once, 2))

    def _adds_to(self, line: Fastenings, one: Fastened, logged: LoggedFact) -> str:
        """Return the number that work adds to, "" for none; a line begins anew where what is back comes out again."""
        act = str(logged.fact.act)
        again = act == "undo" and is_told_as_again(logged.sentence)
        if again and line.takes_back_out(one.count):
            return ""  # they came out before, and were counted then
        if act == "undo" and line.is_back("" if again else logged.entry, all_of_it=True):
            line.begin_again(undone=True)
        if act == "drill-out" and one.count and are_of_those(logged.sentence):
            line.take_from_undone(logged, one.count)
        if are_new_fasteners(logged, self._vocabulary):
            return ""  # one for one: as many are in as before
        return "undone" if act in TAKEN_WITH else _NUMBER_OF.get(act, "")

    def _is_of_all(self, line: Fastenings, one: Fastened, logged: LoggedFact) -> bool:
        """Tell whether a count is of all of a line, which may have been told before, and not of more."""
        if logged.fact.act == "tighten":
            return _are_all_tight(line, logged, one.count) or self._is_told_twice(logged)
        return logged.fact.act in TAKEN_WITH or line.told_with_its_part(logged, one.count)

    def _is_told_twice(self, logged: LoggedFact) -> bool:
        """Tell whether the entry has told the very same before: "eight are torqued", "eight torqued, two to do"."""
        before = takewhile(lambda one: one is not logged, self._told.here[logged.entry])
        alike = any(_counted(one.fact) == _counted(logged.fact) for one in before)
        return alike and not _FURTHER.search(logged.sentence)

    def _comes_off_again(self, logged: LoggedFact) -> None:
        """Begin anew with what holds a part that was fitted again and comes off once more."""
        if which_one(logged, self._vocabulary) == "old":
            return  # the new one, which was fitted in its place, stays on
        lines = self._told.of_one_joint(str(logged.fact.item))
        again = is_told_as_again(logged.sentence)
        for line in self._told.of_that_engine(lines, logged, logged.fact.side):
            back = line.is_back("" if again else logged.entry, all_of_it=False)
            if same_side(line.side, logged.fact.side) and back:
                line.begin_again(undone=False)

    def _put_back(self, one: Fastened, logged: LoggedFact) -> Fastenings | None:
        """Return the line of what came out, where it goes in again under another name, or is made fast under none.

        The bolts of an engine mount go in as the engine's; "tightened and locked" is of the one kind that it has.
        """
        act = logged.fact.act
        if one.item is None or act not in ("fit", "tighten", "lock"):
            return None
        alike = [x for x in self._told.of_one_joint(one.item) if x.of and kinds_agree(x.of, one.of, self._vocabulary)]
        alike = self._told.of_that_engine([x for x in alike if same_side(x.side, one.side)], logged, one.side)
        own = [x for x in alike if x.item == one.item]
        if own:
            return own[0] if not one.of and len(own) == 1 else None
        kin = [x for x in alike if x.may_take(act, one.count)]
        return kin[0] if len(kin) == 1 else None

    def _found(self, logged: LoggedFact) -> None:
        fact = logged.fact
        if is_fastener(fact.item, self._vocabulary):
            of = str(fact.item)
            told = sorted(self._told.told_in.get(logged.entry, ()), key=lambda one: one.number)
            near = [x for x in told if x.of == of]
            near = [x for x in near if x.item and self._told.may_be(x, logged, fact.side)]
            near = [x for x in near if same_place(x.place, fact.place)]
            line = (
                (near[-1] if near else None)
                or self._at_part_named(logged, of)
                or self._of_what_its_sentence_tells(logged, of)
                or self._with_what_came_off(logged, of)
                or self._told.adrift(logged, of)
            )
        elif is_fastener(fact.of, self._vocabulary) and fact.item:
            side = fact.side if self._told.sides.are_apart(fact.item) else None
            line = self._told.find(Fastened(item=fact.item, of=str(fact.of), side=side, count=None), logged)
        else:
            return
        self._told.tell(line, logged, str(fact.finding), str(fact.finding), fact.count)

    def _at_part_named(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the fasteners of the part that words name as where they are amiss: "a bolt missing at the fin"."""
        named = self._told.parts.after(_AMISS_AT, logged.sentence)
        one = self._told.one_of(named[0], of, logged.fact.side) if len(named) == 1 else None
        return self._told.find(one, logged) if one else None

    def _of_what_its_sentence_tells(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the fasteners of the one part that their sentence says is on: "it's on with twelve, two missing"."""
        here = [one for one in self._told.here[logged.entry] if one.around and one.around == logged.around]
        on = [one for one in here if (one.fact.status, one.fact.act) == ("done", "fit") and one.fact.item]
        on = [one for one in on if same_side(one.fact.side, logged.fact.side)]
        if len({(one.fact.item, one.fact.side) for one in on}) != 1:
            return None
        known = self._told.begun.of(str(on[0].fact.item))
        known = [x for x in known if x.of == of and self._told.may_be(x, on[0], on[0].fact.side)]
        return known[0] if len(known) == 1 else None

    def _with_what_came_off(self, logged: LoggedFact, of: str) -> Fastenings | None:
        """Return the washers or nuts of the one joint whose bolts the entry undid: "that's one washer short"."""
        here = [x for x in self._told.undone_in.get(logged.entry, ()) if x.item and goes_with(x.of, of)]
        if len(set(here)) != 1 or not self._told.may_be(here[0], logged, logged.fact.side):
            return None
        return self._told.find(self._told.one_of(here[0].item, of, here[0].side), logged)

    def _is_off(self, line: Fastenings) -> bool:
        return any(same_side(line.side, side) for side in self._off.get(line.item or "", ()))
