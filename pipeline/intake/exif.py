"""What a photo's Exif says: the camera, the moment, the place. The only module that imports exifread.

Source: CIPA DC-008 (Exif 2.32/3.0): DateTimeOriginal 0x9003, OffsetTimeOriginal 0x9011, SubSecTimeOriginal 0x9291,
BodySerialNumber 0xA431, GPSTimeStamp 0x0007, GPSDateStamp 0x001D.
"""

import io
import logging
import math
import re
from collections.abc import Callable, Generator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from pathlib import Path
from typing import Any, BinaryIO, cast

import exifread

from pipeline.errors import ItemFault
from pipeline.intake.container_tags import device_name
from pipeline.intake.pictures import exif_block
from pipeline.values import TimeClue, TimeSource

_UNREADABLE = "Its Exif cannot be read, so that it is used without the camera's own time and place."
_MOST_READS = 20_000  # cameras' own need some hundreds
_HEAD_BYTES = 1 << 15
_MOMENTS = (
    ("EXIF DateTimeOriginal", "EXIF SubSecTimeOriginal", "EXIF OffsetTimeOriginal", "was taken"),
    ("EXIF DateTimeDigitized", "EXIF SubSecTimeDigitized", "EXIF OffsetTimeDigitized", "was digitised"),
)
_FRACTION = re.compile(r"[0-9]{1,9}")
_STAMP = re.compile(r"[0-9]{4}[:\-/][0-9]{2}[:\-/][0-9]{2}[ T][0-9]{2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]*)?")
_DAY = re.compile(r"(\d{4})[:\-/](\d{2})[:\-/](\d{2})")
_OFFSET = re.compile(r"([+-])(\d{2}):?(\d{2})")

_log = logging.getLogger("exifread")
_log.addHandler(logging.NullHandler())
_log.propagate = False


@dataclass(frozen=True, slots=True)
class ExifFound:
    """What the Exif says. ``gps_deg`` is (latitude, longitude), north and east positive."""

    device: str = ""
    serial: str = ""
    clues: tuple[TimeClue, ...] = ()
    gps_deg: tuple[float, float] | None = None
    remarks: tuple[str, ...] = ()


def read_exif(path: Path) -> ExifFound:
    """Read a photo's Exif; where it cannot be read, the remarks say so. Nothing is raised for bad content.

    Raises:
        OSError: the file cannot be read.
    """
    tags = _tags_of_file(path)
    if not tags:
        tags = _tags_of_block(path)
    if tags is None:
        return ExifFound(remarks=(_UNREADABLE,))
    remarks: list[str] = []
    clues = [*_gps_time(tags, remarks), *_camera_time(tags, remarks)]
    return ExifFound(
        device=_device(_text(tags, "Image Make"), _text(tags, "Image Model")),
        serial=_text(tags, "EXIF BodySerialNumber")[:40],
        clues=tuple(clues),
        gps_deg=_gps_place(tags),
        remarks=tuple(remarks),
    )


_device = lru_cache(maxsize=256)(device_name)  # a camera takes many photos


class _BeyondHead(Exception):  # noqa: N818 - nothing is wrong with the file
    """What is asked for lies beyond the part of the file that is in memory."""


def _reads(read: Callable[[int], bytes], part: bool) -> Generator[bytes, int, None]:
    """Read so often and no more: Exif that leads in circles, or past its end, ends here, in ``StopIteration``."""
    size = yield b""
    for _ in range(_MOST_READS):
        found = read(size)
        if part and len(found) < size:
            raise _BeyondHead
        size = yield found


class _FewReads:
    """A file that can be read so often and no more. ``read`` is a generator's, which is the quickest that counts."""

    __slots__ = ("read", "seek", "tell")

    def __init__(self, file: BinaryIO, part: bool = False) -> None:
        reads = _reads(file.read, part)
        next(reads)
        self.read, self.seek, self.tell = reads.send, file.seek, file.tell


def _tags_of_file(path: Path) -> Mapping[str, Any] | None:
    """Return all tags but the maker's notes, or None where they cannot be read.

    A photo has its Exif at its beginning, which is read once; what leads beyond that is read from the file.
    """
    with path.open("rb", buffering=0) as file:
        head = file.read(_HEAD_BYTES)
        try:
            return _tags(io.BytesIO(head), part=len(head) == _HEAD_BYTES)
        except _BeyondHead:
            return _tags(io.BufferedReader(file))


def _tags(file: BinaryIO, part: bool = False) -> Mapping[str, Any] | None:
    try:
        return exifread.process_file(cast(BinaryIO, _FewReads(file, part)), details=False, extract_thumbnail=False)
    except _BeyondHead:
        raise
    except Exception:  # exifread lets many kinds through on bad data, and none may cost us the photo
        return None


def _tags_of_block(path: Path) -> Mapping[str, Any] | None:
    """Read the Exif where the picture's own decoder finds it: not every layout is known to exifread."""
    try:
        block = exif_block(path)
    except ItemFault:
        return None
    return _tags(io.BytesIO(block)) if block else {}


