"""Why a photo may not go out: a picture is judged by all the words round it, as if they were to be printed.

No list of words for faults and secrets can be complete. So a photo goes out only where the record reads the words
that it stands with as work or as showing a part, and where no words round it would be kept back for any reason.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import datetime

from pipeline.records import EntryRecord, FactRecord, UtteranceRecord
from pipeline.settings import Released
from pipeline.writing.supporters.found import is_told
from pipeline.writing.supporters.moments import Moments, tells_of_a_finding
from pipeline.writing.supporters.privacy import Gate, tells_of_mending
from pipeline.writing.supporters.withheld import FINDING
from pipeline.writing.supporters.withheld_findings import FindingWords, ReleasedFindings
from pipeline.writing.supporters.withheld_text import sentence_spans
from pipeline.writing.terms import Terms
from pipeline.writing.titles import HANDLING

PLACED = "may show a tag or a place of storage"
FAULTY = "may show a finding that has not been released"
UNTOLD = "nobody said what it shows: no work and no part was told with it"
_NUMBER = (
    r"(?:(?:[a-z]-?)?\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|\w+teen|twenty|thirty|forty)"
)
_TELLS_A_PLACE = re.compile(
    rf"\b(?:rack|shelf|box|bag|pallet|stand|room|bin|crate|tube|hook|peg|tin|drawer)e?s?\s+{_NUMBER}\b|\btag(?:s|ged)?\b|\blabel\w*"
    r"|\b[A-Z][-, ]{0,2}[O0]?\d{3,}\b|\b[O0]\d{3}\b|\bshelf\b",
    re.IGNORECASE,
)
# "here you can see the fuel lines"; common practice, no source
_SHOWS = re.compile(
    r"\b(?:here(?:'s| is| are)|(?:here|there) (?:you|we) (?:can )?see|this (?:is|one is|one's)|that(?:'s| is)"
    r"|(?:these|those) are|look at|you can see|(?:photo|photograph|picture)(?:'s)? of|(?:view|close-?up) of)\b",
    re.IGNORECASE,
)
# what is said of the thing shown, in whatever words: how it is
_SAYS_HOW_IT_IS = re.compile(
    r"\b(?:it|they|she|which|that|what|one|all)(?:'s|'re| is| are| was| were| has| have| looks?)\b"
    r"|\b(?:state|mess|worst|left of|happened|condition|shape|nick)\b",
    re.IGNORECASE,
)


class WithheldPhotos:
    """Tells why photos may not go out.

    Args:
        moments: what was said around each moment.
        gate: tells why words may not go out.
        released: the findings that somebody let out.
        terms: the vocabulary, whose names of findings count.
    """

    def __init__(self, moments: Moments, gate: Gate, released: Sequence[Released], terms: Terms) -> None:
        """Take what is known of the book."""
        self._moments = moments
        self._gate = gate
        self._released = ReleasedFindings(released, terms)
        self._words = FindingWords(terms)
        self._glances: dict[tuple[str, datetime], tuple[str, list[UtteranceRecord], set[str]]] = {}

    def look_ahead(self, photos: Iterable[tuple[EntryRecord, datetime]]) -> None:
        """Read the words round many photos at once, which is far quicker than one by one and finds the same."""
        glances = (self._at_a_glance(entry, at) for entry, at in photos)
        self._gate.look_ahead(dict.fromkeys(one.read for why, said, _ in glances if not why for one in said))

    def why(self, entry: EntryRecord, at: datetime, unclear_s: float = 0.0) -> str:
        """Return why a photo of an entry may not be shown, "" where nothing speaks against it.

        Args:
            entry: that it stands with.
            at: when it was taken.
            unclear_s: by how much that may be out, where it is not clear of which words of the entry it is: it may
                then be of any of those.
        """
        if why := self._why(entry, at):
            return why
        others = (self._why(entry, each) for each in self._moments.said_within(entry, at, unclear_s))
        return next((why for why in others if why and why != UNTOLD), "")

    def _why(self, entry: EntryRecord, at: datetime) -> str:
        why, said, let_out = self._at_a_glance(entry, at)
        if why:
            return why
        reasons = dict.fromkeys(why for one in said for why in self._reasons(one, let_out=one.id in let_out))
        if reasons:
            return f"may show what was said with it: {'; '.join(reasons)}"
        told = self._told(entry, self._moments.spoken(entry, at)) or self._done(entry, self._before(entry, at))
        return "" if told or self.shown(entry, at) is not None else UNTOLD

    def _at_a_glance(self, entry: EntryRecord, at: datetime) -> tuple[str, list[UtteranceRecord], set[str]]:
        """Return why a photo stays in as far as its facts and single words tell; and its words, to be read closely.

        Last those of the words whose findings have all been let out, by their ids.
        """
        if (entry.id, at) not in self._glances:
            self._glances[entry.id, at] = self._glance(entry, at)
        return self._glances[entry.id, at]

    def _glance(self, entry: EntryRecord, at: datetime) -> tuple[str, list[UtteranceRecord], set[str]]:
        said, before = self._round(entry, at), self._before(entry, at)
        if not self._told(entry, self._moments.spoken(entry, at)) and self._done(entry, before):
            said += before  # which then tell what it shows, and count like its own
        facts = [fact for fact in entry.facts if {one.id for one in said} & set(fact.utterances)]
        placed = any(fact.stowage or fact.tag or fact.act == "tag" for fact in facts)
        if placed or any(_TELLS_A_PLACE.search(text) for one in said for text in (one.read, one.heard)):
            return PLACED, said, set()
        seen = [*(fact for fact in facts if fact.status == "seen"), *self._seen_near(entry, at)]
        held = [fact for fact in seen if not self._released.holds(fact)]
        let_out = _behind(seen, entry) - _behind(held, entry)
        mended = any(tells_of_mending(fact) and not self._released.mends(fact) for fact in facts)
        faulty = bool(held) or mended or any(self._may_be_faulty(one) for one in said if one.id not in let_out)
        return FAULTY if faulty else "", said, let_out

    def shown(self, entry: EntryRecord, at: datetime) -> FactRecord | None:
        """Return the finding that a photo shows, None for none: of the words it stands with, and let out."""
        ids = {one.id for one in self._moments.spoken(entry, at)}
        own = [fact for fact in entry.facts if not fact.utterances or ids & set(fact.utterances)]
        return next((fact for fact in own if is_told(fact, self._released)), None)

    def _round(self, entry: EntryRecord, at: datetime) -> list[UtteranceRecord]:
        """Return what was being said, and the nearest words of the entry before it and after it."""
        found = {one.id: one for one in (*self._moments.around(at), *self._moments.beside(entry, at))}
        return list(found.values())

    def _before(self, entry: EntryRecord, at: datetime) -> list[UtteranceRecord]:
        return self._moments.just_before(entry, at)

    def _told(self, entry: EntryRecord, said: Sequence[UtteranceRecord]) -> bool:
        """Tell whether the record reads words as work or as showing a part."""
        return self._done(entry, said) or any(map(self._shows, said))

    def _done(self, entry: EntryRecord, said: Sequence[UtteranceRecord]) -> bool:
        ids = {one.id for one in said}
        return any(
            fact.status in ("done", "explained") and bool(fact.item and fact.act) and fact.act not in HANDLING
            for fact in entry.facts
            if not fact.utterances or ids & set(fact.utterances)
        )

    def _shows(self, one: UtteranceRecord) -> bool:
        """Tell whether a sentence points at a part, and says nothing of how it is."""
        told = (one.read[start:end] for start, end in sentence_spans(one.read))
        for text in told:
            shown = _SHOWS.search(text)
            rest = text[shown.end() :] if shown is not None else ""
            if self._moments.names_a_part(rest) and not _SAYS_HOW_IT_IS.search(rest):
                return True
        return False

    def _seen_near(self, entry: EntryRecord, at: datetime) -> list[FactRecord]:
        """Return the findings told shortly before, just after, or as the last thing; and those of the whole entry."""
        near = [fact for fact in self._moments.told_near(entry, at) if fact.status == "seen"]
        whole = [
            fact for fact in entry.facts if fact.status == "seen" and (not fact.utterances or not entry.utterances)
        ]
        return [*near, *(fact for fact in whole if not fact.absent and fact.finding != "sound")]

    def _may_be_faulty(self, one: UtteranceRecord) -> bool:
        return any(tells_of_a_finding(text) or self._words.in_text(text) for text in (one.read, one.heard))

    def _reasons(self, one: UtteranceRecord, *, let_out: bool) -> tuple[str, ...]:
        """Return why words may not go out; a finding in them is no reason where it has been let out."""
        misheard = self._gate.names_somebody(one.heard) if one.heard != one.read else ()
        return tuple(why for why in (*self._gate.reasons(one.read), *misheard) if not (let_out and why == FINDING))


def _behind(facts: Iterable[FactRecord], entry: EntryRecord) -> set[str]:
    """Return the utterances that facts were read from, all of the entry's where nobody knows."""
    return {one for fact in facts for one in fact.utterances or entry.utterances}
