"""Work on what holds a part: nobody tightens an engine, but its bolts."""

from collections.abc import Collection

from pipeline.writing.terms import Terms, kind_and_zone

# Kinds of parts that bolts, nuts and screws hold. Cables, rods, pipes and clamps are tightened and locked themselves.
_BOLTED = frozenset({
    "structure", "powerplant", "undercarriage", "control-surface", "furnishing", "armament", "safety",
})  # fmt: skip
_BOLTED_TOO = frozenset({"fuel-tank", "fuel-pump", "fuel-cock", "generator"})
# What is tightened by its own thread, or by its end fittings.
_BY_ITSELF = frozenset({
    "flying-wire", "landing-wire", "incidence-wire", "drift-wire", "spark-plug", "oil-filter", "oil-line",
    "coolant-line", "bungee", "harness", "glue-joint",
})  # fmt: skip
# Of these, of engines and of control surfaces, locking alone is of the fastenings; a door, a canopy or a leg has
# a lock of its own. Common practice, no source.
_LOCKED_BY_WIRE = frozenset({
    "rear-fuselage", "front-fuselage", "centre-fuselage", "centre-section", "mainplane", "upper-wing", "lower-wing",
    "outer-wing", "tail-boom", "tailplane", "fin", "float", "wing-joint", "transport-joint",
})  # fmt: skip


def is_of_fastenings(acts: Collection[str], item: str, terms: Terms) -> bool:
    """Tell whether work that is told of a part is on what holds it: tightened, or locked with wire, pins and tabs.

    Args:
        acts: what was done, as notations; all of it must be tightening and locking.
        item: the part that it was told of.
        terms: the vocabulary.
    """
    kind, _ = kind_and_zone(terms, item)
    if not acts or not set(acts) <= {"tighten", "lock"} or item in _BY_ITSELF:
        return False
    if "tighten" not in acts:
        return item in _LOCKED_BY_WIRE or (kind in ("powerplant", "control-surface") and item != "cowling")
    return kind in _BOLTED or item in _BOLTED_TOO
