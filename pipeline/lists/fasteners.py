"""What holds each joint: how many fasteners are expected, undone, drilled out, bagged, fitted, missing or broken."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import permutations

from pipeline.hardware.part_numbers import find_part_numbers
from pipeline.lists.bags import Emptied, is_contents_told_again
from pipeline.lists.expected_fasteners import Expectations, Expected
from pipeline.lists.holding import TAKEN_WITH, Fastened, Sides, fastened, is_fastener, kinds_agree
from pipeline.lists.logged import LoggedFact, in_order, same_place, same_side
from pipeline.reading.fact import MarkedFact, Place, Side
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FastenerLine, LineQuestion, Move

_NUMBER_OF = {"undo": "undone", "drill-out": "drilled_out", "fit": "fitted", "tighten": "tightened"}


@dataclass(eq=False)
class _Line:
    """A line while it is added up; ``number`` is its place among all lines."""

    number: int
    item: str | None
    of: str
    side: Side | None
    place: tuple[Place, ...] | None
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
        self.moves.append(Move(on=logged.at.date(), what=told, entry=logged.entry))
        self.take_part_numbers(logged)

    def tell_again(self, logged: LoggedFact, count: int | None) -> None:
        """Take in what is in its bag now: none came to it."""
        self.in_bag = (count, logged.at.date())
        what = "in the bag" if count is None else f"in the bag {count}"
        self.moves.append(Move(on=logged.at.date(), what=what, entry=logged.entry))

    def tell_empty(self, emptied: Emptied) -> None:
        """Take in that one of its bags is empty."""
        self.emptied[emptied.bag] = emptied.at.date()
        self.moves.append(Move(on=emptied.at.date(), what="empty", entry=emptied.entry))

    def take_part_numbers(self, logged: LoggedFact) -> None:
        """Keep standard part numbers that were said in the same words, or in the sentence around them."""
        for found in find_part_numbers(logged.around or logged.said):
            if found.number not in self.part_numbers:
                self.part_numbers.append(found.number)

    def is_other_side_of(self, line: "_Line") -> bool:
        """Tell whether it is the same joint, kind and place on the other side of the aircraft."""
        same = (self.item, self.of, self.place) == (line.item, line.of, line.place)
        return same and self.item is not None and not same_side(self.side, line.side)

    def open(self) -> bool:
        """Tell whether some that were undone are not bagged yet, as far as the numbers tell."""
        undone, bagged = self.numbers.get("undone", 0), self.numbers.get("bagged", 0)
        if "undone" in self.uncounted:
            return not self.bags
        return undone > bagged and not ("bagged" in self.uncounted and self.bags)


def fasteners(
    facts: Iterable[LoggedFact], vocabulary: Vocabulary, emptied: Sequence[Emptied] = ()
) -> tuple[FastenerLine, ...]:
    """Return one line for each joint or held part and kind of fastener, in the order that they are first told of.

    Args:
        facts: of all days, in any order.
        vocabulary: tells fasteners from parts, and how many hold a joint of this type.
        emptied: the bags that were said to be empty, in order of time.
    """
    return _Adding(in_order(facts), vocabulary).lines(emptied)


class _Adding:
    def __init__(self, facts: Sequence[LoggedFact], vocabulary: Vocabulary) -> None:
        self._facts = facts
        self._vocabulary = vocabulary
        self._sides = Sides(facts, vocabulary)
        self._expected = Expectations(facts, vocabulary, self._sides)
        self._lines: list[_Line] = []
        self._held_in: dict[str, list[LoggedFact]] = {}  # what was explained to hold a part, by entry
        for logged in facts:
            if self._is_held_by(logged.fact):
                self._held_in.setdefault(logged.entry, []).append(logged)
        self._undone_in: dict[str, list[_Line]] = {}  # by entry, in order
        self._undone: dict[_Line, None] = {}  # each line once: that of which something was undone last comes last
        self._at_once: set[tuple[_Line, _Line]] = set()  # what one fact undid on both sides
        self._of_joint: dict[tuple[str | None, str, str], list[_Line]] = {}
        self._told_in: dict[str, set[_Line]] = {}  # by entry
        self._off: dict[str, set[Side | None]] = {}

    def lines(self, emptied: Sequence[Emptied]) -> tuple[FastenerLine, ...]:
        said_empty = list(emptied)
        for logged in self._facts:
            fact = logged.fact
            while said_empty and (said_empty[0].at, said_empty[0].entry) < (logged.at, logged.entry):
                self._empty(said_empty.pop(0))
            if fact.status == "done" and self._is_bagging(fact):
                self._bag(logged)
            elif fact.status == "done":
                self._work(logged)
            elif fact.status == "seen" and fact.finding in ("missing", "broken") and not fact.absent:
                self._found(logged)
            elif self._is_held_by(fact):
                self._held_by(logged)
        for one in said_empty:
            self._empty(one)
        return tuple(self._line(line) for line in self._lines)

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
            held = [x for x in self._joint(one, logged) if same_side(x.side, side)]
            for line in held or [self._find(one, logged)]:
                self._tell(line, logged, "held-by", "", fact.count)

    def _work(self, logged: LoggedFact) -> None:
        fact = logged.fact
        if fact.act in ("remove", "separate") and fact.item:
            self._off.setdefault(fact.item, set()).add(fact.side)
        usual = self._expected.usual_kind(fact.item)
        at_once: list[_Line] = []
        for one in fastened(fact, self._vocabulary, self._sides, usual):
            undoing = fact.act in TAKEN_WITH | {"undo", "drill-out"}
            if one.item is None and not undoing:
                line = self._last_undone(logged, one.of, one.side) or self._find(one, logged)
            elif fact.act == "lock" and not (one.of and one.count):
                continue  # locking wire and tabs say nothing of how many hold
            else:
                line = self._find(one, logged)
            number = "undone" if fact.act in TAKEN_WITH else _NUMBER_OF.get(str(fact.act), "")
            self._tell(line, logged, str(fact.act), number, one.count, whole=fact.act in TAKEN_WITH)
            if undoing:
                self._undone_in.setdefault(logged.entry, []).append(line)
                self._undone.pop(line, None)
                self._undone[line] = None
                at_once.append(line)
        self._at_once |= set(permutations(at_once, 2))

    def _empty(self, emptied: Emptied) -> None:
        for line in self._lines:
            if emptied.bag in line.bags and emptied.bag not in line.emptied:
                line.tell_empty(emptied)

    def _bag(self, logged: LoggedFact) -> None:
        fact = logged.fact
        bag = fact.stowage.bag if fact.stowage else None
        of = str(fact.item if is_fastener(fact.item, self._vocabulary) else fact.of)
        if of == fact.item:
            line = (
                self._last_undone(logged, of, fact.side, told_only_here=True)
                or self._in_that_bag(logged, of, bag, left=True)
                or self._held_here(logged, of)
                or self._last_undone(logged, of, fact.side)
                or self._in_that_bag(logged, of, bag, left=False)
            )
        else:
            of = str(fact.of)
            line = self._find(Fastened(item=fact.item, of=of, side=fact.side, count=None), logged)
        if line is None:
            line = self._adrift(logged, of)
            line.explained = self._is_explained_here(logged, of)
        elif line is self._in_that_bag(logged, of, bag, left=line.open()):
            line.tell_again(logged, fact.count if fact.of in (None, of) else None)
            return
        for one, count in self._shares(line, logged, fact.count if fact.of in (None, of) else None):
            self._tell(one, logged, "bag", "bagged", count)
            if bag:
                one.emptied.pop(bag, None)
                one.bags += [] if bag in one.bags else [bag]

    def _in_that_bag(self, logged: LoggedFact, of: str, bag: str | None, *, left: bool) -> _Line | None:
        """Return the line of such fasteners that was told to be in that bag before, where they are told again."""
        if not bag or not is_contents_told_again(logged, left=left):
            return None
        known = [
            line
            for line in self._lines
            if bag in line.bags
            and bag not in line.emptied
            and kinds_agree(line.of, of, self._vocabulary)
            and same_side(line.side, logged.fact.side)
            and all(move.entry != logged.entry for move in line.moves)
        ]
        return known[-1] if known else None

    def _is_explained_here(self, logged: LoggedFact, of: str) -> bool:
        """Tell whether so many were explained in the entry to hold one thing, or all of them together."""
        held = [
            one.fact.count
            for one in self._held_in.get(logged.entry, ())
            if kinds_agree(str(one.fact.of), of, self._vocabulary) and one.fact.count is not None
        ]
        return logged.fact.count is not None and logged.fact.count in (*held, sum(held))

    def _shares(self, line: _Line, logged: LoggedFact, count: int | None) -> list[tuple[_Line, int | None]]:
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
            near = [x for x in near if x.item and same_side(x.side, fact.side) and same_place(x.place, fact.place)]
            line = near[-1] if near else self._adrift(logged, of)
        elif is_fastener(fact.of, self._vocabulary) and fact.item:
            side = fact.side if self._sides.are_apart(fact.item) else None
            line = self._find(Fastened(item=fact.item, of=str(fact.of), side=side, count=None), logged)
        else:
            return
        self._tell(line, logged, str(fact.finding), str(fact.finding), fact.count)

    def _tell(
        self, line: _Line, logged: LoggedFact, what: str, number: str, count: int | None, *, whole: bool = False
    ) -> None:
        self._told_in.setdefault(logged.entry, set()).add(line)
        line.tell(logged, what, number, count, whole=whole)

    def _joint(self, one: Fastened, logged: LoggedFact) -> list[_Line]:
        """Return the lines of a joint and a kind, in order. Work on an unnamed joint has lines of its entry."""
        return self._of_joint.setdefault((one.item, one.of, "" if one.item is not None else logged.entry), [])

    def _find(self, one: Fastened, logged: LoggedFact) -> _Line:
        """Find the line of a joint and a kind, or begin it."""
        place = logged.fact.place
        known = self._joint(one, logged)
        if not self._expected.is_for_the_whole(one.item, one.of):
            known = [x for x in known if same_place(x.place, place) and (x.place is None) == (place is None)]
        exact = [x for x in known if x.side == one.side]
        loose = known if one.side is None and len(known) == 1 else []
        for line in (*exact, *loose):
            if line.place != place:
                line.place = None if self._expected.is_for_the_whole(one.item, one.of) else line.place
            return line
        line = _Line(len(self._lines), item=one.item, of=one.of, side=one.side, place=place)
        self._lines.append(line)
        self._joint(one, logged).append(line)
        return line

    def _held_here(self, logged: LoggedFact, of: str) -> _Line | None:
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
    ) -> _Line | None:
        """Return the joint that loose fasteners of a kind are of.

        That is the one undone last before in the same entry, an open one rather than one that is all bagged; failing
        that, the last one of that kind in any entry that is still open, unless it is to be of this entry.
        """
        here = [x for x in self._undone_in.get(logged.entry, []) if same_side(x.side, side)]
        agree = [x for x in here if kinds_agree(x.of, of, self._vocabulary)]
        if agree:
            return next((x for x in reversed(agree) if x.open()), agree[-1])
        if told_only_here:
            return None
        fitting = (x for x in reversed(self._undone) if x.of and same_side(x.side, side) and x.open())
        return next((x for x in fitting if kinds_agree(x.of, of, self._vocabulary)), None)

    def _adrift(self, logged: LoggedFact, of: str) -> _Line:
        line = _Line(len(self._lines), None, of, logged.fact.side, logged.fact.place, adrift=True)
        self._lines.append(line)
        return line

    def _line(self, line: _Line) -> FastenerLine:
        expected = self._expected.of(line.item, line.of, line.side, line.place)
        numbers, unsure = line.numbers, line.uncounted
        gone = numbers.get("undone", 0) + numbers.get("drilled_out", 0)
        told = {"undone", "drilled_out"} & set(numbers)
        known = expected.count is not None and told and not unsure & {"undone", "drilled_out"}
        left = max(0, (expected.count or 0) - gone) if known else None
        bagged = numbers.get("bagged", 0)
        counted = "undone" in numbers and not unsure & {"undone", "bagged"}
        not_bagged = max(0, numbers.get("undone", 0) - bagged) if counted else None
        told_how = {"undone", "drilled_out", "fitted"} & {*numbers, *unsure} or "bagged" in unsure
        whole = expected.count if bagged and not told_how and self._is_off(line) else None
        accounted = bagged + numbers.get("missing", 0) + numbers.get("broken", 0)
        made = FastenerLine(
            item=line.item,
            side=line.side,
            place=line.place,
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
        return made.model_copy(update={"questions": tuple(self._questions(line, made, expected))})

    def _is_off(self, line: _Line) -> bool:
        return any(same_side(line.side, side) for side in self._off.get(line.item or "", ()))

    def _questions(self, line: _Line, made: FastenerLine, expected: Expected) -> Iterable[LineQuestion]:
        undone, bagged = made.undone or 0, made.bagged or 0
        gone = undone + (made.drilled_out or 0)
        exact = not (made.expected_about or made.about)
        if line.adrift and (line.explained or made.emptied_on):
            pass  # it is known what they are of, or they are there no more
        elif line.adrift and any(move.what.startswith(("bag", "store")) for move in line.moves):
            yield LineQuestion(kind="bag-of-no-joint", bags=made.bags)
        elif made.item is None:
            yield LineQuestion(kind="joint-not-told")
        if expected.doubt:
            yield expected.doubt
        if made.expected is not None and gone > made.expected and exact:
            yield LineQuestion(kind="more-than-expected", numbers=(gone, made.expected))
        if made.left and made.expected and exact and self._is_off(line):
            yield LineQuestion(kind="off-with-some-left", numbers=(made.left, made.expected))
        if made.not_bagged and not made.fitted and not made.about:
            yield LineQuestion(kind="not-bagged", numbers=(made.not_bagged, undone))
        if made.to_account_for and exact:
            yield LineQuestion(kind="to-account-for", numbers=(made.to_account_for, made.expected or 0))
        if made.to_account_for is not None and bagged <= (made.expected or 0):
            return  # nobody spoke of undoing them, and the part is off: they were
        if not line.adrift and bagged and not undone and "undone" not in line.uncounted:
            yield LineQuestion(kind="bagged-not-undone", numbers=(bagged,))
        elif not line.adrift and bagged > undone and "undone" not in line.uncounted:
            yield LineQuestion(kind="more-bagged-than-undone", numbers=(bagged, undone))
