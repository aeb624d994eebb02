"""Pictures that would fill the memory or never end, and Exif that leads round in circles."""

import random
import struct
import zlib
from collections.abc import Iterator

from tests.faults.broken_media import png_bomb
from tests.intake.hostile.case import Case
from tests.intake.hostile.whole import whole_files
from tests.small_media import photo


def bombs() -> Iterator[Case]:
    """Small files that claim, or unpack to, far more than any camera makes."""
    for wide, high in ((65_535, 65_535), (65_535, 1), (1, 65_535), (65_535, 3_000), (14_000, 14_000), (2**31 - 1, 1)):
        for name, made in (("jpg", _jpeg_of), ("png", png_bomb), ("tif", _tiff_of), ("webp", _webp_of)):
            yield Case("bombs", f"size-{wide}x{high}.{name}", made(wide, high))
    for count in (0, 1, 2**31):
        yield Case("bombs", f"size-0x{count}.png", png_bomb(0, count))
    grey = zlib.compress(bytes(10_001 * 10_000), 9)
    ihdr = struct.pack(">IIBBBBB", 10_000, 10_000, 8, 0, 0, 0, 0)
    yield Case("bombs", "whole-100-million.png", _png((b"IHDR", ihdr), (b"IDAT", grey), (b"IEND", b"")))
    small = struct.pack(">IIBBBBB", 8, 8, 8, 0, 0, 0, 0)
    million = zlib.compress(bytes(300_000_000), 9)
    idat = (b"IDAT", zlib.compress(bytes(72)))
    for kind, content in {
        "ztxt": (b"zTXt", b"Comment\x00\x00" + million),
        "itxt": (b"iTXt", b"Comment\x00\x01\x00\x00\x00" + million),
        "iccp": (b"iCCP", b"ICC\x00\x00" + million),
        "text": (b"tEXt", b"Comment\x00" + b"x" * 5_000_000),
        "exif": (b"eXIf", b"II*\x00" + b"\xff" * 5_000_000),
    }.items():
        yield Case("bombs", f"chunk-{kind}.png", _png((b"IHDR", small), content, idat, (b"IEND", b"")))
    yield Case("bombs", "chunks-100000.png", _png((b"IHDR", small), *[(b"tEXt", b"a\x00b")] * 100_000, idat))
    yield Case("bombs", "data-in-100000.png", _png((b"IHDR", small), *[(b"IDAT", b"")] * 100_000, idat))
    yield Case("bombs", "idat-goes-on.png", _png((b"IHDR", small), (b"IDAT", million), (b"IEND", b"")))
    yield Case("bombs", "frames.png", _png((b"IHDR", small), (b"acTL", b"\xff" * 8), idat, (b"IEND", b"")))
    progressive = whole_files()["progressive.jpg"]
    scans = progressive.index(b"\xff\xda")
    large = bytearray(progressive)
    at = large.index(b"\xff\xc2") + 5
    large[at : at + 4] = struct.pack(">HH", 12_000, 12_000)
    end = progressive.rindex(b"\xff\xd9")
    yield Case("bombs", "scans-3000.jpg", bytes(large[:scans]) + progressive[scans:end] * 3_000 + b"\xff\xd9")
    yield Case("bombs", "scans-20000.jpg", progressive[:scans] + progressive[scans:end] * 20_000 + b"\xff\xd9")
    yield Case("bombs", "markers.jpg", b"\xff\xd8" + b"\xff\xfe\x00\x02" * 500_000 + progressive[2:])
    yield Case("bombs", "fill.jpg", b"\xff\xd8" + b"\xff" * 3_000_000 + progressive[2:])
    yield from _odd_tiffs()


def _png(*chunks: tuple[bytes, bytes]) -> bytes:
    """Source: W3C PNG, 5.3."""
    body = b"".join(
        struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))
        for name, content in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + body


def _jpeg_of(wide: int, high: int) -> bytes:
    raw = bytearray(whole_files()["p.jpg"])
    at = raw.index(b"\xff\xc0") + 5
    raw[at : at + 4] = struct.pack(">HH", high & 0xFFFF, wide & 0xFFFF)
    return bytes(raw)


def _tiff_of(wide: int, high: int) -> bytes:
    packed = zlib.compress(bytes(1_000_000), 9)
    return _tiff(
        [
            (256, 4, wide),
            (257, 4, high),
            (258, 3, 8),
            (259, 3, 8),
            (262, 3, 1),
            (273, 4, 8),
            (277, 3, 1),
            (278, 4, high),
            (279, 4, len(packed)),
        ],
        packed,
    )


def _webp_of(wide: int, high: int) -> bytes:
    head = ((wide - 1) & 0x3FFF) | ((high - 1) & 0x3FFF) << 14
    body = b"VP8L" + struct.pack("<I", 5_000) + b"\x2f" + struct.pack("<I", head) + bytes(4_995)
    return b"RIFF" + struct.pack("<I", len(body) + 4) + b"WEBP" + body


