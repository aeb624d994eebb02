"""Runs, decisions and runs again, on a whole book: what is added up, what is asked, what is never undone."""

import pytest

from pipeline.assemble import decided_anew
from pipeline.bench import Bench
from pipeline.book import Book, new_book
from pipeline.digests import sha256_of_bytes
from pipeline.errors import ExitCode
from pipeline.history.acts import Change, amend, decide
from pipeline.history.chain import breaks, head_file, read
from pipeline.history.check import check_history
from pipeline.history.cutting import join, split
from pipeline.history.past import past_of
from pipeline.history.seen import Seen
from pipeline.records import Records
from pipeline.values import Kind
from tests.made_once import MadeOnce
from tests.small_media import make_captions, make_sound
from tests.test_runner import NOW, TEN, ToldWhatToHear, contents, go, note_and_photos

_PEOPLE = '\n[[people]]\nname = "Bea Linnet"\nmay_sign = ["checked the words"]\n'


@pytest.fixture(scope="module")
def _run_once(tmp_path_factory):
    home = tmp_path_factory.mktemp("run")
    book = new_book(home / "book", NOW.date(), aircraft="Crew Trainer")
    book.settings_file.write_text(book.settings_file.read_text() + _PEOPLE)
    go(book, note_and_photos(home / "media"))
    return MadeOnce.of(home)


@pytest.fixture
def book(_run_once, originals):
    """A book that lists a person, after a first run."""
    return Book(_run_once.again(originals) / "book")


@pytest.fixture
def media(book):
    return book.folder.parent / "media"


@pytest.fixture
def first(book):
    """The records of the first run."""
    return Records.model_validate_json((book.out / "records.json").read_bytes())


def a_bench(book):
    """The bench of a book."""
    settings = book.settings()
    return Bench(settings, book.vocabulary(settings))


def rudder(records):
    """The entry that tells that the rudder came off."""
    return next(one for one in records.entries if any(fact.act == "remove" for fact in one.facts))


def test_a_run_writes_what_it_took_in_and_read_and_the_next_adds_nothing(book, first):
    events = read(book.history_file).events
    took_in = [event.on for event in events if event.act == "took-in"]
    assert sorted(took_in) == sorted(one.id for one in first.media)
    assert {event.on for event in events if event.act == "read"} == {one.id for one in first.entries}
    assert all(event.at == NOW and event.who.startswith("saidseen ") for event in events)
    before = contents(book.folder)
    go(book)
    after = contents(book.folder)
    assert {name for name in before if before[name] != after[name]} <= {"book.db"}


def test_the_history_says_what_the_records_say(book, first):
    stands = past_of(read(book.history_file).events).stands()
    assert {name: one.version for name, one in stands.items()} == {one.id: one.version for one in first.entries}
    assert check_history(book.history_file, first, book.settings().people) == []


def test_the_facts_of_a_rejected_entry_are_in_no_list_and_the_entry_stays_on_its_page(book, first):
    assert [one.item for one in first.lists.parts_off] == ["rudder"]
    decide(book, Seen.of(rudder(first)), "reject", "Bea Linnet", NOW, "the wrong rudder")
    again = go(book).records
    (line,) = again.lists.parts_off  # what another entry tells of its tag and rack is left
    assert (line.state, line.removed_on, line.tag) == ("unknown", None, "P-0142")
    assert first.lists.parts_off[0].state == "off"
    assert rudder(again).review == "rejected"
    (told,) = rudder(again).decided
    assert (told.who, told.act, told.why, told.at) == ("Bea Linnet", "reject", "the wrong rudder", NOW)
    page = (book.out / "logbook" / "2026-02-14.html").read_text()
    assert f'class="entry rejected" id="{rudder(again).id}"' in page
    assert "Rejected as read wrong by Bea Linnet" in page and "the wrong rudder" in page
    assert check_history(book.history_file, again, book.settings().people) == []


def test_amended_facts_count_as_amended(book, first):
    facts = [{"status": "done", "act": "remove", "item": "elevator", "side": "starboard", "tag": "P-0007"}]
    amend(book, Seen.of(rudder(first)), Change(facts=facts), "Bea Linnet", NOW, "it was the elevator")
    again = go(book).records
    assert [(one.item, one.state, one.tag) for one in again.lists.parts_off] == [
        ("elevator", "off", "P-0007"),
        ("rudder", "unknown", "P-0142"),
    ]
    assert (rudder(again).review, rudder(again).decided[0].what) == ("amended", ("facts",))
    assert past_of(read(book.history_file).events).machine[rudder(first).id].entry.facts == rudder(first).facts


def test_amended_words_are_shown_beside_what_was_heard_and_are_found(book, first):
    said = rudder(first).utterances[0]
    amend(
        book, Seen.of(rudder(first)), Change(words={said: "The ruddy thing is off."}), "Bea Linnet", NOW, "so it was"
    )
    again = go(book).records
    (words,) = [one for one in again.utterances if one.id == said]
    assert (words.read, words.heard) == ("The ruddy thing is off.", "The port rudder's off, three bolts.")
    assert (words.corrections, words.unsure) == ((), ())
    page = (book.out / "logbook" / "2026-02-14.html").read_text()
    assert "The ruddy thing is off." in page and "heard whole" in page


def test_a_photo_that_a_person_took_out_is_told_as_not_placed(book, first):
    entry = next(one for one in first.entries if one.photos)
    amend(book, Seen.of(entry), Change(photos=[]), "Bea Linnet", NOW, "it shows the fin")
    again = go(book).records
    assert all(not one.photos for one in again.entries)
    why = {one.media: one.why for one in again.unplaced_photos}[entry.photos[0].media]
    assert why == "the program would place it with an entry that a person has decided on without it"
    photos = {one.id for one in again.media if one.kind is Kind.PHOTO}
    assert {one.media for one in again.unplaced_photos} == photos


