"""What the rules read in a note, in the form in which the learnt reading takes note of it."""

from collections.abc import Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact, Measure, Place
from pipeline.reading.learnt.prepared import SIDES, STATUSES, Count, Filler, Kept

_NEAR, _BESIDE = 8, 5  # word pieces


class Read(NamedTuple):
    """A fact of the rules, with the first and the last word piece that it was read from."""

    first: int
    last: int
    told: str
    fact: Fact

    def away(self, piece: int) -> int:
        """Return how many word pieces it stands from one."""
        return 0 if self.first <= piece <= self.last else min(abs(self.first - piece), abs(self.last - piece))


class Opinion(NamedTuple):
    """All that the rules read in one note."""

    facts: tuple[Read, ...]

    def nearest(self, piece: int, told: str, item: str | None = None) -> Read | None:
        """Return the fact nearest to a word piece that tells the same (of the same item)."""
        same = [read for read in self.facts if read.told == told and item in (None, read.fact.item)]
        return min(same, key=lambda read: read.away(piece), default=None)

    def status(self, piece: int, told: str) -> tuple[float, ...]:
        """Return six figures: nothing read, one for each status of an act, then whether a finding is absent."""
        if not self.facts:
            return (0.0,) * 6
        read = self.nearest(piece, told)
        if read is None or read.away(piece) >= _NEAR:
            return (1.0, *(0.0,) * 5)
        if read.fact.finding:
            return (*(0.0,) * 5, 1.0 if read.fact.absent else -1.0)
        return (0.0, *(float(read.fact.status == status) for status in STATUSES), 0.0)

    def item(self, piece: int, told: str, item: str) -> tuple[float, float, float]:
        """Return three figures: the same read of this item, read close by, not read of it."""
        if not self.facts:
            return (0.0, 0.0, 0.0)
        read = self.nearest(piece, told, item)
        return (0.0, 0.0, 1.0) if read is None else (1.0, float(read.away(piece) < _BESIDE), 0.0)

    def side(self, piece: int, told: str, item: str) -> tuple[float, ...]:
        """Return five figures: not read of this item, then one for each side (none, port, starboard, both)."""
        if not self.facts:
            return (0.0,) * 5
        read = self.nearest(piece, told, item)
        return (float(read is None), *(float(read is not None and (read.fact.side or "") == side) for side in SIDES))

    def filler(self, piece: int, told: str, item: str, filler: Filler) -> tuple[float, float, float]:
        """Return three figures: filled so by the rules, filled otherwise, left empty (all 0 where not read)."""
        read = self.nearest(piece, told, item) if self.facts else None
        if read is None:
            return (0.0, 0.0, 0.0)
        values = _values(read.fact, filler.slot)
        own = _value(filler)
        return (float(own in values), float(bool(values) and own not in values), float(not values))


def _values(fact: Fact, slot: str) -> Sequence[object]:
    """Return what fills a slot of a fact, in a form that compares."""
    if slot == "place":
        return [(place.scheme, place.at.lower()) for place in fact.place or ()]
    if slot == "measure":
        return [(round(measure.value, 4), measure.unit) for measure in fact.measure or ()]
    if slot == "count":
        return [(fact.count, fact.of)] if fact.count is not None else []
    if slot == "stowage":
        kept = fact.stowage.model_dump(exclude_none=True) if fact.stowage else {}
        return [(key, str(name).lower()) for key, name in kept.items()]
    value = fact.tag if slot == "tag" else fact.grade
    return [value] if value else []


def _value(filler: Filler) -> object:
    """Return what a filler would fill its slot with, in the same form."""
    match filler.value:
        case Place(scheme=scheme, at=at):
            return (scheme, at.lower())
        case Measure(value=value, unit=unit):
            return (round(value, 4), unit)
        case Count(number=number, of=of):
            return (number, of)
        case Kept(key=key, name=name):
            return (key, name.lower())
        case text:
            return text
