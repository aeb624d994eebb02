"""Books of invented teams and aircraft, of many kinds, to read their reports: values built here, nothing recorded."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from pipeline.records import (
    BookRecord,
    EntryRecord,
    FindingLine,
    Lists,
    MediaRecord,
    PhotoLink,
    Records,
    ToDo,
    UtteranceRecord,
)
from pipeline.settings import Aircraft, Person, Settings, SupportersSettings, TimeSettings
from pipeline.values import Kind
from tests.writing.a_weekend import fact, medium

Told = tuple[str, Sequence[Mapping[str, object]], int]
"""What was said, the facts in it, how many photos."""


@dataclass(frozen=True)
class InventedBook:
    """A book, its settings, and the period to report."""

    name: str
    records: Records
    settings: Settings
    first: date
    last: date


def made_book(
    name: str,
    aircraft: str,
    days: Mapping[datetime, Sequence[Told]],
    people: Sequence[Person] = (),
    period: tuple[date, date] | None = None,
) -> InventedBook:
    """Build a book: each day's sayings are four minutes apart, from the time given."""
    media: list[MediaRecord] = []
    entries: list[EntryRecord] = []
    said: list[UtteranceRecord] = []
    owed: list[ToDo] = []
    findings: list[FindingLine] = []
    for start, sayings in sorted(days.items()):
        recording = medium(f"{name}-{start:%m%d}.m4a", start, Kind.RECORDING, "audio/mp4", duration_s=3600.0)
        media.append(recording)
        for index, (words, keys, photos) in enumerate(sayings):
            at = start + timedelta(minutes=4 * index)
            mark = f"{name}-{start:%m%d}-{index}"
            said.append(_utterance(f"u-{mark}", recording.id, at, start, words))
            pictures = [
                medium(f"{mark}-{number}.jpg", at + timedelta(seconds=3 + 70 * number), Kind.PHOTO, "image/jpeg")
                for number in range(photos)
            ]
            media += pictures
            facts = tuple(
                fact(said=words, **one).model_copy(update={"utterances": (f"u-{mark}",)})  # type: ignore[arg-type]
                for one in keys
            )
            entries.append(
                EntryRecord(
                    id=f"e-{mark}", at=at, media=recording.id, start_s=240.0 * index, end_s=240.0 * index + 20,
                    utterances=(f"u-{mark}",), facts=facts,
                    photos=tuple(PhotoLink(media=one.id, p=0.95, why=()) for one in pictures),
                )
            )  # fmt: skip
            owed += [
                ToDo(said_on=at.date(), status=one.status, act=str(one.act), item=one.item, side=one.side, words="",
                     entry=f"e-{mark}")
                for one in facts if one.status in ("planned", "not-done")
            ]  # fmt: skip
            findings += [
                FindingLine(on=at.date(), item=one.item, side=one.side, finding=str(one.finding), entry=f"e-{mark}",
                            absent=bool(one.absent))
                for one in facts if one.status == "seen"
            ]  # fmt: skip
    done = {(one.act, one.item) for entry in entries for one in entry.facts if one.status == "done"}
    owed = [one for one in owed if one.status == "not-done" or (one.act, one.item) not in done]
    book = BookRecord(title=name, aircraft=aircraft, zone="Europe/London", program="p", model="m", vocabulary="v")
    dates = sorted(start.date() for start in days)
    return InventedBook(
        name,
        Records(
            book=book, media=tuple(media), utterances=tuple(said), entries=tuple(entries),
            lists=Lists(to_do=tuple(owed), findings=tuple(findings)),
        ),
        Settings(
            aircraft=Aircraft(name=aircraft), time=TimeSettings(zone="Europe/London", book_starts=date(2024, 1, 1)),
            people=tuple(people), supporters=SupportersSettings(title=f"Notes from the {aircraft}"),
        ),
        *(period or (dates[0], dates[-1])),
    )  # fmt: skip


def _utterance(mark: str, media: str, at: datetime, start: datetime, words: str) -> UtteranceRecord:
    from_s = (at - start).total_seconds()
    return UtteranceRecord(
        id=mark, media=media, start_s=from_s, end_s=from_s + 15, start_at=at, end_at=at + timedelta(seconds=15),
        heard=words, read=words,
    )  # fmt: skip


