"""The chapters of the report: the big parts that came off or went on, each with its work, and the small jobs.

What stands here of aircraft is common practice, no source.
"""

from collections.abc import Container, Sequence
from dataclasses import dataclass
from datetime import datetime

from pipeline.writing.supporters.as_told import SLACKEN
from pipeline.writing.supporters.steps import IN_HALVES, LARGE, MIDDLE, PANELS, Step
from pipeline.writing.terms import Terms, belongs_to, kind_and_zone

HEADINGS = {
    "wing": "The wing",
    "gear": "The undercarriage",
    "tail": "The tail",
    "engines": "The engines",
    "services": "Systems and controls",
    "body": "The body",
    "small": "Smaller jobs",
}
_ONE_ENGINE = "The engine"
_TELL_OF_ENGINES = frozenset({"engine", "propeller", "nacelle", "engine-mount"})  # of which each engine has one
SERVICES = frozenset({"controls", "hydraulic", "pneumatic", "fuel", "electrical", "instruments", "radio", "oxygen"})
# joints whose fasteners hold a part that they are not a piece of
JOINTS = {"wing-joint": "outer-wing", "transport-joint": "rear-fuselage", "engine-mount": "engine"}
MAIN_ACTS = frozenset({"remove", "fit"})
OFF_ACTS = frozenset({"remove", "undo", "drill-out", "separate"})
# Pipes, cables, rods and wires.
_RUNS = ("line", "cable", "loom", "rod", "tube", "wire", "pulley", "fairlead", "turnbuckle", "strip")
# Work on the way to a big part; what came off, went on or was cared for by itself is told by itself.
_ON_THE_WAY = frozenset({"disconnect", "undo", "drill-out", "separate", "drain", "blank", "connect"})
# Which systems are part of the work on a big part of an area; common practice, no source.
_GOES_WITH = {
    "engines": frozenset({"fuel", "controls", "electrical"}),
    "wing": SERVICES - {"radio", "oxygen"},
    "tail": frozenset({"controls", "electrical"}),
    "gear": frozenset({"hydraulic", "pneumatic", "electrical", "fuel"}),
    "body": SERVICES,
}
_LEADS_TO_DAYS = 1  # work of a Saturday leads to what came off on the Sunday
# A word that people also use for the part after it: "the wing's off" is said of an outer wing.
_SAID_LOOSELY = {"mainplane": "outer-wing", "fuselage": "rear-fuselage"}
_MOSTLY_ONE = frozenset({"fin", "rudder"})  # few aircraft have two, and then their sides are told
_NEVER_OFF = frozenset({
    "front-spar", "rear-spar", "spar-cap", "spar-web", "rib", "nose-rib", "frame", "bulkhead", "stringer", "longeron",
    "skin", "keel-member", "joint-fitting", "wing-joint", "transport-joint", "leading-edge", "trailing-edge",
    "wheel-bay",
})  # fmt: skip


@dataclass(frozen=True)
class Chapter:
    """One area's work. ``main`` is the largest part that came off or went on in it, None where none did."""

    area: str
    main: Step | None
    steps: tuple[Step, ...]

    @property
    def begun(self) -> datetime:
        """When the big part was first told of; without one, when anything was."""
        return (self.main or self.steps[0]).at

    @property
    def heading(self) -> str:
        """What stands above the chapter."""
        return heading_of(self.area, self.steps)


def heading_of(area: str, steps: Sequence[Step]) -> str:
    """Return what stands above an area's work; "The engine", where the steps name but one."""
    several = any(step.item in _TELL_OF_ENGINES and (step.sides or step.number > 1 or step.several) for step in steps)
    return HEADINGS[area] if area != "engines" or several else _ONE_ENGINE


def in_words(area: str, steps: Sequence[Step]) -> str:
    """Return an area within a sentence: "the wing", "the engines"."""
    heading = heading_of(area, steps)
    return "the systems and controls" if area == "services" else heading[:1].lower() + heading[1:]


def area_of(item: str, terms: Terms) -> str:
    """Return the area that a part is told under: wing, gear, tail, engines, services, body, or small."""
    kind, zone = kind_and_zone(terms, item)
    if zone in ("wing", "gear", "tail"):
        return zone
    if zone == "nacelle":
        return "engines"
    if kind in SERVICES:
        return "services"
    return "body" if zone in MIDDLE else "small"


def tellable(
    all_steps: Sequence[Step], planned: frozenset[str], terms: Terms, again: Container[tuple[str, str]] = ()
) -> tuple[Step, ...]:
    """Leave out what cannot be meant as it was read, or that a bigger part tells as well.

    Args:
        all_steps: all steps, in order.
        planned: notations of parts that anybody planned to take off.
        terms: the vocabulary.
        again: (entry, part) of removals of what was off already: "the rudder's down again" is of one that lay higher.
    """
    gone = {step.item for step in all_steps if step.act == "remove"}
    off = gone | planned
    kinds_freed = {kind_and_zone(terms, step.item)[0] for step in all_steps if step.act in ("undo", "disconnect")}

    def is_meant(step: Step) -> bool:
        if step.act in ("remove", "fit") and step.item in _NEVER_OFF:
            return False
        if (
            step.act == "remove"
            and _is_certain(step, terms)
            and all((one, step.item) in again for one in step.entries)
        ):
            return False
        if step.act == "disconnect" and step.item in gone and not is_run(step.item, terms):
            return False
        if step.act == SLACKEN and kind_and_zone(terms, step.item)[0] in kinds_freed:  # to a reader it is the same
            return False
        return _SAID_LOOSELY.get(step.item) not in off

    return tuple(step for step in all_steps if is_meant(step))


