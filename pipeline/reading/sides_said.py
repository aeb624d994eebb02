"""Of which part each side was said, and that it is carried on to no part of another assembly."""

from bisect import bisect_left
from collections.abc import Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import Piece
from pipeline.reading.talk import apart

_OF_SIDES = ("by the rules on", "it may be no side")  # beginnings of doubts
_WHICH_OF_TWO = ("outer", "inner", "outboard", "inboard")


class SidesSaid:
    """The sides that were said in one note, each with the part that it was said of."""

    def __init__(self, lexicon: Lexicon, pieces: Sequence[Piece]) -> None:
        self._lexicon = lexicon
        self._pieces = pieces
        self._ends = [piece.end for piece in pieces if piece.ends_sentence]
        self._said: list[tuple[int, str, str]] = []
        for at, piece in enumerate(pieces):
            if piece.kind == "side":
                after = next((one for one in pieces[at + 1 : at + 3] if one.low not in _WHICH_OF_TWO), piece)
                self._said.append((piece.start, piece.sense("sides"), after.sense("part")))

    def held_to(self, fact: Fact) -> Fact:
        """Return the fact, without its side where that was last said of a part of another assembly."""
        if fact.item is None or fact.side not in ("port", "starboard"):
            return fact
        start, end = fact.words
        own = self._sentence(start)
        before = [one for one in self._said if one[0] < end]
        if not before or any(self._sentence(at) == own for at, _, _ in self._said):
            return fact
        _, side, item = before[-1]
        if side != fact.side or not item or not apart(self._lexicon, item, fact.item):
            return fact
        if any(of == fact.item for _, _, of in before):
            return fact
        doubts = (doubt for doubt in fact.doubts if not doubt.startswith(_OF_SIDES))
        inferred = tuple(one for one in fact.inferred if one[0] != "side")
        why = f"{side} was said of the {item.replace('-', ' ')}"
        return fact.model_copy(update={"side": None, "inferred": inferred, "doubts": (*doubts, why)})

    def of_all(self, fact: Fact) -> Fact:
        """Return the fact, with a doubt where one side was carried on to all of them: "cleaned all the cowlings"."""
        own = [p for p in self._pieces if self._sentence(p.start) == self._sentence(fact.words[0])]
        if fact.side not in ("port", "starboard") or any(piece.kind == "side" for piece in own):
            return fact
        for at, piece in enumerate(own):
            lows = [before.low for before in own[max(0, at - 3) : at] if before.low not in ("of", "the", "our")]
            if piece.plural and piece.sense("part") == fact.item and lows[-1:] == ["all"]:
                return fact.model_copy(update={"doubts": (*fact.doubts, f"all of them: not only {fact.side}?")})
        return fact

    def _sentence(self, character: int) -> int:
        return bisect_left(self._ends, character + 1)
