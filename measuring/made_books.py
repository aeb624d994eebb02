"""Made-up books of any size: days of photos and spoken notes, laid out in seconds. Nothing here is anybody's work."""

import io
import struct
from collections.abc import Iterable, Iterator, Sequence, Sized
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cached_property, lru_cache
from pathlib import Path
from statistics import NormalDist
from typing import Any
from zlib import crc32
from zoneinfo import ZoneInfo

from PIL import Image

from pipeline.bench import Bench
from pipeline.book import Book, new_book
from pipeline.dating.pattern import LAG_S, USUAL_HABIT
from pipeline.hearing.captioned import from_captions
from pipeline.intake.captions import Cue
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import NoteRead
from pipeline.values import Heard, ModelFolder

_ZONE = ZoneInfo("Europe/London")  # as a new book has it: recordings have the time of day in their names
FIRST_DAY = datetime(2023, 1, 2, 9, tzinfo=UTC)
NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
SCRIPTS = 60
"""So many different notes are spoken; the next one begins with the first again."""

_STAMP, _MODEL = b"2026:02:14 10:15:00", b"Two"
_PARTS = ("rudder", "elevator", "aileron", "flap", "tailplane", "cowling", "spinner", "bulkhead", "fairing", "door")
_SENTENCES = (
    "The {side} {part}'s off, {n} bolts.",
    "Here you can see the hinge, there's a crack in it, {n} mm long.",
    "The {side} {part} is on rack {n}, tagged P-{tag:04}.",
    "Next week we'll take the {other} {part} off.",
    "It was warmer in the hangar than it has been for a while, which was nice.",
    "And there's light corrosion on the {other} {part}, at the lower edge.",
    "I've put {n} split pins in bag {n}.",
    "We'll have a look at that again when the stand is back.",
)
_POINTS_AFTER_S = {1: 0.4, 7: 0.5}  # which sentences point, and how long after their beginning
_SECONDS_A_SENTENCE = 6
_SECONDS_TO_THE_NEXT = 2  # photo of the same
_LAG = NormalDist(LAG_S, USUAL_HABIT.spread_s)
_WORK_S = 6 * 3600
_SHORTEST = 1600  # samples


@dataclass(frozen=True)
class Size:
    """How much work a book holds: days, and on each day photos, recordings, and utterances in each recording.

    ``cameras`` take the photos in turn, and ``recorders`` that tell their names the recordings: if there are none, no
    recording tells by what it was made.
    """

    days: int
    photos: int = 10
    recordings: int = 1
    utterances: int = 8
    cameras: int = 1
    recorders: int = 0

    @property
    def all_photos(self) -> int:
        """How many photos the book has."""
        return self.days * self.photos

    @property
    def all_utterances(self) -> int:
        """How many utterances the book has."""
        return self.days * self.recordings * self.utterances


def lay_out(folder: Path, size: Size) -> Path:
    """Write the media of so many days, a folder a day, and return the folder.

    A photo is a tiny JPEG that differs from every other in the second at which it was taken. A recording is a tone as
    short as its number says, so that ``Scripted`` knows which note is spoken in it.
    """
    for day in range(size.days):
        began = FIRST_DAY + timedelta(days=day)
        place = folder / f"{began:%Y-%m-%d}"
        place.mkdir(parents=True, exist_ok=True)
        for one in range(size.recordings):
            at = (began + timedelta(seconds=_turn_s(size, day, one))).astimezone(_ZONE)
            number = day * size.recordings + one
            told = _by_recorder(at, number % size.recorders) if size.recorders else b""
            (place / f"{at:%Y%m%d_%H%M%S}.wav").write_bytes(_wave(number, told))
        for one, second in enumerate(_shutter_s(size, day)):
            photo = _photo(began + timedelta(seconds=second), one % size.cameras)
            (place / f"IMG_{one:05}.jpg").write_bytes(photo)
    return folder


def _turn_s(size: Size, day: int, turn: int) -> int:
    """Return the second of a day's work in which a recording begins: no two days are alike."""
    every_s = _WORK_S / max(1, size.recordings)
    return round((turn + 0.5 * _share("recording", day, turn)) * every_s)


