"""Exif against CIPA DC-008 and against exiftool and Pillow, none of which was written here."""

import json
import shutil
import subprocess
from datetime import datetime

import exifread.tags.exif as exifread_names
import pytest
from PIL import ExifTags, Image

from pipeline.dating.sources import date_media
from pipeline.intake.exif import read_exif
from pipeline.intake.probe import probe
from pipeline.values import FileSeen, Media, TimeSource
from tests.dating.seen_media import LONDON, NOW, STARTS
from tests.small_media import exif_of, photo

# Source: CIPA DC-008 (Exif 2.32), 4.6.5 table 7 (date and time tags) and 4.6.6 table 15 (GPS tags).
NUMBERS = {0x9003: "DateTimeOriginal", 0x9011: "OffsetTimeOriginal", 0x9291: "SubSecTimeOriginal"}
GPS_NUMBERS = {0x0007: "GPSTimeStamp", 0x001D: "GPSDateStamp"}

CASES = [
    ("2026:02:14 10:15:00", "+00:00", "250"),
    ("2026:07:14 23:59:59", "+01:00", "999"),
    ("2026:07:15 00:00:01", "-03:30", "001"),
    ("2026:12:31 23:30:00", "+05:45", None),
]


def test_the_tag_numbers_are_those_of_the_standard():
    read = exifread_names.EXIF_TAGS
    for number, name in NUMBERS.items():
        assert read[number][0] == name
        assert ExifTags.TAGS[number].lower() == name.lower()
    for number, name in GPS_NUMBERS.items():
        assert ExifTags.GPSTAGS[number] == name
        # exifread calls GPSDateStamp GPSDate; the number is what counts
        assert exifread_names.GPS_TAGS[number][0] in (name, "GPSDate")


@pytest.mark.parametrize(("taken", "offset", "subsec"), CASES)
@pytest.mark.parametrize("ending", ["jpg", "heic", "webp", "png", "tif"])
def test_instants_agree_with_exiftool(tmp_path, taken, offset, subsec, ending):
    """Source: exiftool, its Composite:SubSecDateTimeOriginal and Composite:GPSDateTime."""
    if shutil.which("exiftool") is None:
        pytest.skip("exiftool is not installed; Pillow is compared with in the next test")
    exif = exif_of(taken, offset, subsec, gps_date="2026:02:14", gps_time=(10, 14, 58.5), place=(51.5, -0.25))
    path = photo(tmp_path / f"a.{ending}", exif)
    command = ["exiftool", "-json", "-n", "-Composite:all", "-Make", "-Model", "-EXIF:all", str(path)]
    (theirs,) = json.loads(subprocess.run(command, capture_output=True, check=True, text=True).stdout)
    found = read_exif(path)
    gps, camera = found.clues
    shown = theirs.get("SubSecDateTimeOriginal", f"{theirs['DateTimeOriginal']}{theirs['OffsetTimeOriginal']}")
    assert f"{camera.wall}{camera.offset}" == shown.replace(":", "-", 2).replace(" ", "T")
    assert datetime.fromisoformat(gps.wall + gps.offset) == _exif_instant(
        theirs["GPSDateTime"].replace("Z", "+00:00")
    )
    assert found.device == f"{theirs['Make']} {theirs['Model']}"
    assert found.gps_deg == pytest.approx((theirs["GPSLatitude"], theirs["GPSLongitude"]), abs=1e-6)


@pytest.mark.parametrize(("taken", "offset", "subsec"), CASES)
def test_instants_agree_with_pillow(tmp_path, taken, offset, subsec):
    """Source: Pillow's own reading of the same file, by the standard's numbers."""
    path = photo(tmp_path / "a.jpg", exif_of(taken, offset, subsec))
    theirs = Image.open(path).getexif().get_ifd(0x8769)
    instant = _exif_instant(f"{theirs[0x9003]}.{theirs.get(0x9291) or '0'}{theirs[0x9011]}")
    media = Media(id=f"sha256:{0:064x}", files=(FileSeen(path=str(path), size=1, modified_ns=0),), probe=probe(path))
    found = date_media(media, LONDON, STARTS, NOW.replace(year=2027))
    assert found.source is TimeSource.EXIF_OFFSET
    assert found.at == instant


def _exif_instant(text: str) -> datetime:
    date, rest = text.split(" ")
    whole, offset = rest[:-6], rest[-6:]
    if "." in whole:
        head, fraction = whole.split(".")
        whole = f"{head}.{fraction:0<6}"
    return datetime.fromisoformat(f"{date.replace(':', '-')}T{whole}{offset}")
