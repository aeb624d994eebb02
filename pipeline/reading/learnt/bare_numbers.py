"""What a number without a noun may tell: "washers, nine", "left 62 pounds, right 48", "18 needs another coat"."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import get_args

from pipeline.reading.fact import Measure, Place, Scheme
from pipeline.reading.forms import word_set
from pipeline.reading.pieces import Piece

_SCHEMES = frozenset(get_args(Scheme))
_UP_TO = ("to", "through", "and")
_ONE = word_set("one first second third fourth fifth sixth seventh eighth ninth tenth last other")
_TWO = word_set("both pair")
_LAST = 2  # units or schemes that were said last


def whole_numbers(pieces: Sequence[Piece]) -> Mapping[int, int]:
    """Return the whole numbers that stand alone, by their places among the pieces."""
    found = {
        at: piece.number for at, piece in enumerate(pieces) if piece.kind == "number" and piece.number is not None
    }
    return {at: int(number) for at, number in found.items() if number.denominator == 1}


def counted_alone(piece: Piece) -> int:
    """Return what a word counts that is no number ("both", "the sixth"), 0 where it counts nothing."""
    return 1 if piece.low in _ONE else 2 if piece.low in _TWO else 0


def sizes_as_before(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Measure]]:
    """Yield what each bare number may measure: so many of the units that were said before it."""
    units = _LastSaid()
    for piece in pieces:
        units.add(measure.unit for measure in piece.measures)
        if piece.kind == "number" and piece.number is not None:
            for unit in units.last():
                yield piece, Measure(value=float(piece.number), unit=unit)


def places_as_before(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Piece, Place]]:
    """Yield the places that bare numbers may be, each with its first and last piece.

    "Ribs 12 to 15. 13 is cracked." The scheme is one that was said before; two places of one may be the ends of a
    range.
    """
    schemes = _LastSaid()
    for at, piece in enumerate(pieces):
        schemes.add(place.scheme for place in piece.places)
        schemes.add(s.notation for s in piece.senses if s.kind in ("part", "places") and s.notation in _SCHEMES)
        after = pieces[at + 2] if at + 2 < len(pieces) and pieces[at + 1].low in _UP_TO else piece
        (scheme, first), (other, last) = _end(piece), _end(after)
        if not first or _counts(pieces, at):
            continue
        for one in [scheme] if scheme else schemes.last():
            if not scheme:
                yield piece, piece, Place(scheme=one, at=first)
            if after is not piece and last and other in ("", one):
                yield piece, after, Place(scheme=one, at=f"{first}-{last}")


def _counts(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a number says how many: "at frame 18, and one trestle" names no frame 1."""
    return pieces[at].kind == "number" and at + 1 < len(pieces) and pieces[at + 1].kind == "thing"


def _end(piece: Piece) -> tuple[str, str]:
    """Return the scheme and number of a single numbered place, ("", number) of a whole number, else empty texts."""
    if len(piece.places) == 1 and piece.places[0].at.isdigit():
        return piece.places[0].scheme, piece.places[0].at
    return "", piece.digits if piece.kind == "number" and piece.digits.isdigit() else ""


class _LastSaid:
    """The units or schemes that were said, and the last of them."""

    def __init__(self) -> None:
        self._said: dict[str, None] = {}

    def add(self, names: Iterable[str]) -> None:
        for name in names:
            self._said.pop(name, None)
            self._said[name] = None

    def last(self) -> list[str]:
        return list(self._said)[-_LAST:]
