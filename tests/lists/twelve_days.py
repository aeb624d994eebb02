"""Twelve working days on the invented crew trainer, October to February: what was told, written out by hand.

An aircraft, people and numbers that never were. The lists that these days add up to stand in
``twelve_days_lists.py``, written out by hand too.
"""

from datetime import UTC, date, datetime
from typing import Any

from pipeline.lists.logged import LoggedFact
from pipeline.reading.fact import Fact, Measure, Place, Side, Status, Stowage

Told = tuple[Fact, str, str]
"""A fact, the words said, and the sentence around them ("": the words are all)."""


def _told(status: Status, act: str | None, item: str, side: Side | None, **more: Any) -> Told:
    said, around = more.pop("said", f"{status} {act} {item}"), more.pop("around", "")
    return Fact(status=status, act=act, item=item, side=side, **more), said, around


def did(act: str, item: str, side: Side | None = None, **more: Any) -> Told:
    return _told("done", act, item, side, **more)


def will(act: str, item: str, side: Side | None = None, **more: Any) -> Told:
    return _told("planned", act, item, side, **more)


def did_not(act: str, item: str, side: Side | None = None, **more: Any) -> Told:
    return _told("not-done", act, item, side, **more)


def is_held(item: str, side: Side | None, count: int) -> Told:
    return _told("explained", "held-by", item, side, count=count, of="bolt")


def saw(finding: str, item: str, side: Side | None = None, **more: Any) -> Told:
    return _told("seen", None, item, side, finding=finding, **more)


def bagged(of: str, count: int, bag: str, side: Side | None = None) -> Told:
    return did("bag", of, side, count=count, stowage=Stowage(bag=bag))


def at(scheme: Any, name: str) -> tuple[Place, ...]:
    return (Place(scheme=scheme, at=name),)


def mm(value: float) -> tuple[Measure, ...]:
    return (Measure(value=value, unit="mm"),)


GROWN = "The crack at frame 23 was 15 mm in October, 18 now."

