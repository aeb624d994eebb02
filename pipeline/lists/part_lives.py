"""The life of one part while the facts are gone through: what became of it, one telling after another."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import takewhile
from typing import Literal

from pipeline.lists.how_many import there_are_many
from pipeline.lists.logged import LoggedFact
from pipeline.lists.loose_fasteners import are_of_those, number_taken_back
from pipeline.lists.refitted import is_for_now, is_refitted, is_set_down, number_taken, number_told, tells_of_several
from pipeline.reading.fact import MarkedFact, Place, Side, Stowage
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Held, PartEvent, PartEventKind

State = Literal["on", "off", "refitted", "replaced", "unknown"]

# With these, a stowage is where the part is from then on.
_STOWING = frozenset({"store", "bag", "tag", "move", "lower", "remove"})
MAKING_FAST = frozenset({"tighten", "lock"})
_UNDOING = frozenset({"undo", "drill-out"})
_ON_A_SPOT = frozenset({"clean", "strip-finish", "treat", "prime", "paint", "repair", "inspect", "measure"})
_EVENTS: dict[str, PartEventKind] = {
    "undo": "undone",
    "drill-out": "undone",
    "inspect": "inspected",
    "measure": "inspected",
    "test": "inspected",
    "clean": "treated",
    "strip-finish": "treated",
    "treat": "treated",
    "prime": "painted",
    "paint": "painted",
    "repair": "repaired",
    "bag": "bagged",
    "tag": "tagged",
    "store": "stowed",
    "move": "moved",
    "lower": "moved",
}

_PUTTING = frozenset({"store", "move", "lower"})
_PLACE = re.compile(
    r"\b(?:away|in|into|inside|on|onto|at|to|by|under|behind|beside|against|outside|from) "
    r"(?:the|a|an|its|his|her|their|our|one of|two|[A-Z](?!\w*day\b)\w+)\b",
)
_OFF_ITS_JACKS = re.compile(
    r"\b(?:off|from)(?: of)? (?:(?:the|its|her|their|both|all|those) )*(?:jack|trestle|stand|sling|hoist)s?\b",
    re.IGNORECASE,
)
_LEFT = re.compile(
    r"\b(?:sent|send|gone|went|goes|taken|took|shipped|posted) (?:\S+ ){0,5}?(?:away|off|out|to)\b"
    r"|\b(?:lent|loaned|on loan|borrow(?:ed|ing))\b",
    re.IGNORECASE,
)


@dataclass(eq=False)
class Life:
    """One part, as far as it has been told. It changes only while ``parts_off`` goes through the facts."""

    item: str
    side: Side | None
    place: tuple[Place, ...] | None
    position: str = ""
    called: str = ""  # of a cable or a rod, by what it moves
    tag: str | None = None
    former_tags: list[str] = field(default_factory=list)
    state: State = "unknown"
    removed_on: date | None = None
    removed_in: str = ""
    again_on: date | None = None
    again_in: str = ""
    several_off: bool = False  # they came off in the plural, and nobody said of which side
    on_for_now: bool = False  # it was hung on the aircraft for a while, and is off still
    parted: bool = False  # a pipe, a cable or a rod that was disconnected: its tag is on an open end
    number_off: int | None = None  # of parts of one name that came off together: how many are off still
    some_back_on: date | None = None
    some_back_in: str = ""
    refitted_on: date | None = None
    replaced_on: date | None = None
    made: bool = False
    ever_off: bool = False
    ever_kept: bool = False
    held: dict[Held, None] = field(default_factory=dict)  # each once, in order
    explained: list[Held] = field(default_factory=list)
    attached_to: tuple[str, ...] = ()
    stowage: Stowage | None = None
    kept_in_words: str = ""
    stowed_on: date | None = None
    moved_on: date | None = None
    moved_in: str = ""
    life: list[PartEvent] = field(default_factory=list)

    @property
    def is_listed(self) -> bool:
        """Tell whether it belongs on the list: it came off or went back on, or it is stowed or tagged."""
        return self.ever_off or self.ever_kept or self.state == "refitted"

    @property
    def is_new_one_waiting(self) -> bool:
        """Tell whether it is a new one, bought or made, that was put somewhere and never was on the aircraft."""
        return self.made and self.state == "unknown"

    @property
    def is_kept(self) -> bool:
        """Tell whether somebody said where it is, be it in words that no list has."""
        return self.stowage is not None or bool(self.kept_in_words)

    @property
    def entries(self) -> tuple[str, ...]:
        """Return the entries that tell of it, in order."""
        return tuple(dict.fromkeys(event.entry for event in self.life))


def replace(part: Life, logged: LoggedFact) -> None:
    """Tell a part that another one was fitted in its place."""
    part.state, part.replaced_on, part.again_on = "replaced", logged.at.date(), None
    part.life.append(PartEvent(on=logged.at.date(), what="replaced", entry=logged.entry, act=logged.fact.act))


def live_elsewhere(part: Life, logged: LoggedFact) -> None:
    """Tell a part that it was fitted on the other side: it is off where it belongs, and there in the words said."""
    on = logged.at.date()
    part.state, part.ever_off, part.ever_kept = "off", True, True
    part.stowage, part.moved_on, part.kept_in_words, part.stowed_on = None, None, logged.sentence, on
    part.life.append(PartEvent(on=on, what="moved", entry=logged.entry, act=logged.fact.act))


def new_one_of(part: Life, called: str) -> Life:
    """Return another part to take the place of one, of which nothing is told yet; ``called`` tells the two apart."""
    return Life(part.item, part.side, part.place, part.position, called, made=True)


def came_off_with(other: Life, part: Life) -> Life:
    """Tell a part, of which nothing is told yet, that it came off together with another one, and return it."""
    part.state, part.ever_off, part.several_off = "off", True, True
    part.removed_on, part.removed_in = other.removed_on, other.removed_in
    part.life = [event for event in other.life if event.entry == other.removed_in and event.act == "remove"]
    return part


def live(
    part: Life,
    logged: LoggedFact,
    nouns: frozenset[str],
    *,
    takes_tag: bool = True,
    connected: bool = False,
    inferred: str = "",
) -> None:
    """Take one fact into the life of the part that it tells of.

    Args:
        part: is changed.
        logged: done, seen, or not taken off.
        nouns: the last words of the names of the part.
        takes_tag: a tag that the fact tells is the part's from then on.
        connected: it is a pipe, a cable or a rod, which is on again once it is connected.
        inferred: why the fact is taken to be of this part, where its words do not say so.
    """
    fact, on = logged.fact, logged.at.date()
    stowage, tag = part.stowage, part.tag
    what: PartEventKind = "refitted" if connected and part.state == "off" else _what(part, logged)
    if fact.status in ("done", "seen"):
        if takes_tag:
            _tagged(part, fact)
        _off_or_on(part, logged, what, nouns)
        _kept(part, logged)
        part.made = part.made or fact.act == "make"
    elif what == "left-on" and part.state != "off":
        part.state = "on"
    part.life.append(
        PartEvent(
            on=on,
            what=what,
            entry=logged.entry,
            act=fact.act,
            finding=fact.finding,
            absent=bool(fact.absent),
            grade=fact.grade,
            measure=fact.measure,
            count=fact.count,
            of=fact.of,
            about=bool(fact.about),
            stowage=part.stowage if part.stowage != stowage else None,
            tag=part.tag if part.tag != tag else None,
            tag_before=tag if part.tag != tag else None,
            called=fact.item if fact.item != part.item else None,
            inferred=inferred,
        )
    )


def held_of(
    fact: MarkedFact, told: Literal["undone", "explained"], entry: str, joint: str | None = None
) -> Iterable[Held]:
    """Yield what a fact says of the fasteners that hold its part; nothing where it counts people or parts."""
    if fact.of is not None and fact.count is not None and fact.of not in ("person", fact.item):
        yield Held(
            of=fact.of,
            count=fact.count,
            about=bool(fact.about),
            place=fact.place,
            told=told,
            joint=joint,
            entry=entry,
        )


def is_of_a_spot_on_it(fact: MarkedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether a side and a place may be where on a part something is: "a dent in the tail cone, on the left".

    Of what there are many ("the rib at frame 9"), they tell which of them it is.
    """
    on_the_spot = fact.status == "seen" or fact.act in _ON_A_SPOT
    return on_the_spot and not there_are_many(str(fact.item), vocabulary) and not _has_sides(fact, vocabulary)


