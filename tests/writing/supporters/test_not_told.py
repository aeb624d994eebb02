"""What no report tells: whose voice it was, a day that only a file's time gives, work on an engine in store."""

from datetime import UTC, date, datetime
from functools import cache

from pipeline.book import vocabulary_folders
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import PartEvent, PartOff, Records
from pipeline.settings import Person
from pipeline.values import TimeSource
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.believed import sure_parts
from pipeline.writing.supporters.days_known import of_known_days, told_of_unknown
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.story import Quote, Story
from tests.writing.supporters.invented_books import InventedBook, Told, done, made_book

FIRST = datetime(2026, 1, 10, 10, tzinfo=UTC)
ALEX = Person(name="Alex Wren", role="rigger", consent=True)
COWLING = "We took the engine cowling off, all four panels of it."


@cache
def _vocabulary() -> Vocabulary:
    return load_vocabulary(vocabulary_folders(""))


def _book(*told: Told) -> InventedBook:
    return made_book("month", "Mail Carrier", {FIRST: told}, [ALEX])


def _story(book: InventedBook) -> Story:
    return plan(Asked(book.records, book.settings, _vocabulary(), book.first, book.last))


def _quotes(*told: Told) -> list[Quote]:
    return [one for part in _story(_book(*told)).sections for one in part.quotes]


def test_nobody_is_quoted_by_name_though_the_team_is_one_person() -> None:
    (quote,) = _quotes((COWLING, [done("remove", "cowling")], 0))
    assert quote.by == "one of the team, at the aircraft"


def test_nothing_is_quoted_out_of_a_recording_in_which_somebody_else_gives_a_name() -> None:
    told = (COWLING, [done("remove", "cowling")], 0)
    for words in ("Right, this is Bill and we are on the engine.", "Bill here, on the engine."):
        assert not _quotes((words, [], 0), told)
    assert _quotes(("Alex here, on the engine.", [], 0), told)


def test_no_report_tells_of_a_day_that_only_the_files_own_time_gives() -> None:
    book = _book(("We took the rudder off.", [done("remove", "rudder")], 0)).records
    media = tuple(
        one.model_copy(update={"time_source": TimeSource.FILE, "time_error_s": 86_400.0}) for one in book.media
    )
    copied = book.model_copy(update={"media": media})
    assert of_known_days(book) == book and not told_of_unknown(book)
    assert not of_known_days(copied).entries
    assert "month-0110.m4a" in told_of_unknown(copied)[0]


def _with_elevator(records: Records) -> Records:
    life = (PartEvent(on=date(2026, 1, 1), what="removed", entry=""),)
    part = PartOff(item="elevator", side="port", state="off", life=life)
    return records.model_copy(update={"lists": records.lists.model_copy(update={"parts_off": (part,)})})


def test_a_part_that_may_be_back_is_not_said_to_be_away() -> None:
    fit = done("fit", "elevator", "port", confidence=0.76, check=("by the rules it was not-done, not done",))
    for facts, away in (([fit], False), ([], True)):
        book = _with_elevator(_book(("The port elevator is on as well.", facts, 0)).records)
        (part,) = sure_parts(book, datetime(2026, 1, 31, tzinfo=UTC)).lists.parts_off
        assert bool(part.life) == away


def test_labelling_a_cowling_is_no_work_on_the_engine() -> None:
    told = _story(_book(("I labelled the cowlings, that's all.", [done("tag", "cowling")], 0)))
    assert "engine" not in f"{told.headline} {' '.join(one.text for one in told.standfirst)}".lower()
    assert any("We labelled the cowlings, so that each can" in one.text for one in told.sentences)
