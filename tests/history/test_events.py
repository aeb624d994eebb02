"""An event and its line."""

import json
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.digests import sha256_of_bytes
from pipeline.history.events import BEFORE_THE_FIRST, Event, event_of, line_of

NOW = datetime(2026, 11, 26, 10, 15, tzinfo=UTC)
plain = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(-1e15, 1e15)  # a larger one comes back as a whole number that JSON does not hold exactly
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text("abc\n\u2028", max_size=3), inner, max_size=3)
    ),
    max_leaves=8,
)


def event(**more):
    return Event(**{"n": 1, "at": NOW, "who": "Bea", "act": "x", "on": "e-1", "previous": BEFORE_THE_FIRST, **more})


@given(plain, plain, st.text(st.characters(exclude_categories=["Cs"])))
def test_an_event_comes_back_from_its_line_as_it_was(before, after, why):
    made = event(before=before, after=after, why=why)
    line = line_of(made)
    assert b"\n" not in line
    assert event_of(line) == made
    assert line_of(event_of(line)) == line


def test_a_line_holds_the_keys_that_every_reader_of_histories_expects_and_its_time_in_utc():
    held = json.loads(line_of(event(at=NOW.astimezone(timezone(timedelta(hours=5))))))
    assert sorted(held) == ["act", "after", "at", "before", "n", "on", "previous", "who", "why"]
    assert held["at"] == "2026-11-26T10:15:00+00:00"
    assert (held["previous"], held["before"], held["why"]) == ("0" * 64, None, "")


def test_a_file_name_that_is_no_text_is_shown_and_stops_nothing():
    assert json.loads(line_of(event(after={"path": "IMG\udcff.jpg"})))["after"]["path"] == "IMG\\udcff.jpg"


@pytest.mark.parametrize("line", [b"", b"{}", b"[]", b"\xff", b'{"n": 1}', b"null"])
def test_what_is_no_event_is_refused(line):
    with pytest.raises(ValueError):
        event_of(line)


def test_the_hash_is_that_of_the_line_without_its_newline():
    assert sha256_of_bytes(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
