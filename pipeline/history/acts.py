"""What a person does to an entry: accept, amend, reject, sign, withdraw. The command line and a page both call these.

A decision names what the person saw. Where the entry has changed since, nothing is done and the person is told.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Literal

from pydantic import ValidationError

from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.history.answers import last_answer
from pipeline.history.chain import append
from pipeline.history.decisions import Standing, amended, withdrawn
from pipeline.history.events import CUTS, DECISIONS, Act, Event, touched
from pipeline.history.past import Past
from pipeline.history.seen import (
    ChangedSince,
    Seen,
    acting,
    as_seen,
    before_of,
    need_reason,
    not_as_shown,
    past_now,
)
from pipeline.history.signing import key_of, public_half, signature_of, signed_text, who_may_sign
from pipeline.history.versions import version_of
from pipeline.reading.fact import MarkedFact
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import records_in
from pipeline.settings import Answer
from pipeline.trade.lessons import drop_lesson
from pipeline.values import Kind

_TAKEN_BACK = (*DECISIONS, "sign", "answer", "teach", "release", "keep-in")


@dataclass(frozen=True)
class Change:
    """What an amendment changes; None leaves it as it is.

    ``facts`` are all facts that the entry then has, in the keys of the marked notes, with ``said`` and ``utterances``
    where words tell them; ``words`` are other words by utterance; ``photos`` are all that it then has, by media id.
    """

    facts: Sequence[Mapping[str, Any]] | None = None
    words: Mapping[str, str] | None = None
    photos: Sequence[str] | None = None

    def as_json(self) -> dict[str, Any]:
        """Return the change as the history keeps it."""
        made: dict[str, Any] = {}
        if self.facts is not None:
            made["facts"] = [dict(one) for one in self.facts]
        if self.words is not None:
            made["words"] = [{"utterance": said, "read": read} for said, read in sorted(self.words.items())]
        if self.photos is not None:
            made["photos"] = list(dict.fromkeys(self.photos))
        return made


def decide(book: Book, seen: Seen, act: Literal["accept", "reject"], who: str, now: datetime, why: str = "") -> Event:
    """Accept or reject an entry as it was seen.

    Raises:
        WrongCommand: the book does not list the person, there is no such entry, it has changed since it was seen, or
            a rejection gives no reason.
        BookInUse: another run has the book.
        HistoryChanged: the history was changed by something else.
    """
    return decide_together(book, [seen], act, who, now, why)[0]


def decide_together(
    book: Book, seen: Sequence[Seen], act: Literal["accept", "reject"], who: str, now: datetime, why: str = ""
) -> tuple[Event, ...]:
    """Accept or reject several entries, or none of them where one has changed. Raises as ``decide``."""
    if act == "reject":
        need_reason(why, "A rejection")
    with acting(book, who) as past:
        standing = past.stands()
        made = [Act(who, act, one.entry, before_of(as_seen(past, one, who, standing)), None, why) for one in seen]
        return append(book.history_file, made, now)[-len(made) :]


def new_reading(book: Book, entry: str) -> Change:
    """Return the amendment that makes an entry what the program reads by now, for a person who agrees with that.

    Raises:
        WrongCommand: the program no longer makes the entry, or cuts its words otherwise; then taking back what was
            decided on it gives the program's reading.
    """
    stands = past_now(book).stands().get(entry)
    machine = None if stands is None else stands.machine
    if stands is None or machine is None or machine.entry.utterances != stands.base.entry.utterances:
        raise WrongCommand(f"{entry} is not there as it was: take back what was decided on it, with --withdraw N.")
    return Change(
        facts=[fact.model_dump(mode="json", exclude_defaults=True) for fact in machine.entry.facts],
        words={said.id: said.read for said in machine.words},
        photos=[link.media for link in machine.entry.photos],
    )


def amend(book: Book, seen: Seen, change: Change, who: str, now: datetime, why: str) -> Event:
    """Change an entry's facts, words or photos; what it said before stays in the history. Raises as ``decide``."""
    return amend_together(book, [(seen, change)], who, now, why)[0]


