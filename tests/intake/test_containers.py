import io
import struct

import numpy as np
import pytest
from PIL import Image

from pipeline.errors import ItemFault
from pipeline.intake.containers.film_stills import still
from pipeline.intake.containers.probing import probe_container, stream_kinds
from pipeline.intake.decoding import listening_copy, sound
from pipeline.intake.sound import SOUND_RATE_HZ, plays_in_browsers
from pipeline.values import TimeSource
from tests.small_media import FILMS, SOUNDS, film_file, media_file, sound_file, tone, wave_bytes

TAKEN = {"creation_time": "2026-02-14T10:15:00.000000Z"}


def _pitch_hz(samples: np.ndarray) -> float:
    middle = samples[len(samples) // 4 : 3 * len(samples) // 4]
    return float(np.argmax(np.abs(np.fft.rfft(middle))) * SOUND_RATE_HZ / len(middle))


@pytest.mark.parametrize("name", SOUNDS)
def test_every_kind_of_recording_becomes_mono_samples_of_the_same_sound(tmp_path, name):
    path, media_type = sound_file(tmp_path, name), SOUNDS[name][3]
    heard = sound(path, media_type)
    assert heard.samples.dtype == np.float32
    assert heard.samples.ndim == 1
    assert len(heard.samples) / SOUND_RATE_HZ == heard.duration_s == pytest.approx(2.0, abs=0.1)
    assert _pitch_hz(heard.samples) == pytest.approx(440, abs=3)
    assert 0.3 < np.abs(heard.samples).max() <= 1
    assert (heard.lost_s, heard.remarks) == (0, ())
    assert probe_container(path, media_type).duration_s == pytest.approx(2.0, abs=0.1)


@pytest.mark.parametrize("name", FILMS)
def test_every_kind_of_film_gives_its_sound_and_the_picture_of_a_moment(tmp_path, name):
    path, media_type = film_file(tmp_path, name, seconds=3.0), FILMS[name][4]
    assert stream_kinds(path, media_type) == {"film", "sound"}
    found = probe_container(path, media_type)
    assert (found.width_px, found.height_px) == (96, 64)
    assert found.duration_s == pytest.approx(3.0, abs=0.15)
    assert _pitch_hz(sound(path, media_type).samples) == pytest.approx(440, abs=3)
    for at_s in (0.0, 1.05, 2.55):  # the picture's brightness is 5 times its number, ten a second
        shown = np.asarray(Image.open(io.BytesIO(still(path, media_type, at_s))))
        assert shown.mean() == pytest.approx(int(at_s * 10) * 5, abs=6)


def test_a_still_beyond_the_end_is_the_last_picture_and_can_be_made_small(tmp_path):
    path = film_file(tmp_path, "film.mp4", seconds=2.0)
    last = Image.open(io.BytesIO(still(path, "video/mp4", 99.0, longest_px=48)))
    assert last.size == (48, 32)
    assert np.asarray(last).mean() == pytest.approx(95, abs=6)
    assert not last.getexif()


def test_a_film_without_sound_has_a_duration_and_no_samples(tmp_path):
    path = media_file(tmp_path / "a.mp4", "mp4", None, film="mpeg4")
    found = probe_container(path, "video/mp4")
    assert (found.has_sound, found.remarks) == (False, ("The film has no sound.",))
    assert found.duration_s == pytest.approx(2.0, abs=0.1)
    heard = sound(path, "video/mp4")
    assert len(heard.samples) == 0
    assert heard.duration_s == pytest.approx(2.0, abs=0.1)


def test_creation_time_is_utc_and_marks_the_start_unless_the_writer_is_known_to_stamp_on_closing(tmp_path):
    (clue,) = probe_container(sound_file(tmp_path, "note.m4a", tags=TAKEN), "audio/mp4").clues
    assert (clue.source, clue.wall[:19], clue.offset) == (TimeSource.CONTAINER, "2026-02-14T10:15:00", "+00:00")
    assert clue.marks_end is False
    closing = {**TAKEN, "com.android.version": "16"}
    path = media_file(
        tmp_path / "b.mp4", "mp4", "aac", 44_100, tags=closing, options={"movflags": "use_metadata_tags"}
    )
    (clue,) = probe_container(path, "audio/mp4").clues
    assert clue.marks_end is True


def test_a_creation_date_with_offset_comes_before_creation_time(tmp_path):
    tags = {
        **TAKEN,
        "com.apple.quicktime.creationdate": "2026-07-14T11:15:00+0100",
        "com.apple.quicktime.make": "Tarnbeck",
        "com.apple.quicktime.model": "Two",
        "com.apple.quicktime.location.ISO6709": "+51.5000-000.2500+010.000/",
    }
    path = film_file(tmp_path, "film.mov", tags=tags, options={"movflags": "use_metadata_tags"})
    found = probe_container(path, "video/quicktime")
    assert [(clue.wall[:19], clue.offset) for clue in found.clues] == [
        ("2026-07-14T11:15:00", "+01:00"),
        ("2026-02-14T10:15:00", "+00:00"),
    ]
    assert (found.device, found.gps_deg) == ("Tarnbeck Two", (51.5, -0.25))


def test_tags_of_the_stream_are_read_too(tmp_path):
    found = probe_container(sound_file(tmp_path, "note.opus", tags={"date": "2026-02-14T10:15"}), "audio/ogg")
    assert [(clue.wall, clue.offset, clue.error_s) for clue in found.clues] == [("2026-02-14T10:15:00", None, 60.0)]


def test_a_year_alone_is_no_date_and_no_fault(tmp_path):
    found = probe_container(sound_file(tmp_path, "note.mp3", tags={"date": "2026"}), "audio/mpeg")
    assert (found.clues, found.remarks) == ((), ())


def test_lost_sound_in_the_middle_is_silence_of_its_length_and_is_counted(tmp_path):
    rate_hz = 16_000
    marked = np.concatenate([tone(2, rate_hz, 440), tone(2, rate_hz, 880)], axis=1)
    path = media_file(tmp_path / "a.flac", "flac", "flac", rate_hz, samples=marked)
    whole = sound(path, "audio/flac")
    raw = bytearray(path.read_bytes())
    middle = len(raw) // 3
    raw[middle : middle + 3000] = bytes(3000)
    path.write_bytes(raw)
    broken = sound(path, "audio/flac")
    assert broken.lost_s > 0.1
    assert "could not be decoded" in broken.remarks[0]
    assert len(broken.samples) == pytest.approx(len(whole.samples), abs=rate_hz // 10)
    late = slice(int(3.0 * rate_hz), int(3.5 * rate_hz))
    # What was said after the gap is still where it was said.
    assert np.corrcoef(broken.samples[late], whole.samples[late])[0, 1] > 0.99


@pytest.mark.parametrize("name", ["note.mp3", "note.aac"])
def test_a_hole_in_a_format_without_time_stamps_is_counted_and_told(tmp_path, name):
    path, media_type = sound_file(tmp_path, name, seconds=6.0), SOUNDS[name][3]
    raw = bytearray(path.read_bytes())
    raw[len(raw) // 2 : 3 * len(raw) // 4] = bytes(3 * len(raw) // 4 - len(raw) // 2)
    path.write_bytes(raw)
    heard = sound(path, media_type)
    assert heard.lost_s == pytest.approx(1.5, abs=0.3)
    assert heard.duration_s + heard.early_s == pytest.approx(6.0, abs=0.4)
    assert len(heard.remarks) == (2 if heard.early_s else 1)


def test_sound_that_starts_later_than_the_picture_keeps_its_place(tmp_path):
    import av

    path, late = film_file(tmp_path, "film.mkv"), tmp_path / "late.mkv"
    with av.open(str(path)) as source, av.open(str(late), "w", format="matroska") as out:
        into = {stream.index: out.add_stream_from_template(stream) for stream in source.streams}
        for packet in source.demux():
            if packet.dts is None:
                continue
            if packet.stream.type == "audio":
                packet.pts += round(1 / packet.time_base)
                packet.dts += round(1 / packet.time_base)
            packet.stream = into[packet.stream.index]
            out.mux(packet)
    heard = sound(late, "video/x-matroska")
    assert heard.lost_s == 0
    assert np.abs(heard.samples[: int(0.9 * SOUND_RATE_HZ)]).max() < 0.01
    assert np.abs(heard.samples[int(1.1 * SOUND_RATE_HZ) : int(1.5 * SOUND_RATE_HZ)]).max() > 0.3


def test_a_recording_that_stops_before_its_end_says_so(tmp_path):
    path = media_file(tmp_path / "a.m4a", "ipod", "aac", 44_100, seconds=6, options={"movflags": "faststart"})
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    found = probe_container(path, "audio/mp4")
    assert "cut short" in found.remarks[0]
    assert 1.5 < found.duration_s < 4.5
    heard = sound(path, "audio/mp4")
    assert heard.duration_s == pytest.approx(found.duration_s, abs=0.2)
    assert heard.lost_s == pytest.approx(6 - heard.duration_s, abs=0.2)


def test_a_recording_that_was_never_finished_is_a_fault(tmp_path):
    path = sound_file(tmp_path, "note.m4a")
    whole = path.read_bytes()
    path.write_bytes(whole[: whole.index(b"moov") - 4])
    for look in (stream_kinds, probe_container, sound):
        with pytest.raises(ItemFault, match="never finished"):
            look(path, "audio/mp4")


@pytest.mark.parametrize(
    ("codec", "unknown", "left"),
    [(b"A_OPUS", b"A_ZZZZ", "picture"), (b"V_MPEG4/ISO/ASP", b"V_ZZZZZ/ISO/ASP", "sound")],
)
def test_a_film_of_which_one_half_is_in_an_unknown_form_gives_the_other_half(tmp_path, codec, unknown, left):
    path = film_file(tmp_path, "film.mkv")
    path.write_bytes(path.read_bytes().replace(codec, unknown))
    found = probe_container(path, "video/x-matroska")
    assert found.remarks == (f"Its {'sound' if left == 'picture' else 'picture'} could not be decoded.",)
    works, fails = (still_at_one, sound) if left == "picture" else (sound, still_at_one)
    works(path, "video/x-matroska")
    with pytest.raises(ItemFault, match="form that is not read here"):
        fails(path, "video/x-matroska")


def still_at_one(path, media_type):
    return still(path, media_type, 1.0)


@pytest.mark.parametrize("name", ["note.amr", "note.3gp", "film.mkv", "film.avi"])
def test_what_browsers_cannot_play_gets_a_copy_that_they_can(tmp_path, name):
    made = film_file if name in FILMS else sound_file
    path = made(tmp_path, name)
    media_type = (FILMS.get(name) or SOUNDS[name])[-1]
    assert not plays_in_browsers(media_type)
    to = tmp_path / "copy.m4a"
    listening_copy(path, media_type, to)
    assert plays_in_browsers("audio/mp4")
    heard = sound(to, "audio/mp4")
    assert heard.duration_s == pytest.approx(2.0, abs=0.15)
    assert _pitch_hz(heard.samples) == pytest.approx(440, abs=3)
    assert [one.name for one in tmp_path.iterdir()].count("copy.m4a") == 1
    assert not list(tmp_path.glob(".copy*"))


def test_a_copy_is_the_same_each_time_and_readable_by_those_who_read_the_folder(tmp_path):
    path = sound_file(tmp_path, "note.amr")
    copies = [tmp_path / "one.m4a", tmp_path / "two.m4a"]
    for to in copies:
        listening_copy(path, "audio/amr", to)
    assert copies[0].read_bytes() == copies[1].read_bytes()
    assert copies[0].stat().st_mode == path.stat().st_mode


def test_a_copy_of_what_has_no_sound_leaves_nothing_behind(tmp_path):
    path = media_file(tmp_path / "a.mp4", "mp4", None, film="mpeg4")
    with pytest.raises(ItemFault, match="no sound"):
        listening_copy(path, "video/mp4", tmp_path / "copy.m4a")
    assert [one.name for one in tmp_path.iterdir()] == ["a.mp4"]


def test_a_file_is_read_as_what_it_is_and_cannot_call_up_another_reader(tmp_path):
    secret = tmp_path / "secret.wav"
    sound_file(tmp_path, "note.wav").rename(secret)
    listing = tmp_path / "list.mp4"
    listing.write_text(f"ffconcat version 1.0\nfile '{secret}'\n")
    with pytest.raises(ItemFault):
        sound(listing, "video/mp4")


def test_a_film_that_was_held_on_its_side_is_shown_upright(tmp_path):
    path = film_file(tmp_path, "film.mp4", corner=True)
    raw = bytearray(path.read_bytes())
    at = raw.index(b"tkhd") + 44  # Source: ISO/IEC 14496-12, 8.3.2 (track header) and 6.2.2 (matrix)
    assert struct.unpack_from(">9i", raw, at) == (0x10000, 0, 0, 0, 0x10000, 0, 0, 0, 0x40000000)
    struct.pack_into(">9i", raw, at, 0, 0x10000, 0, -0x10000, 0, 0, 64 << 16, 0, 0x40000000)  # a quarter clockwise
    turned = tmp_path / "turned.mp4"
    turned.write_bytes(raw)
    plain, shown = (np.asarray(Image.open(io.BytesIO(still(one, "video/mp4", 0.5)))) for one in (path, turned))
    assert shown.shape == (96, 64, 3)
    assert plain[:16, :16].mean() > 200 > 60 > plain[:16, -16:].mean()  # the bright corner is at the top left
    assert shown[:16, -16:].mean() > 200 > 60 > shown[:16, :16].mean()  # and then at the top right
    found = probe_container(turned, "video/mp4")
    assert (found.width_px, found.height_px) == (64, 96)


@pytest.mark.parametrize("rate_hz", [1, 100, 3_999])
def test_recording_of_too_few_samples_a_second_is_no_speech(tmp_path, rate_hz):
    path = tmp_path / "note.wav"
    path.write_bytes(wave_bytes(seconds=2000 / rate_hz, rate_hz=rate_hz))
    with pytest.raises(ItemFault, match="cannot be speech"):
        probe_container(path, "audio/wav")
    with pytest.raises(ItemFault, match="cannot be speech"):
        sound(path, "audio/wav")


def test_recording_that_says_nothing_that_can_be_decoded_is_not_walked_through_to_its_end(tmp_path):
    path = tmp_path / "note.amr"
    path.write_bytes(b"#!AMR\n" + b"\x7c" * 1_000_000)
    with pytest.raises(ItemFault, match="damaged"):
        probe_container(path, "audio/amr")
