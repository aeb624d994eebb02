"""Made-up books: every file is of its own, and is read as what it is."""

from datetime import datetime, timedelta

from measuring.made_books import FIRST_DAY, NOW, Quickened, Scripted, Size, empty_book, lay_out, script
from pipeline.dating.pattern import LAG_S
from pipeline.hearing.utterances import cut
from pipeline.intake.decoding import look, sound
from pipeline.intake.walk import hash_file
from pipeline.matching.pointing import pointing_moments
from pipeline.runner import Choices, run
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
    began = datetime.strptime(f"{recording.stem}+0000", "%Y%m%d_%H%M%S%z")
    taken = datetime.fromisoformat(f"{found.clues[0].wall}+00:00")
    assert FIRST_DAY + timedelta(days=1) <= began < taken < began + timedelta(minutes=1)
    book = empty_book(tmp_path / "book")
    settings = book.settings()
    assert settings.time.book_starts <= FIRST_DAY.date() < NOW.date()
    heard = Scripted(settings, book.vocabulary(settings)).hear(sound(recording, "audio/wav").samples)
    assert [segment.text for segment in heard.segments] == list(script(1, 8))
    points_s = [at_s for one in cut(heard, "sha256:0") for at_s, _ in pointing_moments(one.heard, one.words)]
    assert min(abs((taken - began).total_seconds() - at_s - LAG_S) for at_s in points_s) <= 3


def test_photos_and_recordings_are_by_as_many_cameras_and_recorders_as_asked(tmp_path):
    media = lay_out(tmp_path / "media", Size(days=1, photos=5, recordings=4, cameras=3, recorders=2))
    found = [look(path) for path in media.rglob("*") if path.is_file()]
    made = {kind: {one.device for one in found if one.kind is kind} for kind in (Kind.PHOTO, Kind.RECORDING)}
    assert made[Kind.PHOTO] == {"Tarnbeck Two", "Tarnbeck 001", "Tarnbeck 002"}
    assert made[Kind.RECORDING] == {"Talkwren 0", "Talkwren 1"}
    assert all(one.clues and not one.remarks for one in found)


def test_clock_of_a_made_up_camera_is_one_stretch_and_right(tmp_path):
    media = lay_out(tmp_path / "media", Size(days=12, photos=8))
    ran = run(empty_book(tmp_path / "book"), [media], NOW, Choices(jobs=1), bench=Quickened)
    (clock,) = ran.records.clocks
    assert clock.sure
    assert abs(clock.offset_s) < 1