def amend_together(
    book: Book, changes: Sequence[tuple[Seen, Change]], who: str, now: datetime, why: str
) -> tuple[Event, ...]:
    """Amend several entries, or none of them where one has changed: a photo goes from one to another in one act."""
    need_reason(why, "An amendment")
    with acting(book, who) as past:
        made = [_amendment(book, past, seen, change, who, why) for seen, change in changes]
        return append(book.history_file, made, now)[-len(made) :]


def _amendment(book: Book, past: Past, seen: Seen, change: Change, who: str, why: str) -> Act:
    stands = as_seen(past, seen, who)
    after = change.as_json()
    _check_change(book, stands, change)
    try:
        same = version_of(amended(stands.read, after, who)) == stands.version
    except ValidationError as error:
        raise WrongCommand(_fault_of_fact(error)) from error
    if same:
        raise WrongCommand(f"That is what {seen.entry} says already: nothing is amended.")
    return Act(who, "amend", seen.entry, before_of(stands), after, why)


def answer(book: Book, answered: Answer, seen: int, now: datetime) -> Event:
    """Answer a caution with a reason; it stays in the logbook, with the answer beside it.

    Args:
        book: the book.
        answered: the rule, the part and the entry that the caution is about, the reason, and who gives it.
        seen: the number of the last answer to it that was shown, 0 for none.
        now: the present instant.

    Raises:
        WrongCommand: the book does not list the person, or there is no reason.
        ChangedSince: somebody has answered it, or taken an answer back, since it was seen.
        BookInUse, HistoryChanged: as ``decide``.
    """
    need_reason(answered.reason, "An answer")
    with acting(book, answered.who) as past:
        last = last_answer(past.acts, answered)
        if (0 if last is None else last.n) != seen:
            told = "an answer was taken back" if last is None else f"{last.who} answered it (number {last.n})"
            raise ChangedSince(f"That advice has changed since you saw it: {told}. Nothing was done.", told)
        after = answered.model_dump(exclude={"reason", "who"})
        return append(
            book.history_file, [Act(answered.who, "answer", answered.rule, None, after, answered.reason)], now
        )[-1]


def withdraw(book: Book, entry: str, number: int, who: str, now: datetime, why: str) -> Event:
    """Take back a decision or a signature, by its number in the history; only who made it may.

    What the program reads stands again where no other decision is left. Raises as ``decide``.
    """
    need_reason(why, "Taking something back")
    with acting(book, who) as past:
        act = next((one for one in past.acts if one.n == number and one.act in _TAKEN_BACK), None)
        if act is None or entry not in touched(act):
            raise WrongCommand(f"Number {number} is no decision, answer or signature on {entry}.")
        if act.who != who:
            raise WrongCommand(f"Number {number} is {act.who}'s: only {act.who} can take it back.")
        if any(one.act == "withdraw" and one.after["withdrawn"] == number for one in past.acts):
            raise WrongCommand(f"Number {number} was taken back already.")
        _refuse_under_later(past, act)
        if act.act == "teach":
            drop_lesson(book.vocabulary_folder, str(act.after["heard"]))
        after = {"withdrawn": number}
        return append(book.history_file, [Act(who, "withdraw", act.on, None, after, why)], now)[-1]


def _refuse_under_later(past: Past, act: Event) -> None:
    """Refuse to take back what a split or a join was made of, or one that somebody decided on or signed since."""
    building = {*DECISIONS, "sign"} if act.act in CUTS else CUTS if act.act in DECISIONS else frozenset()
    gone = withdrawn(past.acts)
    for one in reversed(past.acts):
        later = one.act in building and one.n > act.n and one.n not in gone
        if later and set(touched(one)) & set(touched(act)):
            raise WrongCommand(
                f"Number {one.n} of {one.who} builds on number {act.n}: that has to be taken back first."
            )


