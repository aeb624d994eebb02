"""Sound at no rate or in ten thousand channels, recordings that never end, film with indexes that lie."""

import random
import struct
from collections.abc import Iterator
from pathlib import Path

from tests.intake.hostile.case import Case
from tests.intake.hostile.whole import whole_files
from tests.small_media import media_file


def waves() -> Iterator[Case]:
    """Wave files whose heading is out of its mind."""
    for rate in (0, 1, 7, 100, 3_999, 8_001, 384_000, 10_000_000, 2**31 - 1, 2**32 - 1):
        yield Case("sound", f"rate-{rate}.wav", wave(rate=rate, data=bytes(range(256)) * 250))
    yield Case("sound", "rate-1-for-a-day.wav", wave(rate=1, data=bytes(2 * 86_000)))
    for channels in (0, 2, 3, 63, 64, 255, 256, 10_000, 65_535):
        yield Case("sound", f"channels-{channels}.wav", wave(channels=channels, data=bytes(range(256)) * 900))
    for bits in (0, 1, 7, 12, 24, 32, 33, 64, 65_535):
        yield Case("sound", f"bits-{bits}.wav", wave(bits=bits, data=bytes(range(256)) * 250))
    for align in (0, 1, 3, 65_535):
        yield Case("sound", f"align-{align}.wav", wave(align=align, data=bytes(range(256)) * 250))
    dice = random.Random("codecs")
    for tag in (
        0,
        2,
        3,
        6,
        7,
        0x11,
        0x22,
        0x31,
        0x45,
        0x50,
        0x55,
        0x61,
        0x92,
        0xFF,
        0x160,
        0x162,
        0x270,
        0x1610,
        0x2000,
        0x566F,
        0x674F,
        0xF1AC,
        0xFFFE,
        0xFFFF,
    ):
        yield Case("sound", f"codec-{tag:04x}.wav", wave(tag=tag, data=dice.randbytes(40_000)))
    floats = struct.pack("<8f", *map(float, ("nan", "inf", "-inf", "1e38", "-1e38", "0", "1", "-1"))) * 4_000
    yield Case("sound", "floats.wav", wave(tag=3, bits=32, data=floats))
    for count in (0, 1, 2, 3):
        yield Case("sound", f"bytes-{count}.wav", wave(data=bytes(count)))
    yield Case("sound", "data-twice.wav", wave(data=b"\x10\x20" * 9_000) + b"data" + struct.pack("<I", 9) + bytes(9))
    yield Case("sound", "zeros-500-million.wav", lambda path: _zeros(path, wave(data=b"", claimed=500_000_000)))
    yield Case("sound", "zeros-500-million.mp3", lambda path: _zeros(path, b""))
    yield Case("sound", "zeros-behind-head.m4a", lambda path: _zeros(path, whole_files()["note.m4a"][:40]))
    yield Case("sound", "zeros-behind-it.mp3", lambda path: _zeros(path, whole_files()["note.mp3"], 60_000_000))


def wave(
    rate: int = 16_000,
    channels: int = 1,
    bits: int = 16,
    tag: int = 1,
    align: int | None = None,
    *,
    data: bytes,
    claimed: int | None = None,
) -> bytes:
    """Return a wave file with any heading. Source: RIFF WAVE, ``fmt `` chunk."""
    block = channels * bits // 8 if align is None else align
    head = struct.pack("<HHIIHH", tag, channels, rate, rate * block & 0xFFFFFFFF, block & 0xFFFF, bits)
    size = len(data) if claimed is None else claimed
    chunks = b"fmt " + struct.pack("<I", 16) + head + b"data" + struct.pack("<I", size) + data
    return b"RIFF" + struct.pack("<I", (4 + len(chunks) + size - len(data)) & 0xFFFFFFFF) + b"WAVE" + chunks


def _zeros(path: Path, head: bytes, size: int = 500_000_000) -> None:
    with path.open("wb") as file:
        file.write(head)
        file.truncate(len(head) + size)  # nothing is kept on disk of what was never written


