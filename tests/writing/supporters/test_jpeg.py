import io
from pathlib import Path

from PIL import Image

from pipeline.writing.supporters.jpeg import carries_tags, jpeg_size
from tests.writing.a_weekend import drawn_picture


def test_a_picture_with_any_tag_is_known_and_a_bare_one_passes() -> None:
    bare = drawn_picture(Path("a.jpg"), 640)
    assert not carries_tags(bare)
    image = Image.open(io.BytesIO(bare))
    exif = Image.Exif()
    exif[0x010E] = "somewhere"
    for options in ({"exif": exif}, {"comment": b"somewhere"}, {"icc_profile": b"x" * 128}):
        out = io.BytesIO()
        image.save(out, "JPEG", **options)
        assert carries_tags(out.getvalue()), options
    assert carries_tags(bare + b"trailing bytes")
    assert carries_tags(b"not a picture")


def test_the_size_of_a_picture_is_read_from_its_own_header() -> None:
    for size in ((640, 480), (300, 901)):
        for progressive in (False, True):
            out = io.BytesIO()
            Image.new("RGB", size).save(out, "JPEG", progressive=progressive)
            assert jpeg_size(out.getvalue()) == size
    assert jpeg_size(b"not a picture") == (0, 0)
