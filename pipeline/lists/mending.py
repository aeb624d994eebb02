"""Whether work mends what was found: on another part (a doubler on a keel), or on the very one of many of a name."""

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache, lru_cache

from pipeline.lists.how_many import there_are_many
from pipeline.lists.logged import LoggedFact, alternatives, names_of, same_place, same_side
from pipeline.lists.named_parts import NamedParts
from pipeline.lists.swaps import is_new_one, told_as_old, which_one
from pipeline.reading.fact import MarkedFact
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FindingLine

_AS_KNOWN = re.compile(r"\b(?:still|again|that|those)\b|^\W*the\b", re.IGNORECASE)
_BESIDE = "on|for|of|in|from|at|to"
_PIECES = frozenset({"doubler", "splice-plate"})
"""Parts that are made and fitted to strengthen another. Source: common practice, no source."""

_LININGS = frozenset({"bush", "bearing", "thread-insert", "shim", "wheel-bearing", "brake-lining"})
"""Parts that are fitted into another and take its wear. Source: common practice, no source."""
_WORN = frozenset({"wear", "play", "elongated-hole", "loose"})

_ON_A_PIECE = frozenset({"make", "fit", "treat", "prime", "paint"})
_ON_THE_SURFACE = {
    "clean": frozenset({"corrosion", "contamination", "leak", "seized", "paint-loss"}),
    "strip-finish": frozenset({"corrosion", "contamination", "paint-loss"}),
    "prime": frozenset({"corrosion", "paint-loss", "chafing", "scoring"}),
    "paint": frozenset({"corrosion", "paint-loss", "chafing", "scoring"}),
}
"""What work on a surface can mend: it takes no dent out and stops no crack. Source: common practice, no source."""

_THE = r"(?:the|that|this|those|these|both|all)"
_ON_WHAT_BELONGS = frozenset({"repair", "make", "treat"})


def answers(fact: MarkedFact, line: FindingLine) -> bool:
    """Tell whether an act can be work on what was found; paint on a dent is, once the dent was repaired.

    Where the repair is only planned, paint that is planned too goes with it.
    """
    act = str(fact.act)
    if fact.item in _LININGS and fact.item != line.item:
        return line.finding in _WORN
    repaired = bool(line.done or (fact.status == "planned" and line.planned))
    return act not in _ON_THE_SURFACE or line.finding in _ON_THE_SURFACE[act] or repaired


@lru_cache(maxsize=1000)
def findings_named(words: str, vocabulary: Vocabulary, *, of_parts: bool = False) -> frozenset[str]:
    """Return the conditions that some words speak of: "the corrosion at frame 9 is cleaned off".

    Args:
        words: what was said.
        vocabulary: for the names of conditions.
        of_parts: also where a part is called by it, "the two bent ribs".
    """
    return frozenset(
        found.notation
        for found in vocabulary.findings
        if not found.good
        for named in (_named(found.nouns), _called(found.adjectives) if of_parts else None)
        if named and named.search(words)
    )


@cache
def _named(nouns: tuple[str, ...]) -> re.Pattern[str] | None:
    words = alternatives(noun for noun in nouns if "~" not in noun)
    return re.compile(rf"\b{_THE}\s+(?:\w+\s+)?(?:{words})s?\b", re.I) if words else None


@cache
def _called(adjectives: tuple[str, ...]) -> re.Pattern[str] | None:
    words = alternatives(one for one in adjectives if "~" not in one)
    between = r"(?:(?:two|three|four|five|six|port|starboard|left|right|other)\s+)*"
    return re.compile(rf"\b{_THE}\s+{between}(?:{words})\s+\w", re.I) if words else None