def packed() -> Iterator[Case]:
    """Packed sound that is hours long, tags larger than the file, and frames that change their kind on the way."""
    yield Case("sound", "silence-of-3-hours.flac", lambda path: _silence(path, "flac", "flac", 10_800))
    yield Case("sound", "silence-of-10-minutes.opus", lambda path: _silence(path, "ogg", "libopus", 600, 48_000))
    mp3, flac, opus, amr = (whole_files()[name] for name in ("note.mp3", "note.flac", "note.opus", "note.amr"))
    for size in (0, 1, 1_000, 2**21, 2**28 - 1):
        tag = bytes(size >> shift & 0x7F for shift in (21, 14, 7, 0))
        yield Case("sound", f"id3-says-{size}.mp3", b"ID3\x04\x00\x00" + tag + mp3)
    yield Case("sound", "id3-x-2000.mp3", b"ID3\x04\x00\x00\x00\x00\x00\x00" * 2_000 + mp3)
    frame = b"TXXX\x0f\xff\xff\xff\x00\x00"
    yield Case("sound", "id3-frames.mp3", b"ID3\x04\x00\x00\x00\x7f\x00\x00" + frame * 100_000 + mp3)
    yield Case("sound", "frames-of-all-kinds.mp3", mp3 + whole_files()["note.aac"] + mp3 + opus + mp3)
    for at, value in ((10, b"\x00" * 8), (10, b"\xff" * 8), (18, b"\x00\x00\x0a\x70"), (8, b"\x00\x00\x00\x00")):
        yield Case("sound", f"info-{at}-{value[:2].hex()}.flac", flac[:at] + value + flac[at + len(value) :])
    for granule in (b"\xff" * 8, b"\xff" * 7 + b"\x7f", b"\x00" * 8):
        last = opus.rindex(b"OggS")
        yield Case("sound", f"granule-{granule[-2:].hex()}.opus", opus[: last + 6] + granule + opus[last + 14 :])
    for channels in (0, 3, 9, 255):
        yield Case("sound", f"channels-{channels}.opus", _channels(opus, channels))
    for kind in range(0, 128, 8):
        yield Case("sound", f"frames-{kind:02x}.amr", amr[:6] + bytes([kind | 4]) * 30_000)
    for hours in (1, 23, 25):
        yield Case("sound", f"no-data-for-{hours}-hours.amr", amr[:6] + b"\x7c" * 180_000 * hours)
    yield Case("sound", "one-frame.aac", whole_files()["note.aac"][:200] * 500)
    dice = random.Random("noise in frames")
    for number in range(20):
        broken = bytearray(mp3)
        for _ in range(200):
            broken[dice.randrange(400, len(broken))] = dice.randrange(256)
        yield Case("sound", f"noise-{number}.mp3", bytes(broken))


def _channels(opus: bytes, count: int) -> bytes:
    return opus.replace(b"OpusHead\x01\x01", b"OpusHead\x01%c" % count)


def _silence(path: Path, muxer: str, encoder: str, seconds: int, rate: int = 8_000) -> None:
    import numpy as np

    media_file(path, muxer, encoder, rate, samples=np.zeros((1, rate * seconds), np.int16))


def indexes() -> Iterator[Case]:
    """MP4 and Matroska whose indexes claim other lengths, places, counts and times than there are."""
    for name in ("note.m4a", "film.mp4", "film.mov", "note.3gp"):
        raw = whole_files()[name]
        for box, fields in {
            b"mvhd": (12, 16, 20, 24),
            b"mdhd": (16, 20),
            b"tkhd": (20, 28),
            b"stts": (12, 16, 20),
            b"stsz": (12, 16, 20),
            b"stsc": (12, 16, 20),
            b"stco": (12, 16),
            b"elst": (12, 16, 20),
            b"hdlr": (16,),
            b"stsd": (12, 16, 20),
            b"mp4a": (24, 28, 32),
            b"esds": (12, 16),
        }.items():
            at = raw.find(box) - 4
            for field in fields if at > 0 else ():
                for value in (0, 1, 0x7FFFFFFF, 0xFFFFFFFF)[: 4 if field > 12 else 3]:
                    lie = raw[: at + field] + struct.pack(">I", value) + raw[at + field + 4 :]
                    yield Case("index", f"{box.decode()}-{field}-{value:x}-{name}", lie)
    head = whole_files()["note.m4a"][:28]
    deep = b""
    for _ in range(3_000):
        deep = struct.pack(">I", len(deep) + 8) + b"moov" + deep
    yield Case("index", "boxes-in-boxes.mp4", head + deep)
    yield Case("index", "boxes-100000.mp4", head + b"\0\0\0\x08free" * 100_000 + whole_files()["film.mp4"][28:])
    yield Case("index", "size-of-64-bits.mp4", head + b"\0\0\0\x01mdat" + b"\xff" * 8 + whole_files()["note.m4a"])
    yield Case("index", "box-to-the-end.mp4", head + b"\x00\x00\x00\x00mdat" + whole_files()["note.m4a"][28:])
    for name in ("film.mkv", "film.webm", "note.mka"):
        raw = whole_files()[name]
        for element in map(bytes.fromhex, ["2ad7b1", "4489", "b5", "9f", "b0", "ba", "e7", "9b", "86", "53ac"]):
            at = raw.find(element)
            if at > 0:
                for filler in (0x00, 0x7F, 0xFF):
                    lie = raw[: at + len(element) + 1] + bytes([filler]) * 4 + raw[at + len(element) + 5 :]
                    yield Case("index", f"{element.hex()}-{filler:02x}-{name}", lie)
