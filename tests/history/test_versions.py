"""What an entry's version is over."""

from datetime import timedelta

import pytest

from pipeline.history.versions import as_json, from_json, told_alike, version_of
from tests.history.made_entries import NOON, made_entry

HERE = made_entry(photos=(1, 2))


def test_an_entry_comes_back_from_the_history_as_it_was():
    assert from_json(as_json(HERE)) == HERE


@pytest.mark.parametrize(
    "other",
    [
        {"item": "fin"},
        {"words": "The port rudder's on."},
        {"photos": (1,)},
        {"photos": (1, 3)},
        {"at": NOON + timedelta(days=1)},
        {"name": "e-2"},
    ],
)
def test_whatever_a_reader_is_told_changes_the_version(other):
    assert version_of(made_entry(**{"photos": (1, 2), **other})) != version_of(HERE)


@pytest.mark.parametrize("other", [{"p": 0.5}, {"photos": (2, 1)}, {"at": NOON + timedelta(seconds=3)}])
def test_how_sure_the_program_is_and_a_clock_put_right_by_seconds_leave_it(other):
    assert version_of(made_entry(**{"photos": (1, 2), **other})) == version_of(HERE)


def test_two_readings_tell_the_same_to_the_second():
    assert told_alike(HERE, made_entry(photos=(1, 2), p=0.5, at=NOON + timedelta(milliseconds=400)))
    assert not told_alike(HERE, made_entry(photos=(1, 2), at=NOON + timedelta(seconds=1)))


def test_a_review_is_no_part_of_what_an_entry_says():
    reviewed = HERE.model_copy(update={"entry": HERE.entry.model_copy(update={"review": "accepted", "version": "x"})})
    assert version_of(reviewed) == version_of(HERE)
    assert as_json(reviewed) == as_json(HERE)
