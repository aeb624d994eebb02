"""Made-up books: every file is of its own, and is read as what it is."""

from datetime import timedelta

from measuring.made_books import FIRST_DAY, NOW, Scripted, Size, empty_book, lay_out, script
from pipeline.intake.decoding import look, sound
from pipeline.intake.walk import hash_file
from pipeline.values import Kind


def test_days_have_as_many_photos_and_recordings_as_asked_and_no_two_files_are_alike(tmp_path):
    media = lay_out(tmp_path / "media", Size(days=3, photos=5, recordings=2))
    files = sorted(path for path in media.rglob("*") if path.is_file())
    assert len(files) == 3 * 7
    assert len({hash_file(path) for path in files}) == len(files)


def test_photo_says_when_it_was_taken_and_recording_tells_which_script_is_spoken(tmp_path):
    media = lay_out(tmp_path / "media", Size(days=2, photos=1, recordings=1))
    (photo,), (recording,) = sorted(media.rglob("*.jpg"))[1:], sorted(media.rglob("*.wav"))[1:]
    found = look(photo)
    assert found.kind is Kind.PHOTO
    assert found.clues[0].wall == (FIRST_DAY + timedelta(days=1, seconds=1)).strftime("%Y-%m-%dT%H:%M:%S")
    book = empty_book(tmp_path / "book")
    settings = book.settings()
    assert settings.time.book_starts <= FIRST_DAY.date() < NOW.date()
    heard = Scripted(settings, book.vocabulary(settings)).hear(sound(recording, "audio/wav").samples)
    assert [segment.text for segment in heard.segments] == list(script(1, 8))
