"""One saying of the speaker's own, letter for letter, where everybody whose voice it may be has agreed."""

import re
from collections.abc import Sequence

from pipeline.records import EntryRecord, Records, UtteranceRecord
from pipeline.settings import Settings
from pipeline.writing.supporters.moments import tells_of_a_finding
from pipeline.writing.supporters.privacy import Gate
from pipeline.writing.supporters.steps import Step
from pipeline.writing.supporters.story import Quote

_FEWEST_WORDS = 6
_MOST_WORDS = 24
_SAYS_A_STORE = re.compile(r"\b(?:rack|shelf|box|bag|pallet|stand|tag|tagged|label|labelled)\b", re.IGNORECASE)
_POINTS = re.compile(r"^(?:this|that|here|there|it|and|so|but|they|he|she|those|these)\b", re.IGNORECASE)


def quotation(
    records: Records,
    settings: Settings,
    entries: Sequence[EntryRecord],
    steps: Sequence[Step],
    big: Step | None,
    gate: Gate,
) -> Quote | None:
    """Return the saying that tells most of what the report tells, None where none may be quoted.

    One that a person let out goes before all others. The records do not say whose voice it is. So nobody else is
    quoted unless everybody of the team has agreed to be named, and only with a name where the team is one person.
    """
    let_out = _let_out(records, settings, entries, gate)
    if let_out is not None:
        return let_out
    if not settings.people or not all(person.consent for person in settings.people):
        return None
    told_in = {entry for step in steps for entry in step.entries}
    items = {step.item for step in steps}
    said = {one.id: one for one in records.utterances}
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
    people = settings.people
    by = f"{people[0].name}, {people[0].role}" if len(people) == 1 else "one of the team, at the aircraft"
    return Quote(best.read, by, best.id)


def _let_out(records: Records, settings: Settings, entries: Sequence[EntryRecord], gate: Gate) -> Quote | None:
    """Return the last saying of the period that somebody let out, as long as it is read so and gives nothing away."""
    there = {said for entry in entries for said in entry.utterances}
    read = {one.id: one.read for one in records.utterances if one.id in there}
    for one in reversed(settings.quoted):
        if read.get(one.utterance) != one.words:
            continue
        told = (f"“{one.words}”", one.words, one.by)
        reasons = dict.fromkeys(why for text in told if text for why in gate.reasons(text))
        if not reasons:
            return Quote(one.words, one.by or "one of the team, at the aircraft", one.utterance)
        for why in reasons:
            gate.keep_back(one.words, why, "a quotation that was let out")
    return None


def _may_stand(one: UtteranceRecord, entry: EntryRecord, gate: Gate) -> bool:
    """Tell whether words are sure, whole, no shorter or longer than a saying, and give nothing away."""
    number = len(one.read.split())
    whole = one.read[:1].isupper() and one.read.endswith((".", "!", "?"))
    if not whole or not _FEWEST_WORDS <= number <= _MOST_WORDS or one.unsure or one.corrections:
        return False
    seen = any(fact.status == "seen" and one.id in fact.utterances for fact in entry.facts)
    if seen or tells_of_a_finding(one.read) or _SAYS_A_STORE.search(one.read):
        return False
    return not gate.reasons(f"“{one.read}”") and not gate.reasons(one.read)
