"""Codes in a photo: the clock card's, tag numbers, and what else was read.

The only module that knows the code reader (zxing-cpp).
"""

import re
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import zxingcpp
from numpy.typing import NDArray

from pipeline.cards.clock_card import card_instant
from pipeline.intake.at_work import still_at_work
from pipeline.intake.pictures import grey_pixels, picture_size, squeezed
from pipeline.values import Codes

_FIRST_LOOK_PX = 20_000_000
"""A photo of 12 or 16 million pixels is looked at as it is: in less, a tag across the bench would be lost."""
_DATA_MATRIX_PX = 4_000_000
_LONGEST_OTHER = 80
_TAG = re.compile(r"[A-Z]{1,2}-[0-9]{1,9}")
_QR = zxingcpp.barcode_formats_from_str("QRCodeModel2")  # without its small kin, in which noise reads more easily
_DATA_MATRIX = zxingcpp.barcode_formats_from_str("DataMatrix")
_SQUEEZED_TO = 0.55  # a code that is seen at 60 degrees from straight on is half as high as it is wide
_DIRECTIONS_DEG = (0, 45, 90, 135)


def read_codes(path: Path, content_type: str) -> Codes:
    """Find the QR and DataMatrix codes in a photo.

    Args:
        path: of the photo.
        content_type: its media type; anything that is no picture has no codes.

    Returns:
        ``card_at`` is the instant of the clock card, None where there is none or where two cards differ; ``tags`` are
        tag numbers ("P-0142"), ``others`` what else was read, cut to 80 characters. Both are sorted.

    Raises:
        ItemFault: the picture cannot be decoded.
    """
    if not content_type.startswith("image/"):
        return Codes()
    wide, high = picture_size(path)
    texts = _texts(grey_pixels(path, _FIRST_LOOK_PX))
    if not texts and wide * high > _FIRST_LOOK_PX:
        still_at_work()
        texts = _texts(grey_pixels(path))
    return sorted_codes(texts)


def sorted_codes(texts: Iterable[str]) -> Codes:
    """Tell the texts of codes apart: clock cards, tag numbers, others."""
    cards, tags, others = set(), set(), set()
    for text in texts:
        card, tag = card_instant(text), text.strip().upper()
        if card is not None:
            cards.add(card)
        elif _TAG.fullmatch(tag):
            tags.add(tag)
        elif text.strip():
            others.add(text.strip()[:_LONGEST_OTHER])
    return Codes(
        card_at=cards.pop() if len(cards) == 1 else None, tags=tuple(sorted(tags)), others=tuple(sorted(others))
    )


def _texts(pixels: NDArray[np.uint8]) -> set[str]:
    """Return the texts of all codes found.

    QR codes are looked for twice: with light and dark told apart near by, which bears shadows, and then over the
    whole picture, which reads some that are too small for the first. Where a code is seen and cannot be made out, it
    may be seen at a slant: the picture is squeezed in four directions and looked at again. DataMatrix codes, which
    are other people's labels held to the camera, are looked for in a smaller picture: in the whole they would take
    longer than all the rest.
    """
    near_by = zxingcpp.read_barcodes(pixels, formats=_QR, return_errors=True)
    found = [
        *near_by,
        *zxingcpp.read_barcodes(
            pixels, formats=_QR, try_invert=False, try_downscale=False, binarizer=zxingcpp.Binarizer.GlobalHistogram
        ),
        *zxingcpp.read_barcodes(_smaller(pixels, _DATA_MATRIX_PX), formats=_DATA_MATRIX, try_invert=False),
    ]
    if not all(code.valid for code in near_by):
        for direction_deg in _DIRECTIONS_DEG:
            still_at_work()
            found += zxingcpp.read_barcodes(squeezed(pixels, direction_deg, _SQUEEZED_TO), formats=_QR)
    return {code.text for code in found if code.valid}


def _smaller(pixels: NDArray[np.uint8], most_px: int) -> NDArray[np.uint8]:
    """Return the picture with so many pixels at most, each the mean of a square of the picture's own."""
    times = 1
    while pixels.size > most_px * times * times:
        times += 1
    if times == 1:
        return pixels
    high, wide = (side - side % times for side in pixels.shape)
    total = np.zeros((high // times, wide // times), np.uint32)
    for y in range(times):
        for x in range(times):
            total += pixels[y:high:times, x:wide:times]
    return (total // times**2).astype(np.uint8)
