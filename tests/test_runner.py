"""The whole run, with the words given by caption files or by a recogniser that says what it is told to."""

import hashlib
import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from pipeline.bench import Bench
from pipeline.book import new_book
from pipeline.errors import BookInUse, ExitCode, ItemFault, RunFault, WrongCommand
from pipeline.hearing.captioned import from_captions
from pipeline.intake.captions import Cue
from pipeline.runner import Choices, run
from pipeline.values import Kind, ModelFolder
from tests.faults.broken_media import make_broken
from tests.small_media import make_captions, make_photo, make_sound

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
TEN = datetime(2026, 2, 14, 10, tzinfo=UTC)
ROOT = Path(__file__).parent.parent


class ToldWhatToHear(Bench):
    """A bench whose recogniser hears the same words in every recording, and counts how often it is asked."""

    heard = 0
    model = ModelFolder(path=Path("none"), name="none", sha256="0" * 64)
    words = "The port rudder's off, three bolts."

    def hear(self, samples):
        ToldWhatToHear.heard += 1
        cue = Cue(start_s=0.0, end_s=len(samples) / 16000, text=self.words)
        return from_captions([cue]).model_copy(update={"by": "recogniser"})


@pytest.fixture
def book(tmp_path):
    return new_book(tmp_path / "book", NOW.date(), aircraft="Crew Trainer")


@pytest.fixture
def media(tmp_path):
    return note_and_photos(tmp_path / "media")


def note_and_photos(folder):
    make_captions(folder / "note.vtt", TEN)
    make_photo(folder / "IMG_1.jpg", TEN + timedelta(seconds=6))
    make_photo(folder / "IMG_2.jpg", TEN + timedelta(hours=5), seed=2)
    return folder


def go(book, *paths, **choices):
    return run(book, paths, NOW, Choices(**choices), bench=ToldWhatToHear)


def test_folder_of_notes_and_photos_becomes_entries_lists_and_pages(book, media):
    outcome = go(book, media)
    assert outcome.exit_code is ExitCode.DONE
    records = outcome.records
    facts = [fact for entry in records.entries for fact in entry.facts]
    assert {(fact.status, fact.act or fact.finding, fact.item) for fact in facts} >= {
        ("done", "remove", "rudder"),
        ("done", "store", "rudder"),
        ("planned", "remove", "fin"),
    }
    (link,) = [photo for entry in records.entries for photo in entry.photos]
    assert link.p > 0.8
    assert [one.why for one in records.unplaced_photos] == ["nothing was said within 15 minutes of it"]
    (rudder,) = [part for part in records.lists.parts_off if part.item == "rudder"]
    assert (rudder.tag, rudder.stowage.rack) == ("P-0142", "3")
    assert [line.item for line in records.lists.to_do] == ["fin"]
    for place in ("records.json", "logbook/2026-02-14.html", "registers/parts-off.csv", "set-aside.csv"):
        assert (book.out / place).stat().st_size > 0


def test_photo_just_after_midnight_is_weighed_against_the_words_just_before(book, tmp_path):
    midnight = datetime(2026, 2, 15, tzinfo=UTC)
    make_captions(tmp_path / "media" / "note.vtt", midnight - timedelta(seconds=26))
    make_photo(tmp_path / "media" / "IMG_1.jpg", midnight + timedelta(seconds=2))
    make_photo(tmp_path / "media" / "IMG_2.jpg", midnight + timedelta(seconds=300), seed=2)
    records = go(book, tmp_path / "media").records
    assert sum(len(entry.photos) for entry in records.entries) == 1
    assert [one.why for one in records.unplaced_photos] == ["the nearest words were said 5 min before it was taken"]


def test_every_utterance_and_every_photo_is_accounted_for(book, media):
    records = go(book, media).records
    spoken = {one.id for one in records.utterances}
    placed = [utterance for entry in records.entries for utterance in entry.utterances]
    assert sorted([*placed, *(one.utterance for one in records.unplaced_speech)]) == sorted(spoken)
    photos = {one.id for one in records.media if one.kind is Kind.PHOTO}
    linked = [photo.media for entry in records.entries for photo in entry.photos]
    assert sorted([*linked, *(one.media for one in records.unplaced_photos)]) == sorted(photos)


