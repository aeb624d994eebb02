import pytest

from pipeline.hearing.frequency import zipf
from pipeline.hearing.repair import Repaired, Repairer

TEAM = [("Wenna Trosk", "Wenna", "Wen"), ("Col Bramwith", "Col", "Bram"), ("Perrin Haskett", "Perrin")]


@pytest.fixture(scope="module")
def repairer() -> Repairer:
    return Repairer([("trestle", "trestle")], zipf, team=TEAM)


def doubting(repairer: Repairer, text: str, *others: str | None) -> Repaired:
    """Repair a text of which the recogniser doubts the first word, and heard something else in a second look."""
    pieces = text.split()
    again = [*others, *[None] * len(pieces)][: len(pieces)]
    return repairer.repair(text, [0.3, *[0.95] * (len(pieces) - 1)], again)


@pytest.mark.parametrize(
    ("heard", "read"),
    [
        ("Call here, she's on three jacks.", "Col here, she's on three jacks."),
        ("It was late. This is call speaking.", "It was late. This is Col speaking."),
        ("It's when a here.", "It's Wenna here."),
        ("Call bram with speaking.", "Col Bramwith speaking."),
    ],
)
def test_what_sounds_the_same_as_a_name_is_read_as_it(repairer: Repairer, heard: str, read: str) -> None:
    assert repairer.repair(heard).read == read


def test_what_sounds_like_a_name_is_read_as_it_where_the_recogniser_doubts(repairer: Repairer) -> None:
    told = doubting(repairer, "Parent here, I've cut it.")
    assert told.read == "Perrin here, I've cut it."
    assert "of the team" in told.corrections[0].why
    assert repairer.repair("Hall speaking.", [0.9, 0.9], ["call", None]).read == "Col speaking."


def test_a_guest_who_was_heard_well_keeps_the_name_with_another_suggested(repairer: Repairer) -> None:
    told = repairer.repair("Paul speaking, nice place.", [0.95, 0.9, 0.9, 0.9], [None] * 4)
    assert told.read == "Paul speaking, nice place."
    assert [(one.read, one.applied) for one in told.corrections] == [("Col", False)]
    assert repairer.repair("Lena here.").read == "Lena here."


@pytest.mark.parametrize(
    "text",
    [
        "Wenna here, and Col speaking to me.",
        "We call here at ten.",
        "Over here, and when is it here.",
        "There's a call here.",
        "Right here you can see it.",
        "Come here.",
        "The parent here is a trestle.",
        "here",
        "Speaking.",
    ],
)
def test_nothing_is_read_as_a_name_where_nobody_says_who_speaks(repairer: Repairer, text: str) -> None:
    assert doubting(repairer, text).read == text


def test_no_name_is_read_that_two_people_may_have() -> None:
    both = Repairer([], zipf, team=[("Col",), ("Kol",)])
    assert both.repair("Call here.").read == "Call here."


def test_without_a_team_no_name_is_read() -> None:
    assert Repairer([], zipf).repair("Call here.").read == "Call here."
