"""What the bytes of a public picture hold beside the picture itself: nothing is allowed."""

import struct
from collections.abc import Iterator

_NO_LENGTH = frozenset({0x01, *range(0xD0, 0xD8)})  # TEM, RST0 to RST7
_PICTURE = frozenset({0xC0, 0xC1, 0xC2, 0xC4, 0xDB, 0xDD, 0xDA})  # frames, Huffman and quantisation tables, DRI, SOS
_BARE_JFIF = 16  # bytes of an APP0 segment, its length field included, that holds no thumbnail
_BARE_CHUNKS = frozenset({b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS"})


def hidden_in(content: bytes) -> str:
    """Return what a picture holds beside the picture ("" for nothing), in words for the editor.

    Source: ITU-T T.81, annex B (JPEG markers); JFIF 1.02 (APP0 and its thumbnail); CIPA DC-008, 4.5.4 (Exif in APP1);
    Adobe XMP part 3 (APP1); IPTC IIM in APP13 (Photoshop resources); ICC.1, B.4 (APP2); W3C PNG, 5 (chunks).
    """
    if content.startswith(b"\xff\xd8"):
        return next(_in_jpeg(content), "")
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return next(_in_png(content), "")
    return "a picture of a kind whose tags are not known"


def _in_jpeg(content: bytes) -> Iterator[str]:
    at = 2
    while at + 2 <= len(content):
        if content[at] != 0xFF:
            yield "bytes that belong to no part of a picture"
            return
        marker = content[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        if marker == 0xD9:
            if content[at + 2 :]:
                yield "something after its end"
            return
        if marker in _NO_LENGTH:
            at += 2
            continue
        length = int.from_bytes(content[at + 2 : at + 4], "big")
        body = content[at + 4 : at + 2 + length]
        if fault := _fault_of_segment(marker, length, body):
            yield fault
        at += 2 + length
        if marker == 0xDA:
            at = _after_scan(content, at)
    yield "no end: it is cut short"


def _fault_of_segment(marker: int, length: int, body: bytes) -> str:
    if marker == 0xE0 and body.startswith(b"JFIF\x00"):
        bare = length == _BARE_JFIF and body[12:14] == b"\x00\x00"
        return "" if bare else "a thumbnail"
    if 0xE0 <= marker <= 0xEF:
        return {0xE1: "Exif or XMP data", 0xE2: "a colour profile", 0xED: "IPTC data"}.get(
            marker, "data of a program"
        )
    if marker == 0xFE:
        return "a comment"
    return "" if marker in _PICTURE else "a part that no plain picture has"


def _after_scan(content: bytes, at: int) -> int:
    """Return where the next marker stands; FF 00 and restart markers belong to the scan. Source: T.81, B.1.1.5."""
    while (at := content.find(b"\xff", at)) >= 0 and at + 1 < len(content):
        follows = content[at + 1]
        if follows and not 0xD0 <= follows <= 0xD7:
            return at
        at += 2
    return len(content)


def _in_png(content: bytes) -> Iterator[str]:
    at = 8
    while at + 12 <= len(content):
        (length,) = struct.unpack(">I", content[at : at + 4])
        kind = content[at + 4 : at + 8]
        if kind not in _BARE_CHUNKS:
            yield f"a part called {kind.decode('latin-1')}"
        at += 12 + length
        if kind == b"IEND":
            if content[at:]:
                yield "something after its end"
            return
    yield "no end: it is cut short"