def _text(tags: Mapping[str, Any], name: str) -> str:
    if name not in tags:
        return ""
    values = getattr(tags[name], "values", None)
    if isinstance(values, bytes):
        values = values.decode("utf-8", "replace")
    return values.replace("\x00", " ").strip() if isinstance(values, str) else ""


def _numbers(tags: Mapping[str, Any], name: str, count: int) -> list[float] | None:
    values = getattr(tags.get(name), "values", None)
    if not isinstance(values, list) or len(values) != count:
        return None
    try:
        numbers = [float(value) for value in values]
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return numbers if all(math.isfinite(number) for number in numbers) else None


def _camera_time(tags: Mapping[str, Any], remarks: list[str]) -> list[TimeClue]:
    """Return the camera's own time: when the picture was taken, else when it was made into a file."""
    for stamped, fractions, offsets, said in _MOMENTS:
        stamp = _text(tags, stamped)
        if not stamp.strip(" :0"):
            if stamp:
                remarks.append(f"Its Exif leaves blank when it {said}.")
            continue
        wall = wall_time(stamp)
        if wall is None:
            remarks.append(f"Its Exif says that it {said} at '{stamp[:30]}', which is no date and time.")
            continue
        if stamped != _MOMENTS[0][0]:
            remarks.append("Its Exif gives only the time at which it was digitised; that is used.")
        fraction = _text(tags, fractions)
        fine = _FRACTION.fullmatch(fraction) is not None
        offset = offset_text(_text(tags, offsets))
        return [
            TimeClue(
                source=TimeSource.EXIF_OFFSET if offset else TimeSource.EXIF,
                wall=f"{wall}.{fraction}" if fine else wall,
                offset=offset,
                error_s=0.1 if fine else 1.0,
            )
        ]
    return []


def wall_time(stamp: str) -> str | None:
    """Turn Exif's "2026:02:14 10:15:00" into ISO 8601, or None where there is no such moment (24:00, second 60)."""
    stamp = stamp.strip()
    if not _STAMP.fullmatch(stamp) or stamp[11:13] == "24":
        return None
    wall = f"{stamp[:4]}-{stamp[5:7]}-{stamp[8:10]}T{stamp[11:19]}"
    try:
        datetime.fromisoformat(wall)
    except ValueError:
        return None
    return wall


@lru_cache(maxsize=256)
def offset_text(text: str) -> str | None:
    """Turn an Exif offset into "+01:00", or None where it is none (blank, or beyond what any zone has)."""
    if text.strip() == "Z":
        return "+00:00"
    match = _OFFSET.fullmatch(text.strip())
    if match is None or int(match[2]) > 14 or int(match[3]) > 59:
        return None
    return f"{match[1]}{match[2]}:{match[3]}"


def _gps_time(tags: Mapping[str, Any], remarks: list[str]) -> list[TimeClue]:
    if "GPS GPSTimeStamp" not in tags or "GPS GPSDate" not in tags:
        return []
    day = _DAY.fullmatch(_text(tags, "GPS GPSDate").strip())
    parts = _numbers(tags, "GPS GPSTimeStamp", 3)
    if parts is None or day is None or not _is_date(*day.groups()):
        remarks.append("Its GPS time cannot be read.")
        return []
    seconds = parts[0] * 3600 + parts[1] * 60 + parts[2]
    if not 0 <= seconds < 86_400 or parts[1] >= 60 or parts[2] >= 60:
        remarks.append("Its GPS time is no time of day.")
        return []
    thousandths = min(round(seconds * 1000), 86_399_999)
    hour, rest = divmod(thousandths, 3_600_000)
    minute, rest = divmod(rest, 60_000)
    fraction = f".{rest % 1000:03d}" if rest % 1000 else ""
    wall = f"{'-'.join(day.groups())}T{hour:02d}:{minute:02d}:{rest // 1000:02d}{fraction}"
    return [TimeClue(source=TimeSource.GPS, wall=wall, offset="+00:00", error_s=0.1 if fraction else 1.0)]


def _gps_place(tags: Mapping[str, Any]) -> tuple[float, float] | None:
    if "GPS GPSLatitude" not in tags:
        return None
    north = _degrees(tags, "GPS GPSLatitude", "NS", 90.0)
    east = _degrees(tags, "GPS GPSLongitude", "EW", 180.0)
    # Nought degrees both ways is what receivers write before they know where they are.
    if north is None or east is None or (north, east) == (0.0, 0.0):
        return None
    return north, east


def _degrees(tags: Mapping[str, Any], name: str, letters: str, most: float) -> float | None:
    parts = _numbers(tags, name, 3)
    letter = _text(tags, f"{name}Ref").upper()[:1]
    if parts is None or not letter or letter not in letters:
        return None
    degrees = parts[0] + parts[1] / 60 + parts[2] / 3600
    if not 0 <= degrees <= most:
        return None
    return round(-degrees if letter == letters[1] else degrees, 7)


def _is_date(year: str, month: str, day: str) -> bool:
    try:
        date(int(year), int(month), int(day))
    except ValueError:
        return False
    return True
