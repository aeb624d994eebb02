"""Frozen values: nothing changes them, and what they were given is noted once for all that were given the same."""

import pytest
from pydantic import ValidationError

from pipeline.frozen import Frozen


class Part(Frozen):
    name: str
    count: int = 1


def test_value_cannot_be_changed_and_takes_no_field_that_is_not_declared():
    with pytest.raises(ValidationError):
        Part(name="rib").name = "spar"
    with pytest.raises(ValidationError):
        Part(name="rib", weight=2)


def test_values_given_the_same_fields_share_the_note_of_them_and_a_copy_has_its_own():
    one, other = Part(name="rib"), Part.model_validate_json('{"name": "spar"}')
    assert one.__pydantic_fields_set__ is other.__pydantic_fields_set__
    copied = one.model_copy(update={"count": 2})
    assert (copied.model_fields_set, one.model_fields_set) == ({"name", "count"}, {"name"})
    assert one.model_dump(exclude_unset=True) == {"name": "rib"}
