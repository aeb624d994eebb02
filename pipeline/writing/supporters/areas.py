"""The areas of the aircraft as a supporter knows them, and the plain reasons for working on them.

The reasons are true of any aircraft of this kind (common practice, no source); they are told only with the work that
they go with.
"""

from collections.abc import Sequence

from pipeline.writing.supporters.steps import Area

HEADINGS = {
    "wing": "The wing",
    "gear": "The undercarriage",
    "tail": "The tail",
    "engines": "The engines",
    "services": "Pipes, cables and wires",
    "body": "The body",
    "other": "Around the aircraft",
}
IN_WORDS = {
    "wing": "the wing",
    "gear": "the undercarriage",
    "tail": "the tail",
    "engines": "the engines",
    "services": "the pipes, cables and wires",
    "body": "the body",
    "other": "the rest of the aircraft",
}
# For each area: the acts and parts that the reason goes with (no parts: any), and the reason.
_WHY: dict[str, tuple[frozenset[str], frozenset[str], str]] = {
    "wing": (
        frozenset({"remove"}),
        frozenset({"outer-wing", "mainplane"}),
        "With the wing off, the joint that carries it can be reached from all sides and cleaned.",
    ),
    "gear": (
        frozenset({"remove"}),
        frozenset({"main-undercarriage", "main-oleo"}),
        "The legs take the whole weight on every landing, so they come out to be stripped on the bench.",
    ),
    "tail": (
        frozenset({"remove"}),
        frozenset(),
        "A tail is full of hinges, and each one is easier to work on off the aircraft.",
    ),
    "engines": (
        frozenset({"remove"}),
        frozenset({"engine"}),
        "With an engine out of the way, what lies behind it can be reached.",
    ),
    "services": (
        frozenset({"disconnect"}),
        frozenset(),
        "Pipes, cables and wires must be free before a large part can move, or they would be torn.",
    ),
}


def reason(area: Area) -> str:
    """Return the reason that goes with an area's work, "" where its part or act is not among the steps."""
    acts, items, reason = _WHY.get(area.name, (frozenset(), frozenset(), ""))
    told_of = any(step.act in acts and (not items or step.item in items) for step in area.steps)
    return reason if told_of else ""


def told_areas(found: Sequence[Area]) -> tuple[Area, ...]:
    """Give an area with a single small job no section of its own: such jobs are told together, last."""
    large = [area for area in found if len(area.steps) > 1 or area.steps[0].act == "remove" or area.steps[0].counts]
    small = [step for area in found if area not in large for step in area.steps]
    own = [area for area in large if area.name != "other"]
    small += [step for area in large if area.name == "other" for step in area.steps]
    if not small:
        return tuple(own)
    return (*own, Area("other", tuple(sorted(small, key=lambda step: step.at))))
