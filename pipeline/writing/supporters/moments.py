"""What was being said as a photo was taken, and what the photo shows by it."""

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache

from pipeline.records import EntryRecord, FactRecord, Records, UtteranceRecord
from pipeline.writing.supporters.steps import LARGE, sides_of
from pipeline.writing.supporters.withheld_findings import words_of_findings
from pipeline.writing.terms import Terms, belongs_to, kind_and_zone
from pipeline.writing.titles import SMALL

_BEFORE_S = 2.0  # words begun this soon after the shutter belong to the photo
_AFTER_S = 20.0  # the last words stand for what is being done for this long
_FINDING_S = 8.0  # a photo this soon after words of a finding may show it
_NEXT_TO_S = 5.0  # two utterances closer than this are one train of thought
_TELLS_A_FINDING = re.compile(
    r"\b(?:crack(?:s|ed|ing)?(?! the| it| off)|corro\w+|rust\w*|pit(?:s|ted|ting)\b|leak\w*|weep\w*|worn|wear"
    r"|chaf\w+|perish\w*|scor(?:e|ed|ing)\b|seiz\w+|broken|missing|dent\w*|bent|elongated|damage\w*)\b",
    re.IGNORECASE,
)
_ASKED_FOR = re.compile(r"\b(?:photo|photos|photograph|picture|pictures|snap)\b", re.IGNORECASE)
# "On a pallet by the roller door", "a trestle at the tip": the part tells where something is
_WHERE = re.compile(
    r"\b(?:by|near|beside|behind|next to|against|outside|opposite"
    r"|(?:one|two|another|each|trestles?|jacks?) at)\s+(?:the|a|an|our|its|each|every)\s+(?:[\w-]+\s+)?$",
    re.IGNORECASE,
)
_SIDE_BEFORE = re.compile(r"\b(port|starboard|left|right)\s+(?:\w+\s+)?$", re.IGNORECASE)
_SIDES = {"left": "port", "right": "starboard"}
_HANDLED = frozenset({"tag", "bag", "store", "held-by"})
# structure that is named to say where something is ("at rib six")
_PLACES = frozenset({"rib", "frame", "stringer", "longeron", "bulkhead"})


@dataclass(frozen=True)
class Subject:
    """What a photo shows, as far as words tell: a part, its sides, and the work on it ("" where it is only named).

    ``many`` is whether the words named several of the part; ``found`` is the finding that it shows, in plain words.
    """

    item: str
    sides: tuple[str, ...] = ()
    act: str = ""
    many: bool = False
    found: str = ""


