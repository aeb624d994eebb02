"""How the characters of some words lie to those of others."""

from hypothesis import given
from hypothesis import strategies as st

from pipeline.reading.spans import Span, holds, overlap, within

SPANS = st.tuples(st.integers(0, 9), st.integers(1, 9)).map(lambda pair: (pair[0], sum(pair)))


def test_words_side_by_side_do_not_overlap() -> None:
    assert not overlap((0, 4), (4, 8))
    assert overlap((0, 5), (4, 8))


@given(SPANS, SPANS)
def test_spans_overlap_where_one_character_is_in_both(one: Span, other: Span) -> None:
    assert overlap(one, other) == any(holds(other, character) for character in range(*one))


@given(SPANS, SPANS)
def test_a_span_is_within_another_that_holds_all_its_characters(one: Span, other: Span) -> None:
    assert within(one, other) == all(holds(other, character) for character in range(*one))
