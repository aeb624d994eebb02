import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.frequency import zipf
from pipeline.hearing.repair import Repairer, apply

NAMES = [
    ("aileron", "aileron"),
    ("aileron hinge", "aileron-hinge"),
    ("castellated nut", "castellated-nut"),
    ("bellcrank", "bellcrank"),
    ("bolt", "bolt"),
    ("cowl gill", "cowl-gill"),
    ("longeron", "longeron"),
    ("pitot head", "pitot-head"),
    ("rudder hinge", "rudder-hinge"),
    ("spinner", "spinner"),
    ("stringer", "stringer"),
    ("tailplane", "tailplane"),
    ("trestle", "trestle"),
]
KNOWN = ["frame", "port", "spanner"]


@pytest.fixture(scope="module")
def repairer() -> Repairer:
    return Repairer(NAMES, zipf, known=KNOWN)


@pytest.mark.parametrize(
    ("heard", "read"),
    [
        ("All four castulated nuts are out.", "All four castellated nuts are out."),
        ("The port ayloron is off.", "The port aileron is off."),
        ("Ayleron hinges are in bag 6.", "Aileron hinges are in bag 6."),
        ("There's rust on the lonjeron by frame 9.", "There's rust on the longeron by frame 9."),
        ("The pit-out head has lost a bolt.", "The pitot head has lost a bolt."),
        ("The bell crank has play in it.", "The bellcrank has play in it."),
        ("We found the ayloron's bolt.", "We found the aileron's bolt."),
    ],
)
def test_a_trade_word_heard_wrong_is_read_right(repairer: Repairer, heard: str, read: str) -> None:
    assert repairer.repair(heard).read == read


@pytest.mark.parametrize(
    "text",
    [
        "The rudder hinge and both rudder hinges are off.",
        "We trestled it, and it's trestled still.",
        "Pass me that spanner.",
        "Port bolt's out, and the bolts are bolted to a board.",
        "The tailplane's on two trestles beside the longerons.",
        "It was quite a long run from the old hangar, and nobody minded.",
        "",
        "  ",
        "12 mm, 0.5 in, P-0142.",
    ],
)
def test_text_that_is_right_is_not_changed(repairer: Repairer, text: str) -> None:
    repaired = repairer.repair(text)
    assert repaired.read == text
    assert not any(one.applied for one in repaired.corrections)


def test_a_correction_says_where_how_sure_and_why(repairer: Repairer) -> None:
    text = "All four castulated nuts are out."
    (one,) = repairer.repair(text).corrections
    assert text[one.start : one.end] == one.heard == "castulated"
    assert one.read == "castellated"
    assert 0.76 <= one.score <= 1
    assert 'sounds like "castellated nuts"' in one.why and '"castulated" is unknown' in one.why


def test_an_unlikely_repair_is_only_suggested(repairer: Repairer) -> None:
    repaired = Repairer(NAMES, zipf, known=["frame"]).repair("Pass the spanner for the bolt.")
    (one,) = repaired.corrections
    assert (one.heard, one.read, one.applied) == ("spanner", "spinner", False)
    assert repaired.read == "Pass the spanner for the bolt."


def test_a_trade_word_near_by_and_a_doubtful_recogniser_raise_the_score(repairer: Repairer) -> None:
    alone = repairer.repair("The ayloron.").corrections[0].score
    near = repairer.repair("The ayloron bolt.").corrections[0].score
    doubted = repairer.repair("The ayloron bolt.", [0.9, 0.2, 0.9]).corrections[0].score
    trusted = repairer.repair("The ayloron bolt.", [0.9, 0.99, 0.9]).corrections[0].score
    assert alone < near < doubted
    assert trusted < near


def test_in_poor_sound_more_is_needed(repairer: Repairer) -> None:
    text = "The port spinner and the strinker are off."
    clear = repairer.repair(text, [0.9] * 8).corrections[0].score
    poor = repairer.repair(text, [0.6] * 8).corrections[0]
    assert poor.score < clear and "hard to hear" in poor.why


def test_an_everyday_word_is_not_made_a_trade_word(repairer: Repairer) -> None:
    assert repairer.repair("A stronger built boat in the long run.").read == "A stronger built boat in the long run."


def test_probabilities_must_match_the_words(repairer: Repairer) -> None:
    with pytest.raises(ValueError, match="one probability"):
        repairer.repair("two words", [0.5])


@pytest.mark.parametrize(
    ("heard", "read"),
    [
        ("The play was too thou.", "The play was two thou."),
        ("It's about to inches long.", "It's about two inches long."),
        ("The for bolts are out.", "The four bolts are out."),
        ("Won millimetre of it.", "One millimetre of it."),
    ],
)
def test_a_number_that_must_be_one_is_read_as_one(repairer: Repairer, heard: str, read: str) -> None:
    assert repairer.repair(heard).read == read


@pytest.mark.parametrize(
    "text",
    [
        "It's being fitted for the tailplane.",
        "Fitted for tailplane trials.",
        "It came up to inches from the wall.",
        "We were looking for bolts.",
        "Too bad, we won the day.",
        "It's too. Thou art late.",
    ],
)
def test_a_small_word_that_is_right_is_not_made_a_number(repairer: Repairer, text: str) -> None:
    assert repairer.repair(text).read == text


def test_an_empty_vocabulary_changes_nothing_but_numbers() -> None:
    assert Repairer([], zipf).repair("The ayloron has too thou.").read == "The ayloron has two thou."


TEXTS = st.lists(
    st.sampled_from(
        [
            "The",
            "ayloron",
            "castulated",
            "nuts,",
            "too",
            "thou",
            "pit-out",
            "heads.",
            "bolt's",
            "12",
            "\u2014",
            "Frame",
            "off",
        ]
    )
).map(" ".join)


@given(TEXTS | st.text(max_size=60))
def test_corrections_stand_in_order_and_make_the_text_as_read(text: str) -> None:
    repaired = Repairer(NAMES, zipf, KNOWN).repair(text)
    assert all(text[one.start : one.end] == one.heard for one in repaired.corrections)
    assert all(a.end <= b.start for a, b in itertools.pairwise(repaired.corrections))
    assert apply(text, repaired.corrections) == repaired.read
    assert repaired == Repairer(reversed(NAMES), zipf, KNOWN).repair(text)
