from datetime import timedelta

from pipeline.book import vocabulary_folders
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.records import EntryRecord, FactRecord
from pipeline.writing.supporters.moments import Moments, Subject
from tests.writing.a_weekend import SATURDAY, fact, vocabulary
from tests.writing.supporters.one_entry import Words, one_entry


def _said(*words: Words, facts: dict[int, list[FactRecord]] | None = None) -> tuple[Moments, EntryRecord]:
    book, entry = one_entry(*words, facts=facts)
    return Moments(book, vocabulary()), entry


def test_a_photo_shows_the_part_of_the_fact_told_with_it() -> None:
    facts = {
        0: [fact("done", act="store", item="flap"), fact("done", act="remove", item="aileron", side="port")],
        1: [fact("done", act="drain", item="flap-jack")],
    }
    moments, entry = _said((0, 3, "One."), (10, 13, "Two."), facts=facts)
    assert moments.subject(entry, SATURDAY + timedelta(seconds=4)) == Subject("aileron", ("port",), "remove")
    assert moments.subject(entry, SATURDAY + timedelta(seconds=11)) == Subject("flap-jack", (), "drain")


def test_a_photo_without_a_fact_shows_the_part_that_is_named() -> None:
    trestle, entry = _said((0, 3, "There's one at stringer six, under the port aileron."))
    assert trestle.subject(entry, SATURDAY + timedelta(seconds=2)) == Subject("aileron", ("port",))
    moments, entry = _said(
        (0, 3, "Here you can see the two fuel lines."), (40, 43, "This is the port wing joint, look.")
    )
    assert moments.subject(entry, SATURDAY + timedelta(seconds=2)) == Subject("fuel-line", many=True)
    assert moments.subject(entry, SATURDAY + timedelta(seconds=42)) == Subject("wing-joint", ("port",))


def test_a_part_that_tells_where_something_is_is_not_what_is_seen() -> None:
    for words in ("It's on a pallet by the aileron.", "Two trestles, one inboard, one at the flap."):
        moments, entry = _said((0, 3, words))
        assert moments.subject(entry, SATURDAY + timedelta(seconds=2)) is None
    moments, entry = _said((0, 3, "Look at the flap."))
    assert moments.subject(entry, SATURDAY + timedelta(seconds=2)) == Subject("flap")


def test_a_photo_with_words_that_name_nothing_shows_what_was_told_just_before() -> None:
    facts = {0: [fact("done", act="support", item="outer-wing", side="port")]}
    moments, entry = _said((0, 3, "Weight's on the hoist."), (4, 6, "Photo of her in the slings."), facts=facts)
    assert moments.subject(entry, SATURDAY + timedelta(seconds=5)) == Subject("outer-wing", ("port",), "support")
    far, entry = _said((0, 3, "Weight's on the hoist."), (14, 16, "Photo of her in the slings."), facts=facts)
    assert far.subject(entry, SATURDAY + timedelta(seconds=15)) is None


def test_a_photo_of_a_trestle_shows_nothing_of_what_was_told_before_it() -> None:
    terms = load_vocabulary(vocabulary_folders(""))
    facts = {0: [fact("done", act="treat", item="rib")], 1: [fact("done", act="remove", item="trestle")]}
    book, entry = one_entry((0, 3, "Holes in the rib, treated."), (5, 8, "Trestle taken away."), facts=facts)
    moments = Moments(book, terms)
    assert moments.subject(entry, SATURDAY + timedelta(seconds=2)) == Subject("rib", (), "treat")
    assert moments.subject(entry, SATURDAY + timedelta(seconds=7)) is None


def test_a_picture_that_was_spoken_of_is_known() -> None:
    moments, _ = _said((0, 3, "Photo of that, please."), (30, 33, "Off it comes."))
    assert moments.asked_for(SATURDAY + timedelta(seconds=2))
    assert not moments.asked_for(SATURDAY + timedelta(seconds=32))
    soon, _ = _said((0, 3, "Off it comes."), (4, 6, "Photo of that, please."))
    assert not soon.asked_for(SATURDAY + timedelta(seconds=3))


def test_a_photo_of_no_certain_words_shows_the_one_part_that_all_of_them_are_on() -> None:
    both = {
        0: [fact("done", act="drain", item="flap-jack")],
        1: [fact("done", act="bag", item="bolt"), fact("done", act="remove", item="flap-jack")],
    }
    moments, entry = _said((0, 3, "One."), (4, 7, "Two."), facts=both)
    assert moments.of_one_part(entry) == Subject("flap-jack")
    moments, entry = _said((0, 3, "One."), (4, 7, "Two."), facts={**both, 1: [fact("done", act="fit", item="flap")]})
    assert moments.of_one_part(entry) is None
