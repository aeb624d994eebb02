"""Sayings, letter for letter: those that a person let out, else one where everybody whose voice it may be agreed."""

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from pipeline.records import EntryRecord, FactRecord, Records, UtteranceRecord
from pipeline.settings import Settings
from pipeline.writing.supporters.moments import tells_of_a_finding
from pipeline.writing.supporters.privacy import Gate, inner_keys
from pipeline.writing.supporters.steps import Step
from pipeline.writing.supporters.story import Quote
from pipeline.writing.supporters.withheld_text import WhyWithheld

_FEWEST_WORDS = 6
_MOST_WORDS = 24
_SAYS_A_STORE = re.compile(r"\b(?:rack|shelf|box|bag|pallet|stand|tag|tagged|label|labelled)\b", re.IGNORECASE)
STORED = "a storage place"
_POINTS = re.compile(r"^(?:this|that|here|there|it|and|so|but|they|he|she|those|these)\b", re.IGNORECASE)
BY = "one of the team, at the aircraft"
# "this is Alex", "Alex here": who speaks; common practice, no source
_SAYS_WHO = re.compile(
    r"\b(?:[Tt]his is|[Tt]his's|I'm|I am|[Mm]y name is|[Mm]y name's) (?!\w+day\b)([A-Z][\w'-]+)"
    r"|(?:^|[.!?,;:] )(?:(?:and|so|hello|hi|morning|okay|right),? )?([A-Z][\w'-]+)(?: [A-Z][\w'-]+)?"
    r" (?:here|speaking|again|talking)(?=[.,;:!?]| and\b| with\b| on\b|$)"
)


def quotations(
    records: Records,
    settings: Settings,
    days: tuple[date, date],
    entries: Sequence[EntryRecord],
    steps: Sequence[Step],
    big: Step | None,
    gate: Gate,
) -> tuple[Quote, ...]:
    """Return every saying of the period that a person let out; else the one that tells most, if there is any."""
    let_out = _let_out(records, settings, days, gate)
    if let_out:
        return let_out
    own = _of_all(records, settings, entries, steps, big, gate)
    return () if own is None else (own,)


def why_held(
    one: UtteranceRecord, facts: Iterable[FactRecord], told: Iterable[str], gate: WhyWithheld
) -> tuple[str, ...]:
    """Return why words would not be quoted though a person let them out; nothing where they would.

    Args:
        one: the words.
        facts: those of its entry; one of these words that has a store or a tag keeps them back, whatever they say.
        told: the texts that would be told: the words, in quotation marks too, and who said them.
        gate: tells why a text may not go out.
    """
    own = [fact for fact in facts if one.id in fact.utterances]
    kept = {f"a {key}": None for fact in own for key in inner_keys(fact)}
    stored = {STORED: None} if any(fact.act == "store" for fact in own) else {}
    return tuple({**kept, **stored, **dict.fromkeys(why for text in told for why in gate(text))})


def _of_all(
    records: Records,
    settings: Settings,
    entries: Sequence[EntryRecord],
    steps: Sequence[Step],
    big: Step | None,
    gate: Gate,
) -> Quote | None:
    """Return the saying that tells most of what the report tells, None where none may be quoted.

    The records do not say whose voice it is. So nobody is quoted unless everybody of the team has agreed to be named,
    never by name, and out of no recording in which somebody is heard who is not of the team.
    """
    if not settings.people or not all(person.consent for person in settings.people):
        return None
    told_in = {entry for step in steps for entry in step.entries}
    items = {step.item for step in steps}
    strangers = _with_strangers(records, settings)
    said = {one.id: one for one in records.utterances if one.media not in strangers}
    found = []
    for order, entry in enumerate(entries):
        if entry.id not in told_in:
            continue
        for at in entry.utterances:
            one = said.get(at)
            if one is None or not _may_stand(one, entry, gate):
                continue
            about = sum(
                fact.item in items and fact.status == "done" and at in fact.utterances for fact in entry.facts
            )
            of_news = any(
                big is not None and (fact.act, fact.item) == (big.act, big.item) and at in fact.utterances
                for fact in entry.facts
            )
            found.append(
                (not of_news, -about, bool(_POINTS.match(one.read)), abs(len(one.read.split()) - 14), order, one)
            )
    if not found:
        return None
    best = min(found, key=lambda each: (*each[:5], each[5].id))[5]
    return Quote(best.read, BY, best.id)


def _with_strangers(records: Records, settings: Settings) -> frozenset[str]:
    """Return the recordings in which somebody gives a name, or has one in the captions, that is not the team's."""
    named = (name for person in settings.people for name in (person.name, *person.also))
    team = {word.casefold() for name in named for word in re.findall(r"[\w'-]+", name)}

    def is_strange(one: UtteranceRecord) -> bool:
        given = (
            name for text in (one.read, one.heard) for found in _SAYS_WHO.findall(text) for name in found if name
        )
        speaker = re.findall(r"[\w'-]+", one.speaker or "")
        return any(word.casefold() not in team for word in (*given, *speaker))

    return frozenset(one.media for one in records.utterances if is_strange(one))


def sayings(records: Records, settings: Settings, days: tuple[date, date]) -> Iterator[UtteranceRecord]:
    """Yield what was said from the first to the last of some days, in an entry or not; of a rejected one nothing."""
    rejected = {said for entry in records.entries if entry.review == "rejected" for said in entry.utterances}
    for one in records.utterances:
        if one.id not in rejected and days[0] <= one.start_at.astimezone(settings.zone).date() <= days[1]:
            yield one


def _let_out(records: Records, settings: Settings, days: tuple[date, date], gate: Gate) -> tuple[Quote, ...]:
    """Return the sayings of the period that somebody let out, in order, if they are read so and give nothing away."""
    if not settings.quoted:
        return ()
    facts_of = {said: entry.facts for entry in records.entries for said in entry.utterances}
    said = {one.id: one for one in sayings(records, settings, days)}
    found = []
    for one in settings.quoted:
        words = said.get(one.utterance)
        if words is None or words.read != one.words:
            continue
        told = (f"“{one.words}”", one.words, *([one.by] if one.by else []))
        reasons = why_held(words, facts_of.get(words.id, ()), told, gate.reasons)
        for why in reasons:
            gate.keep_back(one.words, why, "a quotation that was let out")
        if not reasons:
            found.append((words.start_at, Quote(one.words, one.by or BY, words.id)))
    return tuple(quote for _, quote in sorted(found, key=lambda each: (each[0], each[1].utterance)))


def _may_stand(one: UtteranceRecord, entry: EntryRecord, gate: Gate) -> bool:
    """Tell whether words are sure, whole, no shorter or longer than a saying, and give nothing away."""
    number = len(one.read.split())
    whole = one.read[:1].isupper() and one.read.endswith((".", "!", "?"))
    if not whole or not _FEWEST_WORDS <= number <= _MOST_WORDS or one.unsure or one.corrections:
        return False
    own = [fact for fact in entry.facts if one.id in fact.utterances]
    kept = any(fact.status == "seen" or fact.act == "store" or inner_keys(fact) for fact in own)
    if kept or tells_of_a_finding(one.read) or _SAYS_A_STORE.search(one.read):
        return False
    return not gate.reasons(f"“{one.read}”") and not gate.reasons(one.read)