class Moments:
    """Looks up what was said around a moment."""

    def __init__(self, records: Records, terms: Terms) -> None:
        """Take everything that was said, and the names that parts go by."""
        self._said = sorted(records.utterances, key=lambda one: (one.start_at.timestamp(), one.id))
        self._by_id = {one.id: one for one in self._said}
        self._starts = [one.start_at for one in self._said]
        self._longest = max((one.end_at - one.start_at for one in self._said), default=timedelta(0))
        self._terms = terms
        self._names, self._named = _names_of_one_part(terms)

    def around(self, at: datetime) -> list[UtteranceRecord]:
        """Return the words that a photo of this moment stands with, whatever they were recorded by."""
        return self._around(self._near(at), at)

    def beside(self, entry: EntryRecord, at: datetime) -> list[UtteranceRecord]:
        """Return the nearest words of an entry before a moment and after it."""
        own = self._of(entry.utterances)
        before = [one for one in own if one.start_at <= at]
        return [*before[-1:], *own[len(before) : len(before) + 1]]

    def spoken(self, entry: EntryRecord, at: datetime) -> list[UtteranceRecord]:
        """Return the words of an entry that a photo stands with: those begun by then, where there are any."""
        around = self._around(self._of(entry.utterances), at)
        return [one for one in around if one.start_at <= at] or around

    def just_before(self, entry: EntryRecord, at: datetime) -> list[UtteranceRecord]:
        """Return the words of an entry that are one train of thought with those a photo stands with."""
        spoken = self.spoken(entry, at)
        return [one for one in self._of(entry.utterances) if spoken and 0 <= _gap_s(one, spoken[0]) <= _NEXT_TO_S]

    def said_within(self, entry: EntryRecord, at: datetime, away_s: float) -> list[datetime]:
        """Return when each utterance of an entry began that was said no further away than this."""
        return [one.start_at for one in self._of(entry.utterances) if away_s and self.away_s([one.id], at) <= away_s]

    def told_near(self, entry: EntryRecord, at: datetime) -> list[FactRecord]:
        """Return the facts told shortly before a moment or just after, and those of the last words that tell any."""
        spans = {one.id: one for one in self._of(entry.utterances)}
        told = [(spans[one], fact) for fact in entry.facts for one in fact.utterances if one in spans]
        last = max((said.start_at for said, _ in told if said.start_at <= at), default=None)
        return [fact for said, fact in told if said.start_at == last or _is_near(said, at)]

    def names_a_part(self, text: str) -> bool:
        """Tell whether words name a part that can be shown."""
        return self._named_in(text) is not None

    def subject(self, entry: EntryRecord, at: datetime) -> Subject | None:
        """Return what a photo of an entry shows by the words said with it, None where they do not tell."""
        around = self.spoken(entry, at)
        ids = {one.id for one in around}
        direct = [fact for fact in entry.facts if not fact.utterances or ids & set(fact.utterances)]
        found = of_facts(direct, self._terms) or self._in_words(around)
        # a photo of the trestle is none of what was told before it
        if found is None and not any(self._is_gear(fact) for fact in direct):
            told = {one.id for one in self.just_before(entry, at)}
            found = of_facts([fact for fact in entry.facts if told & set(fact.utterances)], self._terms)
        return found or _of_whole(entry.facts)

    def of_one_part(self, entry: EntryRecord) -> Subject | None:
        """Return the one part that all the work told in an entry is on, None where it is on several or none."""
        done = [fact for fact in entry.facts if _is_shown(fact, self._terms)]
        parts = {(fact.item, fact.side) for fact in done}
        return Subject(str(done[0].item), sides_of(done[0].side)) if len(parts) == 1 else None

    def _is_gear(self, fact: FactRecord) -> bool:
        return bool(fact.act) and kind_and_zone(self._terms, fact.item)[0] == "support-equipment"

    def asked_for(self, at: datetime) -> bool:
        """Tell whether a picture was spoken of as the photo was taken: then it is one that somebody wanted."""
        return any(_ASKED_FOR.search(one.read) for one in self.around(at) if one.start_at <= at)

    def away_s(self, utterances: Iterable[str], at: datetime) -> float:
        """Return the seconds from a moment to the nearest of some utterances, 0 where none is known."""
        spans = [
            max((one.start_at - at).total_seconds(), (at - one.end_at).total_seconds(), 0.0)
            for one in self._of(utterances)
        ]
        return min(spans, default=0.0)

    def _of(self, utterances: Iterable[str]) -> list[UtteranceRecord]:
        """Return what was said in these utterances, in order of time."""
        found = {one: self._by_id[one] for one in utterances if one in self._by_id}
        return sorted(found.values(), key=lambda one: (one.start_at.timestamp(), one.id))

    def _near(self, at: datetime) -> list[UtteranceRecord]:
        """Return all that can be around a moment, and little more: a book holds years of talk."""
        first = bisect_left(self._starts, at - self._longest - timedelta(seconds=_AFTER_S))
        return self._said[first : bisect_right(self._starts, at + timedelta(seconds=_BEFORE_S))]

    def _around(self, said: Sequence[UtteranceRecord], at: datetime) -> list[UtteranceRecord]:
        before = [one for one in said if one.start_at <= at and (at - one.end_at).total_seconds() <= _AFTER_S]
        last = before[-1:]
        still = [one for one in before[:-1] if one.end_at >= at]
        soon = [one for one in said if 0 < (one.start_at - at).total_seconds() <= _BEFORE_S]
        return [*still, *last, *soon]

    def _in_words(self, around: Sequence[UtteranceRecord]) -> Subject | None:
        for one in around:
            found = self._named_in(one.read)
            if found is None or _WHERE.search(one.read[: found.start()]):
                continue
            side = _SIDE_BEFORE.search(one.read[: found.start()])
            word = side.group(1).lower() if side else ""
            sides = (_SIDES.get(word, word),) if word else ()
            return Subject(self._names[found.group(1).lower()], sides, many=bool(found.group(2)))
        return None

    def _named_in(self, text: str) -> re.Match[str] | None:
        named = self._named.finditer(text)
        return next((each for each in named if self._names[each.group(1).lower()] not in _PLACES), None)