def sign(
    book: Book, seen: Sequence[Seen], who: str, reason: str, now: datetime, key_file: Path | None = None
) -> tuple[Event, ...]:
    """Sign entries as they were seen; all of them or, where one cannot be signed, none.

    Args:
        book: the book; its settings list who may sign for what, and with which key.
        seen: the entries, each with the version that the person saw.
        who: the person.
        reason: what is signed for, in the team's own words.
        now: the present instant.
        key_file: the person's key; None for a typed name.

    Raises:
        WrongCommand: the person may not, or not with this key; an entry has changed or is rejected.
        BookInUse, HistoryChanged: as ``decide``.
    """
    person = who_may_sign(book.settings().people, who, reason)
    key = key_of(person, key_file)
    at = now.astimezone(UTC).replace(microsecond=0)
    with book.locked():
        past = past_now(book)
        acts = []
        for one in seen:
            stands = as_seen(past, one, who)
            if stands.version != one.version:
                raise not_as_shown(past, one)
            if stands.review == "rejected":
                raise WrongCommand(f"{one.entry} is rejected as read wrong: it is not there to be signed.")
            after = {"entry": one.entry, "version": stands.version, "for": reason}
            if key is not None:
                text = signed_text(one.entry, stands.version, reason, who, at)
                after |= {"key": public_half(key), "signature": signature_of(key, text)}
            acts.append(Act(who, "sign", one.entry, None, after))
        return append(book.history_file, acts, at)[-len(acts) :]


def refuse_if_changed_since(book: Book, seen: Seen) -> None:
    """Raise ChangedSince where an entry has changed since it was seen; each act looks again under the lock."""
    as_seen(past_now(book), replace(seen, exactly=True), "")


def _check_change(book: Book, stands: Standing, change: Change) -> None:
    words = {one.id for one in stands.read.words}
    for said in change.words or ():
        if said not in words:
            has = ", ".join(sorted(words))
            raise WrongCommand(f"{stands.read.entry.id} has no utterance '{said}'. It has: {has}.")
    readings = [one.entry for one in (stands.read, stands.machine) if one is not None]
    unknown = set(change.photos or ()) - {link.media for one in readings for link in one.photos}
    for photo in sorted(unknown - _photos(book) if unknown else unknown):
        raise WrongCommand(f"The book has no photo '{photo}': give its file's name, or its id of out/records.json.")
    if change.facts:
        vocabulary = book.vocabulary(book.settings())
        there = {name for one in readings for fact in one.facts for name in (fact.item, fact.of)}
        for fact in change.facts:
            _check_names(fact, vocabulary, there)


def _photos(book: Book) -> set[str]:
    try:
        records = records_in(book.out)
    except FileNotFoundError:
        return set()
    return {one.id for one in records.media if one.kind == Kind.PHOTO}


def _check_names(fact: Mapping[str, Any], vocabulary: Vocabulary, there: set[str | None]) -> None:
    """Refuse a name that no list has: the lists would add it up as something else."""
    counted = {one.notation for one in vocabulary.counted}
    for key in ("item", "of"):
        name = fact.get(key)
        if name is not None and name not in there and vocabulary.part(str(name)) is None and name not in counted:
            raise WrongCommand(f"'{name}' is no part of the vocabulary: saidseen vocab add BOOK NAME adds one.")
    for key, known in (("act", vocabulary.acts), ("finding", vocabulary.findings)):
        name = fact.get(key)
        if name is not None and name not in {one.notation for one in known}:
            raise WrongCommand(f"'{name}' is no {key} of the vocabulary.")


def _fault_of_fact(error: ValidationError) -> str:
    first = error.errors()[0]
    where = ".".join(str(part) for part in first["loc"])
    keys = ", ".join(MarkedFact.model_fields)
    return f"A fact cannot be read, at '{where}': {first['msg']}. Its keys are: {keys}."
