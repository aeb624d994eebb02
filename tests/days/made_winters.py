"""Makes books of two winters with known truth, whose camera's clock was changed when the zone's were, or was not.

What is said and photographed on each day is made as in ``made_days.py``; on some days nothing is recorded at all, and
somebody else talks while this camera rests. Everything is drawn from one seed.
"""

import random
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from tests.days.made_days import DAY_S, FIRST_DAY, Days, Habit, note, session, take

WINTERS_ZONE = ZoneInfo("Europe/London")
WINTERS_END = datetime(2028, 9, 1, tzinfo=UTC)
_HOUR_S = 3600.0
_CHANGES = (date(2026, 3, 29), date(2026, 10, 25), date(2027, 3, 28), date(2027, 10, 31), date(2028, 3, 26))
_WINTERS = ((date(2026, 9, 20), date(2027, 5, 10)), (date(2027, 9, 20), date(2028, 5, 10)))
_LEAST_APART_S = 1800.0

CLOCKS = ("kept", "never", "late", "put-right", "phone", "other-zone")
"""What becomes of the camera's clock: changed within a day whenever the zone's clocks are; never changed; changed
weeks late; an hour fast all the first winter, and put right before the second or in it; always right; by the time of
another zone."""


def make_winters(seed: int, clock: str) -> Days:
    """Make the days of two winters."""
    draw = random.Random(f"{seed} {clock}")
    made = Days(kind=clock, zone=WINTERS_ZONE, ends_at=WINTERS_END)
    made.offsets["camera"] = _camera(draw, clock)
    for recorder in ("recorder", "other recorder"):
        made.offsets[recorder] = [(-1e12, draw.gauss(0, 0.5), 0.0)]
    made.offsets["nobody"] = [(-1e12, 0.0, 0.0)]
    habit = Habit(
        lag_s=draw.uniform(0.8, 2.5),
        lag_spread_s=draw.uniform(0.4, 1.0),
        points=draw.uniform(0.25, 0.6),
        shoots=draw.uniform(0.4, 0.95),
        first=draw.uniform(0.0, 0.1),
        burst=draw.uniform(0.0, 0.2),
        pause_s=draw.uniform(2.0, 6.0),
    )
    points = draw.random() < 0.5
    for first, last in _WINTERS:
        heard = draw.choice((0.9, 0.6, 0.3, 0.0))
        for day in sorted(draw.sample(range((last - first).days), draw.randint(4, 10))):
            _day(draw, made, _days_to(first + timedelta(days=day)), heard, habit if points else None)
    made.taken = sorted((one for one in made.taken if one.camera == "camera"), key=lambda one: one.true_s)
    return made


def _day(draw: random.Random, made: Days, day: int, heard: float, habit: Habit | None) -> None:
    """Make a day of up to three occasions; ``habit`` is that of somebody who points at what they photograph."""
    at_s = day * DAY_S + draw.uniform(7.5, 10.5) * _HOUR_S
    for _ in range(draw.randint(1, 3)):
        if draw.random() < heard:
            if habit is not None:
                session(draw, made, "recorder", habit, ["camera"], at_s, draw.uniform(60, 400))
            else:
                note(draw, made, "camera", at_s, (draw.uniform(0.8, 1.9), 2.8, 0.7))
        else:
            for _ in range(draw.randint(1, 4)):
                take(made, "camera", at_s + draw.uniform(0, 300), None)
        at_s += draw.uniform(_LEAST_APART_S, 2.5 * _HOUR_S)
        if draw.random() < 0.15:
            talks = Habit(1.5, 0.5, 0.25, 0.0, 0.0, 0.0, 4.0)
            session(draw, made, "other recorder", talks, ["nobody"], at_s, draw.uniform(60, 600))
            at_s += draw.uniform(_LEAST_APART_S, 2 * _HOUR_S)


def _camera(draw: random.Random, clock: str) -> list[tuple[float, float, float]]:
    """Return by how much the camera's clock differs from UTC from when on (s), as ``Days.offsets`` has it."""
    small_s = draw.choice((draw.uniform(-4, 4), draw.uniform(-50, 50)))
    summer_first = draw.random() < 0.7  # set in summer, so that it is fast in winter
    if clock == "never":
        return [(-1e12, small_s + _HOUR_S * summer_first, 0.0)]
    if clock == "other-zone":
        more_s = _HOUR_S * draw.choice((1, -1, 1, 2))
        if draw.random() < 0.5:  # it knows of summer time
            return [(at_s, zone_s + small_s + more_s, 0.0) for at_s, zone_s in _right()]
        return [(-1e12, small_s + more_s, 0.0)]
    if clock == "phone":
        return [(at_s, zone_s + draw.gauss(0, 0.5), 0.0) for at_s, zone_s in _right()]
    if clock == "put-right":
        when_s = draw.uniform(_days_to(date(2027, 5, 10)), _days_to(date(2028, 1, 15))) * DAY_S
        return [(-1e12, small_s + _HOUR_S, 0.0), *_set(draw, [one for one in _right(when_s) if one[0] >= when_s], 0)]
    late_s = DAY_S if clock == "kept" else draw.uniform(7, 60) * DAY_S
    return [(-1e12, small_s + _HOUR_S * summer_first, 0.0), *_set(draw, _right(), late_s, small_s)]


def _set(
    draw: random.Random, changes: list[tuple[float, float]], late_s: float, small_s: float | None = None
) -> list[tuple[float, float, float]]:
    """Return a clock that somebody changes by the hour alone, or sets to the second too (half of them do)."""
    by_hour = small_s is not None and draw.random() < 0.5
    return [
        (at_s + draw.uniform(0, 1) * late_s, zone_s + (small_s if by_hour and small_s else draw.uniform(-8, 8)), 0.0)
        for at_s, zone_s in changes
    ]


def _right(from_s: float = -1e9) -> list[tuple[float, float]]:
    """Return from when on the zone's clocks differ from UTC by how much (s), from some time on."""
    at_s = [from_s, *(_days_to(day) * DAY_S + _HOUR_S for day in _CHANGES if _days_to(day) * DAY_S > from_s)]
    return [(one, _zone_s(one)) for one in at_s]


def _zone_s(true_s: float) -> float:
    at = FIRST_DAY + timedelta(seconds=max(true_s, -30 * DAY_S) + 1)
    return (at.astimezone(WINTERS_ZONE).utcoffset() or timedelta(0)).total_seconds()


def _days_to(day: date) -> int:
    return (day - FIRST_DAY.date()).days
