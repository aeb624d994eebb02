"""The airframe at a glance: what is off, open, found and worked on, by zone, and by spot where it is known."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal, NamedTuple

from pipeline.lists.airframe_spots import Spot, Spots, several
from pipeline.lists.findings import is_open
from pipeline.lists.followed_up import done_since
from pipeline.lists.known_parts import NOT_OF_THE_AIRCRAFT, ZONES
from pipeline.lists.logged import same_place, same_side, sides
from pipeline.reading.fact import MarkedFact, Place, Side
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import DisconnectionLine, FastenerLine, Lists
from pipeline.trade.entries import Outline

State = Literal["found", "off", "open", "done", "support"]
Named = tuple[str, Side | None]
"""A part and its side."""

STATES: tuple[State, ...] = ("off", "open", "found", "done", "support")
WORK = frozenset((
    "inspect", "measure", "clean", "strip-finish", "treat", "prime", "paint", "repair", "make", "fit", "connect",
    "tighten", "lock", "test", "blank",
))  # fmt: skip
"""Acts that leave a part better known or nearer to going back; handling, and what takes apart, are not among them."""
_OPENS = frozenset({"undo", "drill-out", "disconnect", "separate", "open", "drain"})
_CLOSES = frozenset({"fit", "lock", "tighten"})
_CAME_OFF = ("removed", "removed-again", "told-again")
_NO_ZONE = "any"


@dataclass(frozen=True)
class DatedFact:
    """A fact with its day and its entry: what the records and the log have in common."""

    on: date
    entry: str
    fact: MarkedFact


@dataclass(frozen=True)
class Thing:
    """One thing to see on the aircraft. ``what`` is a finding, acts, or a kind of fastener, by its notation.

    ``severity`` orders findings and is no verdict; ``since`` says that work on that part was told after the finding.
    """

    state: State
    item: str | None
    side: Side | None
    place: tuple[Place, ...] | None
    zone: str
    spot: Spot | None
    entries: tuple[str, ...]
    what: tuple[str, ...] = ()
    joint: str | None = None
    position: str = ""
    called: str = ""
    count: int | None = None
    of_all: int | None = None
    about: bool = False
    severity: int = 0
    grade: str | None = None
    since: bool = False


@dataclass(frozen=True)
class Drawn:
    """An outline on one side as it stands: ``off`` where the part, or what it belongs to, is off the aircraft."""

    outline: Outline
    side: Side | None
    off: bool


@dataclass(frozen=True)
class Airframe:
    """What there is to see, in the order of the zones, and the outlines to see it on, the lowest first."""

    things: tuple[Thing, ...]
    drawn: tuple[Drawn, ...]

    def in_zone(self, zone: str) -> tuple[Thing, ...]:
        """Return what is in a zone, supports left out."""
        return tuple(one for one in self.things if one.zone == zone and one.state != "support")


def airframe(lists: Lists, told: Iterable[DatedFact], vocabulary: Vocabulary) -> Airframe:
    """Return how the aircraft stands at the end of the book.

    Args:
        lists: the standing lists.
        told: all facts, in any order.
        vocabulary: parts, stations and outlines.
    """
    maker = _Things(vocabulary)
    facts = sorted(told, key=lambda one: (one.on, one.entry))
    things = [
        *maker.off(lists),
        *maker.open(lists, facts),
        *maker.found(lists),
        *maker.worked_on(facts, lists),
        *maker.supports(lists),
    ]
    back = frozenset((one.item, one.side) for one in lists.parts_off if one.state in ("refitted", "on"))
    return _airframe(things, back, vocabulary)


def days_work(told: Iterable[DatedFact], vocabulary: Vocabulary) -> Airframe:
    """Return what the facts of one day tell, whatever became of it later: taken off, opened, found, worked on."""
    maker = _Things(vocabulary)
    facts = sorted(told, key=lambda one: one.entry)
    return _airframe([*maker.of_a_day(facts), *maker.worked_on(facts)], frozenset(), vocabulary)


def _airframe(things: Iterable[Thing], back: Collection[Named], vocabulary: Vocabulary) -> Airframe:
    kept = tuple(sorted(dict.fromkeys(things), key=_order))
    off = [(one.item, one.side) for one in kept if one.state == "off" and one.item]
    return Airframe(kept, outlines(vocabulary, off, back))


def outlines(vocabulary: Vocabulary, off: Collection[Named], back: Collection[Named] = ()) -> tuple[Drawn, ...]:
    """Return every outline on each side that it has one, the lowest first.

    Args:
        vocabulary: with the type's outlines.
        off: parts that are off the aircraft; what belongs to them is off with them.
        back: parts that were told to be on it again.
    """
    drawn = []
    for shape in sorted(vocabulary.outline, key=lambda one: (one.line, one.shape)):
        own: tuple[Side | None, ...] = (None,)
        if shape.symmetry == "pair":
            own = ("port", "starboard") if shape.view == "plan" else ("port",)
        for side in own:
            known = bool(shape.part) and not _is_back(shape.part, side, back)
            # of four engines, nobody told which one is off; what they all belong to takes them along
            alike = [one for one in vocabulary.outline if (one.part, one.view) == (shape.part, shape.view)]
            told = [one for one in off if one[0] != shape.part] if several(alike) else off
            drawn.append(Drawn(shape, side, known and _is_gone(shape.part, side, told, vocabulary)))
    return tuple(drawn)


def _is_back(part: str, side: Side | None, back: Collection[Named]) -> bool:
    return any(item == part and same_side(own, side) for item, own in back)


def _is_gone(part: str, side: Side | None, off: Collection[Named], vocabulary: Vocabulary) -> bool:
    """Tell whether a part is off with one of those; one of a pair is only where its own side was told."""
    return any(vocabulary.is_a(part, item) and (side is None or own in (side, "both")) for item, own in off)


def _order(one: Thing) -> tuple[Any, ...]:
    zone = ZONES.index(one.zone) if one.zone in ZONES else len(ZONES)
    where = tuple((place.scheme, place.at) for place in one.place or ())
    named = (one.item or "", one.side or "", where, one.position, one.called, one.joint or "", one.what)
    return zone, one.zone, STATES.index(one.state), -one.severity, named, one.entries


class _Worked(NamedTuple):
    """What was worked on: a part, its side, where, and of which engine it is."""

    item: str
    side: Side | None
    place: tuple[Place, ...] | None
    position: str


class _Things:
    """Makes things out of the lists' lines and the facts, each with its zone and its spot."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._words = vocabulary
        self._spots = Spots(vocabulary)

    def _thing(
        self,
        state: State,
        item: str | None,
        side: Side | None,
        place: tuple[Place, ...] | None,
        entries: Iterable[str],
        *,
        joint: str | None = None,
        **more: Any,
    ) -> Thing:
        spot = self._spots.spot(item, side, place, joint)
        zone = self._zone(item, joint)
        if zone == _NO_ZONE and spot is not None:
            zone = spot.zone
        ids = tuple(dict.fromkeys(entries))
        return Thing(state, item, side, place, zone, spot, ids, joint=joint, **more)

    def _zone(self, item: str | None, joint: str | None) -> str:
        for notation in (item, joint):
            part = self._words.part(notation or "")
            if part is not None and part.zone != _NO_ZONE:
                return part.zone
        return _NO_ZONE

    def _is_of_the_aircraft(self, item: str | None) -> bool:
        part = self._words.part(item or "")
        return part is None or part.kind not in NOT_OF_THE_AIRCRAFT

    def off(self, lists: Lists) -> Iterable[Thing]:
        for part in lists.parts_off:
            if part.state == "off":
                came = [event.entry for event in part.life if event.what in _CAME_OFF]
                entries = came or [event.entry for event in part.life]
                for side in sides(part.side):
                    yield self._thing(
                        *("off", part.item, side, part.place, entries), position=part.position, called=part.called
                    )

    def open(self, lists: Lists, facts: Sequence[DatedFact]) -> Iterable[Thing]:
        for line in lists.disconnections:
            if line.disconnected_on and not line.connected_on:
                entries, act = [move.entry for move in line.moves], line.act or "disconnect"
                for side in sides(line.side):
                    yield self._thing(
                        *("open", line.item, side, line.place, entries),
                        joint=line.joint,
                        position=line.position,
                        called=line.called,
                        what=(act,),
                    )
        settled = [one for one in lists.parts_off if one.state in ("off", "refitted")]
        for fastener in lists.fasteners:
            same = [p for p in settled if p.item == fastener.item and same_side(p.side, fastener.side)]
            if fastener.item and not same and _left_out(fastener):
                yield self._fasteners(fastener)
        yield from self._opened(facts)

    def _fasteners(self, line: FastenerLine) -> Thing:
        out = (line.undone or 0) + (line.drilled_out or 0)
        entries = [move.entry for move in line.moves]
        return self._thing(
            *("open", line.item, line.side, line.place, entries),
            position=line.position,
            what=(line.of,) if line.of else ("undo",),
            count=out or None,
            of_all=line.expected,
            about=line.expected_about,
        )

    def _opened(self, facts: Sequence[DatedFact]) -> Iterable[Thing]:
        """Yield panels and doors that were opened and not told to be closed since."""
        opened: list[DatedFact] = []
        for told in facts:
            fact = told.fact
            if fact.status != "done" or not fact.item:
                continue
            if fact.act in _CLOSES:
                opened = [
                    one
                    for one in opened
                    if one.fact.item != fact.item
                    or not same_side(one.fact.side, fact.side)
                    or not same_place(one.fact.place, fact.place)
                ]
            elif fact.act == "open":
                opened.append(told)
        for one in opened:
            for side in sides(one.fact.side):
                yield self._thing("open", one.fact.item, side, one.fact.place, [one.entry], what=("open",))

    def found(self, lists: Lists) -> Iterable[Thing]:
        for line in lists.findings:
            if is_open(line) and self._is_of_the_aircraft(line.item):
                entries = [seen.entry for seen in line.seen if not seen.absent]
                yield self._thing(
                    *("found", line.item, line.side, line.place, entries),
                    position=line.position,
                    called=line.called,
                    what=(line.finding,),
                    severity=line.severity,
                    grade=line.grade,
                    since=bool(done_since(line)),
                )

    def worked_on(self, facts: Sequence[DatedFact], lists: Lists | None = None) -> Iterable[Thing]:
        """Yield each part with all that was done to it, at each place that was told.

        What was told without a side goes with the only side that was told. Work that the lists say is undone again,
        or not done for sure, is left out: they tell how the part stands. So they tell of which engine it is.
        """
        engines = _engines_of(lists) if lists else {}
        gathered: dict[_Worked, list[DatedFact]] = {}
        for told in facts:
            fact = told.fact
            if fact.status != "done" or fact.act not in WORK or not fact.item:
                continue
            if self._is_of_the_aircraft(fact.item):
                for side in sides(fact.side):
                    position = engines.get((fact.item, told.entry), "")
                    gathered.setdefault(_Worked(fact.item, side, fact.place, position), []).append(told)
        for (item, side, place, position), own in _with_the_only_side(gathered).items():
            undone = _undone_since(item, side, lists) if lists else frozenset()
            own = [one for one in own if one.fact.act not in undone]
            acts = sorted({str(one.fact.act) for one in own})
            if acts:
                entries = [one.entry for one in own]
                yield self._thing("done", item, side, place, entries, position=position, what=tuple(acts))

    def supports(self, lists: Lists) -> Iterable[Thing]:
        for line in lists.holding_up:
            if line.until is None:
                entries = [move.entry for move in line.moves]
                for side in sides(line.side):
                    yield self._thing(
                        *("support", line.item, side, line.place, entries), position=line.position, what=line.by
                    )

    def of_a_day(self, facts: Sequence[DatedFact]) -> Iterable[Thing]:
        off = {(one.fact.item, side) for one in facts if _takes_off(one.fact) for side in sides(one.fact.side)}
        for told in facts:
            fact, entries = told.fact, [told.entry]
            if not fact.item or not self._is_of_the_aircraft(fact.item):
                continue
            for side in sides(fact.side):
                if _takes_off(fact):
                    yield self._thing("off", fact.item, side, fact.place, entries)
                elif fact.status == "done" and fact.act in _OPENS and (fact.item, side) not in off:
                    yield self._thing("open", fact.item, side, fact.place, entries, what=(str(fact.act),))
                elif fact.status == "seen" and fact.finding not in (None, "sound") and not fact.absent:
                    yield self._thing(
                        "found", fact.item, side, fact.place, entries, what=(str(fact.finding),), grade=fact.grade
                    )


