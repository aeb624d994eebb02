"""What a number without a noun may tell: "washers, nine", "left 62 pounds, right 48", "18 needs another coat"."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from pipeline.reading.fact import Measure, Place, Scheme
from pipeline.reading.forms import word_set
from pipeline.reading.pieces import Piece
from pipeline.reading.ranges import other_end

_BY_NUMBER: tuple[Scheme, ...] = ("frame", "station", "rib", "stringer", "bay", "longeron")
NUMBERED = word_set("number no no.")
_ORDINALS = {"first": "1", "second": "2", "third": "3", "fourth": "4", "fifth": "5", "sixth": "6", "seventh": "7"}
_ONE = word_set("one first second third fourth fifth sixth seventh eighth ninth tenth last other")
_TWO = word_set("both pair")
_LAST = 2  # units or schemes that were said last
_TOLD_BY = {  # units that go without saying: "oil pressure eighty", "torqued 180"
    **dict.fromkeys(("pressure", "pressure-tested", "psi", "gauge", "pumped"), "psi"),
    **dict.fromkeys(("torque", "torqued"), "lbf·ft"),
}
_NO_UNIT = word_set("in ins m")  # words, unless a number stands before them


def whole_numbers(pieces: Sequence[Piece]) -> Mapping[int, int]:
    """Return the whole numbers that stand alone, by their places among the pieces."""
    return {at: piece.whole for at, piece in enumerate(pieces) if piece.whole is not None}


def counted_alone(piece: Piece) -> int:
    """Return what a word counts that is no number ("both", "the sixth"), 0 where it counts nothing."""
    return 1 if piece.low in _ONE else 2 if piece.low in _TWO else 0


def sizes_as_before(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Measure]]:
    """Yield what each bare number may measure: so many of the units that were said before it, or of the next one."""
    units = _LastSaid()
    unsaid = dict.fromkeys(unit for piece in pieces for word in piece.low.split() if (unit := _TOLD_BY.get(word)))
    for at, piece in enumerate(pieces):
        units.add(measure.unit for measure in piece.measures)
        if piece.kind == "number" and piece.number is not None:
            for unit in dict.fromkeys([*units.last(), *_next_unit(pieces, at), *unsaid]):
                yield piece, Measure(value=float(piece.number), unit=unit)
        if "psi" in unsaid:  # "twelve pounds" of pressure
            for measure in piece.measures:
                if measure.unit == "lb":
                    yield piece, Measure(value=measure.value, unit="psi")


def _next_unit(pieces: Sequence[Piece], at: int) -> list[str]:
    """Return the unit that is said next: "10 and 12 mm", "0.501, 0.502. Inches"."""
    for piece in pieces[at + 1 :]:
        if piece.measures:
            return [piece.measures[0].unit]
        if piece.low not in _NO_UNIT and (unit := piece.sense("units")):
            return [unit]
    return []


def places_as_before(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Piece, Place]]:
    """Yield the places that bare numbers may be, each with its first and last piece.

    "Ribs 12 to 15. 13 is cracked." The scheme is one that was said before, or the first one if none was; two places
    of one may be the ends of a range: "from frame 6 back to frame 11".
    """
    schemes = _LastSaid()
    lows = [piece.low for piece in pieces]
    for at, piece in enumerate(pieces):
        schemes.add(_schemes_of(piece))
        (scheme, first) = _end(pieces, at)
        to = _other_end(pieces, lows, at)
        if not first or (piece.low == "one" and piece.kind == "word" and not to):
            continue
        (other, last) = _end(pieces, to) if to else (None, "")
        numbered = _numbered(pieces, at)
        if not (scheme or numbered) and counts_what_follows(pieces, at):
            continue
        for one in [scheme or numbered] if scheme or numbered else schemes.last() or _first_scheme(pieces):
            if not scheme:
                yield piece, piece, Place(scheme=one, at=first)
            if last and last != first and other in (None, one):
                yield piece, pieces[to], Place(scheme=one, at=f"{first}-{last}")


def _schemes_of(piece: Piece) -> list[Scheme]:
    """Return the schemes that a piece names, of those that have numbers."""
    named = {sense.notation for sense in piece.senses if sense.kind in ("part", "places")}
    named |= {place.scheme for place in piece.places}
    return [scheme for scheme in _BY_NUMBER if scheme in named]


def _first_scheme(pieces: Sequence[Piece]) -> list[Scheme]:
    """Return the scheme that is said first: "14 and 19, both frames"."""
    return next(([found[0]] for piece in pieces if (found := _schemes_of(piece))), [])


def _other_end(pieces: Sequence[Piece], lows: Sequence[str], at: int) -> int:
    """Return where the other end of a range stands that begins with a piece, 0 where none does."""
    between = "between" in lows[max(0, at - 3) : at]
    end = at + 2 if between and lows[at + 1 : at + 2] == ["and"] else other_end(lows, at + 1)
    return end if end < len(pieces) else 0


def _numbered(pieces: Sequence[Piece], at: int) -> Scheme | None:
    """Return the scheme of what a number stands before: "number two rib", "the second stringer"."""
    if at + 1 >= len(pieces) or not (pieces[at].low in _ORDINALS or (at and pieces[at - 1].low in NUMBERED)):
        return None
    return next(iter(_schemes_of(pieces[at + 1])), None)


def counts_what_follows(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a number says how many: "at frame 18, and one trestle" names no frame 1, nor do "18 of them"."""
    if pieces[at].kind != "number":
        return False
    step = at + 1
    while step < len(pieces) - 1 and pieces[step].tag in ("JJ", "VBN"):
        step += 1  # "three cracked ribs"
    following = pieces[step] if step < len(pieces) else None
    counted = following is not None and following.kind == "thing" and (step == at + 1 or following.plural)
    return counted or (following is not None and pieces[at + 1].low == "of")


def _end(pieces: Sequence[Piece], at: int) -> tuple[Scheme | None, str]:
    """Return the scheme and number of a single numbered place, (None, number) of a number alone, else (None, "")."""
    piece = pieces[at]
    if len(piece.places) == 1 and piece.places[0].at.isdigit():
        return piece.places[0].scheme, piece.places[0].at
    if piece.kind == "number" and piece.digits.isdigit():
        return None, piece.digits
    return None, _ORDINALS.get(piece.low, "") if _numbered(pieces, at) else "1" if piece.low == "one" else ""


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
