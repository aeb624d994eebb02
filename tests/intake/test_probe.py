import pytest

from pipeline.errors import ItemFault
from pipeline.intake.probe import probe
from pipeline.values import Kind, Probe, TimeSource
from tests.small_media import bext_block, exif_of, film_file, photo, sound_file, wave_bytes


def test_a_photo_tells_its_size_device_place_and_times(tmp_path):
    exif = exif_of("2026:02:14 10:15:00", "+00:00", gps_date="2026:02:14", gps_time=(10, 15, 1), place=(51.5, -0.1))
    found = probe(photo(tmp_path / "a.jpg", exif))
    assert (found.kind, found.content_type, found.device) == (Kind.PHOTO, "image/jpeg", "Tarnbeck Two")
    assert (found.width_px, found.height_px, found.duration_s) == (160, 120, None)
    assert [clue.source for clue in found.clues] == [TimeSource.GPS, TimeSource.EXIF_OFFSET]
    assert found.gps_deg == (51.5, -0.1)


def test_a_wave_recording_tells_its_recorder_and_time_from_its_broadcast_chunk(tmp_path):
    path = tmp_path / "a.wav"
    path.write_bytes(wave_bytes(bext_block(), seconds=2.0))
    found = probe(path)
    assert (found.kind, found.device, found.duration_s) == (Kind.RECORDING, "Field recorder", 2.0)
    assert [clue.source for clue in found.clues] == [TimeSource.BWF]


def test_a_wave_file_that_claims_more_than_it_holds_says_so(tmp_path):
    path = tmp_path / "a.wav"
    whole = wave_bytes(seconds=2.0)
    path.write_bytes(whole)
    assert probe(path).remarks == ()
    path.write_bytes(whole[: len(whole) // 2])
    assert "cut short" in probe(path).remarks[0]


def test_a_caption_file_tells_its_length_and_its_note(tmp_path):
    path = tmp_path / "a.vtt"
    path.write_text("WEBVTT\n\nNOTE taken 2026-02-14T10:15:00+00:00\n\n00:01.000 --> 00:04.500\nhello\n")
    found = probe(path)
    assert (found.kind, found.duration_s) == (Kind.CAPTIONS, 4.5)
    assert [clue.source for clue in found.clues] == [TimeSource.NOTE]


def test_what_is_said_does_not_depend_on_the_name(tmp_path):
    path = film_file(tmp_path, "film.mp4")
    assert probe(path) == probe(path.rename(tmp_path / "2020-01-01 00.00.00.jpg"))


def test_a_probe_can_be_written_as_json_and_read_back(tmp_path):
    found = probe(sound_file(tmp_path, "note.m4a", tags={"creation_time": "2026-02-14T10:15:00.000000Z"}))
    assert Probe.model_validate_json(found.model_dump_json()) == found


def test_a_file_that_is_gone_is_a_fault_of_that_file(tmp_path):
    with pytest.raises(ItemFault, match="cannot be read"):
        probe(tmp_path / "gone.jpg")


def test_the_original_is_left_as_it_was(tmp_path):
    path = photo(tmp_path / "a.jpg", exif_of("2026:02:14 10:15:00"))
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    path.chmod(0o444)
    probe(path)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert [one.name for one in tmp_path.iterdir()] == ["a.jpg"]
