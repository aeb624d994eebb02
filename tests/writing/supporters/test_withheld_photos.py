"""A picture is judged by all the words round it: what may not be printed may not be shown either."""

from collections.abc import Mapping, Sequence
from datetime import timedelta
from functools import cache
from pathlib import Path

import pytest

from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import FactRecord
from pipeline.settings import Person, Released, Settings
from pipeline.writing.supporters.moments import Moments
from pipeline.writing.supporters.privacy import Gate
from pipeline.writing.supporters.withheld import FINDING
from pipeline.writing.supporters.withheld_photos import FAULTY, PLACED, UNTOLD, WithheldPhotos
from tests.writing.a_weekend import SATURDAY, fact, settings
from tests.writing.supporters.one_entry import Words, one_entry

OFF = "We took the rudder off this morning, four bolts."
DONE = {0: [fact("done", act="remove", item="rudder")]}
TEAM = (Person(name="Bea Linnet", consent=True), Person(name="Gordon Pellow", also=("Gordy",)))
BOOK: Settings = settings().model_copy(update={"people": TEAM})


@cache
def terms() -> Vocabulary:
    return load_vocabulary([Path("vocab/base")])


@cache
def gate_of(released: tuple[Released, ...]) -> Gate:
    return Gate(BOOK.model_copy(update={"released": released}), frozenset(), terms())


def why(
    words: Sequence[Words],
    at_s: float,
    facts: Mapping[int, Sequence[FactRecord]] | None = None,
    released: Sequence[Released] = (),
    unclear_s: float = 0.0,
) -> str:
    book, entry = one_entry(*words, facts=facts)
    gate = gate_of(tuple(released))
    photos = WithheldPhotos(Moments(book, terms()), gate, released, terms())
    return photos.why(entry, SATURDAY + timedelta(seconds=at_s), unclear_s)


def test_a_photo_goes_out_with_work_that_was_done_and_with_a_part_that_was_shown() -> None:
    assert why([(0, 3, OFF)], 2, DONE) == ""
    assert why([(0, 3, "Here you can see the fuel lines.")], 2) == ""
    assert why([(0, 3, "This is the port wing joint, look.")], 5) == ""
    assert why([(0, 3, OFF), (4, 6, "Photo of that, please.")], 5, DONE) == ""


@pytest.mark.parametrize(
    "text",
    [
        "Lights off, and the code for the side door is four four seven one.",
        "Mrs Averill Tunnicliffe popped in with a cheque, that's the engine hoist paid for.",
        "This is Gordon asleep in the pilot's seat.",
        "This is the seat, and he's had a heart attack scare.",
        "Here's the invoice for the propeller overhaul, four thousand two hundred pounds.",
        "Here you can see the spare key hanging inside the cabin door.",
        "The fin has the old registration on it, golf alpha bravo.",
        "This is the maker's plate on the engine, number one one two seven.",
        "That's young Tariq holding the aileron.",
        "This photo's of the canopy, that clumsy oaf cracked it.",
        "This is the fin, and it's airworthy.",
        "The oxygen bottle's gone to the garage at fourteen Mill Lane.",
    ],
)
def test_a_photo_beside_words_that_may_not_go_out_stays_in_for_their_reason(text: str) -> None:
    work = {1: [fact("done", act="remove", item="rudder")]}
    for words, at_s in (([(0.0, 4.0, text)], 2.0), ([(0.0, 4.0, text)], 6.0), ([(10.0, 14.0, text)], 4.0)):
        assert why(words, at_s).startswith("may show what was said with it: ") or why(words, at_s) == FAULTY
    assert why([(0, 4, text), (10, 14, OFF)], 6, work), "the words after it tell of work, those before give it away"
    assert why([(0, 4, OFF), (10, 14, text)], 6, DONE), "the words before it tell of work, those after give it away"
    assert why([(0, 4, OFF), (10, 14, "Kettle's on."), (20, 24, text)], 3, DONE) == ""


@pytest.mark.parametrize(
    "text",
    ["That's P-0301 on the top one.", "P0302, that is.", "The tag is pee,", "They've each got a label.",
     "0310, nobody's hurt.", "It's on rack two, second shelf.", "It's on stand four.", "They're in bag 31.",
     "Fourteen eyelets, bag B1.", "It's rolled up in tube T1.",
     "Box twelve."],
)  # fmt: skip
def test_a_photo_taken_as_a_tag_or_a_place_is_read_out_is_kept_back(text: str) -> None:
    words = [(0.0, 3.0, OFF), (10.0, 13.0, text), (15.0, 17.0, "We took the flap off.")]
    facts = {**DONE, 2: [fact("done", act="remove", item="flap")]}
    assert [why(words, at_s, facts) for at_s in (5, 8.5, 12, 14)] == [PLACED] * 4
    assert why(words, 16, facts) == ""