@lru_cache(maxsize=4)
def _names_of_one_part(terms: Terms) -> tuple[Mapping[str, str], re.Pattern[str]]:
    """Return the names by which a part can be told, with the part, and what matches any of them.

    They are its preferred term, and others that no other part has. Each report of a run asks for them.
    """
    meant: dict[str, set[str]] = {}
    for name in terms.names():
        part = terms.part(name.notation)
        if part is not None and part.kind not in SMALL:
            meant.setdefault(name.text.lower(), set()).add(name.notation)
    found = {}
    for text, notations in meant.items():
        preferred = [one for one in sorted(notations) if terms.preferred(one).lower() == text]
        if preferred or len(notations) == 1:
            found[text] = (preferred or sorted(notations))[0]
    longest = sorted(found, key=lambda one: (-len(one), one))
    # "mounting bolts" are bolts, and no mounting
    bolts = {
        name.text.lower()
        for name in terms.names()
        if (part := terms.part(name.notation)) is not None and part.kind == "fastener"
    }
    no_bolt = rf"(?! (?:{'|'.join(map(re.escape, sorted(bolts)))})(?:e?s)?\b)" if bolts else ""
    return found, re.compile(rf"\b({'|'.join(map(re.escape, longest)) or '(?!)'})(e?s)?\b{no_bolt}", re.IGNORECASE)


def tells_of_a_finding(text: str) -> bool:
    """Tell whether words speak of a fault, whether or not a fact was read from them."""
    return _TELLS_A_FINDING.search(text) is not None or bool(words_of_findings(text))


def _is_near(said: UtteranceRecord, at: datetime) -> bool:
    return (at - said.start_at).total_seconds() >= -_BEFORE_S and (at - said.end_at).total_seconds() < _FINDING_S


def _gap_s(one: UtteranceRecord, later: UtteranceRecord) -> float:
    return (later.start_at - one.end_at).total_seconds()


def _is_shown(fact: FactRecord, terms: Terms) -> bool:
    """Tell whether a picture would be taken of what a fact tells: of work on a part, not of handling or fasteners."""
    at_work = fact.status == "done" and bool(fact.act) and fact.act not in _HANDLED
    return at_work and bool(fact.item) and kind_and_zone(terms, fact.item)[0] not in SMALL


def of_facts(facts: Iterable[FactRecord], terms: Terms) -> Subject | None:
    """Return the part of the fact that a picture would be taken of: a removal first, handling and fasteners never."""
    found = [fact for fact in facts if _is_shown(fact, terms)]
    if not found:
        return None
    best = min(found, key=lambda fact: (fact.act != "remove", fact.item not in LARGE))
    many = bool(best.count and best.count > 1 and best.of == best.item)
    return Subject(str(best.item), sides_of(best.side), str(best.act), many)


def _of_whole(facts: Iterable[FactRecord]) -> Subject | None:
    """Return the one large part that everything explained in an entry is about."""
    items = {fact.item for fact in facts if fact.status == "explained" and fact.item in LARGE}
    return Subject(str(items.pop())) if len(items) == 1 else None


def same_part(one: str, other: str, terms: Terms) -> bool:
    """Tell whether two parts are one, or one belongs to the other."""
    return belongs_to(terms, one, other) or belongs_to(terms, other, one)
