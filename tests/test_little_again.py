"""What is new costs the work of what is new: of each stage only the tasks that depend on it are done again."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest

from pipeline import adding_up
from pipeline.book import Book, new_book
from pipeline.dating import followed
from pipeline.runner import Choices, run
from pipeline.stages import STAGES
from pipeline.store import Store
from pipeline.working import Work
from tests.made_once import MadeOnce
from tests.small_media import make_captions, make_photo, make_sound
from tests.test_runner import ToldWhatToHear, contents

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
TEN = datetime(2026, 2, 14, 10, tzinfo=UTC)
DAYS = 3
NOTHING = {stage.name: 0 for stage in STAGES}
_CORRODED = """WEBVTT

NOTE taken {taken}

00:00.000 --> 00:04.000
Here you can see light corrosion on the port rudder.
"""
BEFORE_DIGESTS = """
CREATE TABLE older (
    stage TEXT NOT NULL, item TEXT NOT NULL, key TEXT NOT NULL, value TEXT, fault TEXT,
    PRIMARY KEY (stage, item)) WITHOUT ROWID;
INSERT INTO older SELECT stage, item, key, value, fault FROM made;
DROP TABLE made;
ALTER TABLE older RENAME TO made;
PRAGMA user_version=1;
"""


@pytest.fixture(scope="module")
def _run_once(tmp_path_factory):
    home = tmp_path_factory.mktemp("three-days")
    for day in range(DAYS):
        at = TEN + timedelta(days=day)
        make_captions(home / "media" / f"note{day}.vtt", at)
        make_sound(home / "media" / f"{at:%Y%m%d}_143000.wav", seconds=3 + day)
        make_photo(home / "media" / f"IMG_{day}1.jpg", at + timedelta(seconds=6), seed=2 * day)
        make_photo(home / "media" / f"IMG_{day}2.jpg", at + timedelta(hours=3), seed=2 * day + 1)
    go(new_book(home / "book", NOW.date(), aircraft="Crew Trainer"))
    return MadeOnce.of(home)


@pytest.fixture
def book(_run_once, originals):
    """A book of three days, each with a note, a recording and two photos, run once."""
    return Book(_run_once.again(originals) / "book")


def go(book, **choices):
    media = book.folder.parent / "media"
    return run(book, [media], NOW, Choices(**choices), bench=ToldWhatToHear)


def one_more_photo(book, at):
    make_photo(book.folder.parent / "media" / "IMG_more.jpg", at, seed=99)


def test_one_photo_more_is_looked_at_and_its_day_placed_and_nothing_else(book):
    one_more_photo(book, TEN + timedelta(days=10))
    assert go(book).made == NOTHING | {"look": 1, "codes": 1, "date": 1, "match": 1}


@pytest.mark.parametrize(("after", "entered"), [(timedelta(seconds=7), 1), (timedelta(hours=8), 0)])
def test_photo_more_of_a_day_with_words_puts_down_only_the_entries_anew_that_it_tells_of(book, after, entered):
    one_more_photo(book, TEN + timedelta(days=1) + after)
    assert go(book).made == NOTHING | {"look": 1, "codes": 1, "date": 1, "match": 1, "enter": entered}


def test_for_one_photo_more_nothing_that_was_heard_read_or_told_is_read_back(book, monkeypatch):
    asked = set()
    for name in ("latest", "values"):
        really = getattr(Store, name)
        monkeypatch.setattr(
            Store, name, lambda self, stage, *item, really=really: asked.add(stage) or really(self, stage, *item)
        )
    one_more_photo(book, TEN + timedelta(days=10))
    go(book)
    assert asked & {"hear", "read", "tell", "terms"} == set()
    assert asked >= {"look", "date", "say", "enter"}


def _looked_at(monkeypatch):
    """Note of which stages the tasks are looked at one by one."""
    stages = []
    really = Work._sorted_out
    monkeypatch.setattr(
        Work, "_sorted_out", lambda self, stage, known: stages.append(stage.name) or really(self, stage, known)
    )
    return stages


AS_A_WHOLE = {stage.name for stage in STAGES if stage.made_from is not None}


def test_for_one_photo_more_no_task_is_looked_at_of_a_stage_that_photos_tell_nothing(book, monkeypatch):
    one_more_photo(book, TEN + timedelta(days=10))
    stages = _looked_at(monkeypatch)
    go(book)
    assert {"hear", "read", "terms", "tell", "time", "say"} == AS_A_WHOLE and not AS_A_WHOLE & set(stages)


@pytest.mark.parametrize("stage", ["read", "say"])
def test_stage_does_not_stand_as_a_whole_where_one_of_its_results_is_another_by_now(book, stage):
    with Store(book.store_file) as store:
        item = next(iter(store.kept(stage)))
        store.keep(stage, item, "of a run that was killed", store.value(stage, item) + " ")
    one_more_photo(book, TEN + timedelta(days=10))
    assert go(book).made[stage] == 1
    made = contents(book.out)
    go(book, again=True)
    assert contents(book.out) == made


def test_item_that_was_set_aside_is_told_again_by_every_run(book):
    (book.folder.parent / "media" / "20260301_143000.wav").write_bytes(b"RIFF, and nothing that can be heard")
    aside = go(book).set_aside
    one_more_photo(book, TEN + timedelta(days=10))
    assert len(aside) == 1 and go(book).set_aside == aside


def test_one_recording_more_is_one_recordings_work(book):
    at = TEN + timedelta(days=2, hours=6)
    make_captions(book.folder.parent / "media" / "more.vtt", at)
    own = ("look", "hear", "read", "terms", "tell", "time", "date", "match", "say", "enter")
    assert go(book).made == NOTHING | dict.fromkeys(own, 1)


def test_photo_that_was_renamed_is_not_looked_at_again(book):
    (book.folder.parent / "media" / "IMG_01.jpg").rename(book.folder.parent / "media" / "rudder.jpg")
    assert go(book).made == NOTHING | {"date": 1}


def test_book_from_before_digests_were_kept_is_gone_on_with_and_nothing_is_heard_again(book):
    before = contents(book.out)
    with closing(sqlite3.connect(book.store_file)) as db:
        db.executescript(BEFORE_DIGESTS)
    assert go(book).made == NOTHING
    assert contents(book.out) == before


def test_book_of_the_program_before_is_read_again_and_gives_the_same(book):
    before = contents(book.out)
    with closing(sqlite3.connect(book.store_file)) as db:
        db.executescript(BEFORE_DIGESTS)
        db.execute("DELETE FROM made WHERE stage IN ('terms', 'time', 'say', 'enter', 'as a whole')")
        db.execute("UPDATE made SET key = 'of another program' WHERE stage IN ('read', 'tell', 'date', 'match')")
        db.commit()
    (book.folder.parent / "media" / "IMG_01.jpg").unlink()
    made = go(book).made
    assert made["look"] == made["hear"] == made["codes"] == 0
    assert made["read"] == made["tell"] == made["say"] == made["enter"] == 2 * DAYS
    assert contents(book.out / "registers") == {
        path.removeprefix("registers/"): held for path, held in before.items() if path.startswith("registers/")
    }


def _adding(monkeypatch):
    """Count how often the lists are added up."""
    counted = []
    really = adding_up.parts_off
    monkeypatch.setattr(adding_up, "parts_off", lambda *given: counted.append(1) or really(*given))
    return counted


def test_photo_more_adds_no_list_up_again_and_stands_with_what_was_found(book, monkeypatch):
    at = TEN + timedelta(days=5)
    make_captions(book.folder.parent / "media" / "corroded.vtt", at, _CORRODED)
    go(book)
    counted = _adding(monkeypatch)
    one_more_photo(book, at + timedelta(seconds=3))
    records = go(book).records
    assert counted == []
    (found,) = (one for one in records.lists.findings if one.finding == "corrosion")
    (entry,) = (one for one in records.entries if one.id == found.entry)
    assert len(found.photos) == 1 and found.photos == tuple(photo.media for photo in entry.photos)
    assert go(book, again=True).records.lists == records.lists and counted == [1]


def _followed(monkeypatch):
    """Note how many events there are of each clock that is followed."""
    noted = []
    really = followed.follow_each_life
    monkeypatch.setattr(
        followed, "follow_each_life", lambda events, *more: noted.append(len(events)) or really(events, *more)
    )
    return noted


def test_photo_more_has_only_the_clock_of_its_camera_followed_again_and_a_recording_that_of_each(book, monkeypatch):
    media = book.folder.parent / "media"
    for number in range(3):
        make_photo(media / f"B{number}.jpg", TEN + timedelta(days=1, seconds=6 + number), 50 + number, camera="One")
    go(book)
    noted = _followed(monkeypatch)
    make_photo(media / "B9.jpg", TEN + timedelta(days=1, seconds=20), 60, camera="One")
    records = go(book).records
    assert noted == [4]
    anew = go(book, again=True).records
    assert (anew.media, anew.clocks) == (records.media, records.clocks) and noted[1:] == [4, 2 * DAYS]
    _recording_more(book)
    go(book)
    assert noted[3:] == [4, 2 * DAYS]


def test_photo_of_a_quiet_day_has_no_recorder_settled_again_and_a_recording_more_has(book, monkeypatch):
    counted = []
    really = followed.settle
    monkeypatch.setattr(followed, "settle", lambda *given: counted.append(1) or really(*given))
    one_more_photo(book, TEN + timedelta(days=10))
    go(book)
    assert counted == []
    _recording_more(book)
    go(book)
    assert counted == [1]


def _recording_more(book):
    make_captions(book.folder.parent / "media" / "more.vtt", TEN + timedelta(days=2, hours=6))


def _part_taught(book):
    (book.vocabulary_folder / "parts.csv").write_text("notation,preferred,kind\ngizmo-plate,gizmo plate,structure\n")


@pytest.mark.parametrize("change", [_recording_more, _part_taught])
def test_whatever_the_lists_depend_on_adds_them_up_again(book, monkeypatch, change):
    change(book)
    counted = _adding(monkeypatch)
    lists = go(book).records.lists
    assert counted == [1]
    assert go(book, again=True).records.lists == lists
