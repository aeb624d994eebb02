"""Good files, broken: cut at every structure, bits flipped, lengths that lie, parts twice or missing, other kinds."""

import random
import zlib
from collections.abc import Iterator

from tests.intake.hostile.case import Case
from tests.intake.hostile.structures import Part, parts_of
from tests.intake.hostile.whole import whole_files

_MOST_CUTS = 36
_LIES = (b"\x00\x00\x00\x00", b"\x00\x00\x00\x01", b"\x00\x00\x00\x07", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff")
_MAGICS = {
    "jpg": b"\xff\xd8\xff\xe1",
    "png": b"\x89PNG\r\n\x1a\n",
    "tif": b"II*\x00",
    "bigtif": b"MM\x00+\x00\x08\x00\x00",
    "webp": b"RIFF\xff\x00\x00\x00WEBPVP8L",
    "heic": b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic",
    "wav": b"RIFF\xff\xff\x00\x00WAVEfmt \x10\x00\x00\x00",
    "rf64": b"RF64\xff\xff\xff\xffWAVEds64",
    "flac": b"fLaC\x00\x00\x00\x22",
    "amr": b"#!AMR\n",
    "amrwb": b"#!AMR-WB\n",
    "ogg": b"OggS\x00\x02",
    "mp4": b"\x00\x00\x00\x18ftypisom\x00\x00\x02\x00isommp41",
    "mov": b"\x00\x00\x00\x14ftypqt  \x00\x00\x00\x00qt  ",
    "3gp": b"\x00\x00\x00\x14ftyp3gp4\x00\x00\x00\x003gp4",
    "moov": b"\x00\x00\xff\xffmoov\x00\x00\x00\x6cmvhd",
    "mkv": b"\x1aE\xdf\xa3\x9fB\x86\x81\x01B\xf7\x81\x01B\xf2\x81\x04B\xf3\x81\x08B\x82\x88matroska",
    "webm": b"\x1aE\xdf\xa3\x9fB\x86\x81\x01B\xf7\x81\x01B\xf2\x81\x04B\xf3\x81\x08B\x82\x84webm",
    "avi": b"RIFF\xff\xff\x00\x00AVI LIST\xff\x00\x00\x00hdrlavih",
    "id3": b"ID3\x04\x00\x00\x00\x00\x02\x01",
    "mp3": b"\xff\xfb\x90\x64",
    "aac": b"\xff\xf1\x50\x80",
    "vtt": b"WEBVTT\n\n00:00.000 --> 00:01.000\n",
    "srt": b"1\n00:00:00,000 --> 00:00:01,000\n",
    "utf16": b"\xff\xfeW\x00E\x00B\x00V\x00T\x00T\x00\n\x00",
}
_OTHERS = {
    "pdf": b"%PDF-1.7\n",
    "zip": b"PK\x03\x04",
    "gif": b"GIF89a",
    "bmp": b"BM",
    "rar": b"Rar!\x1a\x07",
    "gz": b"\x1f\x8b",
    "wma": b"\x30\x26\xb2\x75\x8e\x66\xcf\x11",
    "aiff": b"FORM",
    "html": b"<!doctype html>",
    "json": b"{",
    "exe": b"MZ",
    "elf": b"\x7fELF",
    "avif": b"\x00\x00\x00\x1cftypavif\x00\x00\x00\x00avif",
    "raw": b"\x00\x00\x00\x18ftypcrx ",
    "ps": b"%!PS-Adobe\n",
    "m3u": b"#EXTM3U\nfile:///etc/passwd\n",
    "concat": b"ffconcat version 1.0\nfile /etc/passwd\n",
    "hls": b"#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\n/dev/zero\n#EXT-X-ENDLIST\n",
    "svg": b"<svg/>",
    "text": b"words\n",
}


def cut() -> Iterator[Case]:
    """Cut every good file before, inside and after the head of every part; of many parts, some."""
    for name, raw in whole_files().items():
        places = sorted({at for part in parts_of(raw) for at in (part.at, part.at + 1, part.at + 6) if at < len(raw)})
        some = random.Random(f"cut {name}").sample(places, min(len(places), _MOST_CUTS))
        for at in sorted({*some, 0, 1, len(raw) - 1}):
            yield Case("cut", f"cut-{at:06d}-{name}", raw[:at])


def flipped() -> Iterator[Case]:
    """Flip bits: one or many, in the heads of parts, in the first bytes, anywhere."""
    for name, raw in whole_files().items():
        dice = random.Random(f"flip {name}")
        heads = [part.at + offset for part in parts_of(raw) for offset in range(12)]
        for number in range(22):
            where = (heads, range(min(len(raw), 512)), range(len(raw)))[number % 3]
            broken = bytearray(raw)
            for _ in range((1, 4, 32)[number // 3 % 3]):
                broken[min(dice.choice(where), len(raw) - 1)] ^= 1 << dice.randrange(8)
            yield Case("flipped", f"flip-{number:02d}-{name}", bytes(broken))


def lying() -> Iterator[Case]:
    """Have parts say that they are empty, tiny or huge, or one byte longer than they are."""
    for name, raw in whole_files().items():
        sized = [part for part in parts_of(raw) if part.size_bytes and part.size_at + part.size_bytes <= len(raw)]
        dice = random.Random(f"lie {name}")
        dice.shuffle(sized)
        for number, part in enumerate(sized[:12]):
            lie = _LIES[number % len(_LIES)] if number % 6 != 5 else _one_more(raw, part)
            yield Case("lying-sizes", f"lie-{number:02d}-{part.at:06d}-{name}", _with(raw, part, lie))


def _one_more(raw: bytes, part: Part) -> bytes:
    order = "big" if part.big_endian else "little"
    told = int.from_bytes(raw[part.size_at : part.size_at + part.size_bytes], order)  # type: ignore[arg-type]
    return ((told + 1) & 0xFFFFFFFF).to_bytes(4, "big")


def _with(raw: bytes, part: Part, lie: bytes) -> bytes:
    told = lie.rjust(8, lie[:1] if lie[0] == 0xFF else b"\x00")[-part.size_bytes :]
    if not part.big_endian:
        told = told[::-1]
    return raw[: part.size_at] + told + raw[part.size_at + part.size_bytes :]


def rearranged() -> Iterator[Case]:
    """Leave parts out, write them twice, swap them, blank them, put rubbish between them or after the end."""
    for name, raw in whole_files().items():
        dice = random.Random(f"rearrange {name}")
        places = [*(part.at for part in parts_of(raw)), len(raw)]
        for number in range(10):
            first, second, third = sorted(dice.choice(places) for _ in range(3))
            a, b, c, d = raw[:first], raw[first:second], raw[second:third], raw[third:]
            noise = dice.randbytes(200)
            broken = (a + c + d, a + b + b + c + d, a + c + b + d, a + bytes(len(b)) + c + d, a + noise + b + c + d)
            yield Case("rearranged", f"part-{number:02d}-{name}", broken[number % 5] or raw[: number + 2])
        yield Case("rearranged", f"tail-{name}", raw + dice.randbytes(4096))
        yield Case("rearranged", f"twice-{name}", raw + raw)


def wrong_type() -> Iterator[Case]:
    """Give good files other files' names, the heads of files followed by noise, and files of kinds not read here."""
    dice = random.Random("wrong type")
    for name, raw in whole_files().items():
        for ending in dice.sample(("jpg", "png", "heic", "wav", "mp4", "mp3", "vtt", "txt", "mkv", ""), 4):
            yield Case("wrong-type", f"{name.replace('.', '-')}-as.{ending}", raw + ending.encode())
    for magic, head in _MAGICS.items():
        for number, tail in enumerate((b"", bytes(5000), dice.randbytes(5000), zlib.compress(bytes(99_999)) * 40)):
            yield Case("wrong-type", f"head-{magic}-{number}", head + tail)
    for kind, head in _OTHERS.items():
        for ending in ("jpg", "mp4"):
            yield Case("wrong-type", f"{kind}.{ending}", head + f"\nas {ending}, whatever it is\n".encode() * 30)
    for kind, content in {"empty": b"", "blank": bytes(70_000), "byte": b"x", "lines": b"\n" * 5000}.items():
        for ending in ("jpg", "wav", "mov", "vtt"):
            yield Case("wrong-type", f"{kind}.{ending}", content)
