import re
import wave
from pathlib import Path

import numpy as np
import pytest

from tests.hearing.say import NOTES, VOICES, MissingError, by_command, read, write


def notes(part: str) -> list[str]:
    return (NOTES / f"{part}.txt").read_text(encoding="utf-8").splitlines()


def sentences(part: str) -> set[str]:
    return {one.strip().lower() for note in notes(part) for one in re.split(r"[.?!]", note) if one.strip()}


def test_no_voice_and_no_sentence_is_in_both_parts() -> None:
    assert not sentences("tune") & sentences("test")
    names = [voice.name for voice in VOICES]
    assert len(names) == len(set(names))
    assert {voice.part for voice in VOICES} == {"tune", "test"}


@pytest.mark.parametrize("part", ["tune", "test"])
def test_notes_are_written_as_spoken(part: str) -> None:
    assert len(notes(part)) == len(set(notes(part))) >= 100
    for note in notes(part):
        assert 4 < len(note.split()) < 41 and re.fullmatch(r"[A-Za-z ,.?'-]+[.?]", note), note


def test_sound_is_written_and_read_alike_also_where_a_pipe_left_the_length_open(tmp_path: Path) -> None:
    samples = np.array([0.0, 0.5, -0.5, 2.0, -2.0])
    write(tmp_path / "001-x.wav", samples)
    content = bytearray((tmp_path / "001-x.wav").read_bytes())
    at = content.index(b"data") + 4
    content[at : at + 4] = b"\xff\xff\xff\x7f"
    found, rate_hz = read(bytes(content))
    assert rate_hz == 16_000 and found == pytest.approx(np.clip(samples, -1, 1), abs=1e-4)
    with wave.open(str(tmp_path / "001-x.wav")) as file:
        assert (file.getnchannels(), file.getsampwidth()) == (1, 2)


def test_a_voice_that_is_not_installed_says_so() -> None:
    with pytest.raises(MissingError, match="no command voice-of-nobody"):
        by_command("voice-of-nobody", "{text}")(Path())