def _shutter_s(size: Size, day: int) -> list[int]:
    """Return the seconds of a day's work in which its photos are taken, in order, no two in the same.

    Of each five photos of a recording three come just after words that point, as soon as ``pattern`` expects it of
    people, with more of the same after it, one while somebody speaks, and one at any time before the next recording.
    """
    points_s = [
        _SECONDS_A_SENTENCE * at + _POINTS_AFTER_S[at % len(_SENTENCES)]
        for at in range(size.utterances)
        if at % len(_SENTENCES) in _POINTS_AFTER_S
    ]
    turns, taken = max(1, size.recordings), set[int]()
    for one in range(size.photos):
        shot, turn = divmod(one, turns)
        if shot % 5 < 3 and points_s:
            again, word = divmod(shot // 5 * 3 + shot % 5, len(points_s))
            lag_s = _LAG.inv_cdf(0.01 + 0.98 * _share("lag", day, turn, word))
            in_turn_s = points_s[word] + lag_s + _SECONDS_TO_THE_NEXT * again
        else:
            within_s = _SECONDS_A_SENTENCE * size.utterances if shot % 5 < 4 else _WORK_S / turns / 2
            in_turn_s = within_s * _share("photo", day, one)
        second = _turn_s(size, day, turn) + max(0, round(in_turn_s))
        while second in taken:
            second += 1
        taken.add(second)
    return sorted(taken)


def _share(*of: object) -> float:
    """Return a number from 0 to 1 that looks like chance, and is always the same of the same."""
    return crc32(repr(of).encode()) / 2**32


def one_more_photo(folder: Path, day: int, second: int) -> Path:
    """Write one photo more, taken on that day, the first being 0, in that second of its work."""
    at = FIRST_DAY + timedelta(days=day, seconds=second)
    path = folder / f"{at:%Y-%m-%d}" / f"IMG_one_more_{second}.jpg"
    path.write_bytes(_photo(at))
    return path


def empty_book(folder: Path) -> Book:
    """Make a book that believes every date of ``lay_out``."""
    return new_book(folder, date(2025, 1, 1), aircraft="Crew Trainer")


def script(number: int, sentences: int) -> tuple[str, ...]:
    """Return the sentences of one note."""
    number %= SCRIPTS
    side, other = ("port", "starboard") if number % 2 else ("starboard", "port")
    part = _PARTS[number // 2 % len(_PARTS)]
    return tuple(
        _SENTENCES[at % len(_SENTENCES)].format(
            side=side, other=other, part=part, n=2 + (number + at) % 7, tag=number * 10 + at // len(_SENTENCES)
        )
        for at in range(sentences)
    )


class Scripted(Bench):
    """A bench whose recogniser hears a script in every recording of ``lay_out``; all else is the program's own."""

    model = ModelFolder(path=Path("none"), name="none", sha256="0" * 64)
    sentences = 8

    def hear(self, samples: Any, *more: Any) -> Heard:
        """Hear the script whose number is in the length of the recording."""
        said = script(_number_of(samples), self.sentences)
        cues = [
            Cue(start_s=float(_SECONDS_A_SENTENCE * at), end_s=_SECONDS_A_SENTENCE * at + 4.5, text=text)
            for at, text in enumerate(said)
        ]
        return from_captions(cues).model_copy(update={"by": "recogniser"})


class Remembering(NoteReader):
    """The fact reader, which reads no text twice: for books so large that the same notes come back in them."""

    def __init__(self, reader_of: Any) -> None:
        super().__init__(reader_of)
        self._read: dict[tuple[str, tuple[int, ...]], NoteRead] = {}

    def read_notes(self, notes: Iterable[tuple[str, Sequence[int]]]) -> Iterator[NoteRead]:
        """Yield what is read in each note, as the reader does."""
        for text, pauses in notes:
            key = (text, tuple(pauses))
            if key not in self._read:
                self._read[key] = next(super().read_notes([key]))
            yield self._read[key]


class Quickened(Scripted):
    """The same with a reader and a repairer that do no text twice: a book of 200,000 utterances is soon read."""

    @cached_property
    def reader(self) -> NoteReader:
        """The fact reader over this vocabulary, which remembers."""
        return Remembering(self.vocabulary)

    @cached_property
    def repairer(self) -> Any:
        """The repair over this vocabulary, which remembers."""
        return _RepairsOnce(super().repairer)


class _RepairsOnce:
    def __init__(self, repairer: Any) -> None:
        self._repairer, self._done = repairer, dict[str, Any]()

    def repair(self, text: str, *more: Any) -> Any:
        if text not in self._done:
            self._done[text] = self._repairer.repair(text, *more)
        return self._done[text]


def _number_of(samples: Sized) -> int:
    return len(samples) - _SHORTEST


def _wave(number: int, told: bytes = b"") -> bytes:
    """Return a wave file of a tenth of a second: its length tells its script, and no other number has its bytes.

    ``told`` is a chunk more.
    """
    sound = bytes(2 * (_SHORTEST + number % SCRIPTS) - 4) + struct.pack("<I", number)
    shape = struct.pack("<IHHIIHH", 16, 1, 1, 16_000, 32_000, 2, 16)
    chunks = b"WAVEfmt " + shape + told + b"data" + struct.pack("<I", len(sound)) + sound
    return b"RIFF" + struct.pack("<I", len(chunks)) + chunks


def _by_recorder(at: datetime, recorder: int) -> bytes:
    """Return the chunk of a wave file that says which recorder made it, and when by its wall clock."""
    told = f"{'':256}{f'Talkwren {recorder}':64}{at:%Y-%m-%d%H:%M:%S}".encode()
    return struct.pack("<4sI602s", b"bext", 602, told)


def _photo(at: datetime, camera: int = 0) -> bytes:
    """Return a photo taken at a time of day in UTC by a camera, the first being 0."""
    stamped = _photo_bytes().replace(_STAMP, f"{at:%Y:%m:%d %H:%M:%S}".encode())
    return stamped.replace(_MODEL, f"{camera:03}".encode()) if camera else stamped


@lru_cache(maxsize=1)
def _photo_bytes() -> bytes:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "Tarnbeck", _MODEL.decode()  # make and model, both invented
    exif.get_ifd(0x8769).update({0x9003: _STAMP.decode(), 0x9011: "+00:00"})  # when it was taken, and the offset
    held = io.BytesIO()
    Image.new("RGB", (32, 24), (120, 110, 90)).save(held, "JPEG", exif=exif)
    return held.getvalue()
