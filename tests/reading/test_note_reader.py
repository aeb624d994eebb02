"""The reader that people get: what it is the two readings together that tell."""

from typing import Any

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.learnt.deciding import KEPT_FROM, RULE
from pipeline.reading.learnt.prepared import LONGEST
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader
from pipeline.reading.vocabulary import Part, Vocabulary


def _told(fact: Fact) -> tuple[Any, ...]:
    return (fact.status, fact.act or fact.finding, fact.item, fact.side)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("The spinner's as good as new.", ("seen", "sound", "spinner", None)),
        ("Filter out, washed through, back in.", ("done", "clean", "oil-filter", None)),
        ("Gave the port tyre a wipe.", ("done", "clean", "tyre", "port")),
    ],
)
def test_ways_of_speaking_that_no_rule_has_are_read(
    note_reader: NoteReader, reader: Reader, text: str, told: tuple[Any, ...]
) -> None:
    assert told not in [_told(fact) for fact in reader.read(text)]
    (fact,) = [fact for fact in note_reader.read(text) if _told(fact) == told]
    assert fact.rule == RULE
    assert KEPT_FROM < fact.confidence <= 1


def test_fact_points_at_the_words_that_tell_it(note_reader: NoteReader) -> None:
    text = "The port rudder's off and the starboard aileron has come away as well."
    for fact in note_reader.read(text):
        assert text[slice(*fact.words)].strip()
        assert fact.rule


def test_long_talk_is_read_to_its_end(note_reader: NoteReader) -> None:
    talk = "We had tea and talked about the weather and about how cold the hangar is in the morning. "
    text = 12 * talk + "Then we took the port aileron off and put it on rack 3."
    assert len(text.split()) > LONGEST
    told = [_told(fact) for fact in note_reader.read(text)]
    assert ("done", "remove", "aileron", "port") in told
    assert ("done", "store", "aileron", "port") in told


def test_what_is_told_in_the_middle_of_long_talk_is_told_once(note_reader: NoteReader) -> None:
    talk = "We had tea and talked about the weather and about how cold the hangar is in the morning. "
    for before in range(3, 9):
        text = before * talk + "The tail cone is off. " + (10 - before) * talk
        told = [_told(fact) for fact in note_reader.read(text)]
        assert told.count(("done", "remove", "tail-cone", None)) == 1, before


def test_one_by_one_and_many_together_are_read_alike(note_reader: NoteReader) -> None:
    texts = ["The fin is off, six bolts.", "", "Port flap jack's weeping, only slightly.", "Next week the rudder."]
    together = [[_told(fact) for fact in one.facts] for one in note_reader.read_many(texts)]
    assert together == [[_told(fact) for fact in note_reader.read(text)] for text in texts]
    assert together[1] == []


def test_taught_part_is_read_like_any_other(note_reader: NoteReader) -> None:
    known = note_reader.vocabulary
    lists = {name: getattr(known, name) for name in Vocabulary.model_fields}
    gizmo = Part(notation="gizmo-plate", preferred="gizmo plate", kind="structure")
    taught = NoteReader(Vocabulary(**lists | {"parts": (*known.parts, gizmo)}))
    assert ("done", "remove", "gizmo-plate", None) in [_told(f) for f in taught.read("The gizmo plate is off.")]
    assert note_reader.read_note("The gizmo plate is off.").unlisted


def test_place_carries_on_to_what_was_done_there_and_not_to_what_is_still_to_do(note_reader: NoteReader) -> None:
    text = "Took the port flap off at station 210. Unbolted the jack. Next week we'll paint the bomb doors."
    facts = {(fact.act, fact.item): fact for fact in note_reader.read(text)}
    assert facts["remove", "flap"].place
    assert not facts["paint", "bomb-door"].place


def test_how_to_counts_only_what_was_counted(note_reader: NoteReader) -> None:
    text = "The trim tab: you pull the hinge pin. The fin is held by six bolts."
    facts = note_reader.read(text)
    assert {fact.item for fact in facts} == {"trim-tab", "fin"}
    assert {(fact.count, fact.of) for fact in facts if fact.count} == {(6, "bolt")}


def test_plural_alone_is_not_both_sides(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("Horde outer engines off at 10-12.")
    assert (fact.act, fact.item, fact.side) == ("remove", "engine", None)


def test_part_that_is_said_first_is_what_was_put_away(note_reader: NoteReader) -> None:
    facts = note_reader.read("The keel needs a doubler. The corroded bolt I've put in box seven.")
    stored = {fact.item: fact.confidence for fact in facts if fact.act == "store"}
    assert max(stored, key=lambda item: stored[item]) == "bolt"


def test_not_yet_of_the_next_sentence_throws_no_doubt_on_this_one(note_reader: NoteReader) -> None:
    text = "The port elevator is on as well, four bolts. The starboard elevator is not on yet."
    on, off = note_reader.read(text)
    assert (on.status, on.act, on.side, on.count, on.doubts) == ("done", "fit", "port", 4, ())
    assert (off.status, off.act, off.side) == ("not-done", "fit", "starboard")


def test_throttle_cable_is_no_cable_of_a_control_surface(note_reader: NoteReader) -> None:
    assert [_told(fact) for fact in note_reader.read("The port throttle cable is disconnected.")] == [
        ("done", "disconnect", "throttle-cable", "port")
    ]
