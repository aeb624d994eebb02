"""What a public picture may hold, against the standards of its format.

Sources: ITU-T T.81, annex B (marker segments, scans, EOI); CIPA DC-008, 4.5.4 (Exif in APP1); Adobe XMP part 3 (APP1,
and its extended packets); IPTC IIM in APP13; ICC.1, B.4 (APP2); JFIF 1.02 (thumbnail in APP0, JFXX); W3C PNG, 11.3.
"""

import io
import struct
import zlib

import pytest
from PIL import Image

from pipeline.writing.supporters.public_pictures import hidden_in
from tests.writing.supporters.tagged_photos import iptc, segment, xmp


def _bare(progressive: bool = False) -> bytes:
    out = io.BytesIO()
    Image.effect_noise((96, 64), 60).convert("RGB").save(out, "JPEG", progressive=progressive)
    return out.getvalue()


@pytest.mark.parametrize("progressive", [False, True])
def test_a_bare_picture_holds_nothing(progressive: bool) -> None:
    assert hidden_in(_bare(progressive)) == ""


def test_restart_markers_and_stuffed_bytes_belong_to_the_picture() -> None:
    out = io.BytesIO()
    Image.effect_noise((96, 64), 90).save(out, "JPEG", quality=98, restart_marker_blocks=2)
    assert b"\xff\xd0" in out.getvalue() and hidden_in(out.getvalue()) == ""


@pytest.mark.parametrize(
    ("added", "told"),
    [
        (segment(0xE1, b"Exif\x00\x00II*\x00\x08\x00\x00\x00"), "Exif or XMP"),
        (segment(0xE1, b"http://ns.adobe.com/xap/1.0/\x00" + xmp()), "Exif or XMP"),
        (segment(0xE1, b"http://ns.adobe.com/xmp/extension/\x00" + bytes(40)), "Exif or XMP"),
        (segment(0xED, b"Photoshop 3.0\x00" + iptc()), "IPTC"),
        (segment(0xE2, b"ICC_PROFILE\x00\x01\x01" + bytes(128)), "colour profile"),
        (segment(0xE2, b"MPF\x00II*\x00"), "colour profile"),
        (segment(0xFE, b"a comment"), "comment"),
        (segment(0xE0, b"JFXX\x00\x10" + bytes(30)), "data of a program"),
        (segment(0xEE, b"Adobe\x00d"), "data of a program"),
        (segment(0xEF, b"anything"), "data of a program"),
        (segment(0xF0, b"anything"), "no plain picture"),
    ],
)
@pytest.mark.parametrize("progressive", [False, True])
def test_a_segment_is_found_before_the_picture_and_between_its_scans(
    added: bytes, told: str, progressive: bool
) -> None:
    bare = _bare(progressive)
    assert told in hidden_in(bare[:2] + added + bare[2:])
    assert told in hidden_in(bare[:-2] + added + bare[-2:])


def test_a_thumbnail_in_the_jfif_header_is_found() -> None:
    bare = _bare()
    assert bare[2:4] == b"\xff\xe0" and bare[6:11] == b"JFIF\x00"
    small = segment(0xE0, bare[6:18] + b"\x02\x02" + bytes(12))
    assert hidden_in(bare[:2] + small + bare[20:]) == "a thumbnail"


def test_what_follows_the_end_and_what_is_cut_short_is_found() -> None:
    assert hidden_in(_bare() + b"more") == "something after its end"
    assert hidden_in(_bare()[:-2]).startswith("no end")
    assert hidden_in(b"GIF89a").startswith("a picture of a kind")
    assert hidden_in(b"\xff\xd8")


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


@pytest.mark.parametrize("kind", [b"tEXt", b"zTXt", b"iTXt", b"eXIf", b"tIME", b"iCCP"])
def test_texts_and_times_in_a_png_are_found(kind: bytes) -> None:
    out = io.BytesIO()
    Image.new("RGB", (8, 8)).save(out, "PNG")
    bare = out.getvalue()
    assert hidden_in(bare) == ""
    assert kind.decode() in hidden_in(bare[:33] + _chunk(kind, b"somewhere") + bare[33:])
    assert hidden_in(bare + b"more")
