"""Clocks that were followed before, and recorders that were settled: not again, where nothing else tells than then.

A book's photos come from several cameras, and to follow a clock takes a second or so; to settle recorders takes far
longer the more there are of both. A new photo tells of one clock, and seldom of the recorders.
"""

import hashlib
from collections.abc import Callable, Mapping, Sequence

from pydantic import Field
from pydantic_core import to_json

from pipeline.dating.events import ClockEvent
from pipeline.dating.lines import Track
from pipeline.dating.lives import follow_each_life
from pipeline.dating.offsets import Prior
from pipeline.dating.pattern import Speech
from pipeline.dating.recorders import Camera, Recorder, RecorderSettled, settle
from pipeline.values import Value


class Followed(Value, ser_json_inf_nan="constants"):
    """The stretches of a device's clock between settings of it, in order; or each recorder as it was settled."""

    tracks: tuple[Track, ...] = ()
    recorders: Mapping[str, RecorderSettled] = Field(default_factory=dict)


Once = Callable[[str, str, Callable[[], Followed]], Followed]
"""Gives what was found of a device before, by the fingerprint of what it was from; else finds it, and keeps it."""


def anew(device: str, made_from: str, make: Callable[[], Followed]) -> Followed:
    """Follow or settle whatever was found before."""
    return make()


def followed(
    device: str, events: Sequence[ClockEvent], said: Speech, prior: Prior, possible: tuple[float, float], once: Once
) -> tuple[Track, ...]:
    """Follow a device's clock (``follow_each_life``), unless that was done before from the same.

    Args:
        device: its name, or what else to keep it under.
        events: as there, and the next three.
        said: what was said.
        prior: of a clock of this kind.
        possible: the earliest and the latest time that anything may have. The latest is of no account, and left out
            of the fingerprint because it is another in each run, where the clock never showed what is too early.
        once: see ``Once``.
    """
    early = any(one.shown_s < possible[0] for one in events)
    arrays = (said.points, said.starts, said.ends)
    of_speech = [list(map(len, arrays)), said.tags, said.days, said.spoken_s, said.ends_mislead]
    told = [events, *of_speech, prior, possible[: 1 + early]]
    made_from = hashlib.sha256(to_json(told))
    for one in arrays:
        made_from.update(one.tobytes())
    return once(
        device, made_from.hexdigest(), lambda: Followed(tracks=follow_each_life(events, said, prior, possible))
    ).tracks


def settled(
    recorders: Mapping[str, Recorder], cameras: Sequence[Camera], once: Once
) -> Mapping[str, RecorderSettled]:
    """Settle every recorder (``settle``), unless that was done before from the same."""
    busiest = [camera.busiest() for camera in cameras]
    told = [(one.device, one.shown_s.tolist(), one.prior, one.right) for one in busiest]
    made_from = hashlib.sha256(to_json([recorders, told])).hexdigest()
    return once("all recorders", made_from, lambda: Followed(recorders=settle(recorders, cameras))).recorders
