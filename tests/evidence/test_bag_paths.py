"""Names in a bag."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.evidence.bag_paths import (
    decoded,
    encoded,
    kept_apart,
    leads_out,
    plain_name,
    told_apart,
    utf8_name,
    windows_refuses,
)
from pipeline.evidence.manifests import manifest_bytes, read_manifest

NAMES = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="/\0"), min_size=1, max_size=60)


@given(NAMES)
def test_a_name_comes_back_from_a_manifest_as_it_was(name):
    assert decoded(encoded(name)) == name
    path = f"data/{name}"
    read = read_manifest(manifest_bytes({path: "0" * 64}))
    assert read.hashes == {path: "0" * 64}
    assert not read.faults


@given(st.lists(NAMES, unique=True, max_size=6))
def test_no_two_places_are_one_where_capitals_and_composed_letters_do_not_count(names):
    places = kept_apart({name: f"vocab/{name}" for name in names})
    assert set(places) == set(names)
    assert len({told_apart(place) for place in places.values()}) == len(names)


def test_names_that_differ_only_in_case_or_composition_are_kept_apart_and_the_first_keeps_its_own():
    places = kept_apart({name: name for name in ("Parts.csv", "parts.csv", "\u00e9.csv", "e\u0301.csv")})
    assert places["Parts.csv"] == "Parts.csv"
    assert places["parts.csv"] != "parts.csv"
    assert places["parts.csv"].endswith(".csv")
    assert len({told_apart(place) for place in places.values()}) == 4


@pytest.mark.parametrize(
    "path",
    [
        "a/10:15.jpg",
        'a/"x"',
        "a/what?",
        "a\\b",
        "a/x.",
        "a/x ",
        "a/NUL",
        "a/con.txt",
        "a/Lpt1.csv",
        "a/x\ny",
        "b" * 300,
    ],
)
def test_a_name_that_windows_cannot_hold_is_told_with_why_and_has_a_plain_one(path):
    assert windows_refuses(path)
    plain = plain_name(path.rpartition("/")[2])
    assert not windows_refuses(plain)


@pytest.mark.parametrize(
    "path", ["a/IMG 1.jpg", "é.jpg", "e\u0301.jpg", "🔧.jpg", "100%.jpg", "it's.m4a", "console.log"]
)
def test_other_odd_names_are_no_trouble_to_windows(path):
    assert windows_refuses(path) == ""
    assert plain_name(path.rpartition("/")[2]) == path.rpartition("/")[2]


def test_a_name_that_is_not_utf8_becomes_one_that_is():
    utf8_name(b"caf\xe9.jpg".decode("utf-8", "surrogateescape")).encode()


@pytest.mark.parametrize("path", ["../x", "/etc/x", "data/../../x", "~/x", "data//x", "./x", "data/./x", "", "a\0b"])
def test_a_path_that_leads_out_of_a_bag_is_known(path):
    assert leads_out(path)


def test_an_ordinary_path_does_not_lead_out():
    assert not leads_out("data/a..b/...x/é")
