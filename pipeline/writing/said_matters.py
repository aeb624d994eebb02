"""What the words themselves ask to be settled: parts that no list has, and what takes back something said before."""

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise

from pipeline.english import day_text
from pipeline.lists.logged import sentence_of
from pipeline.reading.forms import word_set
from pipeline.records import EntryRecord, Records, UtteranceRecord

_SAID_BEFORE = r"(?:I|we) (?:said|told|put down|reported|called|gave)\b"
_EARLIER = (
    r"(?:last (?:time|week|weekend|month|year|saturday|sunday)|a (?:week|fortnight|month) ago|the other day|yesterday"
    r"|(?:two|three|four|a few|some) (?:days|weeks|weekends|months) ago|on (?:mon|tues|wednes|thurs|fri|satur|sun)day"
    r"|in (?:january|february|march|april|may|june|july|august|september|october|november|december)|earlier on)"
)
_TAKES_BACK = re.compile(
    rf"\bcorrection (?:to|of) what\b|\b{_SAID_BEFORE}[^.?!]{{0,40}}\b{_EARLIER}\b|\b{_EARLIER},? {_SAID_BEFORE}"
    rf"|\b(?:that|it|what I said) was wrong\b|\bI(?:['\u2019]d| had|['\u2019]ve| have)? (?:misread"
    r"|got (?:it|that) wrong)"
    rf"|\bI(?:['\u2019]d| had) read the wrong\b",
    re.IGNORECASE,
)
_MOST_LINES = 3
_LONG_WORD = 4
_PLAIN = word_set(
    "about again been correction counted from have last month named said saturday should sunday that them there they "
    "this time told week went were what when with wrong year"
)

Said = tuple[str, str, tuple[str, ...], str | None]
"""A matter of the words: its kind, its text, its entries, its part."""


def said_matters(records: Records) -> Iterator[Said]:
    """Yield what is to be settled because of how it was said: kind, text, entries, part."""
    for name, told, entries in unlisted(records):
        text = f"Work or a condition was told of “{name}”, which no list has, so no register has it. {told}"
        yield "unlisted", text.strip(), entries, None
    yield from _taken_back(records)


def unlisted(records: Records) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Yield each noun that work or a condition was told of and that no list has, what was said, and the entries.

    There is no entry where nothing else was read from those words.
    """
    said = {one.id: one for one in records.utterances}
    entry_of = {utterance: entry.id for entry in records.entries for utterance in entry.utterances}
    for one in records.unlisted:
        words = [said[id_] for id_ in one.utterances if id_ in said]
        told = " ".join(dict.fromkeys(_quoted(utterance, one.name) for utterance in words))
        yield one.name, told, tuple(dict.fromkeys(entry_of[id_] for id_ in one.utterances if id_ in entry_of))


def _quoted(utterance: UtteranceRecord, words: str) -> str:
    day = utterance.start_at
    at = re.search(re.escape(words), utterance.read, re.IGNORECASE)
    sentence = sentence_of(utterance.read, at.group()) if at else utterance.read
    return f"Said on {day_text(day.date())}: “{sentence}”"


def _taken_back(records: Records) -> Iterator[Said]:
    """Yield each entry whose words take back what was said on another day, with the latest entries that may be meant.

    They tell of a part that the sentence tells of, or hold two words of it that stand together: "the keel blocks".
    Nothing is changed by it: which line is meant, a person must say.
    """
    read = {one.id: one.read for one in records.utterances}
    for at, entry in enumerate(records.entries):
        found = _TAKES_BACK.search(_words(entry, read)) if entry.review == "unread" else None
        if found is None:
            continue
        sentence = sentence_of(_words(entry, read), found.group())
        own = {one for one in entry.utterances if (words := read.get(one, "")) in sentence or sentence in words}
        items = [fact.item for fact in entry.facts if fact.item and (not fact.utterances or own & {*fact.utterances})]
        before = [
            one.id
            for one in records.entries[:at]
            if one.at.date() != entry.at.date()
            and (
                any(fact.item in items for fact in one.facts)
                or not _pairs(sentence).isdisjoint(_pairs(_words(one, read)))
            )
        ]
        text = f"This takes back something that was said before: “{sentence}” Which line is it? Amend that one."
        yield "takes-back", text, (entry.id, *before[-_MOST_LINES:]), next(iter(items), None)


def _pairs(words: str) -> set[tuple[str, str]]:
    """Return each two words that stand together and may name a thing: long ones that are no plain talk."""
    plain = [
        word if len(word) >= _LONG_WORD and word not in _PLAIN else ""
        for word in re.findall(r"[a-z]+", words.lower())
    ]
    return {(one, other) for one, other in pairwise(plain) if one and other}


def _words(entry: EntryRecord, read: Mapping[str, str]) -> str:
    return " ".join(read.get(one, "") for one in entry.utterances)
