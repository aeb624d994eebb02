"""The collector of cycles is kept off values while they are made, and finds everything again afterwards."""

import gc

import pytest

from pipeline.uncollected import collected_afterwards, seldom_collected, uncollected


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


def test_collector_that_looks_seldom_looks_as_often_as_before_afterwards():
    usual = gc.get_threshold()
    with seldom_collected():
        assert gc.isenabled()
        assert gc.get_threshold()[0] > usual[0]
    assert gc.get_threshold() == usual
    assert not gc.get_freeze_count()
