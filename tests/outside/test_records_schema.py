"""``records.json`` against the published schema, by the jsonschema package: JSON Schema 2020-12, formats checked."""

import json
from typing import Any

import pytest
from jsonschema import Draft202012Validator, ValidationError

from pipeline.records import records_schema
from pipeline.writing.records_file import records_json
from tests.writing.a_weekend import records


def _validator() -> Draft202012Validator:
    schema = records_schema()
    assert schema["$schema"] == Draft202012Validator.META_SCHEMA["$schema"]
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER)


def test_records_are_what_their_schema_says() -> None:
    _validator().validate(json.loads(records_json(records())))


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("media", 0, "taken_at"), "last Saturday"),
        (("media", 0, "id"), "sha256:abc"),
        (("entries", 0, "review"), "fine"),
        (("utterances", 0, "start_s"), -1),
        (("entries", 1, "photos", 0, "p"), 1.5),
        (("lists", "parts_off", 0, "removed_on"), "14/02/2026"),
    ],
)
def test_records_that_break_the_schema_are_told(path: tuple[Any, ...], value: object) -> None:
    held = json.loads(records_json(records()))
    spot = held
    for key in path[:-1]:
        spot = spot[key]
    spot[path[-1]] = value
    with pytest.raises(ValidationError):
        _validator().validate(held)


def test_times_have_an_offset() -> None:
    """RFC 3339, 5.6: a date-time ends in an offset."""
    held = json.loads(records_json(records()))
    times = [one["taken_at"] for one in held["media"]] + [one["at"] for one in held["entries"]]
    assert all(time.endswith("Z") or time[-6] in "+-" for time in times)