def test_second_run_does_nothing_and_leaves_the_same_bytes(book, media):
    go(book, media)
    first = contents(book.out)
    again = go(book)
    assert set(again.made.values()) == {0}
    assert contents(book.out) == first


def test_one_more_photo_is_one_photos_work(book, media):
    make_sound(media / "20260214_101500.wav")
    go(book, media)
    make_photo(media / "IMG_3.jpg", TEN + timedelta(seconds=22), seed=3)
    outcome = go(book)
    assert outcome.made["look"] == 1
    assert outcome.made["hear"] == outcome.made["read"] == outcome.made["tell"] == 0
    assert sum(len(entry.photos) for entry in outcome.records.entries) == 2


def _teach(book, name):
    (book.vocabulary_folder / "parts.csv").write_text(
        f"notation,preferred,alternatives,kind\n{name.replace(' ', '-')},{name},,structure\n"
    )


def test_change_of_vocabulary_reads_again_and_hears_nothing_again(book, media):
    make_sound(media / "20260214_101500.wav")
    go(book, media)
    _teach(book, "hinge crack")
    outcome = go(book)
    assert outcome.made["hear"] == outcome.made["look"] == 0
    assert outcome.made["read"] == 2
    assert outcome.made["tell"] == 1


def test_new_part_that_nobody_spoke_of_leaves_the_facts_alone(book, media):
    make_sound(media / "20260214_101500.wav")
    go(book, media)
    _teach(book, "gizmo plate")
    assert go(book).made["tell"] == 0


def test_reading_learnt_anew_reads_the_facts_again(book, media, monkeypatch):
    make_sound(media / "20260214_101500.wav")
    go(book, media)
    make_photo(media / "IMG_3.jpg", TEN + timedelta(seconds=22), seed=3)
    monkeypatch.setattr(Bench, "learnt", "another fit")
    outcome = go(book)
    assert outcome.made["read"] == outcome.made["terms"] == 0
    assert outcome.made["tell"] == 2


def test_recording_is_heard_once_however_often_it_is_given_and_renamed(book, tmp_path):
    ToldWhatToHear.heard = 0
    sound = make_sound(tmp_path / "a" / "20260214_101500.wav")
    go(book, sound.parent)
    sound.rename(sound.with_name("20260214_101500 port rudder.wav"))
    (sound.parent / "copy.wav").write_bytes((sound.parent / "20260214_101500 port rudder.wav").read_bytes())
    records = go(book, sound.parent).records
    assert ToldWhatToHear.heard == 1
    (recording,) = [one for one in records.media if one.kind is Kind.RECORDING]
    assert recording.path.endswith("port rudder.wav")
    assert len(recording.other_paths) == 2


def test_caption_file_beside_a_recording_is_its_words_and_the_recogniser_is_not_asked(book, tmp_path):
    ToldWhatToHear.heard = 0
    sound = make_sound(tmp_path / "a" / "20260214_101500.wav", seconds=30)
    make_captions(sound.with_suffix(".vtt"), TEN)
    records = go(book, sound.parent).records
    assert ToldWhatToHear.heard == 0
    assert len({one.media for one in records.utterances}) == 1
    assert records.utterances[0].heard == "The port rudder's off, three bolts."


def test_file_that_changed_keeps_its_earlier_record_and_is_taken_in_anew(book, tmp_path):
    note = make_captions(tmp_path / "a" / "note.vtt", TEN)
    before = go(book, note.parent).records
    make_captions(note, TEN, "WEBVTT\n\nNOTE taken {taken}\n\n00:00.000 --> 00:03.000\nThe fin's off.\n")
    after = go(book, note.parent).records
    assert {entry.id for entry in before.entries} < {entry.id for entry in after.entries}
    (old,) = [one for one in after.media if one.id == before.media[0].id]
    assert any("has changed since" in flag for flag in old.flags)


def test_broken_files_are_set_aside_by_name_and_the_rest_is_done(book, media):
    (media / "broken.jpg").write_bytes((media / "IMG_1.jpg").read_bytes()[:900])
    (media / "empty.wav").write_bytes(b"")
    (media / "letter.docx").write_bytes(b"PK\x03\x04 not media")
    outcome = go(book, media)
    assert outcome.exit_code is ExitCode.SOME_SET_ASIDE
    assert [Path(one.path).name for one in outcome.records.set_aside] == ["broken.jpg", "empty.wav", "letter.docx"]
    assert all(one.why for one in outcome.records.set_aside)
    assert len(outcome.records.media) == 3
    assert [one.path for one in go(book).records.set_aside] == [one.path for one in outcome.records.set_aside]
    (media / "empty.wav").unlink()
    assert [Path(one.path).name for one in go(book).records.set_aside] == ["broken.jpg", "letter.docx"]


