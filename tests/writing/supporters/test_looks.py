"""Made pictures: a hangar of stripes and blocks, the same blurred, dark, burnt out, shifted."""

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.intake.pictures import jpeg_of_pixels
from pipeline.writing.supporters.looks import Look, look_at
from pipeline.writing.supporters.report import looks_of_copies
from pipeline.writing.viewing_copies import picture_copy
from tests.writing.a_weekend import media_id


def _picture(seed: int = 1) -> NDArray[np.uint8]:
    """A grey picture of 384 by 512 with large shapes, edges and a little grain."""
    random = np.random.default_rng(seed)
    values = np.full((384, 512), 110.0)
    for _ in range(40):
        top, left = random.integers(0, 340), random.integers(0, 460)
        high, wide = random.integers(20, 120), random.integers(20, 160)
        values[top : top + high, left : left + wide] = random.integers(40, 220)
    return np.clip(values + random.normal(0, 3, values.shape), 0, 255).astype(np.uint8)


def _blurred(values: NDArray[np.uint8], times: int) -> NDArray[np.uint8]:
    soft = values.astype(np.float64)
    for _ in range(times):
        soft = sum(np.roll(soft, (down, right), (0, 1)) for down in (-1, 0, 1) for right in (-1, 0, 1)) / 9.0
    return soft.astype(np.uint8)


def test_a_sharp_and_well_lit_picture_is_good() -> None:
    assert look_at(_picture()).good


def test_the_more_a_picture_is_blurred_the_less_sharp_it_is() -> None:
    sharpness = [look_at(_blurred(_picture(), times)).sharpness for times in (0, 1, 3, 9)]
    assert sharpness == sorted(sharpness, reverse=True)
    assert not look_at(_blurred(_picture(), 9)).good


def test_a_picture_lost_in_the_dark_and_one_burnt_out_are_not_good() -> None:
    picture = _picture().astype(np.float64)
    assert not look_at((picture * 0.05).astype(np.uint8)).good
    assert not look_at(np.clip(picture * 4, 0, 255).astype(np.uint8)).good


def test_a_better_picture_is_worth_more() -> None:
    assert look_at(_picture()).worth > look_at(_blurred(_picture(), 3)).worth


def test_a_shifted_brighter_copy_is_alike_and_another_picture_is_not() -> None:
    picture = _picture()
    shifted = np.clip(np.roll(picture, (3, 4), (0, 1)).astype(np.float64) * 1.1, 0, 255).astype(np.uint8)
    assert look_at(picture).alike(look_at(shifted))
    others = [look_at(_picture(seed)) for seed in range(2, 12)]
    assert not any(look_at(picture).alike(one) for one in others)


@pytest.mark.parametrize("shape", [(0, 0), (1, 1), (8, 2), (9, 9)])
def test_a_tiny_picture_is_looked_at_all_the_same(shape: tuple[int, int]) -> None:
    assert isinstance(look_at(np.zeros(shape, dtype=np.uint8)), Look)


def test_a_photo_is_looked_at_by_its_viewing_copy(tmp_path: Path) -> None:
    sharp, soft, none = (media_id(name) for name in ("sharp.jpg", "soft.jpg", "none.jpg"))
    for media, values in ((sharp, _picture()), (soft, _blurred(_picture(), 9))):
        place = tmp_path / picture_copy(media)
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(jpeg_of_pixels(np.stack([values] * 3, axis=-1)))
    look = looks_of_copies(tmp_path)
    (tmp_path / picture_copy(media_id("broken.jpg"))).write_bytes(b"no picture")
    seen, blurred = look(sharp), look(soft)
    assert seen is not None and seen.good
    assert blurred is not None and not blurred.good
    assert look(none) is None and look(media_id("broken.jpg")) is None
