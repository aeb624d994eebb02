"""Makes days of work with known truth: who said what when, who took which photo of it, and how wrong each clock was.

Everything is drawn from one seed. What people do is varied from day to day: how soon after the words the shutter
goes, how often they point, whether they photograph first and speak then, bursts, strays, one or two people at work,
one or two cameras, a recorder that stamps its end, and every way in which a clock can be wrong.
"""

import random
from dataclasses import dataclass, field
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

DAY_S = 86_400.0
FIRST_DAY = datetime(2026, 3, 2, tzinfo=UTC)


@dataclass(frozen=True)
class Said:
    """An utterance: true seconds since the first midnight, whether and when it points, what it says of time."""

    recording: int
    start_s: float
    end_s: float
    point_s: float | None = None
    time_said_s: float | None = None


@dataclass(frozen=True)
class Taken:
    """A photo: when it was really taken, what its camera showed, which utterance it belongs to (None: a stray)."""

    camera: str
    true_s: float
    shown_s: float
    of: int | None
    gps: bool = False


@dataclass(frozen=True)
class Recorded:
    """A recording: its recorder, its true start and end, and the time that the recorder stamped on it."""

    recorder: str
    start_s: float
    end_s: float
    stamp_s: float


@dataclass
class Days:
    """What was really said and taken, and what the devices say of it.

    ``offsets`` gives for each device the true (seconds from, offset in seconds, drift in seconds a day) of each time
    that its clock was set; ``ends`` are the recorders that stamp the end. ``zone`` is the book's, and what cameras
    show, so that their offsets are those from UTC; ``ends_at`` is when the book is read.
    """

    said: list[Said] = field(default_factory=list)
    taken: list[Taken] = field(default_factory=list)
    recorded: list[Recorded] = field(default_factory=list)
    offsets: dict[str, list[tuple[float, float, float]]] = field(default_factory=dict)
    ends: set[str] = field(default_factory=set)
    kind: str = ""
    zone: ZoneInfo = field(default_factory=lambda: ZoneInfo("UTC"))
    ends_at: datetime = datetime(2027, 1, 1, tzinfo=UTC)

    def shown_s(self, device: str, true_s: float) -> float:
        """Return what a device's clock shows at a true time, in whole seconds, as cameras write them."""
        since, offset_s, drift = [one for one in self.offsets[device] if one[0] <= true_s][-1]
        return float(int(true_s + offset_s + drift * (true_s - since) / DAY_S))


@dataclass(frozen=True)
class Habit:
    """How one person works."""

    lag_s: float
    lag_spread_s: float
    points: float
    shoots: float
    first: float
    burst: float
    pause_s: float


KINDS = ("right", "seconds", "minutes", "hour", "hours", "day", "restart", "drift", "set-anew", "hour-and-minutes")


SENTENCES = "sentences"
"""Days of people who say a sentence every seven seconds or so, point at nothing, and photograph after each; a kind of
its own, never drawn."""


def make_days(seed: int, kind: str = "", days: int = 0) -> Days:
    """Make one or several days; ``kind`` says how the first camera's clock is wrong (drawn where it is "")."""
    draw = random.Random(seed)
    if kind == SENTENCES:
        return _of_sentences(draw, days or draw.randint(1, 6))
    made = Days(kind=kind or KINDS[seed % len(KINDS)])
    days = days or (draw.randint(2, 6) if made.kind in ("drift", "set-anew") else draw.choice((1, 1, 1, 2, 3)))
    people = draw.choice((1, 1, 2))
    zeal = draw.choice((1.0, 1.0, 0.5, 0.2, 0.1))
    cameras = ["camera"] if people == 1 and draw.random() < 0.6 else ["camera", "phone"]
    made.offsets["camera"] = _wrong(draw, made.kind, days)
    made.offsets["phone"] = [(-1e12, draw.gauss(0, 0.7), 0.0)]
    for person in range(people):
        recorder = f"recorder{person}"
        made.offsets[recorder] = [(-1e12, draw.gauss(0, 1.0), 0.0)]
        if draw.random() < 0.3:
            made.ends.add(recorder)
        habit = Habit(
            lag_s=draw.uniform(0.5, 3.5),
            lag_spread_s=draw.uniform(0.4, 1.5),
            points=draw.uniform(0.25, 0.6),
            shoots=zeal * draw.uniform(0.5, 0.95),
            first=draw.uniform(0.0, 0.15),
            burst=draw.uniform(0.0, 0.25),
            pause_s=draw.uniform(2.0, 8.0),
        )
        own = [cameras[person]] if people == 2 else cameras  # two people at once, each with a camera
        for day in range(days):
            _work(draw, made, recorder, habit, own, day)
    _strays(draw, made, cameras, days)
    made.taken.sort(key=lambda one: (one.true_s, one.camera))
    return made


def _wrong(draw: random.Random, kind: str, days: int) -> list[tuple[float, float, float]]:
    always = -1e12
    small_s = draw.uniform(-20, 20)
    sign = draw.choice((-1, 1))
    if kind == "seconds":
        return [(always, draw.uniform(-50, 50), 0.0)]
    if kind == "minutes":
        return [(always, sign * draw.uniform(90, 1500), 0.0)]
    if kind == "hour":
        return [(always, sign * 3600 + small_s, 0.0)]
    if kind == "hours":
        return [(always, sign * 3600 * draw.randint(2, 11) + small_s, 0.0)]
    if kind == "hour-and-minutes":
        return [(always, sign * (3600 + draw.uniform(60, 900)), 0.0)]
    if kind == "day":
        return [(always, sign * DAY_S * draw.choice((1, 1, 2, 7, 30)) + small_s, 0.0)]
    if kind == "restart":
        began = datetime(2015, 1, 1, tzinfo=UTC)
        return [(always, (began - FIRST_DAY).total_seconds() + draw.uniform(-20, 30) * 3600, 0.0)]
    if kind == "drift":
        return [(0.0, small_s, sign * draw.uniform(2, 25))]
    if kind == "set-anew":
        when = days / 2 * DAY_S + draw.choice((0.0, 12.5 * 3600))
        return [(always, sign * 3600 + small_s, 0.0), (when, draw.uniform(-15, 15), 0.0)]
    return [(always, draw.gauss(0, 1), 0.0)]


