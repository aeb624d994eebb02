import io

import pytest
from PIL import Image

from pipeline.errors import ItemFault
from pipeline.values import Kind
from pipeline.writing.logbook_pdf_pictures import PRINT_PX, print_picture, state_of
from pipeline.writing.viewing_copies import Makers, picture_copy
from tests.writing.a_weekend import SATURDAY, medium

NAME = "photo.jpg"


def photo_in(folder, mode, size=(1600, 1200), form="JPEG", **more):
    (folder / "media").mkdir(exist_ok=True)
    Image.new(mode, size).save(folder / "media" / NAME, form, **more)
    return medium(NAME, SATURDAY, Kind.PHOTO, "image/jpeg")


def printed(media, folder):
    return Image.open(io.BytesIO(print_picture(media, {media.id: media}, folder / "out", Makers())))


@pytest.mark.parametrize(
    "mode, form", [("RGB", "JPEG"), ("L", "JPEG"), ("CMYK", "JPEG"), ("RGBA", "PNG"), ("I;16", "TIFF"), ("1", "PNG")]
)
def test_every_kind_of_picture_is_printed_small_in_rgb_and_without_a_tag(tmp_path, mode, form):
    shown = printed(photo_in(tmp_path, mode, form=form), tmp_path)
    assert (shown.format, shown.mode) == ("JPEG", "RGB")
    assert max(shown.size) == PRINT_PX
    assert not shown.getexif()


def test_a_photo_that_was_taken_on_its_side_is_turned_once(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6  # CIPA DC-008, 4.6.4: the top is on the right
    media = photo_in(tmp_path, "RGB", exif=exif)
    shown = printed(media, tmp_path)
    assert shown.size == (480, 640)
    copy = tmp_path / "out" / picture_copy(media.id)
    copy.parent.mkdir(parents=True)
    copy.write_bytes(Makers().picture(tmp_path / "media" / NAME, 1280))
    assert printed(media, tmp_path).size == (480, 640)


def test_a_damaged_viewing_copy_is_made_up_for_by_the_original(tmp_path):
    media = photo_in(tmp_path, "RGB")
    assert state_of(tmp_path / "out", media.id) == -1
    copy = tmp_path / "out" / picture_copy(media.id)
    copy.parent.mkdir(parents=True)
    copy.write_bytes(b"\xff\xd8 cut short")
    assert state_of(tmp_path / "out", media.id) == copy.stat().st_size
    assert printed(media, tmp_path).size == (640, 480)
    (tmp_path / "media" / NAME).unlink()
    with pytest.raises(ItemFault):
        print_picture(media, {}, tmp_path / "out", Makers())
