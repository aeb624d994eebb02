"""Two winters of a camera whose clock was changed or was not. More: ``python -m tests.days.winters 40``."""

import pytest

from tests.days.made_winters import CLOCKS, make_winters
from tests.days.winters import figures


@pytest.mark.parametrize("clock", ["never", "put-right"])
def test_photos_dated_an_hour_wrong_are_seldom_said_to_be_right_and_those_of_something_are_placed(clock):
    found = figures(range(100, 108), clock)
    assert found.of_sure <= 0.05 * found.photos
    assert found.right >= 0.97 * found.of_something
    assert found.sure >= 0.5 * found.clocks


@pytest.mark.parametrize("clock", CLOCKS)
def test_made_winters_are_the_same_from_the_same_seed(clock):
    assert make_winters(7, clock) == make_winters(7, clock)
    assert make_winters(7, clock) != make_winters(8, clock)