def _tiff(tags: list[tuple[int, int, int]], data: bytes = b"", following: int = 0) -> bytes:
    """Return a TIFF with its data first and one directory, each tag with one value. Source: TIFF 6.0, section 2."""
    data += b"\x00" * (len(data) % 2)
    entries = b"".join(struct.pack("<HHII", tag, kind, 1, value) for tag, kind, value in tags)
    directory = struct.pack("<H", len(tags)) + entries + struct.pack("<I", following)
    return b"II*\x00" + struct.pack("<I", 8 + len(data)) + data + directory


def _odd_tiffs() -> Iterator[Case]:
    basic = [(256, 4, 8), (257, 4, 8), (258, 3, 8), (259, 3, 1), (262, 3, 1), (273, 4, 8), (277, 3, 1), (278, 4, 8)]
    pixels = bytes(64)
    yield Case("bombs", "loop.tif", _tiff([*basic, (279, 4, 64)], pixels, following=8 + 64))
    for bits in (0, 1, 3, 7, 64, 255, 65_535):
        changed = [(tag, kind, bits if tag == 258 else value) for tag, kind, value in basic]
        yield Case("bombs", f"bits-{bits}.tif", _tiff([*changed, (279, 4, 64)], pixels))
    for samples in (0, 2, 5, 255, 65_535):
        changed = [(tag, kind, samples if tag == 277 else value) for tag, kind, value in basic]
        yield Case("bombs", f"samples-{samples}.tif", _tiff([*changed, (279, 4, 64)], pixels))
    for packing in (2, 3, 4, 5, 6, 7, 8, 32_773, 34_712, 34_925, 50_000, 50_001, 9_999):
        changed = [(tag, kind, packing if tag == 259 else value) for tag, kind, value in basic]
        yield Case("bombs", f"packing-{packing}.tif", _tiff([*changed, (279, 4, 64)], random.Random(5).randbytes(64)))
    for strips in (0, 0xFFFFFFFF):
        yield Case("bombs", f"strip-at-{strips}.tif", _tiff([*basic[:5], (273, 4, strips), *basic[6:]], pixels))


def exif() -> Iterator[Case]:
    """Exif that points at itself, beyond the file, or claims thousands of millions of values, in good pictures."""
    pointer = {name: struct.pack("<I", at) for name, at in {"itself": 8, "before": 0, "beyond": 0x7FFFFFFF}.items()}
    blocks = {
        f"{tag:04x}-{name}": _ifd([(tag, 4, 1, at)])
        for tag in (0x8769, 0x8825, 0xA005, 0x0201, 0x9286, 0x927C)
        for name, at in pointer.items()
    }
    for kind in (0, 1, 2, 3, 4, 5, 7, 9, 10, 11, 12, 13, 99, 0xFFFF):
        blocks[f"count-of-type-{kind}"] = _ifd([(0x9003, kind, 0xFFFFFFFF, struct.pack("<I", 8))])
        blocks[f"some-of-type-{kind}"] = _ifd([(0x010F, kind, 60_000, struct.pack("<I", 8))]) + bytes(60_000)
    blocks["next-is-itself"] = _ifd([(0x0132, 2, 4, b"abc\x00")], following=8)
    blocks["two-in-a-ring"] = _ifd([(0x0132, 2, 4, b"abc\x00")], following=26) + _ifd([], following=8)[8:]
    blocks["chain-of-5000"] = _chain(5_000)
    blocks["all-inner"] = _ifd([(0x8769, 4, 1, pointer["itself"])] * 4_000)
    blocks["tags-65535"] = b"II*\x00\x08\x00\x00\x00\xff\xff" + bytes(40_000)
    blocks["by-nought"] = _ifd([(0x8825, 4, 1, struct.pack("<I", 26))]) + _ifd([(7, 5, 3, pointer["itself"])])[8:]
    blocks["big-endian"] = b"MM\x00*\x00\x00\x00\x08\xff\xff" + b"\xff" * 600
    blocks["odd-order"] = b"IM*\x00\x08\x00\x00\x00" + bytes(100)
    for name, block in blocks.items():
        for ending in ("jpg", "png", "webp") if "itself" in name else ("jpg",):
            yield Case("exif", f"{name}.{ending}", lambda path, block=block: _with_exif(path, block))


def _with_exif(path: object, block: bytes) -> None:
    photo(path, b"Exif\x00\x00" + block[:65_000])  # type: ignore[arg-type]


def _ifd(tags: list[tuple[int, int, int, bytes]], following: int = 0) -> bytes:
    entries = b"".join(struct.pack("<HHI", tag, kind, count) + value for tag, kind, count, value in tags)
    return b"II*\x00" + struct.pack("<IH", 8, len(tags)) + entries + struct.pack("<I", following)


def _chain(links: int) -> bytes:
    return b"II*\x00\x08\x00\x00\x00" + b"".join(
        struct.pack("<HI", 0, 8 + 6 * (number + 1) if number + 1 < links else 8) for number in range(links)
    )