def may_be_two(item: str, terms: Terms) -> bool:
    """Tell whether an aircraft may have more than one of a part: its name alone then leaves open which it was."""
    part = terms.part(item)
    return part is None or (part.symmetrical and item not in IN_HALVES)


def _is_certain(step: Step, terms: Terms) -> bool:
    """Tell whether it is clear which part of that name a step is on."""
    one = step.item in _MOSTLY_ONE or not may_be_two(step.item, terms)
    return not step.several and step.number < 2 and (bool(step.sides) or one)


def biggest(all_steps: Sequence[Step], terms: Terms) -> Step | None:
    """Return the removal that is the news: of a large part that more than one fact tells of, if there is one.

    Else it is one of a part that a report names, before a pin or a bracket.
    """
    off = [step for step in all_steps if step.act == "remove"]
    others = {step.item for step in all_steps if step.act in ("lower", "lift", "move", "store", "support", "tag")}

    def size(step: Step) -> tuple[bool, int, bool, int]:
        large = len(LARGE) - LARGE.index(step.item) if step.item in LARGE else 0
        backed = step.people > 0 or bool(step.counts) or len(step.entries) > 1 or step.item in others
        return backed and large > 0, large, is_told_by_name(step.item, terms), step.people

    return max(off, key=size) if off else None


def is_bit(item: str, terms: Terms) -> bool:
    """Tell whether a part is so small that its coming off is no news: a hinge, a bracket, a bush, a pin."""
    kind, zone = kind_and_zone(terms, item)
    loose = kind == "structure" and zone == "any" and item not in PANELS and not item.endswith("-panel")
    return kind in ("fastener", "detail") or item.endswith("-hinge") or loose


def is_run(item: str, terms: Terms) -> bool:
    """Tell whether a part is a pipe, cable, rod or wire: such are summed up, other parts of a system are named."""
    return kind_and_zone(terms, item)[0] in SERVICES and item.endswith(_RUNS)


def is_told_by_name(item: str, terms: Terms) -> bool:
    """Tell whether a report names a part that came off: then a reader can count it."""
    return not is_bit(item, terms) and not is_run(item, terms)


def chapters(all_steps: Sequence[Step], terms: Terms, news: Step | None = None) -> tuple[Chapter, ...]:
    """Sort steps into chapters: that of the news first, the others as the work on them began; small jobs come last.

    What is freed, undone or drained on the way, and what holds the aircraft up, goes with the big part that came off
    or went on next on that day, or last on it, or on the day after; without one it stands by itself.
    """
    big = [step for step in all_steps if step.act in MAIN_ACTS and step.item in LARGE]
    homes = {step: area_of(step.item, terms) for step in all_steps}
    with_big = {homes[step] for step in big}
    sorted_out: dict[str, list[Step]] = {}
    for place, step in enumerate(all_steps):
        home = homes[step]
        if home not in with_big:
            bit = step.act in MAIN_ACTS and not is_told_by_name(step.item, terms)
            along = step.act in _ON_THE_WAY or bit
            goes_along = (home in ("services", "small") and along) or step.act == "support"
            may = [one for one in big if _may_go_with(step, one, terms)]
            led_to = _led_to(step, may, all_steps[:place]) if goes_along else None
            home = homes[led_to] if led_to is not None else home
        sorted_out.setdefault(home, []).append(step)
    found = [Chapter(area, _main(own, big), tuple(own)) for area, own in sorted_out.items()]
    own_section = [one for one in found if one.area != "small" and _stands_alone(one)]
    rest = sorted((step for one in found if one not in own_section for step in one.steps), key=lambda step: step.at)
    own_section.sort(key=lambda one: (news not in one.steps, one.begun))
    return (*own_section, Chapter("small", None, tuple(rest))) if rest else tuple(own_section)


def _stands_alone(chapter: Chapter) -> bool:
    """Tell whether an area has a chapter of its own: for a large part off, on or tested, or for much work."""
    tested = any(step.act == "test" and step.item in LARGE for step in chapter.steps)
    return chapter.main is not None or tested or len(chapter.steps) > 2


def _main(own: Sequence[Step], big: Sequence[Step]) -> Step | None:
    return min((step for step in own if step in big), key=lambda step: LARGE.index(step.item), default=None)


def _may_go_with(step: Step, big: Step, terms: Terms) -> bool:
    """Tell whether work may have been done for the sake of a big part: a system's only where it belongs there."""
    kind, zone = kind_and_zone(terms, step.item)
    area = area_of(big.item, terms)
    return kind not in SERVICES or kind in _GOES_WITH.get(area, ()) or zone == kind_and_zone(terms, big.item)[1]


def _led_to(step: Step, big: Sequence[Step], before: Sequence[Step]) -> Step | None:
    """Return the big part that a step led to, or else came after; ``before`` are the steps told before it."""
    same_day = [one for one in big if step.day in one.days]
    after = [one for one in same_day if one.until > step.at or (one.until == step.at and one not in before)]
    if same_day:
        return min(after, key=lambda one: one.at) if after else max(reversed(same_day), key=lambda one: one.at)
    later = [one for one in big if 0 < (one.day - step.day).days <= _LEADS_TO_DAYS]
    return min(later, key=lambda one: one.at, default=None)


def holds(item: str, part: str, terms: Terms) -> bool:
    """Tell whether undoing an item frees a part: it is the part, belongs to it, or is its joint."""
    return belongs_to(terms, item, part) or JOINTS.get(item) == part
