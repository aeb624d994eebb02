"""What fills a slot though its noun is left unsaid: "two on the front spar, two on the rear", "bags 21 and 22"."""

from collections.abc import Iterator, Mapping, Sequence

from pipeline.reading.fact import Place, Scheme
from pipeline.reading.forms import singular, word_set
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
    kind = ""
    for piece in pieces:
        key = piece.stow[0] or _PUT.get(piece.low, "") or piece.sense("storage")
        kind = key if key in _STORES else singular(piece.low) if singular(piece.low) in _STORES else kind
        if piece.kind == "number" and piece.digits.isdigit() and kind:
            yield piece, (kind, piece.digits)
        elif piece.low in _SHELVES and kind in ("rack", "shelf"):
            yield piece, ("shelf", piece.low)


def tags_left_unsaid(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, str]]:
    """Yield what may stand on a tag that is spoken of: "tagged 201 and 202", "there's a tag on it, 0083"."""
    tagged = -_REACH
    for at, piece in enumerate(pieces):
        if piece.low in _TAGGED:
            tagged = at
        if at - tagged < _REACH and piece.kind == "number" and piece.digits.isdigit():
            yield piece, piece.digits
