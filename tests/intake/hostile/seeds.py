"""What fuzzing begins with: a few good inputs for each parser."""

from collections.abc import Mapping

from pipeline.shipped import shipped
from tests.intake.hostile.whole import whole_files
from tests.small_media import bext_block, exif_of, wave_bytes

_SPOKEN = (
    "three quarters of an inch, five sixteenths, oh point seven four eight, fifteen hundred and double two nine",
    "1,500 1 1/4 1½ 0.748 .5 5/16 nineteen forty three two dozen a half a thirty-second and a third of 007",
    "A N four dash twelve A, AN4-12A, MS20470AD4-5, NAS 1305 dash 10, A.G.S. 2004/C, AS 1246, SP 90, BS A25",
)
_EVENT = (
    b'{"n":1,"at":"2026-02-14T10:15:00Z","who":"A","act":"made","on":"e","before":null,"after":null,"why":"","previous":"'
    + b"0" * 64
    + b'"}\n'
)


def seeds() -> Mapping[str, tuple[bytes, ...]]:
    """Return good inputs by the parser's name."""
    files = whole_files()
    base = shipped("vocab") / "base"
    lists = sorted(path.name for path in base.glob("*.csv"))
    return {
        "bext": (bext_block(), files["bext.wav"][:900], files["long.wav"][:900], wave_bytes(seconds=0.01)),
        "captions": (files["c.vtt"], files["c.srt"]),
        "numbers": tuple(text.encode() for text in _SPOKEN),
        "part_numbers": tuple(text.encode() for text in _SPOKEN),
        "settings": ((shipped("sample_media") / "book.toml").read_bytes(), b"[time]\nzone = 'Europe/London'\n"),
        "vocabulary": tuple(
            bytes([number]) + b"".join((base / name).read_bytes().splitlines(True)[:12])
            for number, name in enumerate(lists)
        ),
        "mpeg_frames": (files["note.mp3"][:64], files["note.mp3"][-64:], files["note.aac"][:64]),
        "container_tags": (
            b"creation_time=2026-02-14T10:15:00.000000Z\ncom.android.version=14\nmake=M\nmodel=N",
            b"com.apple.quicktime.creationdate=2026-02-14T10:15:00+0100\nlocation=+51.5-000.1+010.0/",
        ),
        "clock_card": (b"CLOCK 2026-02-14T10:20:31Z", b"2026-02-14 10:20:31.25+01:00", b"P-0142"),
        "exif": (
            exif_of("2026:02:14 10:15:00", "+01:00", "25", "2026:02:14", (10, 15, 0), (51.5, -0.1)).tobytes()[6:],
        ),
        "file_names": (b"IMG_20260214_101500.jpg", b"PXL_20260214_101500123.mp4", b"2026-02-14 at 10.15.00 pm.m4a"),
        "history": (_EVENT, _EVENT * 2),
        "manifests": (b"ab12  data/a%0Ab.jpg\n", b"Bag-Size: 1\nExternal-Description: a\n b\n"),
        "file_types": tuple(raw[:3000] for raw in files.values()),
        "json_lines": (b'{"id": "a"}\n\n{"id": "b"}\n',),
    }
