"""What a gauge showed, told without a verb of work: "rudder cables, left 38 pounds, right 36", "tyre's at 30 psi"."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from pipeline.reading.fact import Fact, Measure
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.laws.counts import has_no_noun
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import Span, overlap

_UNITS: Mapping[str, str] = {  # in which a gauge tells of each part that is made tight by it, or filled
    **dict.fromkeys(
        ("control-cable", "flying-wire", "landing-wire", "incidence-wire", "drift-wire", "tie-rod"), "lb"
    ),
    **dict.fromkeys(("tyre", "main-oleo", "tail-oleo", "accumulator", "air-bottle"), "psi"),
}
_GAUGED = {"tension": "lb", "tensions": "lb", "pressure": "psi", "pressures": "psi"}
_SHOWS = word_set("read show come get measure find stand sit settle check")
_BETWEEN = word_set(
    "'s 're is are was were , : - and at of on in to the a for both each up down now charged pumped reading reads "
    "front rear pair top bottom inner outer we i it came out all wing wings"
)
_AFTER = 3  # pieces from a number to the side that is said after it: "forty pounds on the left"


@dataclass(frozen=True, slots=True)
class _Shown:
    """What a gauge showed of a part on a side ("" for none), in which sentence, and where that is told."""

    part: str
    side: str
    measure: Measure
    words: Span
    sentence: Span


def with_what_a_gauge_showed(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what a gauge showed of cables, wires, tyres and oleos where that is told of no work.

    It takes the place of work on anything that is only likely: "Elevator up cable, forty-five pounds" lifts no
    elevator.
    """
    found, read_off = list(facts), [*_all_shown(case)]
    for one in read_off:
        own = [f for f in facts if case.sentence(f) == one.sentence and one.measure.value in _values(f)]
        if any(f.item in (one.part, "turnbuckle") and _stands(case, f) for f in own):
            continue
        values = {other.measure.value for other in read_off if other.sentence == one.sentence}
        found = [f for f in found if f not in own or _stands(case, f) or not (f.act and _values(f) <= values)]
        found.append(
            by_law(
                "read off a gauge: measure",
                status="done",
                act="measure",
                item=one.part,
                side=one.side or None,
                measure=(one.measure,),
                words=one.words,
            )
        )
    return found


