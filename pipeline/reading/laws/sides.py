"""Sides: one is carried on to no part of another assembly, and to all of a kind only with a doubt."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.laws.case import Case
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import holds
from pipeline.reading.talk import apart

_OF_SIDES = ("by the rules on", "it may be no side")  # beginnings of doubts
_WHICH_OF_TWO = ("outer", "inner", "outboard", "inboard")


class _Said(NamedTuple):
    """A side that was said at a character of the text, with the part that it was said of ("" where of none)."""

    start: int
    side: str
    part: str


def within_one_assembly(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without the side of one where that was last said of a part of another assembly."""
    said = list(_sides_said(case.pieces))
    return [_of_its_assembly(case, said, fact) for fact in facts]


def _sides_said(pieces: Sequence[Piece]) -> Iterator[_Said]:
    for at, piece in enumerate(pieces):
        if piece.kind == "side":
            after = next((one for one in pieces[at + 1 : at + 3] if one.low not in _WHICH_OF_TWO), piece)
            yield _Said(piece.start, piece.sense("sides"), after.sense("part"))


def _of_its_assembly(case: Case, said: Sequence[_Said], fact: Fact) -> Fact:
    if fact.item is None or fact.side not in ("port", "starboard"):
        return fact
    sentence = case.sentence(fact)
    before = [one for one in said if one.start < fact.words[1]]
    if not before or any(holds(sentence, one.start) for one in said):
        return fact
    last = before[-1]
    if last.side != fact.side or not last.part or not apart(case.lexicon, last.part, fact.item):
        return fact
    if any(one.part == fact.item for one in before):
        return fact
    doubts = (doubt for doubt in fact.doubts if not doubt.startswith(_OF_SIDES))
    inferred = tuple(one for one in fact.inferred if one[0] != "side")
    why = f"{last.side} was said of the {last.part.replace('-', ' ')}"
    return fact.model_copy(update={"side": None, "inferred": inferred, "doubts": (*doubts, why)})


def asked_of_all(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with a doubt where one side was carried on to all of them: "cleaned all the cowlings"."""
    return [_asked_of_all(case, fact) for fact in facts]


def _asked_of_all(case: Case, fact: Fact) -> Fact:
    if fact.side not in ("port", "starboard"):
        return fact
    own = case.own_pieces(fact)
    if any(piece.kind == "side" for piece in own):
        return fact
    for at, piece in enumerate(own):
        lows = [before.low for before in own[max(0, at - 3) : at] if before.low not in ("of", "the", "our")]
        if piece.plural and piece.sense("part") == fact.item and lows[-1:] == ["all"]:
            return fact.model_copy(update={"doubts": (*fact.doubts, f"all of them: not only {fact.side}?")})
    return fact