def done(act: str, item: str, side: str | None = None, **more: object) -> dict[str, object]:
    return {"status": "done", "act": act, "item": item, **({"side": side} if side else {}), **more}


def said_to(status: str, act: str, item: str, side: str | None = None, **more: object) -> dict[str, object]:
    return {"status": status, "act": act, "item": item, **({"side": side} if side else {}), **more}


def seen(finding: str, item: str, **more: object) -> dict[str, object]:
    return {"status": "seen", "finding": finding, "item": item, **more}


def bolts(count: int) -> dict[str, object]:
    return {"count": count, "of": "bolt"}


def people(count: int) -> dict[str, object]:
    return {"count": count, "of": "person"}


def _on(day: str, hour: int = 10) -> datetime:
    return datetime.fromisoformat(day).replace(hour=hour, tzinfo=UTC)


def tiny_evening() -> InventedBook:
    return made_book(
        "evening",
        "Low Wing Tourer",
        {
            _on("2026-03-03", 19): [
                ("Gave the wheel bay a good wash down tonight.", [done("clean", "wheel-bay", "port")], 1),
                ("And there's a coat of primer on that bracket.", [done("prime", "bracket")], 1),
            ]
        },
        [Person(name="Odile Farrant", role="volunteer", consent=True)],
    )


def inspection_day() -> InventedBook:
    return made_book(
        "inspection",
        "Crew Trainer",
        {
            _on("2026-04-11"): [
                ("Tailplane first, I've been all round it with the lamp.", [done("inspect", "tailplane")], 2),
                ("There's a crack at the rib.", [seen("crack", "rib")], 1),
                (
                    "Looked at both elevators, and there's no play in the hinges.",
                    [done("inspect", "elevator", "both"), seen("play", "elevator-hinge", absent=True)],
                    1,
                ),
                (
                    "Fin looked over as well, some corrosion on the front spar.",
                    [done("inspect", "fin"), seen("corrosion", "front-spar", grade="light")],
                    1,
                ),
                ("Measured the rudder hinge, four thou.", [done("measure", "rudder-hinge")], 0),
                ("Rudder's been inspected too.", [done("inspect", "rudder")], 1),
            ]
        },
        [Person(name="Ines Calloway", role="inspector"), Person(name="Rufus Tandy", role="fitter")],
    )


def rebuild_weekend() -> InventedBook:
    return made_book(
        "rebuild",
        "Crew Trainer",
        {
            _on("2026-02-07"): [
                ("The rudder's off.", [done("remove", "rudder")], 0),
                ("And the port aileron is off.", [done("remove", "aileron", "port")], 0),
            ],
            _on("2026-09-19"): [
                (
                    "Rudder's back on, four of us to lift it.",
                    [done("lift", "rudder", **people(4)), done("fit", "rudder")],
                    3,
                ),
                (
                    "Twelve new bolts in the rudder hinges and they're all done up.",
                    [done("fit", "rudder-hinge", count=12, of="bolt"), done("tighten", "rudder-hinge")],
                    1,
                ),
                (
                    "Cables are connected again, and locked.",
                    [done("connect", "control-cable"), done("lock", "turnbuckle")],
                    1,
                ),
                ("Worked the rudder from stop to stop.", [done("test", "rudder")], 1),
            ],
            _on("2026-09-20"): [
                (
                    "Painted the fin and the tailplane this morning.",
                    [done("paint", "fin"), done("paint", "tailplane")],
                    2,
                ),
                ("Port aileron's back on the wing.", [done("fit", "aileron", "port")], 1),
                ("The fairing wants making.", [said_to("planned", "make", "fairing")], 0),
                (
                    "Next it's the starboard elevator to go back on.",
                    [said_to("planned", "fit", "elevator", "starboard")],
                    0,
                ),
            ],
        },
        [
            Person(name="Mabel Quist", role="painter", consent=True),
            Person(name="Len Ottery", role="rigger", consent=True),
        ],
        (date(2026, 9, 1), date(2026, 9, 30)),
    )