def test_every_file_of_a_folder_of_broken_media_is_in_the_records_or_set_aside(book, tmp_path):
    (tmp_path / "broken").mkdir()
    make_broken(tmp_path / "broken")
    outcome = go(book, tmp_path / "broken")
    known = {Path(path).name for one in outcome.records.media for path in (one.path, *one.other_paths)}
    aside = {Path(one.path).name for one in outcome.records.set_aside}
    assert known | aside == {path.name for path in (tmp_path / "broken").rglob("*") if path.is_file()}
    assert outcome.program_faults == 0


def test_broken_file_that_was_moved_with_its_folder_is_told_once_where_it_is_now(book, tmp_path):
    (tmp_path / "first").mkdir()
    (tmp_path / "first" / "empty.wav").write_bytes(b"")
    go(book, tmp_path / "first")
    (tmp_path / "first").rename(tmp_path / "second")
    assert [one.path for one in go(book, tmp_path / "second").records.set_aside] == ["../second/empty.wav"]


def test_fault_of_the_program_sets_one_item_aside_logs_it_and_ends_in_1(book, media):
    class Failing(ToldWhatToHear):
        def hear(self, samples):
            raise ZeroDivisionError("planted")

    make_sound(media / "20260214_101500.wav")
    outcome = run(book, [media], NOW, bench=Failing)
    assert outcome.exit_code is ExitCode.PROGRAM_FAULT
    assert [Path(one.path).name for one in outcome.records.set_aside] == ["20260214_101500.wav"]
    assert "planted" in book.log_file.read_text()
    assert outcome.records.entries
    assert go(book).exit_code is ExitCode.DONE


def test_fault_of_the_program_in_setting_the_clocks_ends_the_run_in_one_line(book, media, monkeypatch):
    def failing(*_):
        raise ZeroDivisionError("planted")

    with monkeypatch.context() as planted:
        planted.setattr("pipeline.stages.date_all", failing)
        with pytest.raises(RunFault, match=r"failed while setting the clocks \(ZeroDivisionError\)") as ended:
            go(book, media)
    assert ended.value.exit_code is ExitCode.PROGRAM_FAULT
    assert str(book.log_file) in str(ended.value)
    assert "planted" in book.log_file.read_text()
    assert go(book, media).exit_code is ExitCode.DONE


_NAMED = """WEBVTT

NOTE taken {taken}

00:00.000 --> 00:04.000
Priya: The port rudder is off.
"""


def test_name_before_the_words_says_who_speaks_as_soon_as_it_is_one_of_the_teams(book, tmp_path):
    note = make_captions(tmp_path / "a" / "note.vtt", TEN, _NAMED)
    (said,) = go(book, note).records.utterances
    assert (said.read, said.speaker) == ("Priya: The port rudder is off.", None)
    team = '\n[[people]]\nname = "Priya Lomax"\nconsent = true\n'
    book.settings_file.write_text(book.settings_file.read_text(encoding="utf-8") + team, encoding="utf-8")
    (said,) = go(book, note).records.utterances
    assert (said.read, said.speaker) == ("The port rudder is off.", "Priya")


def test_fault_that_may_pass_is_tried_again_and_one_that_stays_is_not(book, tmp_path):
    asked = []

    class Unwilling(ToldWhatToHear):
        passing = True

        def hear(self, samples):
            asked.append(1)
            raise ItemFault("It cannot be heard.", passing=self.passing)

    sound = make_sound(tmp_path / "a" / "20260214_101500.wav")
    for passing, times in ((True, 2), (False, 3)):
        Unwilling.passing = passing
        for _ in range(2):
            assert run(book, [sound], NOW, bench=Unwilling).records.set_aside[0].why == "It cannot be heard."
        assert len(asked) == times


