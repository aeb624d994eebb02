"""What owed work waits for: a part that must be off first, as somebody said, or work owed before on the same part."""

import re
from collections.abc import Iterable, Sequence

from pipeline.lists.holding import TAKEN_WITH
from pipeline.lists.logged import LoggedFact, position_of, same_place, same_side
from pipeline.lists.swaps import which_one
from pipeline.reading.fact import MarkedFact
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import WaitsFor

_IN_TURN = (
    ("drain", "support"),
    ("open", "disconnect", "undo", "drill-out", "separate"),
    ("remove",),
    ("clean", "strip-finish"),
    ("inspect", "measure"),
    ("repair", "make"),
    ("treat",),
    ("prime",),
    ("paint",),
    ("fit",),
    ("connect", "tighten"),
    ("lock",),
    ("test",),
)
"""The turn in which work on one part usually goes; work waits only for what goes before it. Other acts wait for
nothing on the same part. Source: common practice, no source."""

_NEEDS_NO = {"inspect": "disconnect", "measure": "disconnect"}
"""What is looked at may stay connected. Source: common practice, no source."""

_TURN = {act: turn for turn, acts in enumerate(_IN_TURN) for act in acts}

_TAKING_OFF = TAKEN_WITH | {"undo", "drill-out"}
_FIRST = re.compile(r"\b(?:once|when|after|as soon as|until|till)\b(?P<what>[^.,;]{0,50})", re.IGNORECASE)
_IS_OFF = re.compile(
    r"^(?:'s|'re)?\W+(?:(?:is|are|has|have|comes?|been|gone|get|got)\W+)*(?:off|out|away)\b", re.IGNORECASE
)


class Waiting:
    """What each piece of owed work waits for."""

    def __init__(self, owed: Sequence[LoggedFact], facts: Sequence[LoggedFact], vocabulary: Vocabulary) -> None:
        """Look at all facts once.

        Args:
            owed: the work that is still owed, in the order first said.
            facts: all facts, in order.
            vocabulary: for the names of parts.
        """
        self.owed = owed
        self._vocabulary = vocabulary
        self._owed_on: dict[str, list[LoggedFact]] = {}
        for logged in owed:
            self._owed_on.setdefault(logged.fact.item or "", []).append(logged)
        self._done_on: dict[str, list[MarkedFact]] = {}
        for logged in facts:
            if logged.fact.status == "done" and logged.fact.item:
                self._done_on.setdefault(logged.fact.item, []).append(logged.fact)
        names = {(name.lower(), part.notation) for part in vocabulary.parts for name in part.alternatives}
        names |= {(part.preferred.lower(), part.notation) for part in vocabulary.parts}
        self._names = sorted(names, key=lambda one: (-len(one[0]), one))

    def of(self, logged: LoggedFact) -> tuple[WaitsFor, ...]:
        """Return what one piece of owed work waits for: as said, then what was owed before on the same part."""
        fact = logged.fact
        waits = [*self._said(logged)]
        for other in self._owed_on[fact.item or ""] if fact.item else ():
            if other is logged:
                break  # what was said later waits for this, if anything
            one = other.fact
            told = any((wait.act, wait.item, wait.side) == (one.act, one.item, one.side) for wait in waits)
            # what is new is not on the aircraft
            new = one.act in _TAKING_OFF and which_one(logged, self._vocabulary) == "new"
            if _earlier_on_the_part(one, fact) and self._same_engine(other, logged) and not told and not new:
                item = str(one.item)
                waits.append(
                    WaitsFor(act=str(one.act), item=item, side=one.side, why="owed-before", entry=other.entry)
                )
        return tuple(dict.fromkeys(waits))

    def _same_engine(self, one: LoggedFact, other: LoggedFact) -> bool:
        (a, b) = ((each.fact.side, position_of(each, self._vocabulary)) for each in (one, other))
        return same_position(a, b)

    def _said(self, logged: LoggedFact) -> Iterable[WaitsFor]:
        """Yield what the sentence says must come first ("once the tailplane is off"), where that is not done."""
        fact = logged.fact
        for first in _FIRST.finditer(logged.sentence):
            item, after = self._part_in(first["what"])
            if not item or item == fact.item:
                continue
            owed = [x for x in self._owed_on.get(item, ()) if same_side(x.fact.side, fact.side)]
            if _IS_OFF.match(after):
                owed = [x for x in owed if x.fact.act in ("remove", "separate")]
                if not owed and not self._is_off(item, fact):
                    yield WaitsFor(act="remove", item=item, why="said", entry=logged.entry)
            if owed:
                one = owed[0].fact
                yield WaitsFor(act=str(one.act), item=item, side=one.side, why="said", entry=owed[0].entry)

    def _is_off(self, item: str, work: MarkedFact) -> bool:
        """Tell whether a part was said to be off, on the side of the work that waits for it."""
        off = False
        for fact in self._done_on.get(item, ()):
            if same_side(fact.side, work.side):
                off = fact.act in ("remove", "store", "separate") or (off and fact.act != "fit")
        return off

    def _part_in(self, words: str) -> tuple[str, str]:
        """Return the part that is named first in some words, by its longest name, with the words after it."""
        heard = words.lower()
        named = [
            (found.start(), -found.end(), notation)
            for name, notation in self._names
            if name in heard and (found := re.search(rf"\b{re.escape(name)}(?:s|es)?(?=\W|$)", heard))
        ]
        if not named:
            return "", ""
        _, end, notation = min(named)
        return notation, words[-end:]


def _earlier_on_the_part(owed: MarkedFact, fact: MarkedFact) -> bool:
    """Tell whether other owed work on the same part usually goes before this."""
    before = _TURN.get(str(owed.act), len(_TURN)) < _TURN.get(str(fact.act), -1)
    before = before and _NEEDS_NO.get(str(fact.act)) != owed.act
    return before and same_side(owed.side, fact.side) and same_place(owed.place, fact.place)
