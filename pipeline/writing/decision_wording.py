"""What people decided and signed, in words: who, when, what, why; and what a signature is worth."""

from collections.abc import Mapping, Sequence
from datetime import datetime, tzinfo
from typing import NamedTuple

from pipeline.english import day_text, listed, plural, sentence
from pipeline.records import DecisionRecord, EntryRecord, FactRecord, SignatureRecord, UtteranceRecord
from pipeline.writing.terms import Terms
from pipeline.writing.wording import fact_text

_ACTS = {
    "accept": "Accepted",
    "reject": "Rejected as read wrong",
    "amend": "Amended",
    "split": "Split in two",
    "join": "Joined of two",
}
_WHAT = {"facts": "what was done and seen", "words": "the words", "photos": "the photos"}
_PROOF = {
    "typed": "a typed name",
    "key": "signed with the key that the book lists",
    "not-valid": "the signature does not fit: do not rely on it",
    "key-not-listed": "signed with a key that the book does not list: do not rely on it",
}
_CHANGED = {
    "amendment": "Signed before the amendment: what stands here now is not what was signed.",
    "reading": "Signed before the program read this anew: what stands here now is not what was signed.",
    "": "",
}
NO_RELEASE = "A name here stands for what is named beside it, and for no more: it certifies and releases nothing."


class ActInWords(NamedTuple):
    """One act of a person in words; ``doubt`` is what takes from it, "" for nothing."""

    text: str
    doubt: str = ""


def acts_on(entry: EntryRecord, zone: tzinfo) -> tuple[ActInWords, ...]:
    """Return what people decided on an entry and signed, in the order of the history."""
    told = [(one.number, ActInWords(decision_text(one, zone))) for one in entry.decided]
    told += [(one.number, signature_told(one, zone)) for one in entry.signed]
    return tuple(one for _, one in sorted(told))


def decision_text(one: DecisionRecord, zone: tzinfo) -> str:
    """Return "Amended (the words) by Bea Linnet, 26 November 2026 at 10:15 (number 12): the tag was misread."."""
    what = f" ({listed([_WHAT[name] for name in one.what])})" if one.what else ""
    why = f": {one.why}" if one.why else ""
    return sentence(f"{_ACTS[one.act]}{what} by {one.who}, {when(one.at, zone)} (number {one.number}){why}")


def signature_told(one: SignatureRecord, zone: tzinfo) -> ActInWords:
    """Return who put their name to an entry, for what, when and how; and why that may count no more."""
    text = f"{one.who}, for “{one.reason}”, {when(one.at, zone)} (number {one.number}; {_PROOF[one.proof]})."
    return ActInWords(f"Name put to it: {text}", _CHANGED[one.changed_by])


def when(at: datetime, zone: tzinfo) -> str:
    """Return "26 November 2026 at 10:15"."""
    local = at.astimezone(zone)
    return f"{day_text(local.date())} at {local:%H:%M}"


def read_otherwise(entry: EntryRecord, said: Mapping[str, UtteranceRecord], terms: Terms) -> str:
    """Return what the program reads by now where a person has decided on another reading; "" where it does not."""
    now = entry.now_read
    if now is None:
        return ""
    if now.gone:
        return "The program no longer makes an entry of this. What was decided on it stands."
    words = {one: said[one].read for one in entry.utterances if one in said}
    photos = [link.media for link in entry.photos]
    told = differences(entry.facts, now.facts, words, dict(now.words), photos, now.photos, terms)
    return f"The program now reads this otherwise: {told or 'what it read when that was decided has changed'}."


def differences(
    facts: Sequence[FactRecord],
    facts_now: Sequence[FactRecord],
    words: Mapping[str, str],
    words_now: Mapping[str, str],
    photos: Sequence[str],
    photos_now: Sequence[str],
    terms: Terms,
) -> str:
    """Return how two readings of an entry differ, in words; "" where they tell the same."""
    before = [fact_text(one, terms) for one in facts]
    after = [fact_text(one, terms) for one in facts_now]
    told = [f"“{one}” is new" for one in dict.fromkeys(after) if one not in before]
    told += [f"“{one}” is left out" for one in dict.fromkeys(before) if one not in after]
    for one, read in words_now.items():
        if one in words and words[one] != read:
            told.append(f"the words “{read}” for “{words[one]}”")
    for number, which in (
        (len(set(photos_now) - set(photos)), "more"),
        (len(set(photos) - set(photos_now)), "fewer"),
    ):
        told += [f"{number} {plural('photo', number)} {which}"] if number else []
    return "; ".join(told)
