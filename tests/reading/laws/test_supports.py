"""What stands on trestles, blocks or a trolley, and when it no longer does."""

from typing import Any

import pytest

from pipeline.reading.note_reader import NoteReader


def _keys(note_reader: NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [(fact.status, fact.act, fact.item, fact.side) for fact in note_reader.read(text) if fact.act]


@pytest.mark.parametrize(
    "text",
    [
        "She's standing on her beaching trolley, and the chocks are in.",
        "The float is off. She's hanging on the hoist by the nose.",
        "She is still on the trestles.",
    ],
)
def test_she_is_the_aircraft_and_not_the_last_part(note_reader: NoteReader, text: str) -> None:
    assert [told[2:] for told in _keys(note_reader, text) if told[1] == "support"] == [("fuselage", None)]


def test_she_may_be_an_engine_that_was_spoken_of(note_reader: NoteReader) -> None:
    text = "The port engine is free. She's hanging on the hoist."
    assert ("done", "support", "fuselage", None) not in _keys(note_reader, text)


@pytest.mark.parametrize(
    ("text", "supported"),
    [
        ("We put a trestle under frame twelve.", {("frame", None)}),
        ("There's a trestle under the starboard wing.", {("mainplane", "starboard")}),
        (
            "There are two trestles under the rear fuselage at frame eighteen, and one trestle under the port wing.",
            {("rear-fuselage", None), ("mainplane", "port")},
        ),
    ],
)
def test_each_trestle_under_a_part_is_kept(note_reader: NoteReader, text: str, supported: set[Any]) -> None:
    assert {told[2:] for told in _keys(note_reader, text) if told[1] == "support"} == supported


def test_place_of_one_trestle_is_not_that_of_another(note_reader: NoteReader) -> None:
    text = (
        "We put two trestles under the rear fuselage at frame eighteen. "
        "We put a trestle under the starboard wing at rib eight. The starboard outer engine is on the hoist."
    )
    places = [(fact.item, [one.at for one in fact.place or ()]) for fact in note_reader.read(text)]
    assert places == [("rear-fuselage", ["18"]), ("mainplane", ["8"]), ("engine", [])]


def test_number_of_trestles_is_no_frame(note_reader: NoteReader) -> None:
    text = "There are two trestles under the rear fuselage at frame eighteen, and one trestle under the port wing."
    assert {place.at for fact in note_reader.read(text) for place in fact.place or ()} == {"18"}


@pytest.mark.parametrize(
    ("text", "gone"),
    [
        ("The trestle under the starboard wing is out.", ("done", "remove", "trestle", "starboard")),
        ("The engine is in. The hoist is away.", ("done", "remove", "hoist", None)),
        ("The chocks are out.", ("done", "remove", "chock", None)),
        ("Jack's away from the tail.", ("done", "remove", "jack", None)),
        ("The jack's out from under the wing.", ("done", "remove", "jack", None)),
        ("The trestle has gone from under the nose.", ("done", "remove", "trestle", None)),
        ("The trestle under the centre fuselage has come away.", ("done", "remove", "trestle", None)),
    ],
)
def test_gear_that_is_gone_holds_nothing_up(note_reader: NoteReader, text: str, gone: tuple[Any, ...]) -> None:
    told = _keys(note_reader, text)
    assert gone in told
    assert "support" not in [act for _, act, _, _ in told]


def test_gear_on_which_something_stands_is_not_itself_put_away(note_reader: NoteReader) -> None:
    told = _keys(note_reader, "The propeller is back from Calder Airscrews and stands on the cradle.")
    assert ("done", "store", "cradle", None) not in told


@pytest.mark.parametrize(
    "text",
    [
        "Once the hoist is away, we'll fit the cowlings.",
        "The hoist isn't away yet.",
        "When she's on the trestles, we'll take the wheels off.",
        "She isn't on the trestles yet.",
        "Is the hoist away?",
    ],
)
def test_gear_that_is_not_yet_there_or_gone_tells_nothing(note_reader: NoteReader, text: str) -> None:
    done = [told for told in _keys(note_reader, text) if told[0] == "done"]
    assert not [told for told in done if told[1] in ("support", "remove")]


@pytest.mark.parametrize(
    ("text", "gone"),
    [
        ("The trestle under the port wing has gone back to the store.", True),
        ("Both trestles are gone back to the store.", True),
        ("Trestle's back in the store.", True),
        ("Trestles are away back to the store.", True),
        ("The tail trestle's been put away.", True),
        ("The hoist went back to the hire place yesterday.", True),
        ("The trestle's back under the wing.", False),
        ("The trestle has to go back to the store.", False),
        ("The trestles aren't back in the store yet.", False),
        ("Once the trestle's gone back to the store we can roll her out.", False),
        ("The trestle's come back to the hangar.", False),
    ],
)
def test_gear_that_went_back_to_its_store_holds_nothing_up(note_reader: NoteReader, text: str, gone: bool) -> None:
    told = _keys(note_reader, text)
    assert any(key[:2] == ("done", "remove") and key[2] in ("trestle", "hoist") for key in told) == gone
    assert not gone or not any(act == "support" for _, act, _, _ in told)


@pytest.mark.parametrize("text", ["She sat on three jacks.", "She's sat on the jacks.", "She's up on jacks again."])
def test_aircraft_that_sits_on_jacks_is_held_up(note_reader: NoteReader, text: str) -> None:
    assert [(fact.status, fact.act, fact.item) for fact in note_reader.read(text)] == [
        ("done", "support", "fuselage")
    ]


@pytest.mark.parametrize(
    ("text", "held"),
    [
        ("There's a trestle under the nose now.", {"front-fuselage"}),
        ("The tail's up on the trestle.", {"rear-fuselage"}),
        ("We put a padded trestle under the tail.", {"rear-fuselage"}),
        ("The trestle's back in under the tail.", {"rear-fuselage"}),
        ("We let the tail down onto the trestle.", set()),
        ("We lowered the nose onto two trestles.", {"front-fuselage"}),
        ("We'll lower the nose onto two trestles.", set()),
        ("The keel blocks are in, five of them.", {"fuselage"}),
        ("We'll put a trestle under the tail.", set()),
        ("If the tail is on the trestle it's safe.", set()),
        ("The jack's away from under the nose.", set()),
        ("The trestle under the tail is away.", set()),
    ],
)
def test_nose_and_tail_are_held_up_as_ends_of_the_fuselage(
    note_reader: NoteReader, text: str, held: set[str]
) -> None:
    assert {fact.item for fact in note_reader.read(text) if (fact.status, fact.act) == ("done", "support")} == held


def test_engine_off_its_trolley_was_let_down_and_not_taken_off(note_reader: NoteReader) -> None:
    assert ("done", "lower", "engine", None) in _keys(note_reader, "Engine off the trolley, sling's away.")
    assert ("done", "remove", "engine", None) not in _keys(note_reader, "Engine off the trolley, sling's away.")


def test_trestle_that_is_gone_from_its_rack_held_nothing_up(note_reader: NoteReader) -> None:
    assert note_reader.read("The trestle has gone from rack three.") == ()


@pytest.mark.parametrize(
    "text", ["The tail's on a trestle at frame nine.", "There's a trestle under the tail at frame nine."]
)
def test_place_of_a_trestle_is_told_with_the_end_that_it_holds(note_reader: NoteReader, text: str) -> None:
    (fact,) = note_reader.read(text)
    assert (fact.act, fact.item, [place.at for place in fact.place or ()]) == ("support", "rear-fuselage", ["9"])


def test_trestles_at_ribs_hold_up_no_fuselage(note_reader: NoteReader) -> None:
    told = note_reader.read("We do the port wing. Trestle at rib three, trestle at rib eleven, both are in.")
    assert {(f.item, f.side) for f in told if f.act == "support"} == {("mainplane", "port")}
