"""What fills a slot though its noun is left unsaid: "two on the front spar, two on the rear", "bags 21 and 22"."""

from collections.abc import Iterator, Mapping, Sequence

from pipeline.reading.fact import Place, Scheme
from pipeline.reading.forms import singular, word_set
from pipeline.reading.learnt.bare_numbers import NUMBERED, counts_what_follows
from pipeline.reading.pieces import Piece

_NAMES: Mapping[Scheme, Mapping[str, str]] = {  # words that name one of a few, once the others are spoken of
    "spar": {"front": "front", "forward": "front", "rear": "rear", "aft": "rear", "back": "rear", "main": "main"},
    "longeron": {"top": "top", "upper": "upper", "bottom": "bottom", "lower": "lower"},
}
_STORES = word_set("rack shelf box bag pallet stand")
_SHELVES = word_set("top bottom middle lower upper")
_PUT = {"bagged": "bag", "boxed": "box", "crated": "box", "shelved": "shelf"}
_TAGGED = word_set("tag tags tagged tagging label labels labelled labeled ticket")
_REACH = 14  # pieces from "tagged" to the number on the tag


def names_left_unsaid(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Place]]:
    """Yield what a word may name of spars or longerons, where such are spoken of: "the rear ones", "bottom port"."""
    for scheme, names in _NAMES.items():
        if not any(scheme in piece.low for piece in pieces):
            continue
        for piece in pieces:
            if piece.low in names and not piece.places:
                yield piece, Place(scheme=scheme, at=names[piece.low])


def stores_left_unsaid(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, tuple[str, str]]]:
    """Yield the store that a bare number may be: "bags 21 and 22", "a pallet, number six", "the bottom one"."""
    kind, said = "", 0
    for at, piece in enumerate(pieces):
        key = _store(piece)
        kind, said = (key, at) if key in _STORES else (kind, said)
        if piece.kind == "number" and piece.digits.isdigit() and kind and not _names_no_store(pieces, at, said):
            yield piece, (kind, piece.digits)
        elif piece.low in _SHELVES and kind in ("rack", "shelf"):
            yield piece, ("shelf", piece.low)


def _store(piece: Piece) -> str:
    """Return the kind of store that a piece names; a skid that is a part's name too is no pallet."""
    named, word = piece.sense("storage"), singular(piece.low.split()[-1])
    if named and (piece.sense("part") or piece.sense("short")) and word != named:
        named = ""
    return piece.stow[0] or _PUT.get(piece.low, "") or named or (word if word in _STORES else "")


def _names_no_store(pieces: Sequence[Piece], at: int, said: int) -> bool:
    """Tell whether a number counts what stands after it ("fourteen eyelets"), or names something else.

    A number is that of the store named at ``said`` no later than in the next sentence; "number three" only in the
    same one, and beside it: no part stands between.
    """
    between = pieces[said + 1 : at]
    if counts_what_follows(pieces, at) or sum(piece.ends_sentence for piece in between) > 1:
        return True
    numbered = at > 0 and pieces[at - 1].low in NUMBERED
    return numbered and any(piece.ends_sentence or piece.kind == "thing" for piece in between)


def tags_left_unsaid(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, str]]:
    """Yield what may stand on a tag that is spoken of: "tagged 201 and 202", "there's a tag on it, 0083"."""
    tagged = -_REACH
    for at, piece in enumerate(pieces):
        if piece.low in _TAGGED:
            tagged = at
        if at - tagged < _REACH and piece.kind == "number" and piece.digits.isdigit():
            yield piece, piece.digits