def flying_boat() -> InventedBook:
    return made_book(
        "boat",
        "Harbour Patrol Boat",
        {
            _on("2026-05-16"): [
                ("Trestles are under the wing and the hull.", [done("support", "outer-wing", "starboard")], 1),
                (
                    "The float hangs on six bolts, you know.",
                    [{"status": "explained", "act": "held-by", "item": "float", "count": 6, "of": "bolt"}],
                    0,
                ),
                ("All six bolts out of it.", [done("undo", "float", "starboard", **bolts(6))], 1),
                (
                    "And the starboard float is off, with three of us.",
                    [done("remove", "float", "starboard", **people(3))],
                    3,
                ),
                ("Bilge pump's out.", [done("remove", "bilge-pump")], 1),
                ("We've scrubbed the planing bottom.", [done("clean", "planing-bottom")], 2),
            ],
            _on("2026-05-17"): [
                ("Engine cowling's open, port side.", [done("open", "cowling", "port")], 1),
                (
                    "Drained the fuel, twelve gallons.",
                    [done("drain", "fuel-tank", measure=({"value": 12, "unit": "gal"},))],
                    1,
                ),
                ("Propeller is off.", [done("remove", "propeller", "port")], 2),
                ("The port float stays on for now.", [said_to("not-done", "remove", "float", "port")], 0),
            ],
        },
        [Person(name="Corrie Vane", role="boatbuilder")],
    )


def biplane() -> InventedBook:
    return made_book(
        "biplane",
        "Two-seat Biplane",
        {
            _on("2026-06-06"): [
                ("Flying wires are slack and off.", [done("undo", "flying-wire"), done("remove", "flying-wire")], 1),
                (
                    "Interplane struts out, all four.",
                    [done("remove", "interplane-strut", count=4, of="interplane-strut")],
                    1,
                ),
                (
                    "Upper wing's down, six of us.",
                    [done("remove", "upper-wing", "port", **people(6)), done("lower", "upper-wing", "port")],
                    3,
                ),
                ("And the lower one is off too.", [done("remove", "lower-wing", "port")], 1),
            ],
            _on("2026-06-07"): [
                ("Stripped the fabric off the rudder.", [done("remove", "wing-fabric")], 1),
                ("The tail skid's off.", [done("remove", "tail-skid")], 1),
                ("We made two new struts.", [done("make", "interplane-strut", count=2, of="interplane-strut")], 1),
            ],
        },
        [
            Person(name="Hal Brindle", role="rigger"),
            Person(name="Una Brindle", role="rigger"),
            Person(name="Sorrel Pike", role="woodworker", consent=True),
        ],
    )


