"""What the commands on a book's history do, given what was typed: decide, amend, cut, sign, history, trace."""

import json
import os
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.history import acts, chain, cutting
from pipeline.history.chain import Break
from pipeline.history.events import Event
from pipeline.history.past import about, first_made, past_of, until
from pipeline.history.seen import Seen, past_now, person_of
from pipeline.mistyped import to_type
from pipeline.plain_text import file_name, visible
from pipeline.read_again import ReadAgain, read_again
from pipeline.records import EntryRecord, MediaRecord, Records
from pipeline.teaching import changes_of, teach
from pipeline.trade.lessons import lesson_of
from pipeline.values import Kind
from pipeline.writing.history_words import entry_lines, event_lines
from pipeline.writing.trace import entry_called, id_called, trace_lines, trace_of, trace_page
from pipeline.writing.written_files import write_file

_RECORDINGS = frozenset({Kind.RECORDING, Kind.FILM, Kind.CAPTIONS})


@dataclass(frozen=True)
class AtWork:
    """A person at work on a book and its records: who, when, and the reason that they give."""

    book: Book
    records: Records
    who: str
    now: datetime
    why: str = ""

    def seen(self, entry: str) -> Seen:
        """Return an entry, by its id or how that begins, as the pages show it; raises WrongCommand."""
        return Seen.of(entry_called(self.records, entry))


def decided(by: AtWork, entry: str, *, accept: bool, reject: bool, back: int | None, version: str) -> tuple[int, ...]:
    """Decide on an entry or take back what was decided; return the numbers in the history. Raises WrongCommand.

    To reject, ``entry`` may also be the file of a recording: then each of its entries is rejected.
    """
    if accept + reject + (back is not None) != 1:
        raise WrongCommand("Say one of --accept, --reject and --withdraw N.")
    recording = media_called(by.book, by.records, entry, _RECORDINGS) if reject and not version else None
    if recording is not None:
        return _rejected(by, recording)
    seen = by.seen(entry)
    if back is not None:
        return (acts.withdraw(by.book, seen.entry, back, by.who, by.now, by.why).n,)
    seen = Seen(seen.entry, version or seen.version, seen.decision)
    return (acts.decide(by.book, seen, "accept" if accept else "reject", by.who, by.now, by.why).n,)


def _rejected(by: AtWork, recording: MediaRecord) -> tuple[int, ...]:
    of_it = [one for one in by.records.entries if one.media == recording.id and one.review != "rejected"]
    if not of_it:
        raise WrongCommand(f"{file_name(recording.path)} has no entry that counts: there is nothing to reject.")
    made = acts.decide_together(by.book, [Seen.of(one) for one in of_it], "reject", by.who, by.now, by.why)
    return tuple(one.n for one in made)


@dataclass(frozen=True)
class Amended:
    """An amendment: its number in the history, and what the person is to know about it."""

    number: int
    told: tuple[str, ...] = ()


def amended(
    by: AtWork,
    entry: str,
    *,
    facts_file: Path | None,
    words: Sequence[str],
    photos: Sequence[str] | None,
    as_read: bool,
    from_words: bool = False,
) -> Amended:
    """Amend an entry; ``words`` are "utterance=text", ``photos`` ids or names of files. Raises WrongCommand.

    ``from_words`` has its facts read in the words.
    """
    book, found = by.book, entry_called(by.records, entry)
    change = acts.Change(
        facts=None if facts_file is None else _facts(facts_file),
        words=dict(_word(one) for one in words) if words else None,
        photos=photos and tuple(_photo_called(book, by.records, one) for one in photos),
    )
    if as_read == (change != acts.Change() or from_words) or (from_words and facts_file is not None):
        raise WrongCommand(
            "Say what to put right: --facts, --words, --photo, --no-photos, --read-again; or --as-read alone. "
            "--read-again takes the place of --facts."
        )
    told: tuple[str, ...] = ()
    if as_read:
        change = acts.new_reading(book, found.id)
        told = tuple(_put_back(book, found.id, change))
    elif from_words:
        change, told = _read_again(book, found, change)
    elif change.words is not None and facts_file is None:
        told = tuple(_facts_stay(book, found, change.words))
    return Amended(acts.amend(book, Seen.of(found), change, by.who, by.now, by.why).n, told)


