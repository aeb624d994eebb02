"""Small media for tests, made on the spot: nothing here came from a camera, a recorder or a person."""

import struct
from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pillow_heif
from PIL import Image

pillow_heif.register_heif_opener()

MAKE, MODEL, OFFSET, DIGITIZED_OFFSET = 0x010F, 0x0110, 0x9011, 0x9012
ORIGINAL, DIGITIZED, SUBSEC = 0x9003, 0x9004, 0x9291
EXIF_IFD, GPS_IFD, ORIENTATION = 0x8769, 0x8825, 0x0112

SOUNDS = {  # name: (FFmpeg's muxer, encoder, rate, the media type to be found)
    "note.m4a": ("ipod", "aac", 44_100, "audio/mp4"),
    "note.aac": ("adts", "aac", 44_100, "audio/aac"),
    "note.mp3": ("mp3", "libmp3lame", 44_100, "audio/mpeg"),
    "note.wav": ("wav", "pcm_s16le", 16_000, "audio/wav"),
    "note.flac": ("flac", "flac", 44_100, "audio/flac"),
    "note.opus": ("ogg", "libopus", 48_000, "audio/ogg"),
    "note.amr": ("amr", "amr_nb", 8_000, "audio/amr"),
    "note.3gp": ("3gp", "aac", 44_100, "audio/3gpp"),
    "note.mka": ("matroska", "libopus", 48_000, "audio/x-matroska"),
}
FILMS = {  # name: (muxer, film encoder, sound encoder, rate, media type)
    "film.mp4": ("mp4", "mpeg4", "aac", 44_100, "video/mp4"),
    "film.mov": ("mov", "mpeg4", "aac", 44_100, "video/quicktime"),
    "film.mkv": ("matroska", "mpeg4", "libopus", 48_000, "video/x-matroska"),
    "film.avi": ("avi", "mpeg4", "libmp3lame", 44_100, "video/x-msvideo"),
    "film.webm": ("webm", "libvpx", "libopus", 48_000, "video/webm"),
}


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