def _with_the_only_side(gathered: Mapping[_Worked, list[DatedFact]]) -> dict[_Worked, list[DatedFact]]:
    joined: dict[_Worked, list[DatedFact]] = {}
    for key, own in gathered.items():
        sided = [one for one in gathered if one.side and one._replace(side=None) == key]
        joined.setdefault(sided[0] if len(sided) == 1 else key, []).extend(own)
    return joined


def _engines_of(lists: Lists) -> dict[tuple[str, str], str]:
    """Return of which engine work on a part in an entry was, where the lists tell of one alone."""
    told: dict[tuple[str, str], set[str]] = {}
    for part in lists.parts_off:
        for event in part.life:
            told.setdefault((part.item, event.entry), set()).add(part.position)
    lines: tuple[FastenerLine | DisconnectionLine, ...] = (*lists.fasteners, *lists.disconnections)
    for line in lines:
        for move in line.moves if line.item else ():
            told.setdefault((str(line.item), move.entry), set()).add(line.position)
    return {key: positions.pop() for key, positions in told.items() if len(positions) == 1}


def _undone_since(item: str, side: Side | None, lists: Lists) -> frozenset[str]:
    """Return the acts that do not hold: a part that is off is not fitted, and a line that is open not connected."""
    off = any(one.item == item and one.state == "off" and one.side == side for one in lists.parts_off)
    own = [one for one in lists.disconnections if (one.item, one.side) == (item, side) and one.disconnected_on]
    still_open = any(one.connected_on is None for one in own)
    closed = any(one.blanked_on and one.connected_on for one in own) and not still_open
    undone: set[str] = set()
    undone |= {"fit", "tighten", "lock"} if off else set()
    undone |= {"connect"} if still_open else set()
    undone |= {"blank"} if closed else set()
    return frozenset(undone)


def _takes_off(fact: MarkedFact) -> bool:
    return fact.status == "done" and fact.act == "remove"


def _left_out(line: FastenerLine) -> bool:
    """Tell whether fasteners are out and not all told to be in again; out without a number counts too."""
    out = (line.undone or 0) + (line.drilled_out or 0)
    uncounted = bool({"undone", "drilled_out"} & set(line.uncounted))
    back = (line.fitted or 0) + (line.tightened or 0 if not line.fitted else 0)
    if "fitted" in line.uncounted or "tightened" in line.uncounted:
        return False
    return (out > back) or (uncounted and not back)
