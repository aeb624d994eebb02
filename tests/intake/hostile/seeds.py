"""What fuzzing begins with: a few good inputs for each parser."""

from collections.abc import Mapping
from hashlib import sha256
from urllib.parse import urlencode

from pipeline.evidence.bag_writing import SEALED_FILE
from pipeline.evidence.manifests import DECLARATION, manifest_bytes, tags_bytes
from pipeline.shipped import shipped
from tests.intake.hostile.handed_in import BAG_FILES, BETWEEN_FILES, CSRF, PAYLOAD
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

_EDITS = (
    b'[[pictures]]\nphoto = "IMG_0012.jpg"\ncaption = "The rudder comes away."\n\n[[pictures]]\nphoto = "b.jpg"\n'
    b'leave_out = true\n\n[[reports]]\nreport = "2026-02"\nheadline = "The tail is bare"\nlead = "IMG_0012.jpg"\n'
    b'leave_out = [\n  "We labelled the spinner.",\n]\n'
)
_FACT = (
    {
        "status": "done",
        "act": "remove",
        "item": "rudder",
        "side": "port",
        "count": "8",
        "of": "bolt",
        "tag": "P-0142",
    },
    {
        "status": "seen",
        "finding": "crack",
        "item": "hinge",
        "scheme": "frame",
        "at": "12",
        "value": "1,5",
        "unit": "mm",
    },
    {"heard": "the udder", "means": "the rudder", "part": "rudder"},
)


def _bag(agent: str) -> bytes:
    """Return the files of a bag of one note, as ``handed_in.bags`` takes them."""
    files = {
        "bagit.txt": DECLARATION,
        "bag-info.txt": tags_bytes([("Bag-Software-Agent", agent), ("Payload-Oxum", f"{len(PAYLOAD)}.1")]),
        "manifest-sha256.txt": manifest_bytes({"data/a.txt": sha256(PAYLOAD).hexdigest()}),
        "carried-over.json": b'{"schema_name": "saidseen/carried-over/1", "bags": [], "files": []}\n',
    }
    sealed = {SEALED_FILE: manifest_bytes({name: sha256(content).hexdigest() for name, content in files.items()})}
    return BETWEEN_FILES.join((files | sealed)[name] for name in BAG_FILES)


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
        "edits": (_EDITS, (shipped("templates") / "edits.toml").read_bytes()),
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
        "labels": (b"P-0142\nP-0143\nB-0007", b"p 9999\nAB-999999998\nhttps://a.b/c"),
        "exif": (
            exif_of("2026:02:14 10:15:00", "+01:00", "25", "2026:02:14", (10, 15, 0), (51.5, -0.1)).tobytes()[6:],
        ),
        "file_names": (b"IMG_20260214_101500.jpg", b"PXL_20260214_101500123.mp4", b"2026-02-14 at 10.15.00 pm.m4a"),
        "history": (_EVENT, _EVENT * 2),
        "manifests": (b"ab12  data/a%0Ab.jpg\n", b"Bag-Size: 1\nExternal-Description: a\n b\n"),
        "bags": (_bag("saidseen 1.0"), _bag("another"), b"0123 4567" * 8),
        "review_forms": tuple(urlencode({"csrf": CSRF, **fields}).encode() for fields in _FACT),
        "file_types": tuple(raw[:3000] for raw in files.values()),
        "json_lines": (b'{"id": "a"}\n\n{"id": "b"}\n',),
    }
