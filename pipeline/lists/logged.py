"""A fact with the entry and the day that it stands under: what the standing lists are added up from."""

import re
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from functools import lru_cache
from itertools import groupby
from typing import Self

from pipeline.lists.known_parts import ENGINES, KnownParts
from pipeline.lists.services import is_service
from pipeline.reading.fact import MarkedFact, Place, Side
from pipeline.reading.positions import Named, engines_named, position_meant
from pipeline.records import Move
from pipeline.values import Value

_FLIGHT_CONTROLS = "27"  # system chapter
_BEFORE_THAT = re.compile(
    r"\W*(?:(?:and|but|well|oh),? )?(?:just |well |long )?(?:before (?:that|this)|beforehand)\b", re.I
)
_ONE_TALK = timedelta(minutes=15)
_SENTENCE_END = re.compile(r"[.?!](?:\s+|$)")


class LoggedFact(Value):
    """A fact, when it was said, its entry, the speaker's words, and the photos of the entry (media ids).

    ``around`` is the whole sentence that the words are in, "" where that is not known. ``position`` is which engine
    was being talked of, where the sentence itself does not tell: see ``positions``. ``called`` is what the cables or
    rods were called by before in the entry, where the sentence says "they": see ``controls_called``. ``turn_with`` is
    the entry in whose turn the work was done, where that is not its own: see ``as_it_went``.
    """

    at: datetime
    entry: str
    fact: MarkedFact
    said: str
    photos: tuple[str, ...] = ()
    around: str = ""
    position: str = ""
    called: tuple[str, ...] = ()
    turn_with: str = ""

    @property
    def sentence(self) -> str:
        """The sentence that tells it; its own words alone where that is not known."""
        return self.around or self.said

    @property
    def turn(self) -> tuple[datetime, str]:
        """By what facts are put in order; those of one turn keep the order that they are in."""
        return self.at, self.turn_with or self.entry

    @property
    def move(self) -> Move:
        """What it did to a line of a list."""
        return Move(on=self.at.date(), what=str(self.fact.act), entry=self.entry)

    def told_as(self, **changes: object) -> Self:
        """Return the same with these fields of its fact in place of its own: ``told_as(side=None)``."""
        return self.model_copy(update={"fact": self.fact.model_copy(update=changes)})


def in_order(facts: Iterable[LoggedFact]) -> tuple[LoggedFact, ...]:
    """Return the facts in the order in which they were said; those of one entry keep their order.

    What ``as_it_went`` has put before other work stays there.
    """
    return tuple(sorted(facts, key=lambda logged: logged.turn))


def as_it_went(facts: Iterable[LoggedFact]) -> tuple[LoggedFact, ...]:
    """Return the facts in the order of the work: "before that I freed the cables" goes before what was told last.

    What goes before has the time and the turn of that, in place of its own; its entry and its day stay.
    """
    went: list[list[LoggedFact]] = []
    last = 0  # where in ``went`` the sentence stands that was said last
    for _, sentence in groupby(in_order(facts), key=lambda one: (one.entry, one.around)):
        own = list(sentence)
        if went and _is_before_that(own[0], went[last][0]):
            at, turn_with = went[last][0].turn
            went.insert(last, [one.model_copy(update={"at": at, "turn_with": turn_with}) for one in own])
        else:
            last = len(went)
            went.append(own)
    return tuple(logged for sentence in went for logged in sentence)


def _is_before_that(logged: LoggedFact, last: LoggedFact) -> bool:
    """Tell whether a sentence says that its work was done before what was told last, in the same talk."""
    same_talk = logged.at - last.at < _ONE_TALK and logged.at.date() == last.at.date()
    return same_talk and _BEFORE_THAT.match(logged.around) is not None


def sentence_of(text: str, said: str) -> str:
    """Return the sentence of ``text`` that holds the words ``said``; the words alone where the text lacks them."""
    whole = re.search(rf"(?<!\w){re.escape(said)}(?!\w)", text) or re.search(rf"(?<!\w){re.escape(said)}", text)
    at = whole.start() if whole else text.find(said)  # "in" is a word of its own before it is a part of "pin"
    if at < 0 or not said:
        return said
    ends = [found.end() for found in _SENTENCE_END.finditer(text)]
    start = max((end for end in ends if end <= at), default=0)
    stop = min((end for end in ends if end >= at + len(said)), default=len(text))
    return text[start:stop].strip()


