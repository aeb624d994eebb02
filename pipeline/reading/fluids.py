"""Fluids that are drained, and the parts that hold them: fuel its tank, coolant its radiator."""

import re
from collections.abc import Sequence

from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import BE, DETERMINERS, HAVE, MODALS, Piece

HELD_IN = {  # which part holds oil or water is not known
    **dict.fromkeys(("fuel", "petrol", "gas", "gasoline", "avgas", "kerosene"), "fuel-tank"),
    **dict.fromkeys(("coolant", "glycol"), "coolant-radiator"),
    **dict.fromkeys(("oil", "fluid", "water"), ""),
}
_LINE_OF = {"fuel-tank": "fuel-line", "coolant-radiator": "coolant-line"}
_KIND_OF = {"fuel-tank": "fuel", "coolant-radiator": "powerplant"}
_DRY = ("electrical", "radio", "instruments", "control-surface", "controls", "furnishing", "armament")
_BEFORE = BE | HAVE | MODALS | word_set("all now just first already not n't never to still")
_AFTER = DETERMINERS | word_set("all off out down of")

# What is bled is rid of air and full; what is bled down is emptied.
_BLED = re.compile(
    r"\b(?:bled|bleed(?:s|ing)?)\b(?![^.;,]*\b(?:down|off|out|dry|empty|screws?|nipples?|valves?)\b)", re.IGNORECASE
)


def is_bled(act: str | None, words: str) -> bool:
    """Tell whether work that is marked as draining was said to bleed the air out: what is bled is not empty."""
    return act == "drain" and _BLED.search(words) is not None


def fluid_of(pieces: Sequence[Piece], at: int) -> str:
    """Return the fluid that the verb at a piece drains, "" where it is none: "fuel was drained", "drain the oil"."""
    step = at - 1
    while step >= 0 and pieces[step].low in _BEFORE:
        step -= 1
    if step >= 0 and pieces[step].low in HELD_IN:
        return pieces[step].low
    step = at + 1
    while step < len(pieces) and pieces[step].low in _AFTER:
        step += 1
    return pieces[step].low if step < len(pieces) and pieces[step].low in HELD_IN else ""


def line_of(fluid: str) -> str:
    """Return the line that a fluid runs in, "" where that is not known: water may be anywhere."""
    return "oil-line" if fluid == "oil" else _LINE_OF.get(HELD_IN.get(fluid, ""), "")


def may_hold(lexicon: Lexicon, part: str, fluid: str) -> bool:
    """Tell whether a part may hold a fluid: no battery holds fuel."""
    kind = lexicon.part_kind.get(part)
    held_in = HELD_IN[fluid]
    return kind == _KIND_OF[held_in] if held_in else not is_dry(lexicon, part)


def is_dry(lexicon: Lexicon, part: str) -> bool:
    """Tell whether a part is of a kind that holds nothing to drain."""
    return lexicon.part_kind.get(part) in _DRY
