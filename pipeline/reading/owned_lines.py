"""Pipes named by what they belong to: "the fuel pump pipes" are fuel lines, "the oil cooler hose" is an oil line."""

from collections.abc import Sequence
from dataclasses import replace

from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon, Sense
from pipeline.reading.pieces import Piece

LINES = word_set("pipe line hose")


def with_owned_lines(lexicon: Lexicon, pieces: Sequence[Piece]) -> list[Piece]:
    """Return the pieces, a bare "pipe" and the owner before it as one: the line that shares a word with it."""
    found: list[Piece] = []
    for piece in pieces:
        owner = found[-1] if found else None
        line = _line_of(lexicon, owner, piece) if owner is not None else ""
        if owner is not None and line:
            senses = (Sense("part", line), *(sense for sense in piece.senses if sense.kind != "short"))
            low = f"{owner.low} {piece.low}"
            piece = replace(
                piece, start=owner.start, low=low, senses=senses, capital=owner.capital, pause=owner.pause
            )
            found.pop()
        found.append(piece)
    return found


def _line_of(lexicon: Lexicon, owner: Piece, piece: Piece) -> str:
    """Return the line that a pipe of an owner is, "" where it is no bare pipe or has no such owner."""
    if piece.sense("short") not in LINES or piece.sense("part") or not owner.sense("part"):
        return ""
    own = owner.sense("part").split("-")[0]
    return next((part for part in lexicon.part_kind if part.startswith(f"{own}-") and part.endswith("-line")), "")
