"""How findings are put in order, worst first; and the published words for grades of corrosion."""

from typing import NamedTuple

from pipeline.reading.fact import Measure

_MOST = {
    "crack": 90,  # grows under load, and a part can fail without another sign
    "broken": 85,  # it no longer does its work
    "missing": 80,  # nor does what is not there
    "elongated-hole": 70,  # a joint that has worked loose under load
    "seized": 60,  # a control or bearing that cannot move
    "loose": 55,
    "leak": 50,
    "play": 50,
    "corrosion": 45,  # as long as no grade was told
    "chafing": 45,  # wears cables and pipes through
    "distortion": 45,  # may be a sign of overload
    "wear": 40,
    "perished": 35,
    "scoring": 30,
    "dent": 25,
    "contamination": 20,
    "paint-loss": 10,
    "sound": 0,
}
_UNKNOWN = 40
_BY_GRADE = {"light": -10, "moderate": 0, "heavy": 30}
"""The order of a list, and no verdict: what matters is where the part is and what its manual allows. Heavy corrosion
comes next to what is broken. Source: common practice, no source."""


class CorrosionWords(NamedTuple):
    """What a grade of corrosion is called in published guidance, and how deep the pits are then."""

    term: str
    pits: str


CORROSION_GRADES = {
    "light": CorrosionWords("light", "discoloured or pitted, no deeper than about 0.001 in"),
    "moderate": CorrosionWords("moderate", "blistered, scaling or flaking, pits of up to 0.010 in"),
    "heavy": CorrosionWords("severe", "blistered, exfoliated, scaling or flaking, pits deeper than 0.010 in"),
}
"""Beside the hangar's words, not in their place: "heavy" in speech is no measured depth. Source: FAA AC 43-4A,
Corrosion Control for Aircraft (from memory); US Army TM 1-1520-238-23, paragraph 1.49.14, has the same three degrees
with these depths (looked up)."""

_IN_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8, "thou": 0.0254}


def severity(finding: str, grade: str | None) -> int:
    """Return where a finding stands in the order: the higher, the earlier."""
    base = _MOST.get(finding, _UNKNOWN)
    return base + _BY_GRADE.get(grade or "", 0) if base else 0


def size_mm(measures: tuple[Measure, ...] | None) -> float | None:
    """Return the largest length among measures in millimetres, None where there is none."""
    lengths = [one.value * _IN_MM[one.unit] for one in measures or () if one.unit in _IN_MM]
    return max(lengths, default=None)