def test_a_rerun_that_reads_otherwise_leaves_what_was_accepted_and_asks_the_person_again(
    book, first, media, monkeypatch
):
    make_sound(media / "20260214_151500.wav")
    entry = go(book).records.entries[-1]
    decide(book, Seen.of(entry), "accept", "Bea Linnet", NOW)
    monkeypatch.setattr(ToldWhatToHear, "words", "The port elevator's off, three bolts.")
    outcome = go(book, again=True)
    again = outcome.records.entries[-1]
    machine = past_of(read(book.history_file).events).machine[entry.id]
    assert {fact.item for fact in machine.entry.facts} == {"elevator"}
    assert (again.review, again.facts, again.version) == ("accepted", entry.facts, entry.version)
    assert {one.read for one in outcome.records.utterances if one.id in again.utterances} == {
        "The port rudder's off, three bolts."
    }
    assert "elevator" not in {one.item for one in outcome.records.lists.parts_off}
    assert again.now_read is not None and again.now_read.facts == machine.entry.facts
    for page in ("to-settle.html", "logbook/2026-02-14.html"):
        assert "The program now reads this otherwise: “Removed the port elevator" in (book.out / page).read_text()
    decide(book, Seen.of(again), "accept", "Bea Linnet", NOW)
    assert go(book).records.entries[-1].now_read is None
    assert "now reads this otherwise" not in (book.out / "to-settle.html").read_text()


def test_what_was_split_and_joined_stays_so_in_every_run_and_on_the_pages(book, first):
    entry = rudder(first)
    assert len(entry.utterances) > 1
    split(book, Seen.of(entry), entry.utterances[1], "Bea Linnet", NOW, "two jobs")
    again = go(book).records
    parts = [one for one in again.entries if one.media == entry.media and one.start_s <= entry.end_s]
    assert [one.utterances for one in parts[:2]] == [entry.utterances[:1], entry.utterances[1:]]
    assert sorted(said for one in again.entries for said in one.utterances) == sorted(
        said for one in first.entries for said in one.utterances
    )
    assert sum(len(one.facts) for one in again.entries) == sum(len(one.facts) for one in first.entries)
    assert all(one.now_read is None for one in parts)
    page = (book.out / "logbook" / "2026-02-14.html").read_text()
    assert f'id="{parts[0].id}"' in page and f'id="{parts[1].id}"' in page and "Split in two by Bea Linnet" in page
    assert decided_anew(first, past_of(read(book.history_file).events), a_bench(book)).entries == again.entries
    assert check_history(book.history_file, again, book.settings().people) == []
    join(book, Seen.of(parts[0]), Seen.of(parts[1]), "Bea Linnet", NOW, "one job after all")
    for file in book.folder.glob("book.db*"):
        file.unlink()
    last = go(book, book.folder.parent / "media").records
    assert rudder(last).utterances == entry.utterances and len(last.entries) == len(first.entries)
    assert check_history(book.history_file, last, book.settings().people) == []


def test_what_was_decided_outlives_the_database(book, first):
    decide(book, Seen.of(rudder(first)), "reject", "Bea Linnet", NOW, "the wrong rudder")
    for file in book.folder.glob("book.db*"):
        file.unlink()
    again = go(book, book.folder.parent / "media").records
    assert rudder(again).review == "rejected"


def test_a_recording_that_is_gone_with_the_database_is_told_not_forgotten(book, first, tmp_path):
    decide(book, Seen.of(rudder(first)), "accept", "Bea Linnet", NOW)
    for file in book.folder.glob("book.db*"):
        file.unlink()
    make_captions(
        tmp_path / "other" / "note.vtt", TEN, "WEBVTT\n\nNOTE taken {taken}\n\n00:00.000 --> 00:03.000\nHello.\n"
    )
    outcome = go(book, tmp_path / "other")
    assert [one.path for one in outcome.records.set_aside] == [rudder(first).id]
    assert "kept in the history" in outcome.records.set_aside[0].why


def test_a_killed_append_is_mended_by_the_next_run_and_loses_no_event(book, media):
    go(book, media)
    whole = book.history_file.read_bytes()
    events = read(book.history_file).events
    for cut in (1, 30, len(whole.splitlines(keepends=True)[-1]) + 10):
        book.history_file.write_bytes(whole[:-cut])
        head_file(book.history_file).unlink()
        kept = whole[:-cut].splitlines(keepends=True)
        done = [line for line in kept if line.endswith(b"\n")]
        head_file(book.history_file).write_text(f"{len(done)} {sha256_of_bytes(done[-1][:-1])}\n")
        go(book)
        now = read(book.history_file)
        assert list(breaks(book.history_file)) == []
        assert "mended" in {event.act for event in now.events}
        assert past_of(now.events).machine == past_of(events).machine
        assert past_of(now.events).took_in == past_of(events).took_in


def test_a_run_on_a_history_that_was_changed_says_so_writes_its_pages_and_adds_nothing(book, first, media):
    changed = book.history_file.read_bytes().replace(b"rudder", b"ruddle", 1)
    book.history_file.write_bytes(changed)
    make_captions(media / "more.vtt", TEN.replace(hour=15))
    outcome = go(book)
    assert outcome.exit_code is ExitCode.CHECK_FAILED
    assert "line " in outcome.history_changed and "copy of the book" in outcome.history_changed
    assert len(outcome.records.entries) > len(first.entries)
    assert book.history_file.read_bytes() == changed