def _read_again(book: Book, entry: EntryRecord, change: acts.Change) -> tuple[acts.Change, tuple[str, ...]]:
    """Return the change with the facts that are read in its words, and what is other in them."""
    again = read_again(book, entry, change.words or {})
    told = _other_facts(again)
    return replace(change, facts=again.as_given()), told or ("From its words the same facts are read as before.",)


def _facts_stay(book: Book, entry: EntryRecord, words: Mapping[str, str]) -> Iterator[str]:
    """Yield that other words leave the facts as they are, and what would be read from these words."""
    yield "The facts stay as they were: other words alone change none."
    try:
        told = _other_facts(read_again(book, entry, words))
    except WrongCommand:
        return
    if not told:
        yield "From these words the same facts are read."
        return
    yield "From these words would be read:"
    yield from told
    yield f"To take that over: saidseen amend {to_type(book.folder)} {entry.id} --read-again --who NAME --why TEXT"


def _other_facts(again: ReadAgain) -> tuple[str, ...]:
    gone = (f"    no longer: {text}" for text in again.gone)
    return tuple(visible(one) for one in (*gone, *(f"    new: {text}" for text in again.new)))


def _put_back(book: Book, entry: str, change: acts.Change) -> Iterator[str]:
    """Yield which words that a person put right are put back with the program's whole reading."""
    standing = past_now(book).stands()[entry].read.words
    put_back = [said for said in standing if (change.words or {}).get(said.id, said.read) != said.read]
    for said in put_back:
        yield visible(f"This puts back words that a person had put right, in {said.id}:")
        yield visible(f"    “{(change.words or {})[said.id]}” for “{said.read}”")
    if put_back:
        yield "To have the facts read from the words as a person put them right: take this back, then --read-again"


def cut_anew(by: AtWork, entry: str, *, before: str, join: str) -> int:
    """Split an entry or join it with another, and return the number in the history; raises WrongCommand."""
    if bool(before) == bool(join):
        raise WrongCommand("Say one of --before UTTERANCE, to split the entry there, and --join ENTRY.")
    seen = by.seen(entry)
    if before:
        return cutting.split(by.book, seen, before, by.who, by.now, by.why).n
    return cutting.join(by.book, seen, by.seen(join), by.who, by.now, by.why).n


def signed(by: AtWork, entries: Sequence[str], reason: str, key: Path | None) -> tuple[int, ...]:
    """Sign entries as the pages show them, and return the numbers in the history; raises WrongCommand."""
    if not (entries and by.who and reason):
        raise WrongCommand('Say which entries, --who NAME and --for "what you sign for".')
    seen = [by.seen(one) for one in dict.fromkeys(entries)]
    return tuple(one.n for one in acts.sign(by.book, seen, by.who, reason, by.now, key))


def told(book: Book, entry: str, on: date | None, first: bool) -> tuple[list[str], tuple[Break, ...]]:
    """Return the history in words, or the entries as they stood, and where the history is broken.

    Args:
        book: the book.
        entry: an entry's id or how it begins, "" for all.
        on: a day, to see the entries as they stood at its end.
        first: whether to see the entries as they were first made.

    Raises:
        WrongCommand: the history holds no such entry, or several that begin like this.
    """
    settings = book.settings()
    terms, zone = book.vocabulary(settings), settings.zone
    known = chain.read(book.history_file)
    chosen = id_called(_entries(known.events), entry) if entry else ""
    events = until(known.events, on, zone) if on is not None else known.events
    if on is None and not first:
        return list(event_lines(about(events, chosen) if chosen else events, terms, zone, known.events)), known.breaks
    stood: dict[str, Any] = {**(first_made(events) if first else past_of(events).stands())}
    chosen_ones = [stood[one] for one in stood if chosen in ("", one)]
    return [line for one in chosen_ones for line in entry_lines(one, terms, zone)], known.breaks


