"""What a fact's part is called on the pages where its words tell more than the vocabulary."""

from datetime import UTC, datetime

import pytest

from pipeline.book import vocabulary_folders
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.records import EntryRecord, FactRecord
from pipeline.writing.fact_names import names_told
from pipeline.writing.wording import fact_text

TERMS = load_vocabulary(vocabulary_folders(""))


def fact(act, item, said, **more):
    return FactRecord(status="done", act=act, item=item, said=said, utterances=("u",), **more)


def texts(words, *facts):
    entry = EntryRecord(
        id="e", at=datetime(2026, 1, 11, tzinfo=UTC), media="m", start_s=0, end_s=9, utterances=("u",), facts=facts
    )
    names = names_told(entry, {"u": words}, TERMS)
    return [fact_text(one, TERMS, name) for one, name in zip(facts, names, strict=True)]


def test_engine_that_was_named_before_is_told_of_each_fact():
    words = "Number one engine. Four mounting bolts out, engine's off."
    assert texts(
        words, fact("undo", "engine", "out", count=4, of="bolt"), fact("remove", "engine", "engine's off")
    ) == [
        "Undid 4 bolts at the number 1 engine",
        "Removed the number 1 engine",
    ]


@pytest.mark.parametrize(
    ("words", "act", "item", "text"),
    [
        (
            "Throttle rod and mixture rod disconnected.",
            "disconnect",
            "engine-control-rod",
            "Disconnected the throttle rod and mixture rod",
        ),
        ("Labelled all the cowlings.", "tag", "cowling", "Tagged the cowlings"),
        ("The cowling's labelled.", "tag", "cowling", "Tagged the cowling"),
    ],
)
def test_controls_are_called_as_they_were_and_several_stay_several(words, act, item, text):
    assert texts(words, fact(act, item, words.rstrip("."))) == [text]


def test_part_is_as_the_vocabulary_has_it_where_nothing_more_was_said():
    assert texts("The fin's off.", fact("remove", "fin", "The fin's off", side="port")) == ["Removed the port fin"]


@pytest.mark.parametrize(
    ("words", "item", "side", "text"),
    [
        ("And the port engines off.", "engine", "port", "Removed the port engine"),
        ("The port engines are off.", "engine", "port", "Removed the port engines"),
        ("The bilge pumps out.", "bilge-pump", None, "Removed the bilge pump"),
        ("The flying wires off.", "flying-wire", None, "Removed the flying wires"),
        ("And the step fairings off.", "fairing", None, "Removed the fairing"),
        ("Fairings off.", "fairing", None, "Removed the fairings"),
        ("The trestles out.", "trestle", None, "Removed the trestles"),
        ("All the fairings off.", "fairing", None, "Removed the fairings"),
        ("The fairings are off.", "fairing", None, "Removed the fairings"),
    ],
)
def test_an_is_that_was_heard_without_its_apostrophe_makes_no_plural(words, item, side, text):
    assert texts(words, fact("remove", item, words.rstrip("."), side=side)) == [text]


def test_a_part_that_is_back_on_with_its_bolts_was_fitted_itself():
    back = fact("fit", "engine", "port engine back on", side="port", count=4, of="bolt")
    assert texts("Port engine back on, four new mount bolts.", back) == ["Fitted the port engine (4 bolts)"]
    bolts = fact("fit", "fin", "six bolts back in the fin", count=6, of="bolt")
    assert texts("Six bolts back in the fin.", bolts) == ["Fitted 6 bolts at the fin"]
