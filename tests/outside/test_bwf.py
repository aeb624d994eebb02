"""Broadcast wave fields against files that FFmpeg wrote.

Source: EBU Tech 3285 v2, 2.3 (OriginationDate "yyyy-mm-dd", OriginationTime "hh:mm:ss", TimeReference in samples
since midnight), as FFmpeg's wave muxer writes them with ``write_bext``.
"""

import json
import shutil
import subprocess

import pytest

from pipeline.intake.bext import read_bext
from pipeline.intake.content_type import content_type
from pipeline.intake.probe import probe
from pipeline.values import Kind, TimeSource
from tests.small_media import media_file

RATE_HZ = 48_000
TAGS = {
    "description": "port outer wing",
    "originator": "Field recorder",
    "originator_reference": "FR0001",
    "origination_date": "2026-02-14",
    "origination_time": "10:15:00",
    "time_reference": str((10 * 3600 + 15 * 60) * RATE_HZ + RATE_HZ // 4),
}


@pytest.fixture(params=["riff", "rf64"])
def wave(request, tmp_path):
    options = {"write_bext": "1"} | ({"rf64": "always"} if request.param == "rf64" else {})
    return media_file(tmp_path / "a.wav", "wav", "pcm_s24le", RATE_HZ, seconds=1.5, tags=TAGS, options=options)


def test_what_ffmpeg_wrote_is_read_back(wave):
    found = read_bext(wave)
    assert found.originator == "Field recorder"
    assert (found.sample_rate_hz, found.length_s) == (RATE_HZ, 1.5)
    (clue,) = found.clues
    assert (clue.source, clue.wall, clue.offset) == (TimeSource.BWF, "2026-02-14T10:15:00.250", None)
    assert found.remarks == ()


def test_the_whole_file_is_a_recording_of_that_length_and_time(wave):
    assert content_type(wave) == (Kind.RECORDING, "audio/wav")
    found = probe(wave)
    assert found.duration_s == 1.5
    assert found.device == "Field recorder"
    assert [clue.source for clue in found.clues] == [TimeSource.BWF]


def test_the_fields_agree_with_exiftool(wave):
    """Source: exiftool, its RIFF BroadcastExtension tags."""
    if shutil.which("exiftool") is None:
        pytest.skip("exiftool is not installed")
    command = ["exiftool", "-json", "-n", "-RIFF:all", str(wave)]
    (theirs,) = json.loads(subprocess.run(command, capture_output=True, check=True, text=True).stdout)
    if "TimeReference" not in theirs:
        pytest.skip("this exiftool does not read the form of wave file")
    (clue,) = read_bext(wave).clues
    assert theirs["Originator"] == read_bext(wave).originator
    assert theirs["DateTimeOriginal"].replace(":", "-", 2).replace(" ", "T") == clue.wall[:19]
    since_midnight_s = sum(
        float(part) * unit for part, unit in zip(clue.wall[11:].split(":"), (3600, 60, 1), strict=True)
    )
    assert theirs["TimeReference"] == round(since_midnight_s * RATE_HZ)