def mends(logged: LoggedFact, part: str, here: Sequence[LoggedFact], vocabulary: Vocabulary) -> bool:
    """Tell whether work follows up what was found on another part.

    It does where it is on a piece that mends, or on what belongs to the part, and its sentence names the part, or the
    part is the only other one that its entry tells of. A bush that was fitted does where its sentence names the part.

    Args:
        logged: the work.
        part: the notation of the part that something was found on.
        here: all facts of the entry.
        vocabulary: for the names of parts, and what belongs to what.
    """
    item, act = str(logged.fact.item), logged.fact.act
    piece = item in _PIECES and act in _ON_A_PIECE
    belongs = vocabulary.is_a(item, part) and act in _ON_WHAT_BELONGS
    if item in _LININGS and act == "fit":
        return item != part and _names_part(part, logged, vocabulary)
    if item == part or not (piece or belongs):
        return False
    others = {one.fact.item for one in here} - {item, None}
    known = vocabulary.part(part)
    holds = known is None or known.kind == "fastener"  # bolts that hold a doubler are not what it mends
    return (not holds and _names_part(part, logged, vocabulary)) or others == {part}


class Tellings:
    """All that was told, to be asked whether a finding, and what was told later, are of the very same one."""

    def __init__(self, facts: Sequence[LoggedFact], vocabulary: Vocabulary) -> None:
        """Look at all facts once, in the order in which they were told."""
        self.vocabulary = vocabulary
        self.entries: dict[str, list[LoggedFact]] = {}
        for logged in facts:
            self.entries.setdefault(logged.entry, []).append(logged)
        self._as_old = told_as_old(facts, vocabulary)
        self._replaced = {(one.entry, one.fact.item) for one in facts if self.is_replacing(one)}
        self._put_back = frozenset(_put_back(facts))
        self._parts = NamedParts(vocabulary)
        self._named: dict[str, frozenset[str]] = {}  # beside what, by the words

    def is_replacing(self, logged: LoggedFact) -> bool:
        """Tell whether a new part was fitted in place of the old one."""
        fact = logged.fact
        if (fact.status, fact.act) != ("done", "fit"):
            return False
        return (logged.entry, fact.item) in self._as_old or is_new_one(logged, self.vocabulary)

    def is_put_back(self, logged: LoggedFact) -> bool:
        """Tell whether the part that was fitted is the one that had come off, as far as the words tell."""
        return (logged.entry, str(logged.fact.item)) in self._put_back

    def is_of_the_old_one(self, logged: LoggedFact) -> bool:
        """Tell whether something was seen on the part that was replaced: "the old one was cracked"."""
        return (logged.entry, logged.fact.item) in self._replaced and which_one(logged, self.vocabulary) == "old"

    def seen(self, line: FindingLine) -> list[LoggedFact]:
        """Return the facts that a line was made from."""
        here = (one for seen in line.seen for one in self.entries[seen.entry])
        return [one for one in here if (one.fact.item, one.fact.finding) == (line.item, line.finding)]

    def is_at(self, line: FindingLine, logged: LoggedFact) -> bool:
        """Tell whether what was found on a fastener was told of one of the part that work was on."""
        return any(_names_part(str(logged.fact.item), seen, self.vocabulary) for seen in self.seen(line))

    def were_undone_with(self, line: FindingLine, logged: LoggedFact) -> bool:
        """Tell whether a fastener was told to be missing as a part's were undone, and as many are fitted now."""
        fact = logged.fact
        undone = [
            one.fact
            for seen in line.seen
            for one in self.entries[seen.entry]
            if one.fact.status == "done" and one.fact.act in ("undo", "remove") and one.fact.of == fact.of
        ]
        counts = [one.count for one in undone if one.count is not None]
        return bool(counts) and {one.item for one in undone} == {fact.item} and fact.count == sum(counts)

    def is_surely_of(self, line: FindingLine, logged: LoggedFact) -> bool:
        """Tell whether work on a part of the same name is on the very one that something was found on.

        Of a part that there are many of ("the turnbuckle") it is where both tell the same side or place, or of the
        same other part, where both were told in one entry, where such work was planned when it was found, or where
        both call it by one narrower name ("rudder cable"); never where they call it by two. Nothing that the work
        says is against its being on that part.
        """
        fact = logged.fact
        told_in = {one.entry for one in line.seen}
        if not there_are_many(str(line.item), self.vocabulary) or logged.entry in told_in:
            return True
        called = _narrower_name(logged, self.vocabulary)
        names = {name for one in self.seen(line) if (name := _narrower_name(one, self.vocabulary))}
        if called and names:
            return called in names
        if (line.side and fact.side) or self.is_beside(line, logged):
            return True
        schemes = {place.scheme for place in line.place or ()} & {place.scheme for place in fact.place or ()}
        if schemes and same_place(line.place, fact.place):
            return True
        return any((one.what, one.item) == (fact.act, None) and one.entry in told_in for one in line.planned)

    def is_another_one(self, line: FindingLine, logged: LoggedFact) -> bool:
        """Tell whether a fastener is another one than that of a line, as one of so many.

        It is not where both were told in one entry, at one place or of one other part, or where it is spoken of as
        known: "the bolt is still missing", "had to split the seized nut".
        """
        part = self.vocabulary.part(str(logged.fact.item))
        if part is None or part.kind != "fastener" or logged.entry in {one.entry for one in line.seen}:
            return False
        at_its_place = bool(line.place and logged.fact.place)
        words = logged.sentence
        known = _AS_KNOWN.search(words) or logged.fact.finding in findings_named(
            words, self.vocabulary, of_parts=True
        )
        return not (at_its_place or known or self.is_beside(line, logged))

    def is_beside(self, line: FindingLine, logged: LoggedFact) -> bool:
        """Tell whether a finding and work were told of the same other part: the bonding strip "on the rudder"."""
        beside = self._beside(logged) - {line.item}
        return any(beside & self._beside(seen) for seen in self.seen(line))

    def _beside(self, logged: LoggedFact) -> frozenset[str]:
        words = logged.sentence
        if words not in self._named:
            named = (self.vocabulary.part(one) for one in self._parts.after(_BESIDE, words))
            self._named[words] = frozenset(
                part.notation for part in named if part and (part.broader or part.per_aircraft == 1)
            )
        return self._named[words]


