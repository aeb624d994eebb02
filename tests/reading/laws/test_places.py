"""Places that are no two places, or none."""

import pytest

from pipeline.reading.fact import Fact, Place
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.places import as_said_anew, numbers_of_places, of_what_holds_up_alone
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader


def test_ends_of_a_range_are_one_place(note_reader: NoteReader) -> None:
    text = "We've taken three bottom panels off the hull, on the port side, between frame eight and frame eleven."
    (fact,) = note_reader.read(text)
    assert (fact.act, fact.item, fact.count, fact.of) == ("remove", "hull-panel", 3, "hull-panel")
    assert [place.at for place in fact.place or ()] in ([], ["8-11"])


@pytest.mark.parametrize(
    ("text", "read", "meant"),
    [
        ("Ribs: three bad, 4, 6 and 9.", ["3", "4", "6"], ["4", "6"]),
        ("Rib 3 is cracked in three places.", ["3"], ["3"]),
    ],
)
def test_number_that_only_counts_is_no_place(
    note_reader: NoteReader, text: str, read: list[str], meant: list[str]
) -> None:
    reader = Reader(note_reader.vocabulary)
    (one,) = reader.read_by_rule([(text, ())])
    places = tuple(Place(scheme="rib", at=at) for at in read)
    fact = Fact(status="seen", finding="crack", item="rib", words=(0, 5), place=places, count=3, of="rib")
    (told,) = numbers_of_places(Case(reader.lexicon, one), [fact])
    assert [place.at for place in told.place or ()] == meant


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("Corrosion from rib 2 out to rib 5.", "2-5"),
        ("The skin is cracked from frame 6 back to frame 9.", "6-9"),
        ("There's corrosion on the keel from frame three as far as frame six.", "3-6"),
        ("Primed the lower skin, station 40 aft to 88.", "40-88"),
    ],
)
def test_range_is_read_whatever_way_it_goes(note_reader: NoteReader, text: str, at: str) -> None:
    (fact,) = note_reader.read(text)
    assert [place.at for place in fact.place or ()] == [at]


def test_how_far_something_goes_takes_nothing_out(note_reader: NoteReader) -> None:
    facts = note_reader.read("Wing root, starboard: the ply is soft from the root out to rib three.")
    assert not [fact for fact in facts if fact.act == "remove"]


def test_what_was_moved_is_in_the_store_to_which_it_went(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("The port elevator was moved from rack eight to rack four.")
    assert fact.stowage is not None
    assert (fact.act, fact.stowage.rack) == ("move", "4")


def test_a_finding_is_put_right_where_it_was_seen(note_reader: NoteReader) -> None:
    text = "Keel member is cracked at frame 6. We'll stop-drill it. It wants repairing."
    *_, repair = note_reader.read(text)
    assert (repair.act, repair.place) == ("repair", (Place(scheme="frame", at="6"),))


def test_a_part_seen_at_two_places_is_put_right_at_none_of_them(note_reader: NoteReader) -> None:
    text = "Keel member is cracked at frame 6. Keel member is cracked at frame 9. The keel member wants repair."
    assert {fact.place for fact in note_reader.read(text) if fact.act == "repair"} <= {None}


@pytest.mark.parametrize(
    ("text", "status", "before", "anew", "stays"),
    [
        ("Corrosion on frame 8. Frame 9 is sound.", "seen", ("frame", "8"), ("frame", "9"), False),
        (
            "Stringer 7 is corroded at frame 3. So stringer 7 wants treating.",
            "planned",
            ("frame", "3"),
            ("stringer", "7"),
            False,
        ),
        (
            "Stringer 7 is corroded at frame 3. I looked along stringer 7.",
            "done",
            ("frame", "3"),
            ("stringer", "7"),
            True,
        ),
    ],
)
def test_a_place_said_anew_ends_the_one_before(
    note_reader: NoteReader, text: str, status: str, before: tuple[str, str], anew: tuple[str, str], stays: bool
) -> None:
    reader = Reader(note_reader.vocabulary)
    (one,) = reader.read_by_rule([(text, ())])
    places = [{"scheme": scheme, "at": at} for scheme, at in (before, anew)]
    words = (text.index(". ") + 2, len(text))
    fact = Fact.model_validate({"status": status, "item": anew[0], "words": words, "place": places})
    (told,) = as_said_anew(Case(reader.lexicon, one), [fact])
    assert [(place.scheme, place.at) for place in told.place or ()] == ([before, anew] if stays else [anew])


def test_where_an_opened_panel_is_says_nothing_of_the_parts_behind_it(note_reader: NoteReader) -> None:
    text = "Opened the inspection panel at station 212 and had a look in. The bellcrank is loose on its bracket."
    panel, *_, bellcrank = note_reader.read(text)
    assert panel.place == (Place(scheme="station", at="212"),)
    assert (bellcrank.item, bellcrank.place) == ("bellcrank", None)


def test_where_a_jack_stands_is_not_where_later_work_goes_on(note_reader: NoteReader) -> None:
    text = "Jack under the rear fuselage at frame eight. Rudder's off, three bolts."
    reader = Reader(note_reader.vocabulary)
    (one,) = reader.read_by_rule([(text, ())])
    place = {"scheme": "frame", "at": "8"}
    words = (text.index("Rudder"), len(text))
    off = Fact.model_validate({"status": "done", "act": "remove", "item": "rudder", "words": words, "place": [place]})
    held = Fact.model_validate({"status": "done", "act": "support", "item": "fuselage", "place": [place]})
    told = of_what_holds_up_alone(Case(reader.lexicon, one), [held, off])
    assert [fact.place for fact in told] == [(Place(scheme="frame", at="8"),), None]


def test_station_may_be_a_decimal_number(note_reader: NoteReader) -> None:
    (crack,) = note_reader.read("There's a crack in the keel at station one four four point five.")
    assert crack.place == (Place(scheme="station", at="144.5"),)


def test_part_is_moved_to_the_shelf_of_its_new_rack(note_reader: NoteReader) -> None:
    (moved,) = note_reader.read("Moved the ailerons from rack two to rack nine, bottom shelf.")
    assert moved.stowage is not None
    assert (moved.stowage.rack, moved.stowage.shelf) == ("9", "bottom")


def test_what_came_off_is_of_no_bay_in_which_it_stands_now(note_reader: NoteReader) -> None:
    facts = note_reader.read("Tailplane's off and on two padded stands in bay three.")
    assert [fact.place for fact in facts if fact.act == "remove"] == [None]
    (kept,) = [fact for fact in facts if fact.act == "store"]
    assert kept.stowage is not None and kept.stowage.room == "bay 3"


def test_a_bay_of_the_aircraft_is_where_a_part_came_off(note_reader: NoteReader) -> None:
    facts = note_reader.read("Took the oxygen bottle out of bay three. It's on rack two.")
    assert all(fact.stowage is None or fact.stowage.room is None for fact in facts)