DAYS: dict[date, dict[str, tuple[Told, ...]]] = {
    date(2025, 10, 4): {
        "01-a": (
            is_held("fin", "both", 12),
            is_held("rudder", "both", 6),
            is_held("tailplane", None, 8),
            is_held("elevator", "both", 8),
        ),
        "01-b": (
            saw("crack", "frame", place=at("frame", "23"), measure=mm(15)),
            saw("corrosion", "fin", "port", grade="light"),
            saw("dent", "rudder", "starboard"),
            did("inspect", "elevator", "both"),
            saw("sound", "elevator", "both"),
            saw("play", "tail-wheel"),
        ),
        "01-c": (
            did("disconnect", "control-rod", "port"),
            did("disconnect", "bonding-strip", "port"),
            did("undo", "aileron", "port", count=5, of="bolt"),
            did("remove", "aileron", "port"),
            bagged("bolt", 5, "1"),
            did("tag", "aileron", "port", tag="P-0101"),
            did("store", "aileron", "port", stowage=Stowage(rack="1", shelf="top")),
            saw("wear", "aileron", "port"),
        ),
    },
    date(2025, 10, 11): {
        "02-a": (
            did("support", "rear-fuselage", place=at("frame", "21"), said="put a trestle under frame 21"),
            did("support", "centre-fuselage", place=at("frame", "12"), said="and a trestle under frame 12"),
        ),
        "02-b": (
            did("disconnect", "rudder-control-rod", "both"),
            did("undo", "rudder", "port", count=3, of="bolt"),
            did("undo", "rudder", "starboard", count=3, of="bolt"),
            did("remove", "rudder", "both"),
            bagged("bolt", 3, "2", "port"),
            bagged("bolt", 3, "2", "starboard"),
            did("tag", "rudder", "port", tag="P-0102"),
            did("tag", "rudder", "starboard", tag="P-0103"),
            did("store", "rudder", "both", stowage=Stowage(rack="2")),
            will("remove", "fin", "both"),
            did_not("remove", "trim-tab", "port"),
        ),
    },
    date(2025, 10, 18): {
        "03-a": (did("remove", "trim-tab", "port"),),
        "03-b": (
            did("disconnect", "wiring-loom", "both"),
            did("undo", "fin", "both", count=12, of="bolt"),
            did("remove", "fin", "both"),
            bagged("bolt", 6, "3", "port"),
            bagged("bolt", 5, "3", "starboard"),
            did("tag", "fin", "port", tag="P-0104"),
            did("tag", "fin", "starboard", tag="P-0105"),
            did("store", "fin", "both", stowage=Stowage(rack="3")),
            saw("crack", "fin", "starboard", measure=mm(4)),
            saw("corrosion", "fin", "port", grade="moderate"),
        ),
    },
    date(2025, 11, 1): {
        "04-a": (
            did("disconnect", "control-cable"),
            did("undo", "tail-oleo", count=2, of="bolt"),
            did("remove", "tail-oleo"),
            bagged("bolt", 2, "4"),
            did("tag", "tail-oleo", tag="P-0106"),
            did("store", "tail-oleo", stowage=Stowage(pallet="1")),
            saw("leak", "tail-oleo"),
        ),
        "04-b": (did("tag", "rudder", "port", tag="P-0112"),),
        "04-c": (
            did("disconnect", "elevator-torque-tube"),
            did("undo", "elevator", "both", count=8, of="bolt"),
            did("remove", "elevator", "both"),
            bagged("bolt", 8, "5"),
            did("store", "elevator", "both", stowage=Stowage(rack="4")),
            will("repair", "frame", place=at("frame", "23")),
        ),
    },
    date(2025, 11, 8): {
        "05-a": (
            did("disconnect", "trim-jack", "both"),
            did("remove", "fillet-panel", "both", count=76, of="screw"),
            bagged("screw", 76, "6"),
            did("store", "fillet-panel", "both", stowage=Stowage(rack="4")),
            did_not("undo", "tailplane", count=8, of="bolt"),
            will("remove", "tailplane"),
        ),
    },
    date(2025, 11, 15): {
        "06-a": (
            did("support", "tailplane", said="the hoist and the slings have the weight of the tailplane"),
            did("undo", "tailplane", count=8, of="bolt"),
            did("remove", "tailplane"),
            did("lower", "tailplane", said="lowered it onto two trestles"),
            bagged("bolt", 7, "7"),
            did("tag", "tailplane", tag="P-0107"),
        ),
        "06-b": (
            did("store", "tailplane", stowage=Stowage(stand="1")),
            saw("elongated-hole", "tailplane", count=2, of="hole"),
        ),
    },
    date(2025, 11, 29): {
        "07-a": (
            saw("corrosion", "frame", place=at("frame", "24"), grade="heavy"),
            did("clean", "frame", place=at("frame", "24")),
            did("treat", "fin", "port"),
            did("prime", "fin", "port"),
            did("repair", "aileron", "port"),
            did("move", "fin", "both", stowage=Stowage(rack="5")),
        ),
        "07-b": (did("drill-out", "transport-joint", count=12, of="rivet"),),
    },
    date(2025, 12, 13): {
        "08-a": (
            did("disconnect", "control-cable", "both"),
            did("disconnect", "hydraulic-line"),
            did("blank", "hydraulic-line", said="capped it with plastic caps"),
            did("disconnect", "pitot-static-line"),
            did("disconnect", "wiring-loom"),
            did("disconnect", "oxygen-line"),
            will("undo", "transport-joint"),
        ),
    },
    date(2026, 1, 10): {
        "09-a": (
            did("blank", "pitot-static-line", said="plugged it with bungs"),
            did("undo", "transport-joint", count=200, of="nut-and-bolt"),
            bagged("nut-and-bolt", 200, "8"),
            saw("missing", "nut-and-bolt", count=3),
            did_not("separate", "transport-joint"),
        ),
    },
    date(2026, 1, 17): {
        "10-a": (
            did("undo", "transport-joint", count=37, of="nut-and-bolt"),
            bagged("nut-and-bolt", 37, "9"),
            did("separate", "transport-joint"),
            did("move", "rear-fuselage", said="wheeled the rear fuselage back"),
            did("support", "rear-fuselage", place=at("frame", "21"), said="with a trestle under frame 21"),
        ),
        "10-b": (
            saw(
                "crack",
                "frame",
                place=at("frame", "23"),
                measure=mm(15),
                said="The crack at frame 23 was 15 mm in October",
                around=GROWN,
            ),
            saw("crack", "frame", place=at("frame", "23"), measure=mm(18), said="18 now", around=GROWN),
        ),
    },
    date(2026, 1, 31): {
        "11-a": (
            did("repair", "frame", place=at("frame", "23")),
            did("prime", "frame", place=at("frame", "24")),
            saw("corrosion", "frame", place=at("frame", "24"), absent=True),
            did("inspect", "tail-oleo"),
            did("store", "tail-oleo", stowage=Stowage(rack="6")),
            did("move", "elevator", "port"),
            will("fit", "aileron", "port"),
            will("test", "hydraulic-line"),
        ),
    },
    date(2026, 2, 14): {
        "12-a": (
            did("paint", "aileron", "port"),
            did("fit", "aileron", "port"),
            did("fit", "aileron", "port", count=5, of="bolt"),
            did("connect", "control-rod", "port"),
            did("connect", "bonding-strip", "port"),
            did("tighten", "aileron", "port", count=5, of="bolt"),
            did("lock", "aileron", "port"),
        ),
        "12-b": (
            did("support", "centre-fuselage", place=at("spar", "front"), said="put jacks under the front spar"),
            did("remove", "trestle", place=at("frame", "12"), said="took the trestle out"),
            saw("crack", "fin", "starboard", measure=mm(6)),
            will("repair", "tailplane"),
            will(
                *("fit", "rudder", "port"),
                said="the port rudder goes on",
                around="Once the tailplane is mended the port rudder goes on.",
            ),
            did_not("paint", "fin", "port"),
        ),
    },
}
"""By day and entry, in the order said. The entries of a day begin at ten, and follow each other by the hour."""


def facts_of(day: date) -> list[LoggedFact]:
    """Return what was told on a day, in the order said."""
    return [
        LoggedFact(
            at=datetime(day.year, day.month, day.day, 10 + turn, tzinfo=UTC),
            entry=entry,
            fact=fact,
            said=said,
            around=around,
        )
        for turn, (entry, told) in enumerate(DAYS[day].items())
        for fact, said, around in told
    ]


def all_facts() -> list[LoggedFact]:
    """Return what was told on all twelve days, in the order said."""
    return [logged for day in sorted(DAYS) for logged in facts_of(day)]
