import pytest

from pipeline.intake import exif
from pipeline.intake.exif import offset_text, read_exif, wall_time
from pipeline.values import TimeClue, TimeSource
from tests.small_media import DIGITIZED, EXIF_IFD, exif_of, photo

WHEN = "2026:02:14 10:15:00"


@pytest.mark.parametrize("ending", ["jpg", "heic", "png", "webp", "tif"])
def test_time_offset_and_fraction_are_read_from_every_kind_of_picture(tmp_path, ending):
    found = read_exif(photo(tmp_path / f"a.{ending}", exif_of(WHEN, "+01:00", "25")))
    assert found.device == "Tarnbeck Two"
    assert found.clues == (
        TimeClue(source=TimeSource.EXIF_OFFSET, wall="2026-02-14T10:15:00.25", offset="+01:00", error_s=0.1),
    )
    assert found.remarks == ()


def test_a_time_without_offset_stays_a_wall_clock_reading(tmp_path):
    (clue,) = read_exif(photo(tmp_path / "a.jpg", exif_of(WHEN))).clues
    assert (clue.source, clue.wall, clue.offset) == (TimeSource.EXIF, "2026-02-14T10:15:00", None)


def test_gps_time_comes_first_and_is_utc(tmp_path):
    exif = exif_of(WHEN, gps_date="2026:02:14", gps_time=(10, 14, 58.5), place=(-51.5, -0.25))
    found = read_exif(photo(tmp_path / "a.jpg", exif))
    assert [clue.source for clue in found.clues] == [TimeSource.GPS, TimeSource.EXIF]
    assert (found.clues[0].wall, found.clues[0].offset) == ("2026-02-14T10:14:58.500", "+00:00")
    assert found.gps_deg == (-51.5, -0.25)


def test_a_place_of_nought_degrees_both_ways_is_no_place(tmp_path):
    assert read_exif(photo(tmp_path / "a.jpg", exif_of(place=(0.0, 0.0)))).gps_deg is None


@pytest.mark.parametrize(
    "stamp",
    [
        "0000:00:00 00:00:00",
        "    :  :     :  :  ",
        "2026:02:30 10:15:00",
        "2026:02:14 24:00:00",
        "2026:02:14 10:15:60",
        "14 Feb 2026",
        "2026:13:01 00:00:00",
    ],
)
def test_an_odd_time_is_a_remark_and_no_clue(tmp_path, stamp):
    found = read_exif(photo(tmp_path / "a.jpg", exif_of(stamp)))
    assert found.clues == ()
    assert len(found.remarks) == 1


@pytest.mark.parametrize("gps_time", [(24, 0, 0), (10, 75, 0), (10, 15, 60)])
def test_an_odd_gps_time_is_a_remark_and_no_clue(tmp_path, gps_time):
    found = read_exif(photo(tmp_path / "a.jpg", exif_of(gps_date="2026:02:14", gps_time=gps_time)))
    assert found.clues == ()
    assert len(found.remarks) == 1


def test_a_gps_time_without_its_date_is_no_clue(tmp_path):
    assert read_exif(photo(tmp_path / "a.jpg", exif_of(gps_time=(10, 15, 0)))).clues == ()


def test_the_time_of_digitising_stands_in_and_says_so(tmp_path):
    exif = exif_of()
    exif.get_ifd(EXIF_IFD)[DIGITIZED] = WHEN
    found = read_exif(photo(tmp_path / "a.jpg", exif))
    assert [clue.wall for clue in found.clues] == ["2026-02-14T10:15:00"]
    assert "digitised" in found.remarks[0]


def test_a_picture_without_exif_has_nothing_to_say_and_nothing_wrong(tmp_path):
    found = read_exif(photo(tmp_path / "a.jpg"))
    assert (found.device, found.clues, found.remarks) == ("", (), ())


def test_broken_exif_costs_its_time_and_not_the_photo(tmp_path):
    path = photo(tmp_path / "a.jpg", exif_of(WHEN, "+01:00", place=(51.5, -0.1)))
    whole = path.read_bytes()
    at = whole.index(b"Exif\x00\x00") + 6
    for step in range(0, 200, 3):
        path.write_bytes(whole[: at + step] + b"\xff" * 12 + whole[at + step + 12 :])
        read_exif(path)  # whatever it finds, it does not raise


def test_the_make_is_not_said_twice_and_odd_letters_are_dropped(tmp_path):
    exif = exif_of(device=("Tarnbeck\x00\x00", "TARNBECK  Field\tTwo"))
    assert read_exif(photo(tmp_path / "a.jpg", exif)).device == "TARNBECK Field Two"


@pytest.mark.parametrize(
    ("text", "offset"),
    [
        ("+01:00", "+01:00"),
        ("-03:30", "-03:30"),
        ("Z", "+00:00"),
        ("+0530", "+05:30"),
        ("   :  ", None),
        ("+25:00", None),
        ("", None),
        ("+01:75", None),
    ],
)
def test_offsets_are_read_or_left(text, offset):
    assert offset_text(text) == offset


def test_a_wall_time_keeps_what_was_shown():
    assert wall_time("2026:02:14 10:15:00") == "2026-02-14T10:15:00"
    assert wall_time("2026-02-14T10:15:00") == "2026-02-14T10:15:00"


def test_exif_that_would_be_read_without_end_costs_its_time_and_not_the_photo(tmp_path, monkeypatch):
    path = photo(tmp_path / "a.jpg", exif_of(WHEN))
    assert read_exif(path).clues
    monkeypatch.setattr(exif, "_MOST_READS", 12)
    found = read_exif(path)
    assert found.clues == ()
    assert "Exif cannot be read" in found.remarks[0]


@pytest.mark.parametrize("head_bytes", [1, 16, 100, 200, 400])
@pytest.mark.parametrize("ending", ["jpg", "heic", "png", "webp", "tif"])
def test_exif_that_lies_beyond_what_is_read_at_once_is_read_as_well(tmp_path, monkeypatch, ending, head_bytes):
    exif_of_all = exif_of(WHEN, "+01:00", "25", "2026:02:14", (10, 14, 58.5), (-51.5, -0.25))
    path = photo(tmp_path / f"a.{ending}", exif_of_all)
    whole = read_exif(path)
    assert len(whole.clues) == 2
    monkeypatch.setattr(exif, "_HEAD_BYTES", head_bytes)
    assert read_exif(path) == whole


def test_what_stands_behind_a_long_makers_note_is_read(tmp_path):
    long_note = exif_of(WHEN)
    long_note.get_ifd(EXIF_IFD).update({0x927C: bytes(40_000), 0xA431: "SN-0042"})
    path = photo(tmp_path / "a.jpg", long_note)
    with path.open("ab") as file:
        file.write(bytes(100_000))  # as long as photos are
    assert read_exif(path).serial == "SN-0042"
