"""The near view that an engineer draws on a board: a bar of frames for the body, a row of ribs for each wing."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pipeline.english import listed
from pipeline.lists.airframe import STATES, Airframe, Thing
from pipeline.lists.airframe_spots import Spots
from pipeline.reading.fact import Side
from pipeline.reading.vocabulary import Vocabulary
from pipeline.trade.entries import StationPoint
from pipeline.writing.airframe_views import WIDTH_PX, Glyph
from pipeline.writing.airframe_words import counts_of, thing_text
from pipeline.writing.terms import Terms, term
from pipeline.writing.wording import part_text

_LEFT_PX, _STEP_PX = 16.0, 15.0
_BAR_PX = 40.0
_MOST_NEIGHBOURS = 2


@dataclass(frozen=True)
class Stop:
    """One frame or rib of a row; ``label`` "" where there is no room to write it."""

    x: float
    label: str
    strong: bool
    joint: bool
    glyphs: tuple[Glyph, ...]
    held: bool


@dataclass(frozen=True)
class Zoom:
    """A row of frames or ribs, and what is told at them, in words."""

    title: str
    stops: tuple[Stop, ...]
    between: tuple[tuple[float, tuple[Glyph, ...], bool], ...]
    top: float
    bottom: float
    height: float
    width: float
    notes: tuple[str, ...]


def zooms(frame: Airframe, vocabulary: Vocabulary) -> tuple[Zoom, ...]:
    """Return a bar of frames where something is told at frames or a joint, and a row of ribs for each wing with such.

    Args:
        frame: what there is to see.
        vocabulary: for the frames and ribs of the type, and where its joints are.
    """
    made = [_frames(frame, vocabulary)]
    sides: tuple[Side | None, ...] = ("port", "starboard", None)
    made += [_ribs(frame, vocabulary, side) for side in sides]
    return tuple(one for one in made if one is not None)


def _rank(points: Iterable[StationPoint], scheme: str) -> list[StationPoint]:
    return sorted((one for one in points if one.scheme == scheme), key=lambda one: (one.inches, one.at))


def _frames(frame: Airframe, vocabulary: Vocabulary) -> Zoom | None:
    frames, spots = _rank(vocabulary.stations, "frame"), Spots(vocabulary)
    if not frames:
        return None
    joints = {
        one.part: sum(x for x, _ in one.points) / len(one.points)
        for one in spots.shapes("side")
        if one.kind == "line" and vocabulary.is_a(one.part, "fuselage")
    }
    told = [(at, one) for one in frame.things for at in _at_frame(one, spots, joints)]
    if not told:
        return None
    opened = [at for at, one in told if one.item in joints or one.joint in joints]
    first, last = _window(frames, [at for at, _ in told], opened)
    shown = [one for one in frames if first <= one.inches <= last]
    names = [
        f"{term(vocabulary, part).capitalize()} at frame {min(frames, key=lambda one: abs(one.inches - at)).at}"
        for part, at in joints.items()
        if any(at == place for place in opened)
    ]
    title = "; ".join(names) or "Frames"
    return _zoom(title, shown, told, [at for at in joints.values() if at in opened], vocabulary)


def _at_frame(thing: Thing, spots: Spots, joints: dict[str, float]) -> list[float]:
    """Return where along the body a thing is told to be, in inches; nothing where only its part is known."""
    places = [spots.inches(one.scheme, one.at) for one in thing.place or () if one.scheme == "frame"]
    told = [found[0] for found in places if found]
    if told:
        return told
    return [joints[name] for name in (thing.item, thing.joint) if name in joints][:1]


def _window(frames: Sequence[StationPoint], told: Sequence[float], joints: Sequence[float]) -> tuple[float, float]:
    """Return from where to where a bar reaches: what is told, the strong frames next to a joint, and neighbours."""
    low, high = min(told), max(told)
    for joint in joints:
        strong = [one.inches for one in frames if one.strong]
        low = min(low, max((one for one in strong if one <= joint), default=low))
        high = max(high, min((one for one in strong if one >= joint), default=high))
    inches = [one.inches for one in frames]
    before, after = [one for one in inches if one < low], [one for one in inches if one > high]
    return (before[-_MOST_NEIGHBOURS:] or [low])[0], (after[:_MOST_NEIGHBOURS] or [high])[-1]


def _ribs(frame: Airframe, vocabulary: Vocabulary, side: Side | None) -> Zoom | None:
    ribs, spots = _rank(vocabulary.stations, "rib"), Spots(vocabulary)
    joints = {
        one.part: sum(y for _, y in one.points) / len(one.points)
        for one in spots.shapes("plan")
        if one.kind == "line" and one.symmetry == "pair" and vocabulary.is_a(one.part, "mainplane")
    }
    told = []
    for one in frame.things:
        places = [spots.inches("rib", place.at) for place in one.place or () if place.scheme == "rib"]
        at = [found[0] for found in places if found]
        at = at or [joints[name] for name in (one.item, one.joint) if side and name in joints][:1]
        told += [(where, one) for where in at if one.side == side]
    if not ribs or not told:
        return None
    titles = {"port": "Port wing, by ribs", "starboard": "Starboard wing, by ribs"}
    opened = [at for name, at in joints.items() if any(at == where for where, _ in told)]
    return _zoom(titles.get(str(side), "Ribs, side not told"), ribs, told, opened, vocabulary)


def _zoom(
    title: str,
    shown: Sequence[StationPoint],
    told: Sequence[tuple[float, Thing]],
    joints: Sequence[float],
    vocabulary: Vocabulary,
) -> Zoom:
    low, high = shown[0].inches, shown[-1].inches
    scale = (WIDTH_PX - 2 * _LEFT_PX) / max(high - low, 1.0)
    by_place: dict[float, list[Thing]] = {}
    for at, thing in told:
        by_place.setdefault(at, []).append(thing)
    most = max((len(counts_of(one for one in own if one.state != "support")) for own in by_place.values()), default=0)
    top = most * _STEP_PX + 14.0
    stops, last = [], float("-inf")
    for one in shown:
        x = round(_LEFT_PX + (one.inches - low) * scale, 1)
        own = by_place.get(one.inches, [])
        label = one.at if x - last >= 15 else ""
        last = x if label else last
        held = any(thing.state == "support" for thing in own)
        stops.append(Stop(x, label, one.strong, one.inches in joints, _stack(own, x, top), held))
    known = {one.inches for one in shown}
    between = []
    for at, own in sorted(by_place.items()):
        if at not in known:
            x = round(_LEFT_PX + (at - low) * scale, 1)
            between.append((x, _stack(own, x, top), any(thing.state == "support" for thing in own)))
    foot = top + _BAR_PX + (44 if any(thing.state == "support" for _, thing in told) else 24)
    notes = tuple(_notes(told, vocabulary))
    return Zoom(title, tuple(stops), tuple(between), top, top + _BAR_PX, foot, WIDTH_PX, notes)


def _notes(told: Sequence[tuple[float, Thing]], terms: Terms) -> Iterable[str]:
    """Yield what is told, from the nose on: what runs across a joint together, all else by itself."""
    in_order = [thing for _, thing in sorted(told, key=_by_place)]
    services = [one for one in in_order if one.joint]
    if services:
        names = dict.fromkeys(part_text(one.item, one.side, None, terms, article=False) for one in services)
        yield f"Disconnected there: {listed(list(names))}"
    yield from dict.fromkeys(thing_text(one, terms) for one in in_order if not one.joint)


def _by_place(one: tuple[float, Thing]) -> tuple[float, int]:
    return one[0], STATES.index(one[1].state)


def _stack(own: Sequence[Thing], x: float, top: float) -> tuple[Glyph, ...]:
    """Return the signs above a frame, one above the other."""
    numbers = [(state, number) for state, number in counts_of(own).items() if state != "support"]
    return tuple(
        Glyph(
            state,
            x,
            top - 10 - turn * _STEP_PX,
            number,
            state == "found" and all(one.since for one in own if one.state == "found"),
        )
        for turn, (state, number) in enumerate(reversed(numbers))
    )
