"""A part's life in words: nothing is added to what the values hold."""

from datetime import date

import pytest

from pipeline.reading.fact import Measure, Place, Stowage
from pipeline.records import Held, PartEvent, PartOff, Question
from pipeline.writing.part_wording import (
    attached_text,
    condition_text,
    held_text,
    question_text,
    tag_text,
    where_text,
)
from tests.writing.a_weekend import vocabulary

DAY = date(2026, 2, 14)


@pytest.mark.parametrize(
    ("held", "text"),
    [
        (Held(of="bolt", count=6, told="undone"), "6 bolts"),
        (Held(of="bolt", count=1, about=True, told="undone"), "about 1 bolt"),
        (
            Held(of="bolt", count=16, told="explained", joint="wing-joint"),
            "16 bolts at the wing joint (as explained)",
        ),
        (Held(of="bolt", count=5, told="usual"), "5 bolts (usual, not told)"),
        (
            Held(of="nut", count=14, told="undone", place=(Place(scheme="spar", at="front"),)),
            "14 nuts, front spar",
        ),
    ],
)
def test_what_held_it_says_who_says_so(held, text):
    assert held_text([held, held], vocabulary()) == text
    again = held.model_copy(update={"entry": "e-2"})
    assert held_text([held, again], vocabulary()) == f"{text}; {text}"
    often = [held.model_copy(update={"entry": f"e-{number}"}) for number in range(40)]
    assert held_text(often, vocabulary()) == f"{text} (told 40 times)"


def test_condition_tells_each_finding_once_with_its_size():
    crack = PartEvent(
        on=DAY, what="finding", entry="e", finding="crack", grade="light", measure=(Measure(value=15, unit="mm"),)
    )
    gone = PartEvent(on=DAY, what="finding", entry="e", finding="play", absent=True)
    assert condition_text([crack, crack, gone]) == "Light crack, 15 mm; No play"


@pytest.mark.parametrize(
    ("part", "text"),
    [
        (
            PartOff(item="x", state="off", stowage=Stowage(rack="3"), stowed_on=DAY),
            "on rack 3 since 14 February 2026",
        ),
        (
            PartOff(item="x", state="off", removed_on=DAY),
            "came off on 14 February 2026, nobody said where it is kept",
        ),
        (PartOff(item="x", state="off", moved_on=DAY), "moved on 14 February 2026, nobody said where to"),
        (
            PartOff(item="x", state="refitted", removed_on=DAY, refitted_on=DAY),
            "on the aircraft: refitted on 14 February 2026",
        ),
        (PartOff(item="x", state="refitted", refitted_on=DAY), "on the aircraft: fitted on 14 February 2026"),
        (
            PartOff(item="x", state="replaced", replaced_on=DAY, stowage=Stowage(box="6"), stowed_on=DAY),
            "replaced by another one on 14 February 2026: in box 6 since 14 February 2026",
        ),
        (
            PartOff(item="x", state="replaced", replaced_on=DAY),
            "replaced by another one on 14 February 2026: nobody said where it is kept",
        ),
        (PartOff(item="x", state="on", tag="P-1"), "on the aircraft: it was said not to have been taken off"),
        (PartOff(item="x", tag="P-1"), "tagged, and nobody said where it is kept or when it came off"),
    ],
)
def test_every_state_says_where_it_is(part, text):
    assert where_text(part) == text


def test_what_it_was_joined_to_is_marked_where_it_is_only_usual():
    part = PartOff(item="aileron", attached_to=("outer-wing",), attached_by="usual")
    assert attached_text(part, vocabulary()) == "outer wing (usual, not told)"
    assert attached_text(part.model_copy(update={"attached_by": "undone"}), vocabulary()) == "outer wing"


def test_tag_tells_those_that_it_took_the_place_of():
    assert tag_text(PartOff(item="x", tag="P-2", former_tags=("P-1",))) == "P-2 (before: P-1)"
    assert tag_text(PartOff(item="x")) == ""


def test_tag_question_names_both_parts():
    question = Question(
        kind="one-tag-two-parts", item="aileron", side="port", tag="P-1", others=(("flap", "starboard"),)
    )
    text = question_text(question, vocabulary())
    assert text == "Tag P-1 was put on the port aileron and on the starboard flap. Which of them carries it?"
