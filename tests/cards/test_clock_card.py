import re
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.cards.clock_card import card_instant, card_text, card_words
from tests.said_numbers import in_words

AT = datetime(2026, 2, 14, 10, 20, 31, tzinfo=UTC)
ANY_OFFSET = st.integers(-1439, 1439).map(lambda minutes: timezone(timedelta(minutes=minutes)))
INSTANTS = st.builds(
    lambda seconds, parts, offset: (AT + timedelta(seconds=seconds, microseconds=parts)).astimezone(offset),
    st.integers(-30_000_000_000, 200_000_000_000),
    st.integers(0, 999_999),
    ANY_OFFSET,
)
CARD_LIKE = st.from_regex(r"(CLOCK )?[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt ][0-9:]{8}(\.[0-9]{1,9})?(Z|[+-][0-9:]{5})")


def test_card_says_the_instant_in_utc_with_whole_seconds():
    ahead = timezone(timedelta(hours=5, minutes=30))
    assert card_text(datetime(2026, 2, 14, 15, 50, 31, 999_999, tzinfo=ahead)) == "CLOCK 2026-02-14T10:20:31Z"


@given(INSTANTS)
def test_card_is_read_back_to_the_second(instant):
    assert card_instant(card_text(instant)) == instant.replace(microsecond=0)


@given(INSTANTS)
def test_instant_with_its_own_offset_and_parts_of_a_second_is_read_exactly(instant):
    for text in (instant.isoformat(), f"clock {instant.isoformat().lower()}"):
        found = card_instant(text)
        assert found == instant
        assert found.tzinfo is UTC


@given(st.one_of(st.text(), CARD_LIKE))
def test_any_text_gives_an_instant_or_nothing_and_never_a_fault(text):
    found = card_instant(text)
    assert found is None or found.tzinfo is UTC


@pytest.mark.parametrize(
    "text",
    [
        "CLOCK 2026-02-14T10:20:31Z",
        "clock 2026-02-14t10:20:31z",
        " CLOCK  2026-02-14 10:20:31Z\n",
        "2026-02-14T10:20:31Z",
        "2026-02-14T10:20:31+00:00",
        "2026-02-14T10:20:31-00:00",
        "2026-02-14T05:20:31-05:00",
        "2026-02-14T10:20:31.0000000009Z",
    ],
)
def test_card_is_read_in_every_form(text):
    assert card_instant(text) == AT


@pytest.mark.parametrize(
    "text",
    [
        "",
        "CLOCK",
        "P-0142",
        "CLOCK 2026-02-14",
        "CLOCK 2026-02-14T10:20Z",
        "CLOCK 2026-02-14T10:20:31",
        "CLOCK 2026-02-30T10:20:31Z",
        "CLOCK 2026-02-14T24:00:00Z",
        "2026-02-14T10:20:31+24:00",
        "2026-02-14T10:20:31+01:60",
        "2026-02-14T10:20:31.Z",
        "CLOCKS 2026-02-14T10:20:31Z",
        "CLOCK 2026-02-14T10:20:31Z and more",
        "٢٠٢٦-02-14T10:20:31Z",
        "0001-01-01T00:00:00+10:00",
        "9999-12-31T23:59:59-10:00",
    ],
)
def test_what_is_no_card_gives_nothing(text):
    assert card_instant(text) is None


@pytest.mark.parametrize(
    ("instant", "words"),
    [
        (
            AT,
            "The time is ten hours, twenty minutes and thirty-one seconds, "
            "on Saturday the fourteenth of February twenty twenty-six.",
        ),
        (
            datetime(2031, 12, 1, 1, 1, 1, tzinfo=UTC),
            "The time is one hour, one minute and one second, on Monday the first of December twenty thirty-one.",
        ),
        (
            datetime(2005, 3, 22, 0, 0, 0, tzinfo=UTC),
            "The time is zero hours, zero minutes and zero seconds, "
            "on Tuesday the twenty-second of March two thousand and five.",
        ),
    ],
)
def test_words_are_easy_to_read_aloud(instant, words):
    assert card_words(instant) == words


@given(INSTANTS)
def test_words_have_no_figure_and_say_each_number(instant):
    words = card_words(instant)
    assert not re.search(r"[0-9]", words)
    said = re.findall(r"([a-z-]+) (?:hour|minute|second)s?\b", words.partition(", on ")[0])
    assert said == [in_words(number, joint="-") for number in (instant.hour, instant.minute, instant.second)]


@pytest.mark.parametrize(
    ("year", "said"),
    [(2000, "two thousand"), (2010, "twenty ten"), (2100, "twenty-one hundred"), (2107, "twenty-one oh seven")],
)
def test_year_is_said_as_people_say_it(year, said):
    assert card_words(AT.replace(year=year)).endswith(f"February {said}.")


def test_day_is_said_as_an_ordinal():
    ends = {1: "first", 2: "second", 3: "third", 5: "fifth", 12: "twelfth", 20: "twentieth", 21: "twenty-first"}
    for day, said in (ends | {30: "thirtieth", 31: "thirty-first", 8: "eighth", 9: "ninth", 11: "eleventh"}).items():
        assert f" the {said} of January " in card_words(datetime(2026, 1, day, tzinfo=UTC))
