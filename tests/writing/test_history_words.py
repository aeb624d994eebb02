"""The events of a history in plain words."""

from datetime import UTC, timedelta
from zoneinfo import ZoneInfo

from pipeline.book import vocabulary_folders
from pipeline.history.events import Act
from pipeline.history.versions import as_json
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.writing.history_words import event_lines
from tests.history.made_entries import NOON, chained, made_entry, photo

TERMS = load_vocabulary(vocabulary_folders(""))


def read_anew(before, now, zone=UTC):
    """Return what is told of an entry that is read otherwise."""
    acts = (
        Act("saidseen", "read", "e-1", None, as_json(before)),
        Act("saidseen", "read", "e-1", as_json(before), as_json(now)),
    )
    return list(event_lines(chained(*acts), TERMS, zone))[-1].partition(" anew: ")[2]


def test_entry_that_was_moved_is_told_with_the_times_from_and_to():
    moved = made_entry(at=NOON - timedelta(hours=1, seconds=2))
    assert read_anew(made_entry(), moved) == "its time moved from 12:00:00 to 10:59:58 on 14 February 2026"


def test_move_is_told_also_where_something_else_changed_with_it():
    moved = made_entry(at=NOON - timedelta(hours=1), photos=())
    assert read_anew(made_entry(), moved) == (
        f"its time moved from 12:00:00 to 11:00:00 on 14 February 2026; the photo {photo(1)} is no longer in it"
    )


def test_photo_that_went_from_one_entry_to_another_is_named_in_both_with_where_it_was_and_went():
    taken = Act("saidseen", "took-in", photo(1), None, {"path": "/media/BK5_2317.JPG", "sha256": "1"})
    with_it, without = as_json(made_entry()), as_json(made_entry(photos=()))
    before = [taken, Act("saidseen", "read", "e-1", None, with_it), Act("saidseen", "read", "e-2", None, without)]
    run = [Act("saidseen", "read", "e-1", with_it, without), Act("saidseen", "read", "e-2", without, with_it)]
    events = chained(*before, *run)
    events[-2:] = [one.model_copy(update={"at": events[-1].at}) for one in events[-2:]]  # one run has one instant
    lost, gained = (line.partition(" anew: ")[2] for line in event_lines(events[-2:], TERMS, UTC, events))
    assert lost == "the photo BK5_2317.JPG is no longer in it, but in e-2"
    assert gained == "the photo BK5_2317.JPG is new in it, and was in e-1"


def test_move_to_another_day_names_both_days_in_the_books_zone():
    moved = made_entry(at=NOON + timedelta(hours=12))
    assert read_anew(made_entry(), moved, ZoneInfo("Pacific/Auckland")) == (
        "its time moved from 01:00:00 on 15 February 2026 to 13:00:00 on 15 February 2026"
    ).replace(" on 15 February 2026 to", " to")
    assert read_anew(made_entry(), moved) == (
        "its time moved from 12:00:00 on 14 February 2026 to 00:00:00 on 15 February 2026"
    )


def test_entry_that_moved_in_its_sound_alone_is_told_as_that():
    assert read_anew(made_entry(), made_entry(start_s=3.0)) == "its place in the sound"