def _put_back(facts: Iterable[LoggedFact]) -> Iterator[tuple[str, str]]:
    """Yield the entries that tell of a part that went on after it had come off there, and the part."""
    off: dict[str, list[LoggedFact]] = {}
    for logged in facts:
        fact, item = logged.fact, str(logged.fact.item)
        if (fact.status, fact.act) == ("done", "remove"):
            off.setdefault(item, []).append(logged)
        elif (fact.status, fact.act) == ("done", "fit") and any(
            same_side(one.fact.side, fact.side)
            and same_position((one.fact.side, one.position), (fact.side, logged.position))
            for one in off.get(item, ())
        ):
            yield logged.entry, item


def _narrower_name(logged: LoggedFact, vocabulary: Vocabulary) -> str:
    """Return the name that a run of the controls was called by in its sentence, where that says of which surface."""
    part = vocabulary.part(str(logged.fact.item))
    if part is None or part.kind != "controls":
        return ""
    found = re.search(rf"\b(?:{names_of(part.notation, vocabulary)})", logged.sentence, re.IGNORECASE)
    name = found.group().lower() if found else ""
    surfaces = (one.preferred for one in vocabulary.parts if one.kind == "control-surface")
    return name if any(re.search(rf"\b{re.escape(one)}\b", name) for one in surfaces) else ""


def _names_part(part: str, logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether the sentence of a fact names a part."""
    known = vocabulary.part(part)
    if known is None:
        return False
    names = "|".join(re.escape(name) for name in (known.preferred, *known.alternatives))
    return re.search(rf"\b(?:{names})s?\b", logged.sentence, re.IGNORECASE) is not None
