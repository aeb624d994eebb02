"""Photos that carry planted metadata in every place that the standards have for it, written byte by byte.

Sources: ITU-T T.81, annex B (markers); CIPA DC-008 (Exif: Make, Model, Artist, serial numbers, GPS, thumbnail); Adobe
XMP part 3, 1.1.3 (APP1); IPTC IIM 4.2, 2:05 to 2:120, in APP13; ICC.1, B.4 (APP2); JFIF 1.02 and JFXX (thumbnails).
"""

import io
import struct

import numpy as np
from PIL import Image

PLANTED = (
    "Norris Yelland", "Zentriko", "SERIAL-778812", "Skelderwick", "by the far wall", "IMG_20260214_1015.jpg",
    "LENS-55120", "Kowalczyk",
)  # fmt: skip
_EXIF_TEXTS = {
    0x010E: "by the far wall",  # ImageDescription
    0x010F: "Zentriko",  # Make
    0x0110: "Zentriko Q7",  # Model
    0x013B: "Norris Yelland",  # Artist
    0x8298: "Norris Yelland",  # Copyright
}
_EXIF_IFD_TEXTS = {0xA430: "Kowalczyk", 0xA431: "SERIAL-778812", 0xA435: "LENS-55120", 0x9286: "by the far wall"}


def tagged_photo(number: int) -> bytes:
    """Return a JPEG of its own colours with planted metadata in all of the places."""
    rng = np.random.default_rng(number)
    pixels = np.kron(rng.integers(60, 200, (6, 8, 3), dtype=np.uint8), np.ones((40, 40, 1), dtype=np.uint8))
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", progressive=number % 2 == 0, exif=_exif())
    jpeg = out.getvalue()
    segments = b"".join(
        (
            segment(0xE0, b"JFXX\x00\x10" + jpeg[2:40]),
            segment(0xE1, b"http://ns.adobe.com/xap/1.0/\x00" + xmp()),
            segment(0xED, b"Photoshop 3.0\x00" + iptc()),
            segment(0xE2, b"ICC_PROFILE\x00\x01\x01" + b"desc by the far wall, Skelderwick" + bytes(128)),
            segment(0xEE, b"Adobe Norris Yelland"),
            segment(0xFE, b"Norris Yelland by the far wall, IMG_20260214_1015.jpg"),
        )
    )
    return jpeg[:2] + segments + jpeg[2:] + b"Norris Yelland after the end"


def segment(marker: int, body: bytes) -> bytes:
    """Return one marker segment of a JPEG. Source: ITU-T T.81, B.1.1.4."""
    return b"\xff" + bytes([marker]) + (len(body) + 2).to_bytes(2, "big") + body


def xmp() -> bytes:
    """Return an XMP packet that names a person and a place."""
    return (
        b'<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF '
        b'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:dc="http://purl.org/dc/elements'
        b'/1.1/" dc:creator="Norris Yelland" dc:title="Skelderwick"/></rdf:RDF></x:xmpmeta><?xpacket end="w"?>'
    )


def iptc() -> bytes:
    """Return a Photoshop resource of IPTC datasets: by-line, city, caption. Source: IPTC IIM 4.2, 2:80 to 2:120."""
    sets = b"".join(
        b"\x1c\x02" + bytes([number]) + struct.pack(">H", len(text)) + text
        for number, text in ((80, b"Norris Yelland"), (90, b"Skelderwick"), (120, b"by the far wall"))
    )
    return b"8BIM\x04\x04\x00\x00" + struct.pack(">I", len(sets)) + sets + b"\x00" * (len(sets) % 2)


def _exif() -> Image.Exif:
    exif = Image.Exif()
    for tag, text in _EXIF_TEXTS.items():
        exif[tag] = text
    own = exif.get_ifd(0x8769)
    for tag, text in _EXIF_IFD_TEXTS.items():
        own[tag] = text
    place = exif.get_ifd(0x8825)
    place[1], place[2] = "N", (53.0, 13.0, 50.52)
    place[3], place[4] = "W", (0.0, 32.0, 26.16)
    return exif
