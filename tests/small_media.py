"""Small pieces of media, made for a test: photos with Exif times, caption files with a NOTE, short sound."""

import wave
from datetime import datetime
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import ExifTags, Image

CHECKED_WORDS = """WEBVTT

NOTE taken {taken}

00:00.000 --> 00:04.000
The port rudder's off, three bolts.

00:05.000 --> 00:08.000
Here you can see the hinge, there's a crack in it, 12 mm long.

00:20.000 --> 00:23.000
The rudder's on rack 3, tagged P-0142.

00:24.000 --> 00:27.000
Next week we'll take the fin off.
"""


def photo_bytes(taken: datetime, colour: tuple[int, int, int] = (90, 110, 120), camera: str = "CX 210") -> bytes:
    """A JPEG whose Exif says when it was taken, with the offset."""
    image = Image.new("RGB", (320, 240), colour)
    image.paste((200, 190, 40), (40, 40, 120, 160))
    exif = image.getexif()
    exif[ExifTags.Base.Make] = "Ollerfen"
    exif[ExifTags.Base.Model] = camera
    inner = exif.get_ifd(ExifTags.IFD.Exif)
    inner[ExifTags.Base.DateTimeOriginal] = taken.strftime("%Y:%m:%d %H:%M:%S")
    offset = taken.strftime("%z")
    inner[ExifTags.Base.OffsetTimeOriginal] = f"{offset[:3]}:{offset[3:5]}"
    into = BytesIO()
    image.save(into, "JPEG", exif=exif)
    return into.getvalue()


def make_photo(path: Path, taken: datetime, **more: object) -> Path:
    """Write such a JPEG."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(photo_bytes(taken, **more))  # type: ignore[arg-type]
    return path


def make_captions(path: Path, taken: datetime, text: str = CHECKED_WORDS) -> Path:
    """Write a caption file that says when it was taken."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text.format(taken=taken.isoformat()), encoding="utf-8")
    return path


def make_sound(path: Path, seconds: float = 1.0, pitch_hz: float = 440.0) -> Path:
    """Write a wav of one quiet tone, 16 kHz mono."""
    path.parent.mkdir(parents=True, exist_ok=True)
    samples = 0.1 * np.sin(2 * np.pi * pitch_hz * np.arange(int(16000 * seconds)) / 16000)
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16000)
        file.writeframes((samples * 32767).astype("<i2").tobytes())
    return path