def _work(draw: random.Random, made: Days, recorder: str, habit: Habit, cameras: list[str], day: int) -> None:
    at_s = day * DAY_S + draw.uniform(8.5, 10.5) * 3600
    for _ in range(draw.randint(1, 5)):
        length_s = draw.uniform(90, 900)
        session(draw, made, recorder, habit, cameras, at_s, length_s)
        at_s += length_s + draw.uniform(60, 5400)


def session(
    draw: random.Random, made: Days, recorder: str, habit: Habit, cameras: list[str], at_s: float, length_s: float
) -> None:
    number, first = len(made.recorded), len(made.said)
    start_s, at_s = at_s, at_s + draw.uniform(0.5, 3)
    while at_s < start_s + length_s:
        end_s = at_s + draw.uniform(2, 11)
        points = draw.random() < habit.points
        point_s = at_s + draw.uniform(0, 0.5) * (end_s - at_s) if points else None
        index = len(made.said)
        made.said.append(Said(number, at_s, end_s, point_s))
        camera = draw.choice(cameras)
        if point_s is not None and draw.random() < habit.shoots:
            lag_s = draw.gauss(habit.lag_s, habit.lag_spread_s)
            if draw.random() < habit.first:
                lag_s = -draw.uniform(1, 5)
            shots = draw.randint(2, 4) if draw.random() < habit.burst else 1
            for _ in range(shots):
                take(made, camera, point_s + lag_s, index)
                lag_s += draw.uniform(1, 2.5)
        elif point_s is None and draw.random() < 0.06:
            take(made, camera, draw.uniform(at_s, end_s), index)
        at_s = end_s + max(0.3, draw.expovariate(1 / habit.pause_s))
    last_s = made.said[-1].end_s if len(made.said) > first else at_s
    end_s = last_s + draw.uniform(0.5, 3)
    stamp_s = made.shown_s(recorder, end_s if recorder in made.ends else start_s)
    made.recorded.append(Recorded(recorder, start_s, end_s, stamp_s))


def _of_sentences(draw: random.Random, days: int) -> Days:
    """Make days weeks apart, on each of which some notes of a few sentences are spoken, each of them photographed."""
    made = Days(kind=SENTENCES)
    apart, cameras = draw.choice((1, 7, 7, 14)), ["camera"] if draw.random() < 0.5 else ["camera", "phone"]
    hour_s = draw.choice((0, 1, 1, -1)) * 3600
    made.offsets["camera"] = [(0.0, hour_s + draw.uniform(-40, 40), draw.choice((0.0, draw.gauss(0, 1.5))))]
    for device in ("phone", "recorder"):
        made.offsets[device] = [(-1e12, draw.gauss(0, 0.5), 0.0)]
    lag_s, pause_s, shoots = draw.uniform(0.8, 1.9), draw.uniform(2.2, 3.4), draw.uniform(0.6, 1.0)
    for day in range(0, days * apart, apart):
        at_s = day * DAY_S + draw.uniform(8.5, 10.5) * 3600
        for _ in range(draw.randint(1, 4)):
            at_s = note(draw, made, draw.choice(cameras), at_s, (lag_s, pause_s, shoots))
            at_s += draw.uniform(600, 7200)
    _strays(draw, made, cameras, 1)
    made.taken.sort(key=lambda one: (one.true_s, one.camera))
    return made


def note(draw: random.Random, made: Days, camera: str, at_s: float, habit: tuple[float, float, float]) -> float:
    """Speak one note; return when it has ended."""
    (lag_s, pause_s, shoots), number, start_s = habit, len(made.recorded), at_s
    at_s += draw.uniform(0.5, 1.5)
    for _ in range(draw.randint(3, 6)):
        end_s = at_s + draw.uniform(1.5, 7)
        point_s = draw.uniform(at_s, end_s) if draw.random() < 0.08 else None
        made.said.append(Said(number, at_s, end_s, point_s))
        if draw.random() < shoots:
            take(made, camera, end_s + max(0.2, draw.gauss(lag_s, 0.25)), len(made.said) - 1)
        at_s = end_s + draw.uniform(pause_s - 0.2, pause_s + 0.2)
    made.recorded.append(Recorded("recorder", start_s, at_s, made.shown_s("recorder", start_s)))
    return at_s


def take(made: Days, camera: str, true_s: float, of: int | None) -> None:
    made.taken.append(Taken(camera, true_s, made.shown_s(camera, true_s), of))


def _strays(draw: random.Random, made: Days, cameras: list[str], days: int) -> None:
    spans = [(one.start_s, one.end_s) for one in made.said]
    for day in range(days):
        for _ in range(draw.randint(0, 5)):
            for _ in range(20):
                at_s = day * DAY_S + draw.uniform(8, 17) * 3600
                if all(at_s < start_s - 90 or at_s > end_s + 90 for start_s, end_s in spans):
                    take(made, draw.choice(cameras), at_s, None)
                    break
