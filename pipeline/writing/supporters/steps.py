"""The steps of a period's work: facts of one kind about one part brought together, in order, and sorted by area."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from pipeline.records import EntryRecord, FactRecord
from pipeline.writing.english import plural
from pipeline.writing.terms import Terms, kind_and_zone, term

_SERVICES = frozenset({"controls", "hydraulic", "pneumatic", "fuel", "electrical", "instruments", "radio", "oxygen"})
# Parts that are news when they come off or are propped up, the largest first; common practice, no source.
LARGE = (
    "rear-fuselage", "front-fuselage", "centre-fuselage", "centre-section", "mainplane", "outer-wing", "engine",
    "tailplane", "main-undercarriage", "fin", "gun-turret", "canopy", "rudder", "propeller", "elevator", "flap",
    "aileron", "fuel-tank",
)  # fmt: skip
_BODY = frozenset({"nose", "front", "centre", "rear"})


@dataclass(frozen=True)
class Step:
    """One kind of work on one part, on one side or both.

    ``counts`` are (what, how many) of fasteners and the like; ``people`` is the most that one entry told of;
    ``entries`` are the ids of the entries that tell of it.
    """

    act: str
    item: str
    area: str
    sides: frozenset[str]
    day: date
    at: datetime
    counts: tuple[tuple[str, int], ...] = ()
    about: bool = False
    people: int = 0
    entries: tuple[str, ...] = ()


@dataclass(frozen=True)
class Area:
    """The steps in one area of the aircraft, in order."""

    name: str
    steps: tuple[Step, ...]


def area_of(item: str, terms: Terms) -> str:
    """Return the area that a part is told under: wing, gear, tail, engines, services, body, or other."""
    kind, zone = kind_and_zone(terms, item)
    if zone in ("wing", "gear", "tail"):
        return zone
    if zone == "nacelle":
        return "engines"
    if kind in _SERVICES:
        return "services"
    return "body" if zone in _BODY else "other"


def steps(told: Iterable[tuple[EntryRecord, FactRecord, datetime]], terms: Terms) -> tuple[Step, ...]:
    """Bring facts together: the same act on the same part is one step, its counts added up.

    Args:
        told: facts that are done and may be told, each with its entry and the local time of it, in order.
        terms: the vocabulary.
    """
    made: dict[tuple[str, str], Step] = {}
    for entry, fact, at in told:
        if fact.act is None or fact.item is None:
            continue
        kind, _ = kind_and_zone(terms, fact.item)
        if kind in ("support-equipment", "material") or (fact.act == "support" and fact.item not in LARGE):
            continue
        key = (fact.act, fact.item)
        new = _step(entry, fact, at, terms)
        made[key] = _joined(made[key], new) if key in made else new
    return tuple(sorted(_lifted_with(made).values(), key=lambda step: step.at))


def _lifted_with(made: dict[tuple[str, str], Step]) -> dict[tuple[str, str], Step]:
    """Take lifting and lowering of a part that came off or went on as part of that work, with its people."""
    left = dict(made)
    for (act, item), step in made.items():
        main = next((left[key] for key in (("remove", item), ("fit", item)) if key in left), None)
        if act in ("lift", "lower") and main is not None:
            merged = replace(
                main,
                people=max(main.people, step.people),
                entries=tuple(dict.fromkeys((*main.entries, *step.entries))),
            )
            left[(main.act, item)] = merged
            del left[(act, item)]
    return left


def areas(all_steps: Sequence[Step]) -> tuple[Area, ...]:
    """Sort steps by area; areas stand in the order in which work on them began."""
    sorted_out: dict[str, list[Step]] = {}
    for step in all_steps:
        sorted_out.setdefault(step.area, []).append(step)
    return tuple(Area(name, tuple(found)) for name, found in sorted_out.items())


def named(step: Step, terms: Terms, *, article: bool = True) -> str:
    """Return the part of a step: "the port aileron", "both drag struts", "the hydraulic reservoir"."""
    return part_named(step.item, step.sides, terms, article=article)


def part_named(item: str, sides: Iterable[str], terms: Terms, *, article: bool = True) -> str:
    """Return a part with the sides that are meant."""
    name = term(terms, item)
    kind, _ = kind_and_zone(terms, item)
    if kind == "fastener":
        name = plural(name)
    found = sorted(sides)
    if found == ["port", "starboard"]:
        return f"both {plural(name)}"
    side = f"{found[0]} " if found else ""
    return f"{'the ' if article else ''}{side}{name}"


def _step(entry: EntryRecord, fact: FactRecord, at: datetime, terms: Terms) -> Step:
    counts: tuple[tuple[str, int], ...] = ()
    people = 0
    if fact.count is not None and fact.of == "person":
        people = fact.count
    elif fact.count is not None and fact.of:
        counts = ((fact.of, fact.count),)
    return Step(
        act=str(fact.act),
        item=str(fact.item),
        area=area_of(str(fact.item), terms),
        sides={None: frozenset(), "both": frozenset({"port", "starboard"})}.get(
            fact.side, frozenset({str(fact.side)})
        ),
        day=at.date(),
        at=at,
        counts=counts,
        about=bool(fact.about),
        people=people,
        entries=(entry.id,),
    )


def _joined(old: Step, new: Step) -> Step:
    totals = dict(old.counts)
    for of, count in new.counts:
        totals[of] = totals.get(of, 0) + count
    return replace(
        old,
        sides=old.sides | new.sides,
        counts=tuple(totals.items()),
        about=old.about or new.about,
        people=max(old.people, new.people),
        entries=tuple(dict.fromkeys((*old.entries, *new.entries))),
    )
