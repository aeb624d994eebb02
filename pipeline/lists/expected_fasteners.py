"""How many fasteners a joint should have: as somebody explained it, else as the list of joints has it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from pipeline.lists.holding import Sides, expected_of, is_fastener, kinds_agree
from pipeline.lists.logged import LoggedFact, same_place
from pipeline.reading.fact import Place, Side
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import LineQuestion


@dataclass(frozen=True)
class Expected:
    """A number that is expected (None: not known), where it comes from, and why a person should check it."""

    count: int | None = None
    about: bool = False
    source: Literal["said", "vocabulary", ""] = ""
    doubt: LineQuestion | None = None


@dataclass(frozen=True)
class _AsExplained:
    side: Side | None
    said_side: Side | None
    place: tuple[Place, ...] | None
    count: int
    about: bool
    entry: str


class Expectations:
    """What was explained of every joint, to be asked joint by joint."""

    def __init__(self, facts: Iterable[LoggedFact], vocabulary: Vocabulary, sides: Sides) -> None:
        """Collect the facts of how parts are held.

        Args:
            facts: of all days, in the order in which they were said.
            vocabulary: for the numbers of this type of aircraft.
            sides: tells where port and starboard are two joints.
        """
        self._vocabulary = vocabulary
        self._sides = sides
        self._told: dict[tuple[str, str], list[_AsExplained]] = {}
        for logged in facts:
            fact = logged.fact
            if fact.status != "explained" or fact.act != "held-by" or fact.item is None or fact.count is None:
                continue
            if not is_fastener(fact.of, vocabulary):
                continue
            told = self._told.setdefault((fact.item, str(fact.of)), [])
            for side, count in sides.spread(fact.item, fact.side, fact.count):
                if count is not None:
                    told.append(_AsExplained(side, fact.side, fact.place, count, bool(fact.about), logged.entry))

    def usual_kind(self, item: str | None) -> str:
        """Return the one kind that holds a part, where only one is known; else ""."""
        kinds = {of for part, of in self._told if part == item}
        listed = expected_of(item, self._vocabulary)
        if listed and not kinds:
            kinds = {listed[0]}
        return next(iter(kinds)) if len(kinds) == 1 else ""

    def may_be_of(self, item: str, of: str) -> bool:
        """Tell whether nothing that was told or listed of what holds a part is against such fasteners."""
        told = {kind for part, kind in self._told if part == item}
        listed = next((one.fasteners for one in self._vocabulary.joints if one.part == item), ())
        kinds = told or set(listed)
        return not kinds or any(kinds_agree(kind, of, self._vocabulary) for kind in kinds)

    def is_for_the_whole(self, item: str | None, of: str) -> bool:
        """Tell whether the number is of the whole joint, so that its places are added up and not kept apart."""
        if item is None:
            return False
        listed = expected_of(item, self._vocabulary)
        if listed and listed[0] == of:
            return True
        return any(told.place is None for told in self._told.get((item, of), ()))

    def of(self, item: str | None, of: str, side: Side | None, place: tuple[Place, ...] | None) -> Expected:
        """Return what is expected on a line; what was told for no side in particular holds for each side."""
        if item is None:
            return Expected()
        listed = expected_of(item, self._vocabulary)
        if listed and listed[0] != of:
            listed = None
        told = [one for one in self._told.get((item, of), ()) if one.side in (side, None)]
        if not self.is_for_the_whole(item, of):
            told = [one for one in told if place is not None and same_place(one.place, place)]
        if not told:
            return Expected(listed[1], listed[2], "vocabulary") if listed else Expected()
        by_entry: dict[str, list[_AsExplained]] = {}
        for one in told:
            by_entry.setdefault(one.entry, []).append(one)
        # the fullest telling counts: later on, people often name only some
        number = listed[1] if listed else None
        count, about, doubt = max((_total(parts, number) for parts in by_entry.values()), key=lambda one: one[0])
        if number is not None and number != count and not about and not (listed and listed[2]):
            doubt = LineQuestion(kind="said-and-listed-differ", numbers=(count, number))
        return Expected(count, about, "said", doubt)


def _total(parts: Sequence[_AsExplained], listed: int | None) -> tuple[int, bool, LineQuestion | None]:
    """Return the number that was told in one entry, as a whole, in parts, or both; and whether it is about right.

    "Eight bolts: four here, two a side" has parts that do not add to their total. "Six in the middle and two a side"
    has no total; told as two numbers only, the two cannot be told apart, unless the list for the type settles it.
    """
    apart = list(dict.fromkeys(parts))
    about = any(one.about for one in apart)
    largest = max(apart, key=lambda one: one.count)
    rest = sum(one.count for one in apart) - largest.count
    together = largest.count + rest
    may_be_whole = largest is apart[0] and largest.place is None and largest.said_side is None and rest
    if len(apart) > 2 and may_be_whole and rest <= largest.count:
        return largest.count, about, None
    if len(apart) == 2 and may_be_whole and rest < largest.count and together != listed:
        doubt = LineQuestion(kind="part-or-more", numbers=(largest.count, rest))
        return largest.count, about, None if listed == largest.count else doubt
    return together, about, None