def _has_sides(fact: MarkedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether a side that was told tells one of a pair."""
    part = vocabulary.part(str(fact.item))
    return fact.side is not None and part is not None and part.symmetrical


def undone_and_put_away(life: Sequence[PartEvent]) -> PartEvent | None:
    """Return when what holds a part was undone in the entry that says where it is: then it came off, unsaid.

    "Took out 42 screws from the belly panel. The panel's on shelf two."
    """
    kept = {event.entry for event in life if event.stowage}
    return next((event for event in life if event.what == "undone" and event.entry in kept), None)


def _what(part: Life, logged: LoggedFact) -> PartEventKind:
    fact = logged.fact
    if fact.status == "not-done":
        return "left-on"
    if fact.status == "seen":
        return "finding"
    if fact.act == "remove":
        return "told-again" if part.state == "off" else "removed-again" if part.ever_off else "removed"
    if is_refitted(logged) or (part.state == "off" and _is_made_fast(part, logged)):
        return "refitted"
    return _EVENTS.get(str(fact.act), "other")


def _is_made_fast(part: Life, logged: LoggedFact) -> bool:
    """Tell whether what holds an off part was fitted, tightened and locked in one entry: then the part is on."""
    if logged.fact.act not in MAKING_FAST:
        return False
    told = {event.act for event in takewhile(lambda event: event.entry == logged.entry, reversed(part.life))}
    return {"fit", *MAKING_FAST} <= told | {logged.fact.act}


def _tagged(part: Life, fact: MarkedFact) -> None:
    if fact.tag is None or fact.tag == part.tag:
        return
    if part.tag is not None and part.tag not in part.former_tags:
        part.former_tags.append(part.tag)
    if fact.tag in part.former_tags:
        part.former_tags.remove(fact.tag)
    part.tag = fact.tag
    part.ever_kept = part.ever_kept or not part.parted


def _off_or_on(part: Life, logged: LoggedFact, what: PartEventKind, nouns: frozenset[str]) -> None:
    fact, on = logged.fact, logged.at.date()
    was, was_for_now = part.state, part.on_for_now
    if part.state == "replaced":
        part.removed_on = part.removed_on or (on if fact.act == "remove" else None)
    elif fact.act == "remove" and fact.status == "done":
        _came_off(part, logged, nouns)
    elif what == "refitted" and (left := _left_off(part, logged, nouns)):
        part.number_off, part.some_back_on, part.some_back_in = left, on, logged.entry
    elif what == "refitted":
        part.number_off, part.on_for_now = None, False
        part.state, part.refitted_on = "refitted", on
        part.stowage, part.stowed_on, part.moved_on, part.again_on = None, None, None, None
        part.kept_in_words = ""
    if fact.act in _UNDOING or (fact.act == "remove" and fact.status == "done"):
        _hold(part, logged, again=was == "refitted", for_now=was_for_now)


def _came_off(part: Life, logged: LoggedFact, nouns: frozenset[str]) -> None:
    """Take in that a part came off: for the first time, once more, or told again."""
    on, told_before = logged.at.date(), part.number_off or 0 if part.state == "off" else 0
    part.number_off = max(number_taken(logged, nouns) or 0, told_before) or None
    if part.on_for_now:
        part.on_for_now, part.kept_in_words, part.stowed_on = False, "", None
    elif part.state == "off" and on != part.removed_on and part.again_on is None:
        part.again_on, part.again_in = on, logged.entry
    elif part.state != "off":
        part.removed_on, part.removed_in, part.again_on = on, logged.entry, None
    part.state, part.refitted_on, part.ever_off = "off", None, True
    part.several_off = logged.fact.side is None and tells_of_several(logged, nouns)


def _hold(part: Life, logged: LoggedFact, *, again: bool, for_now: bool) -> None:
    """Keep what was undone of what holds a part: told twice it is one, and a number that was wrong is put right.

    Of a part that was back and comes off ``again``, a new number takes the place of the old one. It does not where it
    is of some of them: those of them that were drilled out, or those with which the part was on ``for_now``.
    """
    wrong = number_taken_back(logged.sentence)
    some = logged.fact.act == "drill-out" and are_of_those(logged.sentence)
    some = some or for_now or (again and logged.fact.act != "remove")
    for one in held_of(logged.fact, "undone", logged.entry):
        known = [other for other in part.held if other.of == one.of]
        if some and (one.count or 0) <= sum(other.count or 0 for other in known):
            continue
        if wrong is not None:
            part.held = {other: None for other in part.held if (other.of, other.count) != (one.of, wrong)}
        if again:
            part.held = {other: None for other in part.held if other not in known}
        part.held[one] = None


def _left_off(part: Life, logged: LoggedFact, nouns: frozenset[str]) -> int:
    """Return how many of a part are off still after some were fitted, 0 where they may be all."""
    back = number_told(logged, nouns) if part.state == "off" and (part.number_off or 0) > 1 else None
    return max(0, (part.number_off or 0) - back) if back is not None else 0


def _kept(part: Life, logged: LoggedFact) -> None:
    fact, on = logged.fact, logged.at.date()
    if part.state == "off" and is_for_now(logged):  # it is off still, and is not where it was kept
        part.stowage, part.kept_in_words, part.stowed_on = None, logged.sentence, on
        part.on_for_now = True
        return
    words = _place_in_words(part, logged)
    left = _tells_of_leaving(logged) if words else fact.act == "move"
    if fact.stowage is None and left and part.stowage and not _told_of(part, logged.entry):
        part.stowage, part.stowed_on = None, None
        part.moved_on, part.moved_in = on, logged.entry
    if words and part.stowage is None:
        part.kept_in_words, part.stowed_on, part.moved_on = words, on, None
        _put_away(part)
    if fact.stowage is None or fact.act not in _STOWING:
        return
    stowage = fact.stowage
    if fact.act != "bag" and part.stowage and part.stowage.bag and not (stowage.bag or stowage.box):
        stowage = stowage.model_copy(update={"bag": part.stowage.bag})  # what is in a bag goes where the bag goes
    if stowage != part.stowage:
        part.stowage, part.stowed_on = stowage, on
    part.moved_on, part.kept_in_words = None, ""
    _put_away(part)


def _put_away(part: Life) -> None:
    part.ever_kept = True
    if part.state in ("on", "refitted"):
        part.state, part.refitted_on = "unknown", None  # kept somewhere, and nobody said that it came off
        part.removed_on, part.removed_in = None, ""  # the day on which it came off before was told of an earlier time


def _told_of(part: Life, entry: str) -> bool:
    """Tell whether the entry has said already where the part is kept: it was moved there."""
    return any(event.entry == entry and event.stowage for event in part.life)


def _place_in_words(part: Life, logged: LoggedFact) -> str:
    """Return the sentence in which a part was put somewhere that no list has; "" where none tells of a place."""
    fact, sentence = logged.fact, logged.sentence
    if fact.status != "done" or fact.stowage is not None:
        return ""
    if fact.act == "lower" and not part.ever_off and _OFF_ITS_JACKS.search(sentence):
        return ""  # the aircraft was let down on to its wheels
    if fact.act in _PUTTING:
        return sentence if _PLACE.search(sentence) or _LEFT.search(sentence) else ""
    stands = part.state == "off" and (fact.act == "support" or (fact.act == "remove" and is_set_down(logged)))
    return sentence if stands else ""


def _tells_of_leaving(logged: LoggedFact) -> bool:
    """Tell whether a part went from where it was kept: it was moved, sent away, or put on something else."""
    return logged.fact.act in ("move", "support") or bool(_LEFT.search(logged.sentence))
