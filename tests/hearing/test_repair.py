import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.evidence import chance
from pipeline.hearing.frequency import zipf
from pipeline.hearing.repair import Repairer, apply
from pipeline.hearing.repair_weights import APPLY, APPLY_IN_POOR_SOUND

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


def test_a_correction_says_where_how_likely_and_why(repairer: Repairer) -> None:
    text = "All four castulated nuts are out."
    (one,) = repairer.repair(text).corrections
    assert text[one.start : one.end] == one.heard == "castulated"
    assert one.read == "castellated"
    assert APPLY <= one.score <= 1
    assert 'sounds like "castellated nuts"' in one.why and '"castulated" is unknown' in one.why


def test_a_repair_that_is_not_likely_enough_is_only_suggested(
    repairer: Repairer, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = "The port ayloron is off."
    monkeypatch.setattr("pipeline.hearing.repair.APPLY", 0.999)
    (one,) = repairer.repair(text).corrections
    assert (one.heard, one.read, one.applied) == ("ayloron", "aileron", False)
    assert repairer.repair(text).read == text
    monkeypatch.setattr("pipeline.hearing.repair.SUGGEST", 0.999)
    assert repairer.repair(text).corrections == ()


def chance_of(repairer: Repairer, name: str, *heard: object) -> float:
    return max(chance(one.found) for one in repairer.candidates(*heard) if one.name.text == name)  # type: ignore[arg-type]


def test_a_trade_word_near_by_raises_the_chance(repairer: Repairer) -> None:
    assert chance_of(repairer, "aileron", "The ayloron.") < chance_of(repairer, "aileron", "The ayloron bolt.")


def test_a_word_that_the_recogniser_doubted_is_the_likelier_to_be_repaired(repairer: Repairer) -> None:
    by_doubt = [chance_of(repairer, "aileron", "The ayloron bolt.", [0.9, sure, 0.9]) for sure in (0.99, 0.7, 0.2)]
    assert by_doubt == sorted(set(by_doubt))


def test_where_most_is_hard_to_hear_a_repair_must_be_likelier_to_be_applied(repairer: Repairer) -> None:
    text = "The port spinner and the strunker are off."
    (among_clear,) = repairer.repair(text, [0.9] * 5 + [0.5] + [0.9] * 2).corrections
    (among_poor,) = repairer.repair(text, [0.5] * 8).corrections
    assert among_clear.score == among_poor.score
    assert among_clear.applied == (among_clear.score >= APPLY)
    assert among_poor.applied == (among_clear.score >= APPLY_IN_POOR_SOUND) and APPLY < APPLY_IN_POOR_SOUND
    assert "hard to hear" in among_poor.why and "hard to hear" not in among_clear.why


def test_a_second_look_that_heard_the_name_raises_the_chance_and_one_that_agrees_does_not(repairer: Repairer) -> None:
    text, sure = "The ayloron is bent.", [0.9] * 4
    agreed = chance_of(repairer, "aileron", text, sure, [None] * 4)
    other = chance_of(repairer, "aileron", text, sure, [None, "aileron", None, None])
    assert agreed <= chance_of(repairer, "aileron", text, sure, [None, "", None, None]) < other
    (one,) = repairer.repair(text, sure, [None, "aileron", None, None]).corrections
    assert "second look heard this name" in one.why


def test_what_a_second_look_left_out_counts_as_a_difference(repairer: Repairer) -> None:
    (one,) = repairer.repair("The lonjerin is bent.", [0.9] * 4, [None, "", None, None]).corrections
    assert "two looks differ" in one.why


def test_other_readings_must_match_the_words(repairer: Repairer) -> None:
    with pytest.raises(ValueError, match="second look"):
        repairer.repair("two words", [0.5, 0.5], [None])


def test_counted_things_are_expected_where_things_are_counted(repairer: Repairer) -> None:
    texts = ("I saw these bowls.", "It was held by eight bowls.", "It was held by eight bowls each side.")
    likelier = [chance_of(repairer, "bolts", text) for text in texts]
    assert likelier == sorted(set(likelier))


def test_a_longer_name_that_is_right_is_not_cut_to_a_shorter_one(repairer: Repairer) -> None:
    assert repairer.repair("The aileron hinge's bolt.").corrections == ()


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
        ("Port side, to hinges each.", "Port side, two hinges each."),
        ("There's sixth thou of play.", "There's six thou of play."),
        ("The hinges are in bag ate.", "The hinges are in bag eight."),
        ("It's split between frame for and frame nine.", "It's split between frame four and frame nine."),
        ("Number to engine is out.", "Number two engine is out."),
        ("That's tag pea zero one four two.", "That's tag P zero one four two."),
        ("Tagged pee 0142.", "Tagged P 0142."),
        ("Fourteen screws, all in back 23.", "Fourteen screws, all in bag 23."),
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
        "What's that box for?",
        "This is the box for it, and that's the frame for the door.",
        "We need the box for.",
        "It's a sixth of an inch, and the sixth inch is worse.",
        "The tag to go on it.",
        "Rack the bolts up for storage.",
        "I had tea at ten.",
        "We went back two years, and put it back in 12 minutes.",
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


RIGHT = st.lists(st.sampled_from([*(name for name, _ in NAMES), "the", "and", "on", "both", "of", "is off,"])).map(
    " ".join
)


@given(RIGHT)
def test_text_of_right_names_and_small_words_is_not_changed(text: str) -> None:
    assert Repairer(NAMES, zipf, KNOWN).repair(text).read == text


@pytest.mark.parametrize(
    "text",
    ["All four castulated nuts and the ayloron are out.", "The play was too thou.", "The pit-out head, bag ate."],
)
def test_what_was_read_is_not_repaired_again(repairer: Repairer, text: str) -> None:
    read = repairer.repair(text).read
    assert read != text
    assert repairer.repair(read).read == read


def test_a_rare_word_given_alone_is_read_and_has_no_plural() -> None:
    repairer = Repairer([], zipf, single_words=["starboard"])
    assert repairer.repair("The starbord wheel.").read == "The starboard wheel."
    assert not any(one.name.text == "starboards" for one in repairer.candidates("The starbords wheel."))
