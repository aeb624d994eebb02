import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.reader import Reader


def brief(facts: tuple[Fact, ...]) -> list[str]:
    """Facts as short lines: status, act or finding, item, side."""
    lines = []
    for fact in facts:
        what = fact.act or f"{'no ' if fact.absent else ''}{fact.finding}"
        lines.append(" ".join(word for word in (fact.status, what, fact.item or "-", fact.side or "") if word))
    return lines


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("We took the rudder off.", ["done remove rudder"]),
        ("We'll take the rudder off next week.", ["planned remove rudder"]),
        ("You take the rudder off from the top down.", ["explained remove rudder"]),
        ("We haven't taken the rudder off.", ["not-done remove rudder"]),
        ("We were going to take the rudder off.", []),
        ("We nearly took the rudder off.", []),
        ("If we take the rudder off it won't fit the stand.", []),
        ("Did anybody take the rudder off?", []),
        ("The rudder might come off on Sunday.", []),
        ("The last owners took the rudder off.", []),
        ("The rudder still needs taking off.", ["planned remove rudder"]),
        ("We had to take the rudder off.", ["done remove rudder"]),
        ("The rudder is off.", ["done remove rudder"]),
        ("The rudder's still on.", ["not-done remove rudder"]),
        ("Nobody has taken the rudder off.", ["not-done remove rudder"]),
    ],
)
def test_status_follows_from_how_it_is_said(reader: Reader, text: str, expected: list[str]) -> None:
    assert brief(reader.read(text)) == expected


def test_same_again_repeats_with_the_side_changed(reader: Reader) -> None:
    text = "Took the landing lamp out of the port wing, four screws. Same again on the starboard side."
    assert brief(reader.read(text)) == ["done remove landing-lamp port", "done remove landing-lamp starboard"]


def test_left_out_verb_is_taken_from_before(reader: Reader) -> None:
    assert brief(reader.read("The port aileron's off. The starboard one isn't.")) == [
        "done remove aileron port",
        "not-done remove aileron starboard",
    ]


def test_number_that_is_taken_back_does_not_count(reader: Reader) -> None:
    (fact,) = reader.read("We took five, no, six screws out of the nose cone.")
    assert (fact.count, fact.of, fact.item) == (6, "screw", "nose-cone")


def test_condition_that_was_looked_for_and_is_not_there_is_absent(reader: Reader) -> None:
    assert brief(reader.read("No corrosion on the tail cone.")) == ["seen no corrosion tail-cone"]


def test_slots_of_a_finding_are_read(reader: Reader) -> None:
    (fact,) = reader.read("There's a crack in the port longeron at frame 14, an inch and a quarter long.")
    assert fact.as_marked() == {
        "status": "seen",
        "finding": "crack",
        "item": "longeron",
        "side": "port",
        "place": [{"scheme": "frame", "at": "14"}],
        "measure": [{"value": 1.25, "unit": "in"}],
    }


def test_stowage_and_tag_are_read(reader: Reader) -> None:
    facts = reader.read("The elevator is on rack 3, top shelf, and I've tagged it P oh one four two.")
    assert [fact.as_marked() for fact in facts] == [
        {"status": "done", "act": "store", "item": "elevator", "stowage": {"rack": "3", "shelf": "top"}},
        {"status": "done", "act": "tag", "item": "elevator", "tag": "P-0142"},
    ]


def test_speech_without_marks_is_split_where_the_speaker_paused(reader: Reader) -> None:
    text = "the fin is off the rudder we left on"
    assert brief(reader.read(text, pauses=(text.index("the rudder"),))) == [
        "done remove fin",
        "not-done remove rudder",
    ]


def test_every_fact_says_where_it_was_read_and_by_which_rule(reader: Reader) -> None:
    text = "Starboard engine. Took the cowling off and drained the oil tank. No leaks."
    facts = reader.read(text)
    assert len(facts) == 3
    for fact in facts:
        first, last = fact.words
        assert 0 <= first < last <= len(text)
        assert fact.rule
    assert ("side", "carried on from what was said before") in facts[0].inferred


def test_reading_many_notes_is_reading_each(reader: Reader) -> None:
    notes = ["The fin is off.", "", "Kettle's on.", "We drained the port oleo."]
    assert list(reader.read_many(notes)) == [reader.read_note(note) for note in notes]


WORDS = sorted(
    word_set(
        "we the port starboard it they one other and but not n't took off out bolts four nuts wing joint aileron "
        "front spar rib 6 rack 3 bag tag P-0101 crack no corrosion is has been will if same again side pin , . 12 mm"
    )
)

DONE = (
    "took the port aileron off",
    "drained the oil tank",
    "disconnected the control cable at frame 9",
    "drilled four rivets out of the doubler",
    "bagged the bolts from the fin",
    "painted the starboard wing tip",
)


@pytest.mark.parametrize("work", DONE)
def test_plain_past_is_done(reader: Reader, work: str) -> None:
    assert {fact.status for fact in reader.read(f"We {work}.")} == {"done"}


@pytest.mark.parametrize("work", DONE)
@pytest.mark.parametrize(
    "frame",
    ["Years ago they {}.", "If only we {}!", "We nearly {}.", "If we {} it would be easier.", "The last owners {}."],
)
def test_framed_past_is_never_done(reader: Reader, work: str, frame: str) -> None:
    assert "done" not in {fact.status for fact in reader.read(frame.format(work))}


@settings(max_examples=60, deadline=None)
@given(text=st.text(alphabet=st.sampled_from(list("abc portwinghe'st,.-?0123½²—\n")), max_size=80))
def test_any_text_is_read_without_fault(reader: Reader, text: str) -> None:
    for fact in reader.read(text):
        assert 0 <= fact.words[0] <= fact.words[1] <= len(text)


@settings(max_examples=60, deadline=None)
@given(words=st.lists(st.sampled_from(WORDS), max_size=25))
def test_any_string_of_shop_words_is_read_without_fault(reader: Reader, words: list[str]) -> None:
    text = " ".join(words)
    for fact in reader.read(text):
        assert 0 <= fact.words[0] <= fact.words[1] <= len(text)