def test_recording_whose_stick_was_away_is_heard_when_it_is_back(book, tmp_path):
    class Interrupted(ToldWhatToHear):
        def hear(self, samples):
            raise RunFault("planted: the run was stopped")

    sound = make_sound(tmp_path / "stick" / "20260214_101500.wav")
    with pytest.raises(RunFault, match="planted"):
        run(book, [sound.parent], NOW, bench=Interrupted)
    sound.parent.rename(tmp_path / "away")
    assert [Path(one.path).name for one in go(book).records.set_aside] == [sound.name]
    (tmp_path / "away").rename(sound.parent)
    records = go(book).records
    assert records.set_aside == ()
    assert records.utterances


def test_what_was_made_of_an_original_that_is_lost_stands_when_all_else_is_done_again(book, tmp_path):
    sound = make_sound(tmp_path / "a" / "20260214_101500.wav")
    photo = make_photo(tmp_path / "a" / "IMG_1.jpg", TEN + timedelta(seconds=6))
    before = go(book, sound.parent).records
    assert before.utterances and len(before.media) == 2
    sound.unlink()
    photo.unlink()
    after = go(book, again=True).records
    assert (after.media, after.utterances, after.entries) == (before.media, before.utterances, before.entries)


def test_media_may_lie_in_the_books_folder_and_what_the_book_writes_is_never_media(book):
    make_captions(book.folder / "photos" / "note.vtt", TEN)
    make_photo(book.folder / "photos" / "IMG_1.jpg", TEN + timedelta(seconds=6))
    other = new_book(book.folder.parent / "other", NOW.date())
    for _ in range(2):
        records = go(book, book.folder.parent).records
        assert len(records.media) == 2
        assert records.set_aside == ()
        assert len(go(other, book.folder.parent).records.media) == 2


def test_originals_are_untouched(book, media):
    before = {path: (path.stat().st_mtime_ns, path.read_bytes()) for path in media.rglob("*")}
    go(book, media)
    assert {path: (path.stat().st_mtime_ns, path.read_bytes()) for path in media.rglob("*")} == before


def test_book_that_another_run_has_is_refused(book, media):
    with book.locked(), pytest.raises(BookInUse, match="another run"):
        go(book, media)


def test_path_that_is_not_there_is_a_wrong_command_and_an_earlier_folder_that_is_gone_is_not(book, media, tmp_path):
    with pytest.raises(WrongCommand, match="nowhere"):
        go(book, tmp_path / "nowhere")
    go(book, media)
    media.rename(tmp_path / "elsewhere")
    assert len(go(book).records.media) == 3


def contents(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_records_are_one_json_file_with_the_schemas_name(book, media):
    go(book, media)
    assert json.loads((book.out / "records.json").read_text(encoding="utf-8"))["schema"] == "saidseen/records/1"


def test_part_numbers_that_are_said_stand_in_the_records_and_on_the_page(book, tmp_path):
    folder = tmp_path / "media"
    folder.mkdir()
    (folder / "note.vtt").write_text(
        "WEBVTT\n\nNOTE taken 2026-02-14T10:00:00+00:00\n\n00:00.000 --> 00:06.000\n"
        "The port rudder's off, and the bolts in the hinge were A N four dash twelve A.\n",
        encoding="utf-8",
    )
    records = go(book, folder).records
    (said,) = [one for utterance in records.utterances for one in utterance.part_numbers]
    assert said.number == "AN4-12A" and "1/4 in" in said.says and said.source
    assert "AN4-12A: hexagon-headed" in (book.out / "logbook" / "2026-02-14.html").read_text(encoding="utf-8")


def test_reading_shared_out_over_processes_gives_the_same_records(book, tmp_path, monkeypatch):
    for at in range(3):
        make_captions(tmp_path / "media" / f"note{at}.vtt", TEN + timedelta(hours=at))
    alone = go(book, tmp_path / "media").records
    monkeypatch.setattr("pipeline.working.WORTH_A_PROCESS", 1)
    shared = go(book, again=True).records
    assert shared == alone


def test_a_part_that_no_list_has_is_kept_for_a_person_to_add(book, tmp_path):
    make_captions(
        tmp_path / "media" / "note.vtt",
        TEN,
        "WEBVTT\n\nNOTE taken {taken}\n\n00:00.000 --> 00:04.000\nWe took the gizmo plate off.\n",
    )
    records = go(book, tmp_path / "media").records
    assert [one.name for one in records.unlisted] == ["gizmo plate"]
    assert "gizmo plate" in (book.out / "logbook" / "registers.html").read_text(encoding="utf-8")
