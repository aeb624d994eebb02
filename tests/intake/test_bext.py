import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.intake.bext import parse_bext, read_bext, wave_is_cut_short
from pipeline.values import TimeSource
from tests.small_media import bext_block, wave_bytes

QUARTER_PAST_TEN_S = 10 * 3600 + 15 * 60


@pytest.mark.parametrize("form", [b"RIFF", b"RF64", b"BW64"])
def test_date_time_and_originator_are_read_from_all_three_forms(tmp_path, form):
    path = tmp_path / "a.wav"
    path.write_bytes(wave_bytes(bext_block(), form=form))
    found = read_bext(path)
    assert found.originator == "Field recorder"
    assert (found.sample_rate_hz, found.length_s) == (16_000, 1.0)
    (clue,) = found.clues
    assert (clue.source, clue.wall, clue.offset) == (TimeSource.BWF, "2026-02-14T10:15:00", None)


def test_a_time_reference_that_agrees_gives_the_part_of_the_second():
    samples = round((QUARTER_PAST_TEN_S + 0.25) * 48_000)
    found = parse_bext(bext_block(time_reference=samples), 48_000, 60.0)
    assert found.clues[0].wall == "2026-02-14T10:15:00.250"
    assert found.clues[0].error_s < 0.5
    assert found.remarks == ()


def test_a_time_reference_that_disagrees_gives_way_to_the_clock_and_is_told():
    found = parse_bext(bext_block(time_reference=3600 * 48_000), 48_000, 60.0)
    assert found.clues[0].wall == "2026-02-14T10:15:00"
    assert "33300 s apart" in found.remarks[0]


def test_a_clock_that_was_stamped_on_stopping_gives_way_to_the_time_reference():
    samples = (QUARTER_PAST_TEN_S - 300) * 48_000
    found = parse_bext(bext_block(time_reference=samples), 48_000, 300.0)
    assert found.clues[0].wall == "2026-02-14T10:10:00"
    assert found.remarks == ()


def test_a_recording_that_starts_before_midnight_and_is_stamped_after_it_belongs_to_the_day_before():
    samples = (86_400 - 1) * 48_000
    found = parse_bext(bext_block(clock="00:00:00", time_reference=samples), 48_000, 10.0)
    assert found.clues[0].wall == "2026-02-13T23:59:59"


def test_a_time_reference_of_nought_is_not_filled_in_and_no_disagreement():
    found = parse_bext(bext_block(time_reference=0), 48_000, 60.0)
    assert (found.clues[0].wall, found.remarks) == ("2026-02-14T10:15:00", ())


def test_a_time_reference_beyond_a_day_is_told():
    found = parse_bext(bext_block(time_reference=90_000 * 48_000), 48_000, 60.0)
    assert found.clues[0].wall == "2026-02-14T10:15:00"
    assert "beyond a day" in found.remarks[0]


@pytest.mark.parametrize("date", ["2026_02_14", "2026.02.14", "2026 02 14", "2026:02:14"])
def test_the_dates_other_separators_are_read(date):
    assert parse_bext(bext_block(date=date), 48_000, None).clues[0].wall == "2026-02-14T10:15:00"


def test_a_blank_date_is_no_clue_and_an_impossible_one_is_told():
    assert parse_bext(bext_block(date="", clock=""), 48_000, None).clues == ()
    assert parse_bext(bext_block(date="", clock=""), 48_000, None).remarks == ()
    assert parse_bext(bext_block(date="2026-02-30"), 48_000, None).clues == ()
    assert len(parse_bext(bext_block(date="2026-02-30"), 48_000, None).remarks) == 1


def test_a_wave_file_without_the_chunk_has_none(tmp_path):
    path = tmp_path / "a.wav"
    path.write_bytes(wave_bytes())
    assert read_bext(path) is None


def test_sizes_that_lie_are_cut_to_what_the_file_holds(tmp_path):
    path = tmp_path / "a.wav"
    path.write_bytes(wave_bytes(bext_block(), data_size=0x7FFFFFF0))
    assert read_bext(path).length_s == 1.0
    whole = wave_bytes(bext_block())
    at = whole.index(b"bext") + 4
    path.write_bytes(whole[:at] + struct.pack("<I", 0xFFFFFFF0) + whole[at + 4 :])
    assert read_bext(path).clues[0].wall == "2026-02-14T10:15:00"
    path.write_bytes(whole[:at] + struct.pack("<I", 200) + whole[at + 4 : at + 204])
    assert "cut short" in read_bext(path).remarks[0]


def test_a_sound_length_beyond_all_reason_is_no_crash(tmp_path):
    path = tmp_path / "a.wav"
    whole = wave_bytes(bext_block(), form=b"RF64")
    at = whole.index(b"ds64") + 8
    path.write_bytes(whole[:at] + b"\xff" * 16 + whole[at + 16 :])
    assert read_bext(path).length_s == 1.0
    assert wave_is_cut_short(path)


@given(
    st.binary(max_size=700), st.one_of(st.none(), st.integers(1, 400_000)), st.one_of(st.none(), st.floats(0, 1e6))
)
def test_no_content_of_the_chunk_is_a_crash_and_no_time_is_more_than_a_day_from_its_date(block, rate_hz, length_s):
    found = parse_bext(block, rate_hz, length_s)
    assert len(found.clues) <= 1


@given(st.integers(0, 86_399), st.integers(-3, 3), st.sampled_from([8_000, 16_000, 44_100, 48_000, 96_000]))
def test_the_wall_time_is_always_within_two_seconds_of_one_of_the_two_statements(second, apart_s, rate_hz):
    clock = f"{second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}"
    reference = (second + apart_s) % 86_400
    found = parse_bext(bext_block(clock=clock, time_reference=reference * rate_hz), rate_hz, None)
    clocked = found.clues[0].wall[11:19]
    shown = sum(int(part) * unit for part, unit in zip(clocked.split(":"), (3600, 60, 1), strict=True))
    assert shown in (second, reference)
    assert bool(found.remarks) == (abs(apart_s) > 2 and reference != 0)


@given(st.binary(max_size=400))
def test_no_arrangement_of_chunks_is_a_crash(tmp_path_factory, tail):
    path = tmp_path_factory.getbasetemp() / "odd.wav"
    for form in (b"RIFF", b"RF64"):
        path.write_bytes(form + b"\x00\x00\x00\x00WAVE" + tail)
        read_bext(path)
