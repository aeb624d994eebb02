"""Every parser of our own on thousands of odd inputs: only documented errors, and what comes out holds its laws."""

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tests.intake.hostile.parsers import PARSERS
from tests.intake.hostile.seeds import seeds

SEEDS = seeds()
UNHEALTHY = list(HealthCheck)  # some parsers take their time, and that is measured elsewhere


@st.composite
def changed(draw, good):
    """A good input with some bytes changed, left out, put in or written twice; sometimes anything at all."""
    raw = bytearray(draw(st.sampled_from(good)))
    for _ in range(draw(st.integers(0, 5))):
        at = draw(st.integers(0, len(raw)))
        length = draw(st.integers(0, 12))
        piece = draw(
            st.one_of(st.binary(max_size=12), st.text(max_size=8).map(lambda text: text.encode("utf-8", "replace")))
        )
        raw[at : at + length] = piece * draw(st.sampled_from((1, 1, 1, 2, 200)))
    return bytes(raw)


@pytest.mark.parametrize("name", PARSERS)
def test_parser_raises_only_what_it_documents_and_keeps_its_laws(name):
    @settings(
        max_examples=150, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck), database=None
    )
    @example(b"")
    @given(st.one_of(changed(SEEDS[name]), st.binary(max_size=400)))
    def holds(raw):
        PARSERS[name](raw)

    holds()


@pytest.mark.parametrize("name", PARSERS)
def test_good_inputs_are_read(name):
    for good in SEEDS[name]:
        PARSERS[name](good)
