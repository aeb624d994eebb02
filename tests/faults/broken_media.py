"""A folder of broken media, made on the spot: empty, cut short, lying, and worse."""

import struct
import zlib
from pathlib import Path

from tests.small_media import bext_block, exif_of, film_file, photo, sound_file, wave_bytes

CUTS = (0.02, 0.3, 0.6, 0.95)
_NOTHING_WITHOUT_THE_END = frozenset({".jpg", ".png", ".heic", ".webp", ".tif", ".m4a", ".mp4", ".mov"})


def make_broken(folder: Path) -> dict[str, bool | None]:
    """Fill ``folder``; return name → whether it must be refused (True), must be usable (False), or may be either."""
    whole = folder / "whole"
    whole.mkdir()
    expected: dict[str, bool | None] = {}
    for source in _whole_files(whole):
        raw = source.read_bytes()
        for part in CUTS:
            name = f"cut-{round(part * 100):02d}-{source.name}"
            (folder / name).write_bytes(raw[: int(len(raw) * part)])
            # Pictures lack part of what they show; these containers keep their index at the end.
            expected[name] = True if source.suffix in _NOTHING_WITHOUT_THE_END else None
        _write(folder, expected, f"zeros-{source.name}", _with_hole(raw), None)
    for source in whole.iterdir():
        source.unlink()
    whole.rmdir()
    _lies(folder, expected)
    _exif_traps(folder, expected)
    return expected


def _whole_files(folder: Path) -> list[Path]:
    photos = [photo(folder / f"p.{ending}") for ending in ("jpg", "png", "heic", "webp", "tif")]
    sounds = [
        sound_file(folder, name)
        for name in ("note.m4a", "note.mp3", "note.flac", "note.opus", "note.amr", "note.aac")
    ]
    films = [film_file(folder, name) for name in ("film.mp4", "film.mov", "film.mkv", "film.avi", "film.webm")]
    wave = folder / "note.wav"
    wave.write_bytes(wave_bytes(bext_block()))
    captions = folder / "note.vtt"
    captions.write_text("WEBVTT\n\n" + "".join(f"00:{n:02d}.000 --> 00:{n:02d}.900\nword {n}\n\n" for n in range(50)))
    return [*photos, *sounds, *films, wave, captions]


def _lies(folder: Path, expected: dict[str, bool | None]) -> None:
    real = photo(folder / "real.jpg").read_bytes()
    expected["real.jpg"] = False
    _write(folder, expected, "empty.jpg", b"", True)
    _write(folder, expected, "empty.m4a", b"", True)
    _write(folder, expected, "text.jpg", b"These are the notes of the day, saved under the wrong name.\n", True)
    _write(folder, expected, "photo-named.wav", real, False)
    _write(folder, expected, "blank.heic", bytes(4096), True)
    _write(folder, expected, "noise.mp4", zlib.compress(bytes(range(256)) * 40) * 20, True)
    _write(folder, expected, "heading-alone.jpg", b"\xff\xd8\xff\xe0", True)
    _write(folder, expected, "heading-alone.mp4", b"\x00\x00\x00\x18ftypisom\x00\x00\x02\x00isommp41", True)
    _write(folder, expected, "bomb.png", png_bomb(60_000, 60_000), True)
    _write(folder, expected, "bomb-just-over.png", png_bomb(20_000, 10_001), True)
    _write(folder, expected, "sizes-lie.wav", wave_bytes(bext_block(), data_size=0x7FFFFFF0), False)
    _write(folder, expected, "size-nought.wav", wave_bytes(bext_block(), data_size=0), None)
    _write(
        folder, expected, "rate-nought.wav", wave_bytes().replace(struct.pack("<II", 16_000, 32_000), bytes(8)), True
    )
    _write(
        folder,
        expected,
        "chunks-without-end.wav",
        b"RIFF\xff\xff\xff\xffWAVE" + b"junk\x00\x00\x00\x00" * 20_000,
        True,
    )
    _write(folder, expected, "no-cue.vtt", b"WEBVTT\n\nNOTE taken never\n", True)


def _exif_traps(folder: Path, expected: dict[str, bool | None]) -> None:
    """Exif that points at itself, beyond the file, or claims a thousand million values, in good pictures."""
    traps = {
        "next-is-first": _ifd([(0x0132, 2, 4, b"abc\x00")], following=8),
        "inner-is-outer": _ifd([(0x8769, 4, 1, struct.pack("<I", 8)), (0x8825, 4, 1, struct.pack("<I", 8))]),
        "beyond-the-end": _ifd([(0x8769, 4, 1, struct.pack("<I", 0x7FFFFFFF))]),
        "too-many-values": _ifd([(0x010F, 2, 0x7FFFFFFF, struct.pack("<I", 0))]),
        "unknown-type": _ifd([(0x010F, 99, 1, b"abcd")]),
        "too-many-tags": b"II*\x00\x08\x00\x00\x00\xff\xff" + bytes(200),
        "no-header": b"rubbish" * 20,
    }
    for name, block in traps.items():
        photo(folder / f"exif-{name}.jpg", b"Exif\x00\x00" + block)
        expected[f"exif-{name}.jpg"] = False
    odd = exif_of("2026:99:99 99:99:99", "+99:99", "x", gps_date="0000:00:00", gps_time=(0, 0, 0))
    photo(folder / "exif-odd.jpg", odd)
    expected["exif-odd.jpg"] = False


def _ifd(tags: list[tuple[int, int, int, bytes]], following: int = 0) -> bytes:
    """Return a TIFF block with one directory. Source: TIFF 6.0, section 2."""
    entries = b"".join(struct.pack("<HHI", tag, kind, count) + value for tag, kind, count, value in tags)
    return b"II*\x00" + struct.pack("<IH", 8, len(tags)) + entries + struct.pack("<I", following)


def png_bomb(width: int, height: int) -> bytes:
    """Return a tiny PNG that claims a very large picture. Source: W3C PNG, 11.2.1 (IHDR)."""
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)),
        (b"IDAT", zlib.compress(bytes(100_000))),
        (b"IEND", b""),
    )
    body = b"".join(
        struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))
        for name, content in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + body


def _with_hole(raw: bytes) -> bytes:
    """Return the file with its third quarter overwritten by nothing, as a failed copy leaves it."""
    half, three_quarters = len(raw) // 2, 3 * len(raw) // 4
    return raw[:half] + bytes(three_quarters - half) + raw[three_quarters:]


def _write(folder: Path, expected: dict[str, bool | None], name: str, content: bytes, refused: bool | None) -> None:
    (folder / name).write_bytes(content)
    expected[name] = refused