def position_of(logged: LoggedFact, vocabulary: KnownParts) -> str:
    """Return which engine a fact is of ("nose", "outer", "number 3"), "" where nobody said or it is of no engine.

    Its own words count before those of its sentence, and these before the engine that was being talked of. A pipe or
    a wire that runs elsewhere too, and what is no part, is of an engine only where its sentence says so, or names a
    part of the engine that was being talked of ("the fuel pipe at the firewall").
    """
    part = vocabulary.part(logged.fact.item or "")
    if part is None or part.chapter == _FLIGHT_CONTROLS:
        return ""
    of_the_engine = part.zone == ENGINES
    if not (of_the_engine or part.kind == "fastener" or is_service(part.notation, vocabulary)):
        return ""
    sentence = logged.sentence
    named = _engines_meant(logged, sentence, vocabulary)
    if logged.fact.side and not of_the_engine and not engines_named(logged.said):
        named = [one for one in named if one.side]  # "lock the number three mount, connect the port brake hose"
    if named:
        return position_meant(named, logged.fact.side)
    at_the_engine = of_the_engine or (
        logged.position and part.kind != "fastener" and _at_engine(sentence, vocabulary)
    )
    return logged.position if at_the_engine else ""


def at_their_engines(facts: Iterable[LoggedFact], vocabulary: KnownParts) -> tuple[LoggedFact, ...]:
    """Return the facts in the order in which they were said, each with the engine that it is of (``position_of``).

    Hardly any fact is of one of several: the others stay the values that they are.
    """
    with_theirs = ((one, position_of(one, vocabulary)) for one in in_order(facts))
    return tuple(
        one if one.position == position else one.model_copy(update={"position": position})
        for one, position in with_theirs
    )


def _engines_meant(logged: LoggedFact, sentence: str, vocabulary: KnownParts) -> Sequence[Named]:
    """Return the engines that a fact's sentence names for it; of two, that with which its part is called.

    ("Put the number three starter on number two": that starter is number three's.)
    """
    before, own, after = sentence.partition(logged.said)
    named = engines_named(own or logged.said) or engines_named(before)[-1:] or engines_named(after)
    named = named or engines_named(sentence)  # the fact's words may begin in the middle of the engine's name
    if len(named) > 1:
        name = re.compile(rf"\b(?:{names_of(str(logged.fact.item), vocabulary)})\b", re.IGNORECASE)
        called = name.search(sentence, len(before) if own else 0)
        named = (called and engines_named(sentence[: called.end()])[-1:]) or named
    return named


@lru_cache(maxsize=1000)
def _at_engine(sentence: str, vocabulary: KnownParts) -> bool:
    """Tell whether a sentence names a part of an engine by its own name, pipes and wires aside."""
    return _names_at_engines(vocabulary).search(sentence) is not None


@lru_cache(maxsize=8)
def _names_at_engines(vocabulary: KnownParts) -> re.Pattern[str]:
    parts = (one for one in vocabulary.parts if one.zone == ENGINES and not is_service(one.notation, vocabulary))
    names = alternatives(name for part in parts for name in (part.preferred, *part.alternatives))
    return re.compile(rf"\b(?:{names})s?\b" if names else r"(?!)", re.IGNORECASE)


@lru_cache(maxsize=10_000)
def names_of(item: str, vocabulary: KnownParts) -> str:
    """Return the names of a part as a pattern, the longest first, "" never: an item in no list is its own name."""
    part = vocabulary.part(item)
    return alternatives((part.preferred, *part.alternatives) if part else (item.replace("-", " "),))


@lru_cache(maxsize=10_000)
def last_words(item: str, vocabulary: KnownParts) -> frozenset[str]:
    """Return the last word of each name of a part, by which people call it: "cooler" for the oil cooler."""
    part = vocabulary.part(item)
    names = (part.preferred, *part.alternatives) if part else (item.replace("-", " "),)
    return frozenset(name.lower().split()[-1] for name in names)


def alternatives(words: Iterable[str]) -> str:
    """Return a pattern for any of some words, the longest first."""
    return "|".join(map(re.escape, sorted(set(words), key=lambda one: (-len(one), one))))


OTHER_SIDE: dict[Side | None, Side] = {"port": "starboard", "starboard": "port"}


def sides(side: Side | None) -> tuple[Side | None, ...]:
    """Return the sides that are meant, one by one: "both" is port and starboard."""
    return ("port", "starboard") if side == "both" else (side,)


def same_side(one: Side | None, other: Side | None) -> bool:
    """Tell whether two facts can be of the same side: they can where one of them names none."""
    return one is None or other is None or one == other or "both" in (one, other)


def same_place(one: Sequence[Place] | None, other: Sequence[Place] | None) -> bool:
    """Tell whether two facts can be of the same place: they can unless one scheme has no position in both."""
    return all(
        not (_positions(one, scheme) and _positions(other, scheme))
        or _positions(one, scheme) & _positions(other, scheme)
        for scheme in {place.scheme for place in one or ()}
    )


def _positions(places: Sequence[Place] | None, scheme: str) -> set[str]:
    return {place.at for place in places or () if place.scheme == scheme}
