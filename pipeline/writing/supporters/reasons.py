"""Why a piece of work matters, in one plain sentence. Common practice, no source; told only with the work itself."""

from collections.abc import Container, Iterable

from pipeline.writing.supporters.steps import Step
from pipeline.writing.supporters.told import Told, reason

# Looking and trying tell of no finding by themselves: that it was done may be told, what came of it may not.
LOOKED_AT = frozenset({"inspect", "test"})
_MOST = 2  # in one report: more of them sound like a schoolbook

_WINGS = frozenset({"outer-wing", "mainplane", "upper-wing", "lower-wing"})
_STEERING = frozenset({"rudder", "elevator", "aileron"})
_LEGS = frozenset({"main-undercarriage", "main-oleo"})
# (the act, the parts or none for any, a name, the sentence)
_REASONS: tuple[tuple[str, Container[str] | None, str, str], ...] = (
    ("remove", _WINGS, "wing off", "with the wing away, we can get at the joint that carries it from all sides"),
    ("remove", _LEGS, "leg off", "a leg takes a hard knock at every landing, so each is worth a close look"),
    ("remove", _STEERING, "steering off", "such surfaces steer the aircraft, so every hinge counts"),
    ("remove", {"engine"}, "engine off", "what lies behind an engine can be reached only once it is out of the way"),
    ("remove", {"canopy"}, "canopy off", "with the canopy away, there is room to work in the cockpit"),
    ("remove", {"float"}, "float off", "a float lives in the wet, so it is one of the first things to look at"),
    ("remove", {"fuel-tank"}, "tank off", "a tank that is out can be seen from every side"),
    ("paint", None, "paint", "paint is what keeps the weather out"),
    ("dope", None, "dope", "dope draws the cloth tight and seals it"),
    ("prime", None, "prime", "primer goes on first, so that the paint has something to hold on to"),
    ("clean", None, "clean", "nobody can judge a part under a coat of dirt, so the cleaning comes first"),
    ("test", None, "looked at", "what we saw is in the logbook, for the engineers to judge"),
    ("inspect", None, "looked at", "what we saw is in the logbook, for the engineers to judge"),
    ("open", None, "open", "behind such a panel is where the dirt and the damp collect"),
    ("drain", None, "drain", "a system that is empty cannot drip on whoever opens it"),
)


class Reasons:
    """Hands out reasons, a few in a report and each of them once; what was looked at always has its own."""

    def __init__(self, used: frozenset[str] = frozenset(), most: int = _MOST) -> None:
        """Take the names of reasons that earlier reports of the series gave, and how many a report may give."""
        self._used = set(used) - {"looked at"}
        self._left = most

    def of(self, step: Step) -> list[Told]:
        """Return the reason for a step as a list of one, empty where there is none or it was given already."""
        for act, items, name, text in _REASONS:
            if act == step.act and (items is None or step.item in items):
                if name in self._used or (self._left == 0 and act not in LOOKED_AT):
                    return []
                self._used.add(name)
                self._left -= act not in LOOKED_AT
                return [reason(text, name)]
        return []


def reasons_given(steps: Iterable[Step]) -> frozenset[str]:
    """Return the names of all reasons that a report of these steps may give."""
    reasons = Reasons(most=len(_REASONS))
    return frozenset(one.behind[0].removeprefix("reason: ") for step in steps for one in reasons.of(step))
