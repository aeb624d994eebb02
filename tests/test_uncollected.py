"""The collector of cycles is kept off values while they are made, and finds everything again afterwards."""

import gc

import pytest

from pipeline.uncollected import collected_afterwards, uncollected


def test_collector_is_off_while_values_are_made_and_on_again_whatever_happens():
    with collected_afterwards():
        with uncollected():
            assert not gc.isenabled()
        assert gc.isenabled()
        with pytest.raises(ValueError, match="no value"), uncollected():
            raise ValueError("no value")
        assert gc.isenabled()


def test_collector_that_was_off_stays_off():
    gc.disable()
    try:
        with collected_afterwards(), uncollected():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_what_was_left_out_is_looked_at_again_afterwards():
    with collected_afterwards():
        with uncollected():
            pass
        assert gc.get_freeze_count()
    assert not gc.get_freeze_count()
