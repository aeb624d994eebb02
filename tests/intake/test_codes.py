from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
import zxingcpp
from PIL import Image

from pipeline.cards.clock_card import card_text
from pipeline.errors import ItemFault
from pipeline.intake import codes
from pipeline.intake.codes import read_codes, sorted_codes
from pipeline.values import Codes
from tests.coded_photos import background, photo_of

pillow_heif.register_heif_opener()

AT = datetime(2026, 2, 14, 10, 20, 31, tzinfo=UTC)
SAMPLE = Path(__file__).parent.parent.parent / "sample_media" / "media"
NOTHING = Codes()


def read(path: Path) -> Codes:
    return read_codes(path, "image/jpeg")


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif", "heic"])
def test_tag_is_read_in_a_photo_of_any_format(tmp_path, ending):
    path = photo_of(tmp_path / f"a.{ending}", "P-0142")
    assert read_codes(path, f"image/{ending}") == Codes(tags=("P-0142",))


def test_clock_card_gives_the_instant_and_is_no_tag(tmp_path):
    assert read(photo_of(tmp_path / "a.jpg", card_text(AT), code_px=400)) == Codes(card_at=AT)


def test_card_and_tags_side_by_side_are_told_apart_and_sorted(tmp_path):
    path = photo_of(tmp_path / "a.jpg", "P-0143", card_text(AT), "BAG 22", "P-0099", code_px=180)
    assert read(path) == Codes(card_at=AT, tags=("P-0099", "P-0143"), others=("BAG 22",))


@pytest.mark.parametrize(
    "how",
    [
        {"spin_deg": 37},
        {"spin_deg": 180},
        {"light": 0.2},
        {"light": 0.35, "grain": 12},
        {"blur_px": 2.5},
        {"code_px": 700},
        {"tilt_deg": 40, "turn_deg": 25},
        {"tilt_deg": 60, "turn_deg": 120, "code_px": 240},
        {"quality": 40},
    ],
    ids=str,
)
def test_tag_is_read_turned_in_the_dark_out_of_focus_near_and_at_a_slant(tmp_path, how):
    assert read(photo_of(tmp_path / "a.jpg", "P-0142", **how)).tags == ("P-0142",)


def test_slant_that_the_first_look_cannot_make_out_is_read_in_the_squeezed_picture(tmp_path, monkeypatch):
    path = photo_of(tmp_path / "a.jpg", "P-0142", tilt_deg=64, turn_deg=130, code_px=240)
    assert read(path).tags == ("P-0142",)
    monkeypatch.setattr(codes, "_DIRECTIONS_DEG", ())
    assert read(path).tags == ()


def test_label_in_a_photo_of_twelve_million_pixels_is_read_from_a_metre_and_a_half(tmp_path):
    # A phone's main camera sees 69 degrees across: 2.06 m at 1.5 m, so 4032 pixels show 30 mm on 58. Common practice.
    path = photo_of(tmp_path / "a.jpg", "P-0142", code_px=58, size=(4032, 3024), quality=90)
    assert read(path).tags == ("P-0142",)


def test_what_is_too_small_in_a_very_large_photo_is_looked_for_at_full_size(tmp_path, monkeypatch):
    path = photo_of(tmp_path / "a.jpg", "P-0142", code_px=60)
    monkeypatch.setattr(codes, "_FIRST_LOOK_PX", 200_000)
    assert read(path).tags == ("P-0142",)


def test_data_matrix_is_read_whichever_way_up(tmp_path):
    # Made by the library that reads it: what is tested is that such codes are looked for, not the standard.
    symbol = zxingcpp.create_barcode("PB-31", zxingcpp.BarcodeFormat.DataMatrix).to_image(scale=10)
    for turned in range(4):
        scene = background()
        scene.paste(
            Image.fromarray(np.rot90(np.pad(np.asarray(symbol), 30, constant_values=255), turned)), (300, 200)
        )
        path = tmp_path / f"{turned}.jpg"
        scene.save(path)
        assert read(path).tags == ("PB-31",)


def test_picture_without_a_code_gives_nothing(tmp_path):
    background().save(tmp_path / "a.jpg")
    Image.new("L", (1, 1)).save(tmp_path / "b.png")
    assert read(tmp_path / "a.jpg") == read(tmp_path / "b.png") == NOTHING


def test_film_is_not_looked_at(tmp_path):
    assert read_codes(tmp_path / "not there.mp4", "video/mp4") == NOTHING


@pytest.mark.parametrize("content", [b"", b"no picture", None])
def test_unreadable_picture_is_an_items_fault(tmp_path, content):
    whole = photo_of(tmp_path / "whole.jpg", "P-0142").read_bytes()
    path = tmp_path / "a.jpg"
    path.write_bytes(whole[: len(whole) // 2] if content is None else content)
    with pytest.raises(ItemFault, match="damaged or cut short"):
        read(path)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("P-0142", Codes(tags=("P-0142",))),
        (" pb-7 ", Codes(tags=("PB-7",))),
        ("0142", Codes(others=("0142",))),
        ("ABC-12", Codes(others=("ABC-12",))),
        ("P-12A", Codes(others=("P-12A",))),
        ("P-\u0660\u0661", Codes(others=("P-\u0660\u0661",))),
        ("  ", NOTHING),
        ("x" * 300, Codes(others=("x" * 80,))),
        ("2026-02-14T11:20:31+01:00", Codes(card_at=AT)),
    ],
)
def test_text_is_a_card_a_tag_or_other(text, expected):
    assert sorted_codes([text]) == expected


def test_equal_cards_are_one_and_different_ones_none():
    assert sorted_codes([card_text(AT), "2026-02-14T12:20:31+02:00"]).card_at == AT
    assert sorted_codes([card_text(AT), "CLOCK 2026-02-14T10:20:32Z", "P-1"]) == Codes(tags=("P-1",))


def test_tags_in_the_sample_photos_are_read():
    # What the scenario says can be read in them; sample_media/scenario.toml, "tag".
    shown = {
        "phone/QB_0417.jpg": Codes(tags=("P-0301",)),
        "phone/QB_0418.jpg": Codes(tags=("P-0302",)),
        "phone/QB_0419.jpg": Codes(others=("BAG 22",)),
        "phone/QB_0425.jpg": Codes(others=("BAG 31", "BAG 32")),
        "phone/QB_0429.jpg": Codes(tags=("P-0310",)),
        "phone/QB_0433.jpg": Codes(tags=("P-0312",)),
        "phone/QB_0436.jpg": Codes(others=("BAG 41",)),
        "phone/QB_0438.jpg": Codes(tags=("P-0320",)),
        "phone/QB_0442.heic": Codes(tags=("P-0321",)),
        "camera/OLLF0242.JPG": Codes(tags=("P-0311",)),
        "camera/OLLF0231.JPG": NOTHING,
    }
    assert {name: read(SAMPLE / name) for name in shown} == shown
