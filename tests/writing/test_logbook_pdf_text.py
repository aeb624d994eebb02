import json
import unicodedata

import pytest
import typst
from hypothesis import example, given
from hypothesis import strategies as st

from pipeline.writing import logbook_pdf_text
from pipeline.writing.logbook_pdf_text import printable, printable_values

STYLES = '#c #strong(c) #emph(c) #text(weight: "semibold", c) #emph(strong(c))'
ANY_TEXT = st.text(alphabet=st.characters(codec=None), max_size=60)


def set_as_archival(texts, font):
    """Set texts in every style that the logbook uses; typst refuses a letter that its fonts do not have."""
    source = (
        f'#set document(title: "x", date: datetime(year: 2026, month: 2, day: 14))\n'
        f'#set text(font: {font}, lang: "en", fallback: false)\n'
        f"#for c in json(bytes(sys.inputs.texts)) [{STYLES}]"
    )
    return typst.compile(
        source.encode(),
        ignore_system_fonts=True,
        pdf_standards=["a-3a", "ua-1"],
        sys_inputs={"texts": json.dumps(texts)},
    )


def listed_letters():
    for one in logbook_pdf_text._RANGES.split():
        first, _, last = one.partition("-")
        yield from (chr(number) for number in range(int(first, 16), int(last or first, 16) + 1))


@pytest.mark.parametrize(
    "font", ['("Libertinus Serif", "DejaVu Sans Mono")', '("DejaVu Sans Mono", "Libertinus Serif")']
)
def test_every_letter_that_is_let_through_can_be_set_in_every_style(font):
    assert set_as_archival([*listed_letters(), "\u200b"], font).startswith(b"%PDF")


@given(ANY_TEXT)
@example("\ud800 \U0001f44d \u202e\u2066 \x00\x07 \ue000 \ufeff \u05d0 日本 \u0301\u0301 \u2028 \x85")
@example("#let x = [*bold* _it_ $a$ `raw` @ref <label> // no] \\ " + "x" * 200)
def test_any_text_becomes_one_line_of_letters_that_can_be_set(text):
    shown = printable(text)
    assert set(shown) <= {*listed_letters(), "\u200b"}
    assert not any(unicodedata.bidirectional(one) in ("R", "AL", "RLO", "LRO", "RLE", "LRE", "PDF") for one in shown)
    assert shown == shown.strip(" ") and "  " not in shown
    assert max(map(len, shown.replace("\u200b", " ").split()), default=0) < 64


@given(st.text(alphabet=st.characters(min_codepoint=33, max_codepoint=126), max_size=80))
def test_plain_text_stays_as_it_is(text):
    assert printable(text).replace("\u200b", "") == text


@given(ANY_TEXT)
def test_what_was_made_printable_stays_so(text):
    once = printable(text)
    assert printable(once.replace("\u200b", "")) == once


def test_a_letter_that_no_font_has_is_shown_by_its_number():
    assert printable("well done 👍\u202e!") == "well done ⟨U+1F44D⟩⟨U+202E⟩!"
    assert printable("this way up ↑\ufe0f") == "this way up ↑"
    assert printable("\ud83d") == "⟨U+D83D⟩"


def test_a_very_long_word_can_be_broken_but_a_hash_is_left_whole():
    assert printable("a" * 30) == "a" * 12 + "\u200b" + "a" * 12 + "\u200b" + "a" * 6
    assert printable("0123456789abcdef" * 4) == "0123456789abcdef" * 4


def test_texts_are_cleaned_wherever_they_stand_and_nothing_else_is_touched():
    values = {"a": ["x\x00", {"b": "y\n z"}], "n": 3, "yes": True, "none": None, "t": ("k\u200f",)}
    assert printable_values(values) == {
        "a": ["x⟨U+0000⟩", {"b": "y z"}],
        "n": 3,
        "yes": True,
        "none": None,
        "t": ["k⟨U+200F⟩"],
    }