@pytest.mark.parametrize(
    "text",
    [
        "The fabric on the rudder is shot, it tears like paper.",
        "Look at that rudder, rotten right through.",
        "The rudder hinge has snapped clean off.",
        "The rudder is split and flat as a pancake.",
        "The rudder's buckled where the tug ran into it.",
        "That's the rudder, frayed and holed.",
        "Here's the rudder, delaminated.",
        "Here's the rudder, rubbed through at the edge.",
        "There's a crack in it.",
        "It's badly corroded, that.",
    ],
)
def test_a_photo_near_words_of_a_fault_is_kept_back_also_where_nobody_read_a_fact_from_it(text: str) -> None:
    assert why([(0, 3, text)], 2) == FAULTY
    assert why([(0, 3, OFF), (5, 8, text)], 4, DONE) == FAULTY


@pytest.mark.parametrize(
    "text",
    [
        "The rudder is proper mullered, that is.",
        "Here's the rudder, it's proper mullered.",
        "Look at the state of that rudder.",
        "The firewall behind it is a sorry sight.",
        "Next week we'll take the rudder off.",
        "Kettle's on.",
    ],
)
def test_a_photo_stays_in_where_no_work_was_told_and_no_part_merely_shown(text: str) -> None:
    assert why([(0, 3, text)], 2) == UNTOLD


def test_a_photo_that_nothing_was_said_with_stays_in() -> None:
    assert why([(0, 3, OFF)], 90, DONE) == UNTOLD


def test_words_that_only_look_like_a_fault_keep_nothing_back() -> None:
    told = {0: [fact("explained", act="open", item="fuel-line")]}
    assert why([(0, 3, "You crack the bleed screw.")], 2, told) == ""


def test_a_photo_near_a_finding_is_kept_back_until_something_else_was_told() -> None:
    words = [(0.0, 3.0, "Look at that."), (5.0, 8.0, "I've put a ring round it."), (30.0, 32.0, OFF)]
    crack = {0: [fact("seen", finding="crack", item="bracket")]}
    assert [why(words, at_s, crack) for at_s in (2, 7, 20)] == [FAULTY] * 3
    assert why(words, 31, {**crack, 2: [fact("done", act="remove", item="rudder")]}) == ""


def test_a_photo_of_a_finding_goes_out_once_the_finding_is_let_out_and_no_other_does() -> None:
    words = [(0.0, 3.0, "We found a crack in the engine mount, right by the weld.")]
    crack = {0: [fact("seen", finding="crack", item="engine-mount")]}
    out = [Released(item="engine-mount", finding="crack", who="Bea Linnet")]
    assert why(words, 2, crack) == FAULTY
    assert why(words, 2, crack, out) == ""
    assert why(words, 2, crack, [Released(item="rudder", finding="crack", who="Bea Linnet")]) == FAULTY
    before = [(-4.0, -2.0, "Kettle's on."), *words]
    assert why(before, -3, {1: crack[0]}, out) == UNTOLD, "it was taken with other words"
    more = [*words, (4.0, 6.0, "And the rudder is shot.")]
    assert why(more, 3.5, crack, out) == FAULTY
    assert "money" in why([*words, (4.0, 6.0, "It cost us three hundred quid.")], 3.5, crack, out)


def test_a_finding_let_out_on_one_part_lets_out_none_on_another_that_shares_a_short_name() -> None:
    gate = gate_of((Released(item="rudder-hinge", finding="corrosion", who="Bea Linnet"),))
    assert gate.reasons("There was corrosion on the rudder hinge.") == ()
    assert FINDING in gate.reasons("There's a bit of corrosion on the oil cooler bracket.")


def test_a_photo_that_may_be_of_other_words_is_judged_by_those_too() -> None:
    talk = [(0, 3, OFF), (4, 6, "Nice and easy."), (7, 9, "Kettle's on."), (30, 33, "The hinge has perished.")]
    assert why(talk, 2, DONE) == why(talk, 2, DONE, unclear_s=3.0) == ""
    assert why(talk, 2, DONE, unclear_s=30.0) == FAULTY
    assert why(talk[:3], 2, DONE, unclear_s=30.0) == ""
