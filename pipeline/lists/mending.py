"""Whether work on one part mends another: a doubler on a keel, a cleat that belongs to a rib."""

import re
from collections.abc import Sequence

from pipeline.lists.logged import LoggedFact
from pipeline.reading.vocabulary import Vocabulary

_PIECES = frozenset({"doubler", "splice-plate"})
"""Parts that are made and fitted to strengthen another. Source: common practice, no source."""

_ON_A_PIECE = frozenset({"make", "fit", "treat", "prime", "paint"})
_ON_WHAT_BELONGS = frozenset({"repair", "make", "treat"})


def mends(logged: LoggedFact, part: str, here: Sequence[LoggedFact], vocabulary: Vocabulary) -> bool:
    """Tell whether work follows up what was found on another part.

    It does where it is on a piece that mends, or on what belongs to the part, and its sentence names the part, or the
    part is the only other one that its entry tells of.

    Args:
        logged: the work.
        part: the notation of the part that something was found on.
        here: all facts of the entry.
        vocabulary: for the names of parts, and what belongs to what.
    """
    item, act = str(logged.fact.item), logged.fact.act
    piece = item in _PIECES and act in _ON_A_PIECE
    belongs = vocabulary.is_a(item, part) and act in _ON_WHAT_BELONGS
    if item == part or not (piece or belongs):
        return False
    others = {one.fact.item for one in here} - {item, None}
    return _is_named(part, logged, vocabulary) or others == {part}


def _is_named(part: str, logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    known = vocabulary.part(part)
    if known is None or known.kind == "fastener":  # bolts that hold a doubler are not what it mends
        return False
    names = "|".join(re.escape(name) for name in (known.preferred, *known.alternatives))
    return re.search(rf"\b(?:{names})s?\b", logged.around or logged.said, re.IGNORECASE) is not None
