"""Plugs that are connected or parted join wires: they are no spark plugs, which are screwed in."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case

_PARTED = word_set("connect disconnect separate")
_WITH_IT = _PARTED | {"blank"}
_SPARK, _ELECTRIC = "spark-plug", "plug-and-socket"


def of_wires_where_parted(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; plugs that were connected or parted, and named as nothing more than plugs, are of wires."""
    parted = {case.sentence(f) for f in facts if f.act in _PARTED and f.item == _SPARK and _is_bare(case, f)}
    found: list[Fact] = []
    for fact in facts:
        if fact.item == _SPARK and fact.act in _WITH_IT and case.sentence(fact) in parted:
            of = _ELECTRIC if fact.of == _SPARK else fact.of
            why = (*fact.inferred, ("item", "a plug that is connected"))
            fact = fact.model_copy(update={"item": _ELECTRIC, "of": of, "inferred": why})
        found.append(fact)
    return found


def _is_bare(case: Case, fact: Fact) -> bool:
    """Tell whether the sentence of a fact names plugs without saying that they are spark plugs."""
    own = case.own_pieces(fact)
    return any(p.sense("short") == "plug" for p in own) and all(p.sense("part") != _SPARK for p in own)
