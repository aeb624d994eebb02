"""Facts of the trade, told to the reader in notes of our own. Source of every one: common practice, no source."""

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.reader import Reader
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.shipped import shipped


@pytest.fixture(scope="module")
def reader() -> Reader:
    return Reader(load_vocabulary([shipped("vocab") / "base"]))


def order(facts: tuple[Fact, ...]) -> list[tuple[str | None, str | None]]:
    return [(fact.act, fact.item) for fact in facts]


def test_tailplane_joined_by_four_bolts_and_held_by_four_more_is_held_by_eight(reader: Reader) -> None:
    # common practice, no source
    text = "The tailplane's two halves are joined by four bolts and it's held to the frames by four more, two a side."
    (fact,) = reader.read(text)
    assert (fact.status, fact.act, fact.item, fact.count, fact.of) == ("explained", "held-by", "tailplane", 8, "bolt")


def test_transport_joint_has_about_240_nuts_and_bolts(reader: Reader) -> None:
    # common practice, no source
    (fact,) = reader.read("The transport joint's held together by about two hundred and forty nuts and bolts.")
    assert (fact.act, fact.item, fact.count, fact.of, fact.about) == (
        "held-by",
        "transport-joint",
        240,
        "nut-and-bolt",
        True,
    )


def test_tailplane_is_lifted_by_four_people(reader: Reader) -> None:
    # common practice, no source
    (fact,) = reader.read("We lifted the tailplane down off its frames, four of us.")
    assert (fact.status, fact.item, fact.count, fact.of) == ("done", "tailplane", 4, "person")


@pytest.mark.parametrize(
    ("said", "side"), [("left", "port"), ("right", "starboard"), ("left-hand", "port"), ("port", "port")]
)
def test_left_is_port_as_the_pilot_sits(reader: Reader, said: str, side: str) -> None:
    # common practice, no source
    (fact,) = reader.read(f"We took the {said} aileron off.")
    assert fact.side == side


def test_rudders_come_off_before_fins_and_fins_and_elevators_before_the_tailplane(reader: Reader) -> None:
    # common practice, no source
    text = (
        "Both rudders came off first. Then we took the fins off. The elevators came off too. "
        "Then we took the tailplane off."
    )
    assert order(reader.read(text)) == [
        ("remove", "rudder"), ("remove", "fin"), ("remove", "elevator"), ("remove", "tailplane"),
    ]  # fmt: skip


def test_tail_oleo_comes_out_before_the_tailplane(reader: Reader) -> None:
    # common practice, no source
    facts = reader.read("The tail oleo has to come out first. After that we'll take the tailplane off.")
    assert order(facts) == [("remove", "tail-oleo"), ("remove", "tailplane")]
    assert {fact.status for fact in facts} == {"planned"}


def test_section_is_trestled_on_its_strong_frames_before_the_joint_bolts_are_undone(reader: Reader) -> None:
    # common practice, no source
    text = "We trestled the rear fuselage at frame 12. Then we undid the transport joint bolts."
    facts = reader.read(text)
    assert order(facts) == [("support", "rear-fuselage"), ("undo", "transport-joint")]
    assert facts[0].place is not None
    assert facts[0].place[0].at == "12"


def test_services_are_freed_at_a_joint_before_it_is_parted(reader: Reader) -> None:
    # common practice, no source
    text = (
        "At the transport joint we've unplugged the wiring loom, disconnected the hydraulic pipes, the pitot line "
        "and the control rods. Now the joint can't be parted till the bolts are out."
    )
    facts = reader.read(text)
    assert order(facts) == [
        ("disconnect", "wiring-loom"), ("disconnect", "hydraulic-line"), ("disconnect", "pitot-static-line"),
        ("disconnect", "control-rod"),
    ]  # fmt: skip
    assert {fact.status for fact in facts} == {"done"}