def with_what_was_measured(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each measuring that has no measure with the one that the rules read of the same part."""
    found: list[Fact] = []
    for fact in facts:
        lacking = fact.act == "measure" and not fact.measure
        same = [f for f in case.by_rules if lacking and _is_same_measuring(case, f, fact)]
        found.append(fact.model_copy(update={"measure": same[0].measure}) if same else fact)
    return found


def _is_same_measuring(case: Case, one: Fact, other: Fact) -> bool:
    keys = ("status", "act", "item", "side")
    alike = all(getattr(one, key) == getattr(other, key) for key in keys)
    return alike and bool(one.measure) and case.together(one, other)


def _stands(case: Case, fact: Fact) -> bool:
    """Tell whether a fact is told of the value itself: a measuring, or work that more than its value tells."""
    verbs = {piece.verb for piece in case.own_pieces(fact) if piece.verb and not piece.sense("sides")}
    shown = bool(verbs) and verbs <= _SHOWS
    return fact.act == "measure" or not (fact.doubts or shown)


def _values(fact: Fact) -> set[float]:
    return {one.value for one in fact.measure or ()}


def _all_shown(case: Case) -> Iterator[_Shown]:
    """Yield all that a gauge showed; a sentence that opens with a side goes on with the part before it."""
    last: _Shown | None = None
    for own in case.sentences():
        goes_on = last if last is not None and case.pieces[own[0]].kind == "side" else None
        shown = [*_shown_in(case, own[0], own[-1] + 1, goes_on)]
        yield from shown
        last = shown[-1] if shown else None


def _shown_in(case: Case, first: int, end: int, goes_on: _Shown | None) -> Iterator[_Shown]:
    """Yield what a gauge showed in one sentence of pieces (``end`` exclusive), of the part before it or its own."""
    pieces = case.pieces
    part, side = (goes_on.part, "") if goes_on else ("", "")
    unit = goes_on.measure.unit if goes_on else ""
    since, before = first, part
    for at in range(first, end):
        piece = pieces[at]
        named = _named(case, at, part or before)
        value = _value(pieces, at, part, unit if at == first or _goes_on(pieces, since, at) else "")
        if named:
            held = part == named
            part = before = named
            since = at
            side = _side_before(pieces, first, at) or (side if held else "")
            unit = _goes_without_saying(case, at) or unit
            if _is_worked_on(pieces, first, at):
                part = ""
        elif part and value is not None:
            words = (pieces[since].start, piece.end)
            said = _side_of(pieces, since, at, end) or side
            one = _Shown(part, said, value, words, case.rules.sentence(words[0]))
            if not any(overlap(words, span) for span in case.rules.not_done):
                yield one
            unit, since = value.unit, at + 1
        elif part and not _may_stand_between(case, piece):
            part = ""


def _named(case: Case, at: int, part: str) -> str:
    """Return the gauged part that a piece names; "tension" names the one that is spoken of."""
    piece = case.pieces[at]
    named = case.part_named(piece) if piece.kind == "thing" else ""
    if piece.low in _GAUGED and _UNITS.get(part, "") != _GAUGED[piece.low]:
        named = case.rules.it(piece.start)[0]
        named = named if _UNITS.get(named) == _GAUGED[piece.low] else ""
    elif piece.low in _GAUGED:
        named = part
    return named if named in _UNITS else ""


def _value(pieces: Sequence[Piece], at: int, part: str, unit: str) -> Measure | None:
    """Return what a piece says in the unit that a part is gauged in, or told before; None for none."""
    piece, usual = pieces[at], _UNITS.get(part, "")
    for measure in piece.measures if piece.kind == "measure" else ():
        if measure.unit in (usual, "lb"):
            return Measure(value=measure.value, unit=usual)
    bare = piece.kind == "number" and piece.number is not None and has_no_noun(pieces, at)
    return Measure(value=float(piece.number or 0), unit=unit) if bare and unit and unit == usual else None


def _goes_on(pieces: Sequence[Piece], since: int, at: int) -> bool:
    """Tell whether a bare number says what it is of: more than a mark stands since the value before it."""
    return any(piece.kind != "mark" for piece in pieces[since:at])


def _goes_without_saying(case: Case, at: int) -> str:
    """Return the unit of bare numbers after "tension", if pounds are told of soon, or after "pressure"."""
    unit = _GAUGED.get(case.pieces[at].low, "")
    _start, end = case.rules.sentence(case.pieces[at].start)
    _start, end = case.rules.sentence(end)
    told = {one.unit for piece in case.pieces[at:] if piece.start < end for one in piece.measures}
    return unit if unit == "psi" or unit in told else ""


def _is_worked_on(pieces: Sequence[Piece], first: int, at: int) -> bool:
    """Tell whether a verb of work leads to the piece: "we tensioned the rudder cables to forty pounds"."""
    step = at - 1
    while step >= first and pieces[step].kind != "mark":
        if pieces[step].verb and pieces[step].verb not in _SHOWS and not pieces[step].sense("sides"):
            return True
        step -= 1
    return False


def _may_stand_between(case: Case, piece: Piece) -> bool:
    """Tell whether a piece may stand between a part and what its gauge shows."""
    surface = case.lexicon.part_kind.get(piece.sense("part"), "") == "control-surface"
    shows = piece.verb in _SHOWS and piece.verb != ""
    return piece.low in _BETWEEN or piece.low in _GAUGED or shows or surface or bool(piece.sense("sides"))


def _side_before(pieces: Sequence[Piece], first: int, at: int) -> str:
    """Return the side that is said right before a part or a word before that: "port oleo", "port rudder cable"."""
    return next((side for step in (at - 1, at - 2) if step >= first and (side := pieces[step].sense("sides"))), "")


def _side_of(pieces: Sequence[Piece], since: int, at: int, end: int) -> str:
    """Return the side of a value: said since the value before it, or right after it up to a mark or "and"."""
    breaks = [step for step in range(since, at) if pieces[step].low in (",", "and", ":")]
    own = pieces[breaks[-1] if breaks else since : at]
    before = [side for piece in own if (side := "both" if piece.low == "both" else piece.sense("sides"))]
    if before:
        return before[-1]
    for piece in pieces[at + 1 : min(end, at + 1 + _AFTER)]:
        if piece.kind in ("mark", "number", "measure") or piece.low in ("and", "but"):
            break
        if side := piece.sense("sides"):
            return side
    return ""
