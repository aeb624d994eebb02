"""Dialect and shorthand, read in the common spelling and told of what was said."""

import pytest

from pipeline.reading.note_reader import NoteReader
from pipeline.reading.spelling import CommonSpelling
from pipeline.reading.vocabulary import Spelling, Vocabulary


@pytest.fixture(scope="module")
def spelling(vocabulary: Vocabulary) -> CommonSpelling:
    return CommonSpelling(vocabulary.spellings)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("It's aff noo.", "It's off now."),
        (
            "Cannae shift it, it's doon ahint the heid o' the tank.",
            "Can't shift it, it's down behind the head of the tank.",
        ),
        ("Nowt wrong wi' t'other yin.", "Nothing wrong with the other one."),
        ("Wi\u2019 the morn in mind.", "With tomorrow in mind."),
        ("At ten o'clock the wi-fi went.", "At ten o'clock the wi-fi went."),
        ("M/R blades off, u/c doors on.", "Main rotor blades off, undercarriage doors on."),
    ],
)
def test_words_of_a_dialect_are_put_into_the_common_spelling(spelling: CommonSpelling, text: str, meant: str) -> None:
    assert spelling.of(text, ()).text == meant


def test_places_in_the_common_spelling_lead_back_to_what_was_said(spelling: CommonSpelling) -> None:
    text = "The fin's aff, fae frame nine tae ten."
    made = spelling.of(text, (15,))
    assert made.text == "The fin's off, from frame nine to ten."
    assert text[slice(*made.as_said(10, 13))] == "aff"
    assert text[slice(*made.as_said(20, 30))] == "frame nine"
    assert [made.text[pause:][:4] for pause in made.pauses] == ["from"]


def test_without_spellings_a_text_stays_as_it_is() -> None:
    assert CommonSpelling(()).of("It's aff.", ()).text == "It's aff."
    assert CommonSpelling([Spelling(said="aff", means="off")]).of("It's aff.", ()).text == "It's off."


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Right, that's the tailplane aff noo, three bolts.", ("remove", "tailplane", 3, "tailplane aff")),
        ("T'prop's off, eight nuts.", ("remove", "propeller", 8, "T'prop's off")),
        ("We didnae tak it, but the rudder's oot.", ("remove", "rudder", None, "rudder's oot")),
    ],
)
def test_facts_of_dialect_are_told_of_the_words_that_were_said(
    note_reader: NoteReader, text: str, told: tuple[str, str, int | None, str]
) -> None:
    act, item, count, words = told
    (fact,) = [fact for fact in note_reader.read(text) if fact.act == act]
    assert (fact.status, fact.item, fact.count) == ("done", item, count)
    assert words in text[slice(*fact.words)]


def test_scots_not_leaves_work_undone(note_reader: NoteReader) -> None:
    assert not [fact for fact in note_reader.read("The wheel isnae aff yet.") if fact.status == "done"]