def picture(width: int = 160, height: int = 120, seed: int = 1) -> Image.Image:
    """Return a picture of random colours with a red top left quarter, so that turning shows."""
    pixels = np.random.default_rng(seed).integers(0, 256, (height, width, 3), dtype=np.uint8)
    pixels[: height // 2, : width // 2] = (230, 20, 20)
    return Image.fromarray(pixels, "RGB")


def exif_of(
    taken: str | None = None,
    offset: str | None = None,
    subsec: str | None = None,
    gps_date: str | None = None,
    gps_time: tuple[float, float, float] | None = None,
    place: tuple[float, float] | None = None,
    device: tuple[str, str] = ("Tarnbeck", "Two"),
) -> Image.Exif:
    """Return Exif as a camera would write it. ``taken`` is as Exif has it, "2026:02:14 10:15:00"."""
    exif = Image.Exif()
    exif[MAKE], exif[MODEL] = device
    inner = {ORIGINAL: taken, OFFSET: offset, SUBSEC: subsec}
    exif.get_ifd(EXIF_IFD).update({tag: text for tag, text in inner.items() if text is not None})
    gps = exif.get_ifd(GPS_IFD)
    if gps_date is not None:
        gps[0x001D] = gps_date
    if gps_time is not None:
        gps[0x0007] = tuple(gps_time)
    if place is not None:
        for tag, degrees, letters in ((1, place[0], "NS"), (3, place[1], "EW")):
            gps[tag] = letters[degrees < 0]
            gps[tag + 1] = (abs(degrees), 0.0, 0.0)
    return exif


def photo(path: Path, exif: Image.Exif | bytes | None = None, **how: object) -> Path:
    """Write a picture with Exif, in the format that the name's ending asks for."""
    if exif is not None:
        if path.suffix == ".tif" and isinstance(exif, Image.Exif):  # Pillow writes inner tags to TIFF only so
            for ifd in (EXIF_IFD, GPS_IFD):
                exif[ifd] = dict(exif.get_ifd(ifd))
        how["exif"] = exif
    picture().save(path, **how)  # type: ignore[arg-type]
    return path


def tone(seconds: float, rate_hz: int, pitch_hz: float = 440.0) -> np.ndarray:
    """Return a tone as 16-bit samples of shape (1, n)."""
    at_s = np.arange(round(rate_hz * seconds)) / rate_hz
    return (0.4 * 32767 * np.sin(2 * np.pi * pitch_hz * at_s)).astype(np.int16).reshape(1, -1)


def media_file(
    path: Path,
    muxer: str,
    sound: str | None,
    rate_hz: int = 48_000,
    film: str | None = None,
    seconds: float = 2.0,
    tags: Mapping[str, str] | None = None,
    options: Mapping[str, str] | None = None,
    samples: np.ndarray | None = None,
    corner: bool = False,
) -> Path:
    """Write a recording or film: a tone, and ten pictures a second that get brighter by 5 each.

    With ``corner`` the pictures' top left corner is white.
    """
    with av.open(str(path), "w", format=muxer, options=dict(options or {})) as out:
        out.metadata.update(tags or {})
        film_stream = sound_stream = None
        if film is not None:
            film_stream = out.add_stream(film, rate=10)
            film_stream.width, film_stream.height, film_stream.pix_fmt = 96, 64, "yuv420p"
        if sound is not None:
            sound_stream = out.add_stream(sound, rate=rate_hz, layout="mono")
        if film_stream is not None:
            for number in range(round(10 * seconds)):
                grey = np.full((64, 96, 3), min(255, number * 5), np.uint8)
                if corner:
                    grey[:20, :20] = 255
                frame = av.VideoFrame.from_ndarray(grey, format="rgb24")
                frame.pts, frame.time_base = number, Fraction(1, 10)
                out.mux(film_stream.encode(frame))
            out.mux(film_stream.encode(None))
        if sound_stream is not None:
            played = tone(seconds, rate_hz) if samples is None else samples
            _encode(out, sound_stream, played, rate_hz)
    return path


def _encode(out: av.container.OutputContainer, stream: av.AudioStream, samples: np.ndarray, rate_hz: int) -> None:
    fit = av.AudioResampler(stream.format, "mono", rate_hz, frame_size=stream.frame_size or None)
    frame = av.AudioFrame.from_ndarray(np.ascontiguousarray(samples), format="s16", layout="mono")
    frame.sample_rate, frame.pts, frame.time_base = rate_hz, 0, Fraction(1, rate_hz)
    for part in (*fit.resample(frame), *fit.resample(None)):
        out.mux(stream.encode(part))
    out.mux(stream.encode(None))


def sound_file(folder: Path, name: str, **how: object) -> Path:
    """Write one of ``SOUNDS``."""
    muxer, encoder, rate_hz, _ = SOUNDS[name]
    return media_file(folder / name, muxer, encoder, rate_hz, **how)  # type: ignore[arg-type]


def film_file(folder: Path, name: str, **how: object) -> Path:
    """Write one of ``FILMS``."""
    muxer, film, sound, rate_hz, _ = FILMS[name]
    return media_file(folder / name, muxer, sound, rate_hz, film=film, **how)  # type: ignore[arg-type]


def bext_block(
    date: str = "2026-02-14",
    clock: str = "10:15:00",
    time_reference: int = 0,
    originator: str = "Field recorder",
) -> bytes:
    """Return a ``bext`` chunk's content by EBU Tech 3285: fixed fields, no coding history."""
    head = b"".join(
        text.encode("latin-1").ljust(length, b"\x00")[:length]
        for text, length in (("a note", 256), (originator, 32), ("", 32), (date, 10), (clock, 8))
    )
    return head + struct.pack("<QH", time_reference, 2) + bytes(64 + 10 + 180)


def wave_bytes(
    bext: bytes | None = None,
    seconds: float = 1.0,
    rate_hz: int = 16_000,
    form: bytes = b"RIFF",
    data_size: int | None = None,
) -> bytes:
    """Return a 16-bit mono wave file. ``data_size`` is what the data chunk claims, its true size where not given."""
    sound = tone(seconds, rate_hz).tobytes()
    chunks = b""
    if form != b"RIFF":
        chunks += b"ds64" + struct.pack("<IQQQI", 28, 0, len(sound), len(sound) // 2, 0)
    if bext is not None:
        chunks += b"bext" + struct.pack("<I", len(bext)) + bext
    chunks += b"fmt " + struct.pack("<IHHIIHH", 16, 1, 1, rate_hz, rate_hz * 2, 2, 16)
    claimed = 0xFFFFFFFF if form != b"RIFF" else len(sound)
    chunks += b"data" + struct.pack("<I", claimed if data_size is None else data_size) + sound
    whole = 0xFFFFFFFF if form != b"RIFF" else len(chunks) + 4
    return form + struct.pack("<I", whole) + b"WAVE" + chunks


def make_photo(path: Path, taken: datetime, seed: int = 1, camera: str = "Two") -> Path:
    """Write a JPEG whose Exif says when it was taken, with the offset; another ``seed`` is another picture."""
    path.parent.mkdir(parents=True, exist_ok=True)
    offset = taken.strftime("%z")
    told = taken.strftime("%Y:%m:%d %H:%M:%S"), f"{offset[:3]}:{offset[3:5]}"
    exif = exif_of(*told, device=("Tarnbeck", camera))
    picture(seed=seed).save(path, exif=exif)
    return path


def make_captions(path: Path, taken: datetime, text: str = CHECKED_WORDS) -> Path:
    """Write a caption file that says when it was taken."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text.format(taken=taken.isoformat()), encoding="utf-8")
    return path


def make_sound(path: Path, seconds: float = 1.0) -> Path:
    """Write a wav of one tone, 16 kHz mono."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(wave_bytes(seconds=seconds))
    return path
