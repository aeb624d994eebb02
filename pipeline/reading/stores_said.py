"""Stores as they are named: "rack 3", "bag 41A", "top shelf", "the paint store"."""

import re

from pipeline.reading.forms import word_set
from pipeline.reading.pieces import Line, Piece

_SHELF_NAMES = word_set("top bottom middle lower upper first second third fourth left right")
_OWN_NAMES = word_set(
    "loft container shed workshop cupboard annexe annex office lock-up lockup mezzanine cellar basement garage "
    "carport stores cage attic lean-to armoury armory magazine vault strongroom"
)
_INTO = word_set("in into to")


def store_at(line: Line, at: int) -> tuple[Piece, int] | None:
    """Return the store that is named from a token on, with the token after it; None where none is."""
    if line.low(at) in _SHELF_NAMES and line.low(at + 1) == "shelf":
        return line.piece("stow", at, at + 2, stow=("shelf", line.low(at))), at + 2
    length, senses = line.lexicon.names.longest(line.nouns, at)
    where = next((sense.notation for sense in senses if sense.kind == "storage"), "")
    own = line.low(at) if where in line.lexicon.named_stores else ""  # of "locker 3", "room B"
    into = line.low(at - 1) in _INTO and line.low(at) == line.nouns[at]
    if where and (not own or own == where or (into and length == 1)):  # "rack 3"; "room 3"; "in locker 3"
        name = f"{own} " if own not in ("", where) else ""
        after = at + length
        if line.low(after) in ("number", "no", "letter"):
            after += 1
        letter = line.low(after)
        number = line.numbers.get(after) if not re.fullmatch(r"\d+[a-f]", letter) else None  # "bag 41A"
        if number and number[0].value.denominator == 1:
            follower = line.low(number[1])
            if re.fullmatch(r"[a-f]", follower) and line.tokens[number[1]].glued:
                return line.piece(
                    "stow", at, number[1] + 1, stow=(where, name + number[0].digits + follower.upper())
                ), number[1] + 1
            return line.piece("stow", at, number[1], stow=(where, name + number[0].digits)), number[1]
        if re.fullmatch(r"[a-z]|[a-z]\d+|\d+[a-z]", letter) and (letter not in "ai" or line.tokens[after].capital):
            return line.piece("stow", at, after + 1, stow=(where, name + letter.upper())), after + 1
    return _room(line, at)


def _room(line: Line, at: int) -> tuple[Piece, int] | None:
    """Read "gas store", "instrument room": up to two words of name before a word for a room; "the loft"."""
    if line.low(at) in _OWN_NAMES and line.low(at - 1) in ("the", "our") and line.low(at - 2) in _INTO:
        return line.piece("stow", at, at + 1, stow=("room", line.low(at))), at + 1
    length, senses = line.lexicon.names.longest(line.nouns, at)
    room = any(sense.kind == "storage" and sense.notation in line.lexicon.named_stores for sense in senses)
    if length > 1 and any(sense.kind == "part" for sense in senses):
        return None  # "the overhead locker"
    if length == 2 and room and line.low(at - 1) in ("the", "our", "in", "into"):
        name = " ".join(token.low for token in line.tokens[at : at + 2])
        return line.piece("stow", at, at + 2, stow=("room", name)), at + 2
    named = line.tokens[at].tag.startswith(("N", "J", "VBG")) or line.low(at) == "far"
    if line.low(at - 1) not in ("the", "our", "in", "into", ",") or not named:
        return None
    if line.low(at).endswith("ing") and line.low(at + 1) in ("bay", "area"):  # "the degreasing bay"
        return line.piece("stow", at, at + 2, stow=("room", f"{line.low(at)} {line.low(at + 1)}")), at + 2
    for size in (1, 2):
        word = line.nouns[at + size] if at + size < len(line.nouns) else ""
        _length, senses = line.lexicon.names.longest([word], 0)
        if any(sense.kind == "storage" and sense.notation in line.lexicon.named_stores for sense in senses):
            before = {token.tag for token in line.tokens[at : at + size]}
            if line.tokens[at + size].low != word or before & {"IN", "TO", "CC"}:
                return None
            name = line.text[line.tokens[at].start : line.tokens[at + size].end].lower()
            return line.piece("stow", at, at + size + 1, stow=("room", name)), at + size + 1
    return None
