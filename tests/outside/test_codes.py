"""Codes and instants against their standards, as others wrote them down.

Sources: ISO/IEC 18004 (QR code), by two programs that know nothing of each other: segno makes the codes and zxing-cpp
reads them; PDFium draws the sheet of labels. RFC 3339, 5.8, for the instants.
"""

import io
from datetime import UTC, datetime, timedelta

import numpy as np
import pypdfium2
import pytest
import segno
import zxingcpp
from PIL import Image

from pipeline.cards.clock_card import card_instant, card_text
from pipeline.cards.labels import label_number, label_sheet
from pipeline.cards.qr_code import QUIET_MODULES, modules_across, qr_svg

AT = datetime(2026, 2, 14, 10, 20, 31, tzinfo=UTC)
DPI = 200
MM_IN_AN_INCH = 25.4
MM_IN_A_POINT = MM_IN_AN_INCH / 72


# Our drawing of the code ------------------------------------------------------------------------------------------


def drawn(svg: str, module_px: int = 6) -> np.ndarray:
    """Draw a code's SVG, read here independently of how it was made: each "Mx yhNv1h-Nz" is a run of dark modules."""
    across = int(svg.split('viewBox="0 0 ')[1].split(" ")[0])
    modules = np.full((across, across), 255, np.uint8)
    for run in svg.split('crispEdges" d="M')[1].split('z"')[0].split("zM"):
        x, _, rest = run.partition(" ")
        y, _, rest = rest.partition("h")
        modules[int(y), int(x) : int(x) + int(rest.split("v")[0])] = 0
    return np.kron(modules, np.ones((module_px, module_px), np.uint8))


@pytest.mark.parametrize("text", [card_text(AT), "P-0143", "PB-12345", "BAG 22", "Zähler & <Bügel>"])
def test_code_that_we_draw_is_read_by_another_program(text):
    (code,) = zxingcpp.read_barcodes(drawn(qr_svg(text)))
    assert (code.text, code.format) == (text, zxingcpp.BarcodeFormat.QRCode)


def test_each_second_of_an_hour_is_read_back_as_the_instant_that_it_was():
    for second in range(0, 3600, 7):
        instant = AT + timedelta(seconds=second)
        (code,) = zxingcpp.read_barcodes(drawn(qr_svg(card_text(instant))), formats=zxingcpp.BarcodeFormat.QRCode)
        assert card_instant(code.text) == instant


def test_code_has_the_quiet_zone_that_the_standard_asks_for():
    # ISO/IEC 18004: four modules on every side. segno draws as many of its own accord.
    own = io.BytesIO()
    segno.make_qr("P-0143", error="m").save(own, kind="png", scale=6)
    assert np.array_equal(drawn(qr_svg("P-0143")), np.asarray(Image.open(own).convert("L")))
    assert QUIET_MODULES == 4


def test_capitals_and_figures_pack_tightest():
    # ISO/IEC 18004, alphanumeric mode: two characters in 11 bits, so that a tag fits the smallest code there is.
    assert segno.make_qr(card_text(AT)).mode == segno.make_qr("P-0143").mode == "alphanumeric"
    assert (modules_across("P-0143"), modules_across(card_text(AT))) == (21, 25)
    assert modules_across("p-0143".ljust(20, "x")) > 21


# The sheet of labels ----------------------------------------------------------------------------------------------


def pages_of(sheet: bytes) -> list[np.ndarray]:
    """Draw each page in grey."""
    pages = pypdfium2.PdfDocument(sheet)
    return [np.asarray(page.render(scale=DPI / 72, grayscale=True).to_pil()) for page in pages]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("prefix", ["P", "QB"])
def test_every_code_on_the_sheets_is_read_and_is_25_mm_wide_at_least(paper, prefix):
    numbers = [label_number(prefix, number) for number in range(9_995, 10_012)]
    read = []
    for page in pages_of(label_sheet(numbers, paper)):
        for code in zxingcpp.read_barcodes(page):
            at = code.position
            sides = [
                np.hypot(end.x - start.x, end.y - start.y) / DPI * MM_IN_AN_INCH
                for start, end in ((at.top_left, at.top_right), (at.top_left, at.bottom_left))
            ]
            assert min(sides) >= 25
            assert max(sides) == pytest.approx(30, abs=0.5)
            read.append(code.text)
    assert sorted(read) == sorted(numbers)


def test_each_code_on_a_sheet_stands_beside_its_own_number():
    numbers = [label_number("P", number) for number in range(143, 151)]
    sheet = label_sheet(numbers, "a4")
    page = pypdfium2.PdfDocument(sheet)[0]
    words = page.get_textpage()
    for code in zxingcpp.read_barcodes(pages_of(sheet)[0]):
        left, bottom, right, top = words.get_charbox(words.get_text_range().index(code.text))
        middle = (page.get_height() - (bottom + top) / 2) * MM_IN_A_POINT
        across = (left + right) / 2 * MM_IN_A_POINT
        above, below = (
            corner.y / DPI * MM_IN_AN_INCH for corner in (code.position.top_left, code.position.bottom_left)
        )
        assert above < middle < below
        assert 20 < code.position.top_left.x / DPI * MM_IN_AN_INCH - across < 60


def test_code_on_a_label_has_nothing_but_white_around_it():
    (page,) = pages_of(label_sheet(["P-0143"], "a4"))
    (code,) = zxingcpp.read_barcodes(page)
    at = code.position
    module_px = (at.top_right.x - at.top_left.x) / 21
    quiet = round(3.8 * module_px)  # the standard's four, less a fifth for the edges' blur
    left, top, right, bottom = at.top_left.x, at.top_left.y, at.top_right.x, at.bottom_left.y
    around = page[top - quiet : bottom + quiet, left - quiet : right + quiet].copy()
    around[quiet - 3 : -quiet + 3, quiet - 3 : -quiet + 3] = 255
    assert around.min() == 255


# Instants ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "instant"),
    [  # RFC 3339, 5.8: its examples
        ("1985-04-12T23:20:50.52Z", datetime(1985, 4, 12, 23, 20, 50, 520_000, tzinfo=UTC)),
        ("1996-12-19T16:39:57-08:00", datetime(1996, 12, 20, 0, 39, 57, tzinfo=UTC)),
        ("1937-01-01T12:00:27.87+00:20", datetime(1937, 1, 1, 11, 40, 27, 870_000, tzinfo=UTC)),
        ("1990-12-31T23:59:60Z", None),  # a leap second, which this program has no instant for
        ("1990-12-31T15:59:60-08:00", None),
    ],
)
def test_instants_of_the_rfc_are_read(text, instant):
    assert card_instant(text) == card_instant(f"CLOCK {text}") == instant


@pytest.mark.parametrize(
    "text",
    [  # RFC 3339, 5.6: four figures in the year, two in the rest, an offset always
        "85-04-12T23:20:50Z",
        "1985-4-12T23:20:50Z",
        "1985-04-12T23:20:50",
        "1985-04-12T23:20:50+0100",
        "1985-04-12T23:20:50+01",
        "19850412T232050Z",
        "1985-102T23:20:50Z",
        "1985-W15-5T23:20:50Z",
    ],
)
def test_other_forms_of_iso_8601_are_not_of_the_rfc_and_are_not_read(text):
    assert card_instant(text) is None
