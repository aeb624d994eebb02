import io

import numpy as np
import pytest
from PIL import Image, ImageCms

from pipeline.errors import ItemFault
from pipeline.intake import pictures
from pipeline.intake.pictures import (
    check_picture,
    grey_pixels,
    jpeg_of_pixels,
    picture_pixels,
    picture_size,
    resized_jpeg,
    squeezed,
)
from tests.small_media import ORIENTATION, exif_of, photo, picture

RED = (230, 20, 20)


def _is_red(pixel) -> bool:
    return pixel[0] > 180 and pixel[1] < 90 and pixel[2] < 90


def _red_corner(pixels: np.ndarray) -> str:
    height, width = pixels.shape[:2]
    corners = {"top left": (0, 0), "top right": (0, 1), "bottom left": (1, 0), "bottom right": (1, 1)}
    means = {
        name: pixels[y * height // 2 : (y + 1) * height // 2, x * width // 2 : (x + 1) * width // 2].mean((0, 1))
        for name, (y, x) in corners.items()
    }
    return max(means, key=lambda name: means[name][0] - means[name][1])


# Which corner the stored top left corner is shown in. Source: CIPA DC-008, 4.6.4, Orientation (0x0112).
SHOWN_AT = {
    1: "top left", 2: "top right", 3: "bottom right", 4: "bottom left",
    5: "top left", 6: "top right", 7: "bottom right", 8: "bottom left",
}  # fmt: skip


@pytest.mark.parametrize("orientation", SHOWN_AT)
def test_a_jpeg_is_turned_upright_once(tmp_path, orientation):
    exif = exif_of()
    exif[ORIENTATION] = orientation
    path = photo(tmp_path / "a.jpg", exif, quality=95)
    size = (120, 160) if orientation >= 5 else (160, 120)
    assert picture_size(path) == check_picture(path) == size
    shown = picture_pixels(path, 1000)
    assert (shown.shape[1], shown.shape[0]) == size
    assert _red_corner(shown) == SHOWN_AT[orientation]
    again = Image.open(io.BytesIO(resized_jpeg(path, 1000)))
    assert again.size == size
    assert _red_corner(np.asarray(again)) == SHOWN_AT[orientation]


def test_a_heic_that_its_decoder_has_turned_is_not_turned_again(tmp_path):
    exif = exif_of()
    exif[ORIENTATION] = 6
    path = photo(tmp_path / "a.heic", exif, quality=95)
    decoded = np.asarray(Image.open(path))  # pillow-heif's own pixels are upright
    assert picture_size(path) == (decoded.shape[1], decoded.shape[0])
    assert picture_pixels(path, 1000).shape == decoded.shape
    assert _red_corner(picture_pixels(path, 1000)) == _red_corner(decoded)


def test_a_resized_jpeg_carries_no_tag_profile_or_comment(tmp_path):
    exif = exif_of("2026:02:14 10:15:00", gps_date="2026:02:14", gps_time=(10, 15, 0), place=(51.5, -0.1))
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    path = photo(tmp_path / "a.jpg", exif, icc_profile=profile, comment=b"taken at the hangar", dpi=(300, 300))
    bare = resized_jpeg(path, 80)
    for secret in (b"Exif", b"ICC_PROFILE", b"hangar", b"Tarnbeck", b"http://ns.adobe.com"):
        assert secret in path.read_bytes() or secret == b"http://ns.adobe.com"
        assert secret not in bare
    again = Image.open(io.BytesIO(bare))
    assert max(again.size) == 80
    assert not again.getexif()
    assert set(again.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density", "progressive", "progression"}


@pytest.mark.parametrize("mode", ["L", "P", "RGBA", "LA", "CMYK", "1", "I;16", "F"])
def test_any_mode_becomes_an_rgb_jpeg(tmp_path, mode):
    if mode == "I;16":
        image = Image.fromarray((np.arange(64 * 48).reshape(48, 64) * 20).astype(np.uint16))
    elif mode == "F":
        image = Image.fromarray(np.linspace(0, 1, 64 * 48).reshape(48, 64).astype(np.float32) * 255)
    else:
        image = picture(64, 48).convert(mode)
    path = tmp_path / "a.tif"
    image.save(path)
    shown = Image.open(io.BytesIO(resized_jpeg(path, 64)))
    assert (shown.mode, shown.size) == ("RGB", (64, 48))
    assert np.asarray(shown).std() > 5


def test_clear_parts_of_a_picture_are_laid_on_white(tmp_path):
    image = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    image.save(tmp_path / "a.png")
    assert picture_pixels(tmp_path / "a.png", 40).min() == 255


def test_a_colour_profile_is_turned_into_srgb(tmp_path):
    linear = ImageCms.createProfile("XYZ")
    image = Image.new("RGB", (32, 32), (200, 100, 50))
    plain, tagged = tmp_path / "plain.png", tmp_path / "tagged.png"
    image.save(plain)
    image.save(tagged, icc_profile=ImageCms.ImageCmsProfile(linear).tobytes())
    assert picture_pixels(plain, 32)[0, 0].tolist() == [200, 100, 50]
    assert picture_pixels(tagged, 32).shape == (32, 32, 3)
    image.save(tagged, icc_profile=b"not a profile at all")
    assert picture_pixels(tagged, 32)[0, 0].tolist() == [200, 100, 50]


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif", "heic"])
def test_a_picture_that_is_cut_short_is_found_wherever_it_is_cut(tmp_path, ending):
    whole = photo(tmp_path / f"a.{ending}").read_bytes()
    for part in (0.2, 0.5, 0.9):
        path = tmp_path / f"cut.{ending}"
        path.write_bytes(whole[: int(len(whole) * part)])
        with pytest.raises(ItemFault, match="damaged or cut short"):
            check_picture(path)


def test_a_picture_that_would_fill_the_memory_is_refused_before_it_is_decoded(tmp_path, monkeypatch):
    monkeypatch.setattr(pictures, "MOST_PIXELS", 10_000)
    path = photo(tmp_path / "a.png")
    for look in (picture_size, check_picture):
        with pytest.raises(ItemFault, match="million pixels"):
            look(path)


def test_pixels_become_a_jpeg_no_larger_than_asked(tmp_path):
    pixels = np.asarray(picture(200, 100))
    assert Image.open(io.BytesIO(jpeg_of_pixels(pixels))).size == (200, 100)
    assert Image.open(io.BytesIO(jpeg_of_pixels(pixels, 50))).size == (50, 25)


def test_the_same_picture_gives_the_same_bytes(tmp_path):
    path = photo(tmp_path / "a.jpg")
    assert resized_jpeg(path, 100) == resized_jpeg(path, 100)


@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a.webp", "a.tif", "a.heic"])
def test_grey_picture_is_made_smaller_by_a_whole_number_until_it_is_small_enough(tmp_path, name):
    path = photo(tmp_path / name)
    assert grey_pixels(path).shape == grey_pixels(path, 160 * 120).shape == (120, 160)
    assert grey_pixels(path, 160 * 120 - 1).shape == (60, 80)
    assert grey_pixels(path, 2_134).shape == (40, 54)
    for most_px in (1, 7, 300, 5_000):
        high, wide = grey_pixels(path, most_px).shape
        assert (high - 1) * (wide - 1) <= most_px  # what is left over at an edge gives a pixel more


@pytest.mark.parametrize("size", [(1, 900), (900, 1), (3, 5), (1, 1)])
def test_grey_of_a_sliver_is_made(tmp_path, size):
    Image.new("RGB", size, "white").save(tmp_path / "a.jpg")
    for most_px in (None, 1, 50):
        assert grey_pixels(tmp_path / "a.jpg", most_px).min() > 250


def test_grey_picture_is_as_it_is_stored_and_not_turned(tmp_path):
    exif = exif_of()
    exif[ORIENTATION] = 6
    assert grey_pixels(photo(tmp_path / "a.jpg", exif)).shape == (120, 160)


def test_grey_of_white_and_black_is_that_in_any_depth(tmp_path):
    Image.fromarray(np.array([[0, 65535]], dtype=np.uint16)).save(tmp_path / "deep.png")
    Image.new("RGBA", (2, 1), (0, 0, 0, 0)).save(tmp_path / "clear.png")
    assert grey_pixels(tmp_path / "deep.png").tolist() == [[0, 255]]
    assert grey_pixels(tmp_path / "clear.png").tolist() == [[255, 255]]


def test_grey_of_a_damaged_picture_is_an_items_fault(tmp_path):
    path = photo(tmp_path / "a.jpg")
    path.write_bytes(path.read_bytes()[:2000])
    with pytest.raises(ItemFault, match="damaged or cut short"):
        grey_pixels(path)


@pytest.mark.parametrize(("direction_deg", "shape"), [(0, (100, 100)), (90, (50, 200)), (180, (100, 100))])
def test_squeezed_picture_is_shorter_in_the_direction_asked_for(direction_deg, shape):
    assert squeezed(np.zeros((100, 200), np.uint8), direction_deg, 0.5).shape == shape


def test_picture_squeezed_along_a_diagonal_is_shorter_there_and_as_long_across_it():
    cross = np.zeros((201, 201), np.uint8)
    for step in range(-60, 61):
        cross[100 + step, 100 + step] = cross[100 + step, 100 - step] = 255
    seen = squeezed(np.maximum.reduce([np.roll(cross, shift, 1) for shift in (-1, 0, 1)]), 45, 0.5)
    rows, columns = np.nonzero(seen > 40)
    along, across = rows + columns, rows - columns
    assert np.ptp(across) == pytest.approx(240, abs=8)
    assert np.ptp(along) == pytest.approx(120, abs=8)
