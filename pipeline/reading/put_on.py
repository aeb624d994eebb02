"""What is put on or in, told as shortly as can be: "rudder on, elevators on", "struts up", "pins in"."""

from collections.abc import Sequence

from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import Piece

# Kinds of parts that are put on; what is worked by a switch or a cock may only be turned on.
_PUT_ON = word_set("structure control-surface undercarriage powerplant controls furnishing armament fastener")
_NOT_PUT_IN = word_set("support-equipment material")
_GOES_ON = word_set("and then so but")


def is_put_on(lexicon: Lexicon, pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether the "on", "in" or "up" at a piece says that the part named right before it is fitted."""
    noun = pieces[at - 1] if at else None
    if noun is None or noun.kind != "thing" or pieces[at].low not in ("on", "in", "up"):
        return False
    follows = pieces[at + 1] if at + 1 < len(pieces) else None
    if follows is not None and follows.kind != "mark" and follows.low not in _GOES_ON:
        return False
    parts = (noun.sense("part"), *lexicon.shorts.get(noun.sense("short"), ()))
    part = next((one for one in parts if one not in ("", "-")), "")
    if pieces[at].low == "up":
        return part.endswith("-strut")
    kind = "fastener" if noun.sense("counted") in lexicon.fasteners else lexicon.part_kind.get(part, "material")
    return kind in _PUT_ON if pieces[at].low == "on" else kind not in _NOT_PUT_IN


def is_with(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether what stands before a piece only tells how something else is: "with the cowlings on"."""
    for step in range(at - 1, -1, -1):
        if pieces[step].kind in ("verb", "aux") or pieces[step].ends_sentence:
            return False
        if pieces[step].low == "with":
            return True
    return False
