"""The lanes of a day's drawing: what was said to the left of the time, what was seen to the right of it."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.plain_text import cut_short
from pipeline.values import Kind
from pipeline.writing.timeline_days import Day, Running, Unheard, Words
from pipeline.writing.timeline_moves import Move

PHONE_PX = 331.0
"""How wide the lanes may be so that a phone that is 360 px wide shows them all."""
SPINE_PX = 54.0
_SEEN_TO_SAID = 1.3
_LEAST_SAID_PX, _LEAST_SEEN_PX, _MOST_SAID_PX = 40.0, 66.0, 86.0
_LETTER_PX = 5.8
_LEAST_COLUMNS = 10
_SAME_S = 1.5
_NO_RECORDER, _NO_CAMERA = "recorder not named", "camera not named"


@dataclass(frozen=True)
class Lane:
    """One device's lane, in pixels from the left. ``axis`` is where its line runs.

    Its head is one line of text: ``name``, and how far its times were moved (``note``). The heads stand on steps, so
    that a long name has room over a narrow lane.
    """

    device: str
    left: float
    right: float
    axis: float
    name: str
    note: str
    step: int

    @property
    def head_y(self) -> float:
        """How far down the line of its head is."""
        return 26.0 + 13.0 * self.step


@dataclass(frozen=True)
class Lanes:
    """All lanes of a day: recorders to the left of the time, cameras to the right."""

    said: tuple[Lane, ...]
    seen: tuple[Lane, ...]
    spine: float
    width: float

    @classmethod
    def of(cls, day: Day) -> "Lanes":
        """Lay out the lanes that a day needs; devices in the order of their names."""
        runs = (*day.drawn.runs, *day.still_running)
        happened: tuple[Running | Words | Unheard, ...] = (*runs, *day.drawn.words, *day.drawn.unheard)
        recorders = sorted({one.media.device for one in happened})
        films = {one.media.device for one in runs if one.media.kind == Kind.FILM}
        cameras = sorted({one.media.device for one in day.drawn.photos} | films)
        said_px, seen_px = _widths_px(len(recorders), len(cameras))
        spine_left = len(recorders) * said_px
        width = spine_left + SPINE_PX + len(cameras) * seen_px
        said = []
        for turn, device in enumerate(recorders):
            moves = [one.move for one in day.drawn.runs if one.media.device == device]
            right = (turn + 1) * said_px
            name, note = _head(device or _NO_RECORDER, moves, width)
            said.append(Lane(device, right - said_px, right, right - 20, name, note, turn))
        seen: list[Lane] = []
        for turn, device in reversed(list(enumerate(cameras))):
            moves = [one.move for one in day.drawn.photos if one.media.device == device]
            left = spine_left + SPINE_PX + turn * seen_px
            name, note = _head(device or _NO_CAMERA, moves, width)
            step = _free_step(seen[-1].step + 1 if seen else 0, left + seen_px - _wide_px(name, note), said)
            seen.append(Lane(device, left, left + seen_px, left + 8, name, note, step))
        return cls(tuple(said), tuple(reversed(seen)), spine_left + SPINE_PX / 2, width)

    @property
    def head_px(self) -> float:
        """How tall the lanes' heads are."""
        return max((one.head_y for one in (*self.said, *self.seen)), default=0.0) + 10

    def said_axis(self, device: str) -> float:
        """Return where a recorder's line runs."""
        return next((one.axis for one in self.said if one.device == device), 0.0)

    def seen_axis(self, device: str) -> float:
        """Return where a camera's line runs."""
        return next((one.axis for one in self.seen if one.device == device), 0.0)


def _widths_px(recorders: int, cameras: int) -> tuple[float, float]:
    """Share a phone's width out; cameras need more, for what their clocks showed is written there."""
    left = PHONE_PX - SPINE_PX
    unit = min(_MOST_SAID_PX, left / max(recorders + _SEEN_TO_SAID * cameras, 1.0))
    seen_px = max(_LEAST_SEEN_PX, _SEEN_TO_SAID * unit)
    said_px = max(_LEAST_SAID_PX, min(unit, (left - cameras * seen_px) / max(recorders, 1)))
    return round(said_px, 1), round(seen_px, 1)


def _head(name: str, moves: Sequence[Move | None], width: float) -> tuple[str, str]:
    """Return what stands at a lane's head, no wider than all lanes."""
    note = _note(moves)
    return cut_short(name, max(_LEAST_COLUMNS, int((width - _wide_px("", note)) / _LETTER_PX))), note


def _wide_px(name: str, note: str) -> float:
    return (len(name) + (len(note) + 2 if note else 0)) * _LETTER_PX


def _free_step(step: int, from_px: float, said: Sequence[Lane]) -> int:
    """Return the first step from ``step`` on at which a head that begins at ``from_px`` meets no recorder's."""
    taken = {one.step for one in said if one.left + _wide_px(one.name, one.note) > from_px}
    while step in taken:
        step += 1
    return step


def _note(moves: Sequence[Move | None]) -> str:
    """Return how far the times of a lane were moved: of all alike, or how many of them."""
    told = [one for one in moves if one is not None]
    by_s = [one.by_s for one in told]
    if not told:
        return ""
    if len(told) == len(moves) and max(by_s) - min(by_s) <= _SAME_S:
        return told[0].text
    return "all moved" if len(told) == len(moves) else f"{len(told)} of {len(moves)} moved"
