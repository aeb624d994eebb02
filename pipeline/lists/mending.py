"""Whether work mends what was found: on another part (a doubler on a keel), or on one of many of the same name."""

import re
from collections.abc import Callable, Sequence
from functools import cache

from pipeline.lists.how_many import there_are_many
from pipeline.lists.logged import LoggedFact, alternatives, names_of, same_place
from pipeline.reading.fact import MarkedFact
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FindingLine

_PIECES = frozenset({"doubler", "splice-plate"})
"""Parts that are made and fitted to strengthen another. Source: common practice, no source."""

_ON_A_PIECE = frozenset({"make", "fit", "treat", "prime", "paint"})
_ON_THE_SURFACE = {
    "clean": frozenset({"corrosion", "contamination", "leak", "seized", "paint-loss"}),
    "strip-finish": frozenset({"corrosion", "contamination", "paint-loss"}),
    "prime": frozenset({"corrosion", "paint-loss", "chafing", "scoring"}),
    "paint": frozenset({"corrosion", "paint-loss", "chafing", "scoring"}),
}
"""What work on a surface can mend: it takes no dent out and stops no crack. Source: common practice, no source."""

_ON_WHAT_BELONGS = frozenset({"repair", "make", "treat"})


def answers(fact: MarkedFact, line: FindingLine) -> bool:
    """Tell whether an act can be work on what was found; paint on a dent is, once the dent was repaired.

    Where the repair is only planned, paint that is planned too goes with it.
    """
    act = str(fact.act)
    repaired = bool(line.done or (fact.status == "planned" and line.planned))
    return act not in _ON_THE_SURFACE or line.finding in _ON_THE_SURFACE[act] or repaired


def findings_named(words: str, vocabulary: Vocabulary) -> frozenset[str]:
    """Return the conditions that some words speak of: "the corrosion at frame 9 is cleaned off"."""
    return frozenset(
        found.notation
        for found in vocabulary.findings
        if not found.good and (named := _named(found.nouns)) and named.search(words)
    )


@cache
def _named(nouns: tuple[str, ...]) -> re.Pattern[str] | None:
    words = alternatives(noun for noun in nouns if "~" not in noun)
    return (
        re.compile(rf"\b(?:the|that|this|those|these|both|all)\s+(?:\w+\s+)?(?:{words})s?\b", re.I) if words else None
    )


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
    known = vocabulary.part(part)
    holds = known is None or known.kind == "fastener"  # bolts that hold a doubler are not what it mends
    return (not holds and names_part(part, logged, vocabulary)) or others == {part}


def is_surely_of(
    line: FindingLine,
    logged: LoggedFact,
    seen: Callable[[FindingLine], Sequence[LoggedFact]],
    vocabulary: Vocabulary,
) -> bool:
    """Tell whether work on a part of the same name is on the very one that something was found on.

    Of a part that there are many of ("the turnbuckle") it is where both tell the same side or place, where both were
    told in one entry, where such work was planned when it was found, or where both call it by one narrower name
    ("rudder cable"); never where they call it by two.

    Args:
        line: what was found.
        logged: the work; nothing that it says is against its being on that part.
        seen: gives the facts of a finding.
        vocabulary: for the names of parts, and how many there are.
    """
    fact = logged.fact
    told_in = {one.entry for one in line.seen}
    if not there_are_many(str(line.item), vocabulary) or logged.entry in told_in:
        return True
    called = _narrower_name(logged, vocabulary)
    if called and (names := {name for one in seen(line) if (name := _narrower_name(one, vocabulary))}):
        return called in names
    if line.side and fact.side:
        return True
    schemes = {place.scheme for place in line.place or ()} & {place.scheme for place in fact.place or ()}
    if schemes and same_place(line.place, fact.place):
        return True
    return any((one.what, one.item) == (fact.act, None) and one.entry in told_in for one in line.planned)


def _narrower_name(logged: LoggedFact, vocabulary: Vocabulary) -> str:
    """Return the name that a run of the controls was called by in its sentence, where that says of which surface."""
    part = vocabulary.part(str(logged.fact.item))
    if part is None or part.kind != "controls":
        return ""
    found = re.search(rf"\b(?:{names_of(part.notation, vocabulary)})", logged.around or logged.said, re.IGNORECASE)
    name = found.group().lower() if found else ""
    surfaces = (one.preferred for one in vocabulary.parts if one.kind == "control-surface")
    return name if any(re.search(rf"\b{re.escape(one)}\b", name) for one in surfaces) else ""


def names_part(part: str, logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether the sentence of a fact names a part."""
    known = vocabulary.part(part)
    if known is None:
        return False
    names = "|".join(re.escape(name) for name in (known.preferred, *known.alternatives))
    return re.search(rf"\b(?:{names})s?\b", logged.around or logged.said, re.IGNORECASE) is not None
