"""Where the parts of a file begin, and where it says how long they are: what to cut and what to lie about.

Source: ITU-T T.81 (JPEG markers), W3C PNG (chunks), RIFF, ISO/IEC 14496-12 (boxes), RFC 8794 (EBML), RFC 3533 (Ogg),
RFC 9639 (FLAC), TIFF 6.0; frames of MPEG sound by ``pipeline.intake.mpeg_frames``.
"""

from collections.abc import Callable, Iterator
from typing import NamedTuple

from pipeline.intake.mpeg_frames import adts_frame_bytes, mp3_frame_bytes

_HOLDS_BOXES = {b"moov", b"trak", b"mdia", b"minf", b"stbl", b"udta", b"edts", b"meta", b"iprp", b"ipco", b"dinf"}
_HOLDS_NUMBERS = {b"stts", b"stsz", b"stsc", b"stco", b"elst", b"stss", b"ctts", b"iloc", b"ispe", b"mdhd", b"mvhd"}
_HOLDS_ELEMENTS = {0x18538067, 0x1549A966, 0x1654AE6B, 0xAE, 0x1F43B675, 0xE1, 0xE0, 0x1C53BB6B, 0x114D9B74, 0xA0}


class Part(NamedTuple):
    """A part: where it begins, and the bytes of its length (``size_at`` to ``size_at + size_bytes``; none if 0)."""

    at: int
    size_at: int
    size_bytes: int
    big_endian: bool = True


def parts_of(raw: bytes) -> list[Part]:
    """Return the parts of a file in the order of their place; at least the file itself."""
    found = [Part(0, 0, 0), *_reader(raw)(raw)]
    return sorted(set(found))


def _reader(raw: bytes) -> Callable[[bytes], Iterator[Part]]:
    if raw.startswith(b"\xff\xd8"):
        return _jpeg
    if raw.startswith(b"\x89PNG"):
        return _png
    if raw[:4] in (b"RIFF", b"RF64"):
        return _riff
    if raw[4:8] == b"ftyp":
        return lambda whole: _boxes(whole, 0, len(whole))
    if raw.startswith(b"\x1aE\xdf\xa3"):
        return lambda whole: _elements(whole, 0, len(whole))
    if raw.startswith(b"fLaC"):
        return _flac
    if raw.startswith((b"II", b"MM")):
        return _tiff
    if raw.startswith(b"OggS"):
        return lambda whole: (Part(at, at + 26, 1) for at in _each(whole, b"OggS"))
    return _text if b"-->" in raw else _frames


def _text(raw: bytes) -> Iterator[Part]:
    yield from (Part(at, 0, 0) for at in _each(raw, b"\n\n"))


def _each(raw: bytes, mark: bytes) -> Iterator[int]:
    at = raw.find(mark)
    while at >= 0:
        yield at
        at = raw.find(mark, at + 1)


def _jpeg(raw: bytes) -> Iterator[Part]:
    at = 2
    while at + 4 <= len(raw) and raw[at] == 0xFF:
        yield Part(at, at + 2, 2)
        if raw[at + 1] == 0xDA:
            at = raw.find(b"\xff", at + 2 + int.from_bytes(raw[at + 2 : at + 4], "big"))
            while 0 <= at < len(raw) - 1 and (raw[at + 1] == 0 or 0xD0 <= raw[at + 1] <= 0xD7):
                at = raw.find(b"\xff", at + 2)
            if at < 0:
                return
        else:
            at += 2 + int.from_bytes(raw[at + 2 : at + 4], "big")


def _png(raw: bytes) -> Iterator[Part]:
    at = 8
    while at + 8 <= len(raw):
        yield Part(at, at, 4)
        at += 12 + int.from_bytes(raw[at : at + 4], "big")


def _riff(raw: bytes) -> Iterator[Part]:
    at = 12
    yield Part(4, 4, 4, False)
    while at + 8 <= len(raw):
        yield Part(at, at + 4, 4, False)
        size = int.from_bytes(raw[at + 4 : at + 8], "little")
        at += 12 if raw[at : at + 4] == b"LIST" else 8 + size + size % 2


def _boxes(raw: bytes, at: int, end: int) -> Iterator[Part]:
    while at + 8 <= end:
        size, name = int.from_bytes(raw[at : at + 4], "big"), raw[at + 4 : at + 8]
        yield Part(at, at, 4)
        if name in _HOLDS_BOXES:
            yield from _boxes(raw, at + (12 if name == b"meta" else 8), min(end, at + size))
        elif name in (
            b"stts",
            b"stsz",
            b"stsc",
            b"stco",
            b"elst",
            b"stss",
            b"ctts",
            b"iloc",
            b"ispe",
            b"mdhd",
            b"mvhd",
        ):
            for field in range(12, min(size, 36), 4):
                yield Part(at + field, at + field, 4)
        if size < 8:
            return
        at += size


def _elements(raw: bytes, at: int, end: int) -> Iterator[Part]:
    while at + 2 <= end:
        id_bytes = 9 - raw[at].bit_length() if raw[at] else 1
        size_at = at + id_bytes
        if size_at >= end:
            return
        size_bytes = 9 - raw[size_at].bit_length() if raw[size_at] else 1
        size = int.from_bytes(raw[size_at : size_at + size_bytes], "big") & ((1 << 7 * size_bytes) - 1)
        yield Part(at, size_at, size_bytes)
        at = size_at + size_bytes + (0 if int.from_bytes(raw[at:size_at], "big") in _HOLDS_ELEMENTS else size)


def _flac(raw: bytes) -> Iterator[Part]:
    at, last = 4, False
    while at + 4 <= len(raw) and not last:
        yield Part(at, at + 1, 3)
        last = bool(raw[at] & 0x80)
        at += 4 + int.from_bytes(raw[at + 1 : at + 4], "big")
    for frame in _each(raw, b"\xff\xf8"):
        yield Part(frame, frame + 2, 2)


def _tiff(raw: bytes) -> Iterator[Part]:
    order = "little" if raw.startswith(b"II") else "big"
    at = int.from_bytes(raw[4:8], order)
    yield Part(4, 4, 4, order == "big")
    for entry in range(int.from_bytes(raw[at : at + 2], order)):
        here = at + 2 + 12 * entry
        yield Part(here, here + 4, 4, order == "big")
        yield Part(here + 8, here + 8, 4, order == "big")


def _frames(raw: bytes) -> Iterator[Part]:
    at = 10 + int.from_bytes(raw[6:10], "big") if raw.startswith(b"ID3") else 0
    if raw.startswith(b"#!AMR"):
        yield from (Part(at, at, 1) for at in range(6, len(raw), 32))
        return
    while at + 8 <= len(raw):
        length = mp3_frame_bytes(raw[at : at + 8]) or adts_frame_bytes(raw[at : at + 8])
        yield Part(at, at + 2, 2)
        at += length or 64