def month_of_twenty_days() -> InventedBook:
    parts = [
        "cowling",
        "exhaust-stack",
        "magneto",
        "carburettor",
        "starter",
        "generator",
        "oil-cooler",
        "oil-tank",
        "propeller",
        "engine",
        "engine-mount",
        "firewall",
        "fuel-tank",
        "landing-lamp",
        "flap",
        "aileron",
        "wing-tip",
        "seat",
        "instrument-panel",
        "radio-set",
    ]
    days = {}
    for index, item in enumerate(parts):
        day = datetime(2026, 7, 1, 10, tzinfo=UTC) + timedelta(days=index + index // 5)
        side = "port" if index % 2 else None
        days[day] = [
            (f"The {item.replace('-', ' ')} is off.", [done("remove", item, side)], 2),
            (f"We cleaned the {item.replace('-', ' ')}.", [done("clean", item, side)], 2),
            ("Looked at what's behind it.", [done("inspect", "firewall")], 4),
        ]
    return made_book("month", "Crew Trainer", days, [Person(name="Perrin Lowe", role="engine fitter")])


def without_people_or_photos() -> InventedBook:
    return made_book(
        "bare",
        "Glider Tug",
        {
            _on("2026-08-22", 14): [
                ("Both main wheels are off.", [done("remove", "wheel", "both")], 0),
                ("I've taken the brake units off as well.", [done("remove", "brake-unit", "both")], 0),
                ("Cleaned the axles.", [done("clean", "axle", "both")], 0),
                ("New tyres are on order.", [], 0),
                ("We'll refit the wheels next week.", [said_to("planned", "fit", "wheel", "both")], 0),
            ]
        },
    )


def one_fact() -> InventedBook:
    return made_book(
        "one", "Touring Biplane", {_on("2026-01-15", 20): [("Seat's out.", [done("remove", "seat")], 0)]}
    )


def body_split() -> InventedBook:
    return made_book(
        "split",
        "Twin Transport",
        {
            _on("2026-10-03"): [
                (
                    "The plan is to split the fuselage this weekend.",
                    [said_to("planned", "remove", "rear-fuselage")],
                    0,
                ),
                (
                    "Trestles under the rear fuselage and the centre.",
                    [done("support", "rear-fuselage"), done("support", "centre-fuselage")],
                    2,
                ),
                (
                    "Control rods and the wiring loom are disconnected.",
                    [
                        done("disconnect", "control-rod"),
                        done("disconnect", "wiring-loom"),
                        done("tag", "wiring-loom"),
                    ],
                    2,
                ),
                (
                    "The transport joint is held by forty bolts.",
                    [{"status": "explained", "act": "held-by", "item": "transport-joint", "count": 40, "of": "bolt"}],
                    0,
                ),
                ("That's all forty out.", [done("undo", "transport-joint", **bolts(40))], 2),
            ],
            _on("2026-10-04"): [
                (
                    "It took nine of us and it rolled away like a pram.",
                    [done("remove", "rear-fuselage", **people(9))],
                    4,
                ),
                ("Pushed it to the side.", [done("move", "rear-fuselage")], 1),
                (
                    "Drilled out about three hundred rivets along the floor.",
                    [done("drill-out", "floor", count=300, of="rivet", about=True)],
                    1,
                ),
                ("Bag the bolts, please, and they're bagged.", [done("bag", "bolt")], 0),
            ],
        },
        [
            Person(name="Gwen Astley", role="crew chief", consent=True),
            Person(name="Basil Roan", role="crew chief", consent=True),
        ],
    )


def engine_change() -> InventedBook:
    return made_book(
        "engine",
        "Crew Trainer",
        {
            _on("2026-11-07"): [
                ("Hoist is on the port engine.", [done("support", "engine", "port")], 1),
                (
                    "Fuel and oil lines are off and blanked.",
                    [done("disconnect", "fuel-line"), done("blank", "fuel-line"), done("disconnect", "oil-line")],
                    1,
                ),
                ("Eight bolts out of the mount.", [done("undo", "engine-mount", "port", **bolts(8))], 1),
                ("The old engine is out.", [done("remove", "engine", "port")], 2),
                ("Five of us swung the other one in.", [done("fit", "engine", "port", **people(5))], 2),
                ("And it's bolted up.", [done("tighten", "engine-mount", "port")], 1),
                ("Lines connected.", [done("connect", "fuel-line"), done("connect", "oil-line")], 0),
            ]
        },
    )


def a_winter() -> InventedBook:
    """Months one after another, for the series and the year."""
    days = {
        _on("2026-01-17"): [("The port aileron's off.", [done("remove", "aileron", "port")], 1)],
        _on("2026-02-14"): [
            ("Starboard flap is off.", [done("remove", "flap", "starboard")], 2),
            ("38 screws out of the fillet panel.", [done("undo", "fillet-panel", count=38, of="screw")], 1),
            ("Fin's off.", [done("remove", "fin")], 2),
        ],
        _on("2026-02-15"): [("Cleaned the fin.", [done("clean", "fin")], 1)],
        _on("2026-03-14"): [
            ("The fin is painted.", [done("paint", "fin")], 1),
            ("And inspected the flap.", [done("inspect", "flap", "starboard")], 1),
        ],
        _on("2026-05-09"): [
            ("Fin's back on.", [done("fit", "fin")], 2),
            ("So is the aileron.", [done("fit", "aileron", "port")], 1),
        ],
    }
    return made_book("winter", "Crew Trainer", days, [Person(name="Ottoline Marsh", role="rigger", consent=True)])


BOOKS = (
    tiny_evening,
    inspection_day,
    rebuild_weekend,
    flying_boat,
    biplane,
    month_of_twenty_days,
    without_people_or_photos,
    one_fact,
    body_split,
    engine_change,
)
