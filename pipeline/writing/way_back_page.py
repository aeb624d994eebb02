"""The way back as a check sheet for each assembly: boxes to tick, hold points with lines to sign, and the reasons."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import tzinfo

from pipeline.lists.reassembly_order import without_detours
from pipeline.records import HoldPoint, Records, WayBack, WayBackCycle, WayBackEdge, WayBackStep
from pipeline.writing.entry_links import Link, entry_links
from pipeline.writing.pages import page
from pipeline.writing.terms import Terms
from pipeline.writing.way_back_drawing import way_back_drawing
from pipeline.writing.way_back_words import (
    AUTHORISED,
    HOW_TO_READ,
    NO_SOURCE,
    assembly_text,
    by_assembly,
    done_text,
    hold_text,
    notes_of,
    reason_text,
    step_text,
    strongest,
)

PAGE, DRAWING = "way-back.html", "way-back.svg"


@dataclass(frozen=True)
class Why:
    """What comes first, and why; "" for a reason that is told once, above all sheets."""

    firsts: tuple[Link, ...]
    why: str


@dataclass(frozen=True)
class SheetLine:
    """One line of a check sheet: a step, or a hold point."""

    id: str
    number: int
    text: str
    hold: bool = False
    done: str = ""
    notes: tuple[str, ...] = ()
    whys: tuple[Why, ...] = ()
    entries: tuple[Link, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """The check sheet of one assembly, and how many of its steps are left."""

    id: str
    title: str
    lines: tuple[SheetLine, ...]
    left: int


@dataclass(frozen=True)
class HoldKind:
    """A kind of hold point: its name, why putting together stops there, where that is written ("" for nowhere)."""

    name: str
    why: str
    source: str


@dataclass(frozen=True)
class Circle:
    """Steps whose reasons go round in a circle: the reasons one by one, and which was left out."""

    text: str
    reasons: tuple[tuple[str, str, bool], ...]


def way_back_files(records: Records, terms: Terms, zone: tzinfo) -> dict[str, str]:
    """Return the check sheets and the drawing by their places in ``out/``."""
    way = records.lists.way_back
    sheets = _Sheets(records, terms, zone)
    return {
        PAGE: page(
            "way-back/page.html",
            book=records.book,
            sheets=sheets.made(),
            circles=sheets.circles(),
            holds=hold_kinds(way),
            drawing=DRAWING,
            how_to_read=HOW_TO_READ,
            authorised=AUTHORISED,
        ),
        DRAWING: way_back_drawing(way, terms, records.book, PAGE),
    }


def way_back_sheets(records: Records, terms: Terms, zone: tzinfo) -> tuple[list[Sheet], list[Circle]]:
    """Return the check sheet of each assembly, and where the reasons go round in circles."""
    sheets = _Sheets(records, terms, zone)
    return sheets.made(), sheets.circles()


def hold_kinds(way: WayBack) -> tuple[HoldKind, ...]:
    """Return what each kind of hold point is for, in the order in which they first come: told once, not at each."""
    kinds = (
        HoldKind(one.name, one.why, "" if one.source == NO_SOURCE else one.source)
        for one in sorted(way.hold_points, key=lambda one: way.order.index(one.id))
    )
    return tuple(dict.fromkeys(kinds))


class _Sheets:
    def __init__(self, records: Records, terms: Terms, zone: tzinfo) -> None:
        self._way: WayBack = records.lists.way_back
        self._terms = terms
        self._steps = {step.id: step for step in self._way.steps}
        self._holds = {hold.id: hold for hold in self._way.hold_points}
        self._numbers = {one: at for at, one in enumerate(self._way.order, start=1)}
        self._entries = entry_links(records, zone, "logbook/")
        self._edges = {(edge.before, edge.after): edge for edge in self._way.edges}
        kept = [pair for pair, edge in self._edges.items() if not edge.left_out]
        order = [one for one in self._way.order if one in self._steps]
        self._reasons: dict[str, list[WayBackEdge]] = {}
        for pair in without_detours(order, kept):
            self._reasons.setdefault(pair[1], []).append(self._edges[pair])

    def made(self) -> list[Sheet]:
        sheets = []
        for assembly, ids in by_assembly(self._way, self._terms):
            lines = tuple(self._line(one) for one in ids)
            sheets.append(
                Sheet(
                    id=f"sheet-{'-'.join(filter(None, assembly)).replace(' ', '-') or 'other'}",
                    title=assembly_text(assembly, self._terms),
                    lines=lines,
                    left=sum(not line.hold and not line.done for line in lines),
                )
            )
        return sheets

    def _line(self, one: str) -> SheetLine:
        return self._step(self._steps[one]) if one in self._steps else self._hold(self._holds[one])

    def _step(self, step: WayBackStep) -> SheetLine:
        return SheetLine(
            id=step.id,
            number=self._numbers[step.id],
            text=step_text(step, self._terms),
            done=done_text(step),
            notes=notes_of(step, self._terms),
            whys=self._whys(step),
            entries=self._links(step.entries),
        )

    def _whys(self, step: WayBackStep) -> tuple[Why, ...]:
        """Return what comes before a step, all that does so for one reason together."""
        found: dict[str, list[str]] = {}
        for edge in self._reasons.get(step.id, ()):
            reason = strongest(edge.reasons)
            before, after = self._steps[edge.before], self._steps[edge.after]
            why = "" if reason.kind == "joint" else reason_text(reason, before, after, self._terms)
            found.setdefault(why, []).append(edge.before)
        return tuple(Why(self._numbered(firsts), why) for why, firsts in found.items())

    def _numbered(self, ids: Iterable[str]) -> tuple[Link, ...]:
        return tuple(Link(f"#{one}", f"{self._numbers[one]}") for one in ids if one in self._steps)

    def _hold(self, hold: HoldPoint) -> SheetLine:
        return SheetLine(
            id=hold.id,
            number=self._numbers[hold.id],
            text=hold_text(hold, self._terms),
            hold=True,
            whys=(Why(self._numbered(hold.after), ""),),
        )

    def _links(self, ids: Sequence[str]) -> tuple[Link, ...]:
        return tuple(self._entries[one] for one in ids if one in self._entries)

    def circles(self) -> list[Circle]:
        """Return the circles; those that one step's telling is in, told against several others, as one."""
        found: dict[tuple[str, str], list[WayBackCycle]] = {}
        for cycle in self._way.cycles:
            kind = strongest(self._edges[cycle.left_out].reasons).kind
            found.setdefault((cycle.left_out[0], kind), []).append(cycle)
        return [self._circle(cycles, self._steps) for cycles in found.values()]

    def _circle(self, cycles: Sequence[WayBackCycle], steps: Mapping[str, WayBackStep]) -> Circle:
        names = [step_text(steps[one], self._terms) for one in cycles[0].steps]
        more = f" (and {len(cycles) - 1} more like it)" if len(cycles) > 1 else ""
        reasons: dict[tuple[str, str, bool], None] = {}
        for cycle in cycles:
            for pair in zip(cycle.steps, (*cycle.steps[1:], cycle.steps[0]), strict=True):
                before, after = steps[pair[0]], steps[pair[1]]
                then = step_text(after, self._terms)
                what = f"{step_text(before, self._terms)}, then {then[:1].lower()}{then[1:]}"
                why = reason_text(strongest(self._edges[pair].reasons), before, after, self._terms)
                reasons[what, why, pair == cycle.left_out] = None
        return Circle(" → ".join((*names, names[0])) + more, tuple(reasons))
