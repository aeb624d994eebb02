"""Which parts are services and controls, which lines must not stay open, and what is inspected a second time."""

from pipeline.lists.known_parts import KnownParts
from pipeline.reading.vocabulary import Vocabulary

_SERVICES = {
    "controls": frozenset({"cable", "rod", "tube", "chain", "turnbuckle", "strut"}),
    "hydraulic": frozenset({"line", "hose"}),
    "pneumatic": frozenset({"line", "hose"}),
    "fuel": frozenset({"line", "hose"}),
    "oxygen": frozenset({"line", "hose"}),
    "instruments": frozenset({"line", "hose"}),
    "powerplant": frozenset({"line", "hose", "harness"}),
    "electrical": frozenset({"loom", "strip", "socket"}),
    "radio": frozenset({"aerial", "lead"}),
}
"""By kind of part, the last words of the names of what runs from one part of the aircraft to another: pipes, cables,
rods, wires. To take one of these out, or to open it, is to disconnect it. Source: common practice, no source."""

_NOT_LEFT_OPEN = frozenset({"fuel", "hydraulic", "oxygen"})
_AIR_DATA = frozenset({"pitot-static-line"})
# Dirt, water and insects in an open pipe do harm that is seen only in use: oil or grease and oxygen can burn, and a
# blocked pitot or static line makes instruments lie. Source: common practice, no source.

ENGINE_CONTROLS = "engine controls"
_INSPECTED_AGAIN = {"27": "flight controls", "76": ENGINE_CONTROLS}
"""By system chapter, the controls whose every reconnection is usually inspected by a second person: one that is
crossed, loose or unlocked may be fatal, and whoever made it overlooks it most easily. Which these are, and who may do
it, is for the aircraft's manuals and local rules. Source: common practice, no source; the chapters are those of the
vocabulary (FAA JASC code table)."""


PARTED = frozenset({"disconnect", "separate"})
"""Acts that open a service at an end or a joint, and leave it in the aircraft."""


def is_service(notation: str | None, vocabulary: KnownParts) -> bool:
    """Tell whether a part is a pipe, cable, rod or wire that connects one part of the aircraft with another."""
    part = vocabulary.part(notation or "")
    return part is not None and part.notation.rpartition("-")[2] in _SERVICES.get(part.kind, frozenset())


def must_be_blanked(notation: str | None, vocabulary: Vocabulary) -> bool:
    """Tell whether it is a line that is not left open: fuel, hydraulic, oxygen, pitot and static."""
    part = vocabulary.part(notation or "")
    if part is None or not is_service(notation, vocabulary):
        return False
    return part.kind in _NOT_LEFT_OPEN or part.notation in _AIR_DATA or part.broader in _AIR_DATA


def inspected_again(notation: str | None, vocabulary: Vocabulary) -> str:
    """Return "flight controls" or "engine controls" where a second inspection is usual, else ""."""
    part = vocabulary.part(notation or "")
    return _INSPECTED_AGAIN.get(part.chapter, "") if part is not None else ""
