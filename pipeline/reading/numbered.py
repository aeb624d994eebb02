"""Numbers that belong to what was named before: "nine is cracked" after "ribs 9 to 11", the one in "bag a one"."""

from collections.abc import Sequence
from dataclasses import replace

from pipeline.reading.fact import SCHEMES, Place
from pipeline.reading.forms import singular, word_set
from pipeline.reading.pieces import Piece

_CLOCK = word_set("o'clock am pm thirty fifteen forty percent")
_AFTER_STORE = word_set("and are as but for has holds is now on so that then too was were with")
_SINGULAR = word_set("is 's was has looks seems")


def add_numbered(pieces: list[Piece], piece: Piece, following: str) -> None:
    """Add a piece to those before it, as a place where it is a number that stands for one, or with its store."""
    if _add_to_store(pieces, piece, following):
        return
    piece = _numbered(pieces, piece, following)
    listed = piece.kind == "place" and piece.digits and [p.low for p in pieces[-1:]] == ["and"]
    if listed and pieces[-2:-1] and pieces[-2].kind == "place" and pieces[-2].digits:
        both = pieces[-2].places + piece.places  # "ten and eleven are fine"
        piece = replace(pieces[-2], end=piece.end, places=both, low=f"{pieces[-2].low} and {piece.low}")
        del pieces[-2:]
    pieces.append(piece)


def _add_to_store(pieces: list[Piece], piece: Piece, following: str) -> bool:
    """Join a number to the store and the letter before it, said apart: "bag a one".

    Returns:
        Whether it was one; a number that counts what follows is not ("bag B two bolts").
    """
    digits = "1" if piece.low == "one" else piece.digits if piece.kind == "number" else ""
    if not (digits.isdigit() and pieces) or (following[:1].isalnum() and following not in _AFTER_STORE):
        return False
    last, before = pieces[-1], pieces[-2:-1]
    if last.kind == "stow" and last.stow[1].isalpha() and len(last.stow[1]) == 1:
        store, letter = last, last.stow
    elif last.low == "a" and before and before[0].sense("storage"):
        store, letter = pieces.pop(-2), (before[0].sense("storage"), "A")
    else:
        return False
    low = f"{store.low} {piece.low}"
    pieces[-1] = replace(
        store, kind="stow", end=piece.end, low=low, verb="", forms=frozenset(), stow=(letter[0], letter[1] + digits)
    )
    return True


def _numbered(pieces: Sequence[Piece], piece: Piece, following: str) -> Piece:
    """Read "number 5" soon after "nose rib" as rib 5, and "nine is cracked" after "ribs 9 to 11" as rib 9."""
    if piece.kind != "number" or not pieces:
        return piece
    if pieces[-1].kind == "mark" or pieces[-1].low == "and":
        several = (p for p in reversed(pieces) if p.kind == "place" and len(p.places) > 1)
        listed = next(several, None)
        same = [place for place in listed.places if place.at == piece.digits] if listed else []
        if listed and same:
            return replace(piece, kind="place", number=None, places=(same[0],), senses=listed.senses)
    if pieces[-1].low == "at":
        ranges = (before for before in reversed(pieces) if before.kind == "place" and len(before.places) == 1)
        listed = next((before for before in ranges if _within(piece.digits, before.places[0].at)), None)
        if listed is not None:
            place = listed.places[0].model_copy(update={"at": piece.digits})
            return replace(piece, kind="place", number=None, places=(place,), senses=listed.senses)
    if pieces[-1].low not in ("number", "no"):
        return _place_again(pieces, piece, following)
    if singular(following) in SCHEMES:  # "number two rib"
        place = Place.model_validate({"scheme": singular(following), "at": piece.digits})
        return replace(piece, kind="place", number=None, places=(place,))
    named = [before for before in pieces if any(place.at == piece.digits for place in before.places)]
    for before in reversed([*pieces[-4:], *named]):
        if before.sense("places"):
            place = Place.model_validate({"scheme": before.sense("places"), "at": piece.digits})
            return replace(piece, kind="place", number=None, places=(place,))
    return piece


def _place_again(pieces: Sequence[Piece], piece: Piece, following: str) -> Piece:
    """Read "sound at 8" after "ribs 8 to 10" as rib 8, and "five is bent" after "former four" as former 5."""
    listed = next((p for p in reversed(pieces[-60:]) if p.kind == "place" and p.places), None)
    if listed is None or piece.number is None or not piece.digits.isdigit():
        return piece
    value, last = int(piece.number), listed.places[-1]
    ends = [int(end) for place in listed.places for end in place.at.split("-") if end.isdigit()]
    place = Place.model_validate({"scheme": last.scheme, "at": piece.digits})
    inside = len(ends) > 1 and min(ends) <= value <= max(ends)
    if pieces[-1].low in ("at", "by", "on") and inside and following not in _CLOCK:
        return replace(piece, kind="place", number=None, places=(place,))
    opens = pieces[-1].kind == "mark" or pieces[-1].low in ("and", "but", "then")
    near = len(ends) == 1 and value > 1 and 0 < abs(value - ends[0]) <= 12
    if opens and near and following in _SINGULAR:
        return replace(piece, kind="place", number=None, places=(place,), senses=listed.senses)
    return piece


def _within(digits: str, at: str) -> bool:
    """Tell whether a number stands in a place's range: 9 in "8-10"."""
    first, _, last = at.partition("-")
    return bool(last) and all(n.isdigit() for n in (digits, first, last)) and int(first) <= int(digits) <= int(last)