def _entries(events: Sequence[Event]) -> Iterator[str]:
    """Yield the ids of all entries that a history tells of: as the program read them, and as people split them."""
    for one in events:
        if one.act == "read":
            yield one.on
        elif one.act == "split" and isinstance(one.after, dict):
            yield str(one.after.get("other", ""))


def taught(by: AtWork, words: tuple[str, str, str], *, yes: bool) -> Iterator[str]:
    """Yield what a lesson would change in a book and then, where ``yes``, teach it and yield its number.

    Args:
        by: who teaches it.
        words: what was heard, what is meant, and the part that this is a name of, "" for none.
        yes: whether it is to be taught.

    Raises:
        WrongCommand: the lesson cannot be, or the book does not list the person.
    """
    book = by.book
    person_of(book, by.who)
    lesson = lesson_of(book.vocabulary(book.settings()), *words)
    changes = changes_of(book, by.records, lesson)
    for place in changes.places:
        yield visible(f"{place.entry or 'in no entry'}  “{place.before}”  →  “{place.after}”")
        if place.decided:
            yield "    somebody has decided on it: it stays as it is, and is asked again"
    for one in changes.facts:
        yield from (visible(f"{one.entry}  no longer: {text}") for text in one.gone)
        yield from (visible(f"{one.entry}  new: {text}") for text in one.new)
    if not changes.places and not changes.facts:
        yield "Nothing in this book would change: it is for what is said from now on."
    if yes:
        yield f"Noted in the history as number {teach(book, lesson, by.who, by.now, by.why).n}."


def traced(book: Book, records: Records, entry: str, page: Path | None) -> Iterator[str]:
    """Yield an entry's whole chain as lines; with a page, write it there and yield where it lies."""
    settings = book.settings()
    events = chain.read(book.history_file).events
    found = trace_of(entry_called(records, entry), records, events, book.vocabulary(settings), settings.zone)
    if page is None:
        yield from trace_lines(found)
        return
    text = trace_page(found, records, book.folder.absolute(), page.absolute())
    write_file(page, text.encode("utf-8", "backslashreplace"))
    yield str(page)


def _word(given: str) -> tuple[str, str]:
    utterance, sign, text = given.partition("=")
    if not sign:
        raise WrongCommand(f"'{given}': write an utterance's id, = and what is to be read there.")
    return utterance, text


def _photo_called(book: Book, records: Records, name: str) -> str:
    """Return the id of a photo by its file, and anything else as it is given."""
    found = media_called(book, records, name, {Kind.PHOTO})
    return name if found is None else found.id


def media_called(book: Book, records: Records, name: str, kinds: Container[Kind]) -> MediaRecord | None:
    """Return the one piece of media that an id, a file's name or its path means, None for none.

    Raises:
        WrongCommand: it may be several; a file that was changed where it lies is two under one path.
    """
    parts = tuple(part for part in Path(name).parts if part != "..")

    def is_called_so(one: MediaRecord) -> bool:
        paths = (Path(os.path.normpath(book.folder.absolute() / path)) for path in (one.path, *one.other_paths))
        return one.id == name or (bool(parts) and any(path.parts[-len(parts) :] == parts for path in paths))

    found = [one for one in records.media if one.kind in kinds and is_called_so(one)]
    if len(found) > 1:
        paths = {one.path for one in found}
        several = paths if len(paths) == len(found) else {one.id for one in found}
        raise WrongCommand(f"'{name}' may be {' or '.join(sorted(several))}. Say which of them.")
    return found[0] if found else None


def _facts(file: Path) -> list[dict[str, Any]]:
    try:
        held = json.loads(file.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise WrongCommand(f"{file} cannot be read ({error.strerror}). Name a file that holds facts.") from error
    except UnicodeDecodeError as error:
        raise WrongCommand(f"{file} is no text in UTF-8. Save it so, as JSON: a list of facts.") from error
    except ValueError as error:
        raise WrongCommand(f"{file} is no JSON: {error}. Save it as JSON: a list of facts.") from error
    if not isinstance(held, list) or not all(isinstance(one, dict) for one in held):
        raise WrongCommand(f"{file}: it must hold a list of facts, as an entry of out/records.json does.")
    return held
