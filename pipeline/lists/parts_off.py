"""Which parts are off: one line for each part, with its life, what held it, its tag, and where it is now."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from pipeline.lists.controls_called import controls_called, same_name
from pipeline.lists.how_many import how_many
from pipeline.lists.known_parts import is_of_the_aircraft
from pipeline.lists.logged import LoggedFact, in_order, last_words, position_of, same_place, same_side, sides
from pipeline.lists.part_lives import (
    Life,
    came_off_with,
    held_of,
    is_of_a_spot_on_it,
    live,
    live_elsewhere,
    new_one_of,
    replace,
)
from pipeline.lists.part_questions import BothSides, TagReading, questions
from pipeline.lists.positions import several_told
from pipeline.lists.refitted import is_refitted, tells_of_all
from pipeline.lists.robbed import fitted_on_the_other_side
from pipeline.lists.services import is_service
from pipeline.lists.swaps import is_new_one, told_as_old, which_one
from pipeline.lists.tags_told import is_tagged_anew, wrong_tags
from pipeline.lists.usual_joints import joints_between, usual_joint
from pipeline.plain_text import letters_and_figures
from pipeline.reading.fact import MarkedFact, Side
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Held, PartOff, Question

# With these, a place is where the supports or the slings were, and not where the part belongs.
_HANDLING = frozenset({"support", "lift", "lower", "move"})
_KEPT_OR_BACK = frozenset({"store", "move", "fit"})
_PUT_AWAY = frozenset({"store", "move", "bag"})
_PARTING = frozenset({"undo", "drill-out", "separate"})
_ONLY_ONE = "no side was told; it is the only one of that name that this can be said of"


def parts_off(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> tuple[PartOff, ...]:
    """Return one line for each part that came off or went on again, or is stowed or tagged, in the order first told.

    A tag, once told, names its part from then on, whatever that is called. A tag that is told of a part with another
    name is not believed to name both: each keeps its line, and that is a question.

    Args:
        facts: of all days, in any order.
        vocabulary: for what is a part of the aircraft, what belongs to what, the joints, and what comes in sets.
    """
    ordered = in_order(facts)
    parts = _Parts(vocabulary, told_as_old(ordered, vocabulary))
    for logged in ordered:
        parts.take_in(logged)
    return parts.lines()


@dataclass
class _Parts:
    """The parts told so far, in the order of their first telling; the tags that were read, the joints undone."""

    vocabulary: Vocabulary
    told_as_old: frozenset[tuple[str, str]]
    lives: list[Life] = field(default_factory=list)
    named: dict[str, list[Life]] = field(default_factory=dict)
    readings: list[TagReading] = field(default_factory=list)
    both: BothSides = field(default_factory=BothSides)
    joints: list[LoggedFact] = field(default_factory=list)
    open_ends: set[str] = field(default_factory=set)  # pipes, cables and rods that were disconnected

    def take_in(self, logged: LoggedFact) -> None:
        fact = logged.fact
        if fact.item is not None and not is_of_the_aircraft(fact.item, self.vocabulary):
            return
        self.both.take_in(logged)
        if (fact.status == "done" and fact.act in _PARTING) or fact.act == "held-by":
            self.joints.append(logged)
        if fact.act in _HANDLING:
            logged = logged.told_as(place=None)
        if fact.side == "both" and self._more_than_two_are_off(fact):
            logged = logged.told_as(side=None)
        fact = logged.fact
        own = _of_each_side(fact)
        for side in ("port", "starboard") if self._are_both(logged) else sides(fact.side):
            for called in controls_called(logged, self.vocabulary) or ("",):
                self._take_in(logged.model_copy(update={"fact": own}), own, side, called)

    def _more_than_two_are_off(self, fact: MarkedFact) -> bool:
        """Tell whether "both" is of three or more that came off together, top and sides: they are no pair."""
        off = [part for part in self.named.get(str(fact.item), ()) if part.state == "off"]
        return any(part.side is None and (part.number_off or 0) > 2 for part in off)

    def _are_both(self, logged: LoggedFact) -> bool:
        """Tell whether words without a side are of the two sides' parts that are off: "they're in the store"."""
        fact = logged.fact
        if fact.status != "done" or fact.act not in _KEPT_OR_BACK or fact.side or fact.tag:
            return False
        if not tells_of_all(logged, last_words(str(fact.item), self.vocabulary)):
            return False
        off = [part for part in self.named.get(str(fact.item), ()) if part.state == "off"]
        return sorted(str(part.side) for part in off) == ["port", "starboard"]

    def _take_in(self, logged: LoggedFact, fact: MarkedFact, side: Side | None, called: str) -> None:
        if fact.act == "held-by" and fact.status == "explained":
            part = self._part_of(logged, fact, side, called)
            if part is not None:
                part.explained += held_of(fact, "explained", logged.entry)
            return
        left_on = fact.status == "not-done" and fact.act == "remove"
        if fact.status not in ("done", "seen") and not left_on:
            return
        part = self._part_of(logged, fact, side, called)
        if fact.tag:
            self.readings.append(TagReading(fact.tag, part, logged.entry, logged.at.date(), given=fact.act == "tag"))
        if part is not None:
            if not (part.ever_off and is_of_a_spot_on_it(fact, self.vocabulary)):
                part.side, part.place = part.side or side, part.place or fact.place
            part.position = part.position or position_of(logged, self.vocabulary)
            part.called = part.called or called
            part.parted = part.parted or self._is_open_end(part, fact)
            inferred = _ONLY_ONE if self._is_guessed(part, logged, side) else ""
            connected = fact.act == "connect" and is_service(fact.item, self.vocabulary)
            if is_refitted(logged) and (other := fitted_on_the_other_side(logged, self.vocabulary)):
                self._takes_the_place_of(part.item, other, logged)
                live_elsewhere(part, logged)
                return
            takes_tag, nouns = self._takes_tag(part, fact), last_words(part.item, self.vocabulary)
            live(part, logged, nouns, takes_tag=takes_tag, connected=connected, inferred=inferred)

    def _part_of(self, logged: LoggedFact, fact: MarkedFact, side: Side | None, called: str) -> Life | None:
        """Return the part that a fact tells of, a new one where there is none yet; None: nobody can say which."""
        tagged = self._by_tag(logged, fact, side) or self._by_wrong_tag(logged, fact, side)
        if tagged is not None:
            return tagged
        if fact.item is None:
            return None
        old = self._replaced(logged, side)
        if old is not None:
            return old
        part = self._by_shorter_name(logged, fact, side) or self._by_name(logged, fact, side, called)
        if part is not None and self._is_changed_for(part, logged):
            replace(part, logged)
            part = self._begun(new_one_of(part, part.called))
        elif part is not None and self._is_new_one_kept(part, logged):
            part = self._begun(new_one_of(part, f"new {self.vocabulary.preferred(part.item)}"))
        elif part is not None and part.is_new_one_waiting and is_refitted(logged):
            self._takes_the_place(part, logged)
        if part is None:
            position = position_of(logged, self.vocabulary)
            other = self._came_off_with(fact.item, side, position)
            part = Life(fact.item, side, fact.place, position, called)
            part = self._begun(part if other is None else came_off_with(other, part))
        return part

    def _begun(self, part: Life) -> Life:
        self.lives.append(part)
        self.named.setdefault(part.item, []).append(part)
        return part

    def _came_off_with(self, item: str, side: Side | None, position: str) -> Life | None:
        """Return the other side's part where several were said to come off, and nobody said of which side."""
        for part in self.named.get(item, ()):
            other_side = side and part.side and part.side != side
            if other_side and part.several_off and (part.state, part.position) == ("off", position):
                return part
        return None

    def _is_changed_for(self, part: Life, logged: LoggedFact) -> bool:
        """Tell whether a fact says that another one was fitted in place of this."""
        if (logged.fact.status, logged.fact.act) != ("done", "fit"):
            return False
        new = is_new_one(logged, self.vocabulary) or (logged.entry, part.item) in self.told_as_old
        return new and (part.state == "off" or not part.is_listed)

    def _is_new_one_kept(self, part: Life, logged: LoggedFact) -> bool:
        """Tell whether a fact says where a new one is that waits to take this one's place: "a new one, in box 3"."""
        kept = logged.fact.status == "done" and logged.fact.stowage is not None
        waits = kept and part.state == "off" and not part.made
        return waits and which_one(logged, self.vocabulary) == "new"

    def _takes_the_place(self, part: Life, logged: LoggedFact) -> None:
        """Tell the part that is off that the new one, which waited for it, was fitted in its place."""
        here = (part.side, part.position)
        for other in self.named[part.item]:
            its_place = same_side(other.side, part.side) and same_place(other.place, part.place)
            if other.state == "off" and its_place and same_position((other.side, other.position), here):
                replace(other, logged)

    def _takes_the_place_of(self, item: str, side: Side, logged: LoggedFact) -> None:
        """Tell the part that is off on a side that one of the other side was fitted in its place."""
        off = [part for part in self.named[item] if (part.state, part.side) == ("off", side)]
        for part in off[-1:]:
            replace(part, logged)

    def _replaced(self, logged: LoggedFact, side: Side | None) -> Life | None:
        """Return the part that was replaced, where a fact is of that one.

        It is where it speaks of the old one; and where it says on the same day that it was put away or tagged: the
        other one is on the aircraft.
        """
        fact = logged.fact
        gone = [
            part
            for part in self.named.get(str(fact.item), ())
            if part.state == "replaced" and same_side(part.side, side) and same_place(part.place, fact.place)
        ]
        which = which_one(logged, self.vocabulary) if gone else ""
        if which == "old" and fact.act != "fit":
            return gone[-1]
        put_away = fact.status == "done" and bool(fact.stowage or fact.tag) and which != "new"
        return next((one for one in reversed(gone) if put_away and one.replaced_on == logged.at.date()), None)

    def _by_tag(self, logged: LoggedFact, fact: MarkedFact, side: Side | None) -> Life | None:
        if fact.tag is None:
            return None
        carriers = [part for part in self.lives if part.tag == fact.tag]
        carriers = carriers or [part for part in self.lives if fact.tag in part.former_tags]
        fitting = [part for part in carriers if self._may_be_called(part, logged, fact, side)]
        of_its_name = [part for part in fitting if part.item == fact.item]
        if len(of_its_name or fitting) == 1:
            return (of_its_name or fitting)[0]
        return None

    def _by_wrong_tag(self, logged: LoggedFact, fact: MarkedFact, side: Side | None) -> Life | None:
        """Return the part whose tag is taken back: "the flap's tag is P-0301, not P-0300"."""
        wrong = wrong_tags(logged)
        if fact.tag is None or fact.item is None or not wrong:
            return None
        carriers = [one for one in self.lives if one.tag and letters_and_figures(one.tag) in wrong]
        fitting = [one for one in carriers if self._may_be_called(one, logged, fact, side)]
        return fitting[0] if len(fitting) == 1 else None

    def _may_be_called(self, part: Life, logged: LoggedFact, fact: MarkedFact, side: Side | None) -> bool:
        if fact.item is None:
            return True
        is_a = self.vocabulary.is_a
        named = is_a(fact.item, part.item) or is_a(part.item, fact.item)
        alike = same_side(part.side, side) and same_place(part.place, fact.place)
        return (
            named
            and alike
            and same_position((part.side, part.position), (side, position_of(logged, self.vocabulary)))
        )

    def _by_name(self, logged: LoggedFact, fact: MarkedFact, side: Side | None, called: str) -> Life | None:
        position = position_of(logged, self.vocabulary)
        fitting = [
            part
            for part in self.named.get(str(fact.item), ())
            if part.state != "replaced"
            and same_side(part.side, side)
            and same_name(part.called, called)
            and same_place(part.place, fact.place)
            and same_position((part.side, part.position), (side, position))
        ]
        fitting = [part for part in fitting if part.side == side] or fitting
        fitting = [part for part in fitting if part.position == position] or fitting
        fitting = [part for part in fitting if self._may_take(part, logged, side)]
        if fact.status == "done" and fact.act in _PUT_AWAY:  # what is on the aircraft is put nowhere
            fitting = [part for part in fitting if part.state == "off"] or fitting
        if any(part.is_new_one_waiting for part in fitting) and (which := which_one(logged, self.vocabulary)):
            fitting = [part for part in fitting if part.is_new_one_waiting == (which == "new")] or fitting
        if not fitting:
            return None
        last = max(fitting, key=lambda part: (_told_in(part, logged), self.named[part.item].index(part)))
        told_now = _told_in(last, logged)
        if side is None and len({part.side for part in fitting}) > 1 and not told_now:
            # Port or starboard? Where nobody can say, it gets a line of its own.
            waiting = [part for part in fitting if _waits_for(part, fact)]
            number = how_many(last.item, None, self.vocabulary)
            enough = number is not None and number <= len(fitting)
            # both are off since that day: of a part that no list counts, one more of it would be a third
            enough = enough or (number is None and all(one.removed_on == logged.at.date() for one in fitting))
            told_again = fact.act == "remove" and not waiting and enough
            return last if told_again else waiting[0] if len(waiting) == 1 else None
        if fact.act == "fit" and not position and not told_now and several_told(part.position for part in fitting):
            return None  # which engine's? What closes neither is a line, and a question, of its own
        return last

    def _by_shorter_name(self, logged: LoggedFact, fact: MarkedFact, side: Side | None) -> Life | None:
        """Return the only part that is off and can be meant by a broader name: "the wing's on" of the outer wing.

        "The engine's on" is of no propeller, though each may be called a unit.
        """
        item = str(fact.item)
        if fact.status != "done" or fact.act not in _KEPT_OR_BACK:
            return None
        if self.vocabulary.part(item) is None or any(part.is_listed for part in self.named.get(item, ())):
            return None
        words = {one for one in last_words(item, self.vocabulary) if one in logged.sentence.lower()}
        off = [
            part
            for part in self.lives
            if part.state == "off" and same_side(part.side, side) and self.vocabulary.is_a(part.item, item)
            if words & last_words(part.item, self.vocabulary)
        ]
        return off[0] if len(off) == 1 else None

    def _is_open_end(self, part: Life, fact: MarkedFact) -> bool:
        """Tell whether a fact is of a pipe, cable or rod that was disconnected, or of one more such end."""
        if fact.act == "disconnect" and is_service(part.item, self.vocabulary):
            self.open_ends.add(part.item)
        return part.item in self.open_ends

    def _is_guessed(self, part: Life, logged: LoggedFact, side: Side | None) -> bool:
        """Tell whether a fact without a side was taken to be of this part only because no other of its name waits."""
        alike = [one for one in self.named[part.item] if one.side != part.side and one.state != "replaced"]
        told_now = _told_in(part, logged)
        return side is None and part.side is not None and bool(alike) and logged.fact.tag is None and not told_now

    def _takes_tag(self, part: Life, fact: MarkedFact) -> bool:
        """Tell whether a tag is the part's own: not where it is another's, was only read, and the part has one."""
        carried = any(one.tag == fact.tag for one in self.lives if one is not part)
        return fact.act == "tag" or part.tag is None or not carried

    def _may_take(self, part: Life, logged: LoggedFact, side: Side | None) -> bool:
        """Tell whether a fact can be of this one: not where its tag is another's, or it is another of many."""
        fact = logged.fact
        number = how_many(part.item, side or part.side, self.vocabulary)
        if fact.tag and part.tag and fact.tag != part.tag:
            # a correction: there is only one of it, or its tag was lost
            return number == 1 or self._is_contested(part.tag) or is_tagged_anew(logged)
        if fact.status == "seen" and part.place and not fact.place and number != 1 and not _told_in(part, logged):
            return False  # "the lock of the side door is broken" is not of the door at frame 6
        again = fact.act == "remove" and fact.status == "done" and part.state == "off" and not part.on_for_now
        told_then = part.removed_on == logged.at.date()
        if again and not told_then and side and not part.side and how_many(part.item, None, self.vocabulary) is None:
            return False  # one came off and nobody said which; of as many as there may be, this is another
        return not (again and not told_then and number is not None and number > 1)

    def _is_contested(self, tag: str) -> bool:
        return sum(part.tag == tag for part in self.lives) > 1

    def lines(self) -> tuple[PartOff, ...]:
        listed = [part for part in self.lives if part.is_listed]
        asked = questions(listed, self.readings, self.both, self.vocabulary)
        return tuple(self._line(part, asked) for part in listed)

    def _line(self, part: Life, asked: Mapping[int, list[Question]]) -> PartOff:
        told, attached = self._told_of_joints(part)
        usual = usual_joint(part, self.vocabulary)
        held = (*part.held, *(one for one in told if one.told == "undone"))
        held = held or (*part.explained, *told) or usual[1]
        return PartOff(
            item=part.item,
            side=part.side,
            place=part.place,
            position=part.position,
            called=part.called,
            tag=part.tag,
            former_tags=tuple(part.former_tags),
            state=part.state,
            removed_on=part.removed_on,
            refitted_on=part.refitted_on,
            replaced_on=part.replaced_on,
            attached_to=attached or usual[0],
            attached_by="undone" if attached else "usual" if usual[0] else "",
            held=held,
            stowage=part.stowage,
            kept_in_words=part.kept_in_words,
            stowed_on=part.stowed_on,
            moved_on=part.moved_on,
            life=tuple(part.life),
            questions=tuple(asked.get(id(part), ())),
        )

    def _told_of_joints(self, part: Life) -> tuple[tuple[Held, ...], tuple[str, ...]]:
        """Return what was told of the joints that the part is joined by, and what it was joined to there.

        What was undone counts where that was in the entry, or on the day, in which the part came off.
        """
        held: list[Held] = []
        attached: list[str] = []
        known = {joint.part: joint for joint in joints_between(part.item, self.vocabulary)}
        for logged in self.joints if part.removed_on else ():
            fact = logged.fact
            joint = known.get(str(fact.item))
            if joint is None or not same_side(fact.side, part.side):
                continue
            if fact.status == "explained":
                held += held_of(fact, "explained", logged.entry, joint.part)
            elif logged.entry == part.removed_in or logged.at.date() == part.removed_on:
                own = _of_each_side(fact) if part.side else fact
                held += held_of(own, "undone", logged.entry, joint.part)
                attached += [one for one in joint.joins if one != part.item]
        return tuple(held), tuple(dict.fromkeys(attached))


def _told_in(part: Life, logged: LoggedFact) -> bool:
    """Tell whether what was told of a part last was told in the entry of a fact."""
    return bool(part.life) and part.life[-1].entry == logged.entry


def _of_each_side(fact: MarkedFact) -> MarkedFact:
    """Return a fact as it is of each side: a number that was told of both is half a side where it divides."""
    if fact.side != "both" or fact.count is None or fact.of == "person":
        return fact
    half = fact.count // 2 if fact.count % 2 == 0 else None
    return fact.model_copy(update={"count": half})


def _waits_for(part: Life, fact: MarkedFact) -> bool:
    """Tell whether this fact is what a part waits for: to be stowed, to be fitted again, or to come off."""
    if fact.act == "remove":
        return part.state != "off"
    if fact.act == "fit":
        return part.state == "off"
    return bool(fact.stowage) and part.state == "off" and part.stowage is None
