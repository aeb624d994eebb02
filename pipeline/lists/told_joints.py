"""The joints that were told of so far, each with its kinds of fasteners, and which of them a fact is of."""

from collections.abc import Sequence

from pipeline.lists.expected_fasteners import Expectations
from pipeline.lists.fastenings import Begun, Fastenings
from pipeline.lists.holding import Fastened, Sides, is_fastener, kinds_agree
from pipeline.lists.logged import LoggedFact, same_place, same_side
from pipeline.lists.loose_fasteners import number_taken_back
from pipeline.lists.named_parts import NamedParts
from pipeline.lists.positions import several_told
from pipeline.lists.usual_joints import holds
from pipeline.reading.fact import MarkedFact, Side
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary


class ToldJoints:
    """The lines of the register as they grow, and what else was told that tells of which joint fasteners are."""

    def __init__(self, facts: Sequence[LoggedFact], vocabulary: Vocabulary) -> None:
        """Look at all facts once; no line is begun by that.

        Args:
            facts: of all days, in order.
            vocabulary: tells fasteners from parts, and how many hold a joint of this type.
        """
        self.vocabulary = vocabulary
        self.sides = Sides(facts, vocabulary)
        self.expected = Expectations(facts, vocabulary, self.sides)
        self.parts = NamedParts(vocabulary)
        self.begun = Begun()
        self.here: dict[str, list[LoggedFact]] = {}  # all facts of an entry
        self.held_in: dict[str, list[LoggedFact]] = {}  # what was explained to hold a part, by entry
        for logged in facts:
            self.here.setdefault(logged.entry, []).append(logged)
            if self.is_held_by(logged.fact):
                self.held_in.setdefault(logged.entry, []).append(logged)
        self.undone_in: dict[str, list[Fastenings]] = {}  # by entry, in order
        self.undone_by: dict[Fastenings, list[LoggedFact]] = {}
        self.at_once: set[tuple[Fastenings, Fastenings]] = set()  # what one fact undid on both sides
        self.told_in: dict[str, set[Fastenings]] = {}  # by entry
        # each line once: that of which something was undone last comes last
        self._undone: dict[Fastenings, None] = {}
        self._of_joint: dict[tuple[str | None, str, str], list[Fastenings]] = {}

    def is_held_by(self, fact: MarkedFact) -> bool:
        """Tell whether a fact explains what fasteners hold a part."""
        return fact.act == "held-by" and fact.item is not None and is_fastener(fact.of, self.vocabulary)

    def undid(self, logged: LoggedFact, line: Fastenings) -> None:
        """Take in that fasteners of a line were undone."""
        self.undone_in.setdefault(logged.entry, []).append(line)
        self.undone_by.setdefault(line, []).append(logged)
        self._undone.pop(line, None)
        self._undone[line] = None

    def tell(
        self, line: Fastenings, logged: LoggedFact, what: str, number: str, count: int | None, *, whole: bool = False
    ) -> None:
        """Take a fact into a line; see ``Fastenings.tell``. A number that it takes back is put right instead."""
        self.told_in.setdefault(logged.entry, set()).add(line)
        wrong = number_taken_back(logged.sentence) if count is not None else None
        put_right = "undone" if what == "held-by" else number
        if count is not None and wrong is not None and line.numbers.get(put_right) == wrong:
            line.put_right(logged, what, put_right, count)
            if put_right == "undone" and count < wrong and line.numbers.get("bagged") == wrong:
                line.numbers["bagged"] = count  # no more are in their bags than came out
        else:
            line.tell(logged, what, number, count, whole=whole)

    def may_be(self, line: Fastenings, logged: LoggedFact, side: Side | None) -> bool:
        """Tell whether a line can be of the side and the engine that a fact is of."""
        engine = same_position((line.side, line.position), (side, logged.position))
        return same_side(line.side, side) and engine

    def of_that_engine(self, lines: Sequence[Fastenings], logged: LoggedFact, side: Side | None) -> list[Fastenings]:
        """Return the lines of the engine that a fact is of; none where it does not tell which of two."""
        fitting = [x for x in lines if same_position((x.side, x.position), (side, logged.position))]
        exact = [x for x in fitting if x.position == logged.position]
        return exact or ([] if several_told(x.position for x in fitting) else fitting)

    def joint(self, one: Fastened, logged: LoggedFact) -> list[Fastenings]:
        """Return the lines of a joint and a kind, in order. Work on an unnamed joint has lines of its entry."""
        return self._of_joint.setdefault((one.item, one.of, "" if one.item is not None else logged.entry), [])

    def one_of(self, item: str | None, of: str, side: Side | None) -> Fastened:
        """Return the joint of a part, of that side where its sides are apart, and a kind; nobody counted."""
        return Fastened(item=item, of=of, side=side if self.sides.are_apart(str(item)) else None, count=None)

    def of_one_joint(self, item: str) -> list[Fastenings]:
        """Return the lines of a part, and of what is told of as one joint with it: an engine and its mount."""
        both = (
            one
            for one in self.begun.items
            if one == item or holds(one, item, self.vocabulary) or holds(item, one, self.vocabulary)
        )
        return [line for one in both for line in self.begun.of(one)]

    def find(self, one: Fastened, logged: LoggedFact, *, came_along: bool = False) -> Fastenings:
        """Find the line of a joint and a kind, or begin it."""
        place = logged.fact.place
        known = self.of_that_engine(self.joint(one, logged), logged, one.side)
        if not self.expected.is_for_the_whole(one.item, one.of):
            known = [x for x in known if same_place(x.place, place) and (x.place is None) == (place is None)]
        exact = [x for x in known if x.side == one.side]
        loose = known if one.side is None and len(known) == 1 else []
        for line in (*exact, *loose):
            if line.place != place:
                line.place = None if self.expected.is_for_the_whole(one.item, one.of) else line.place
            line.position = line.position or logged.position
            return line
        line = self.begun.begin(one.item, one.of, logged, one.side, place)
        line.came_along = came_along
        self.joint(one, logged).append(line)
        return line

    def last_undone(
        self, logged: LoggedFact, of: str, side: Side | None, *, told_only_here: bool = False
    ) -> Fastenings | None:
        """Return the joint that loose fasteners of a kind are of.

        That is the one undone last before in the same entry, an open one rather than one that is all bagged; failing
        that, the last one of that kind in any entry that lacks as many, unless it is to be of this entry.
        """
        here = [x for x in self.undone_in.get(logged.entry, []) if self.may_be(x, logged, side)]
        agree = [x for x in here if kinds_agree(x.of, of, self.vocabulary)]
        if agree:
            return next((x for x in reversed(agree) if x.open()), agree[-1])
        if told_only_here:
            return None
        fitting = (x for x in reversed(self._undone) if x.of and self.may_be(x, logged, side))
        fitting = (x for x in fitting if x.open() and x.lacks(logged.fact.count))
        return next((x for x in fitting if kinds_agree(x.of, of, self.vocabulary)), None)

    def adrift(self, logged: LoggedFact, of: str) -> Fastenings:
        """Begin a line for fasteners of which nobody said what they hold."""
        fact = logged.fact
        line = self.begun.begin(None, of, logged, fact.side, fact.place)
        line.adrift = True
        return line
