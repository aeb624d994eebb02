"""Reports of invented teams, read whole: every sentence has its facts behind it, and sounds like a person's."""

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from pipeline.book import vocabulary_folders
from pipeline.english import in_words, weekday
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import FindingLine, Move, Observation, Records, UnsureRecord
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.story import Story
from pipeline.writing.supporters.told import words
from pipeline.writing.supporters.year import plan_year, put_right
from pipeline.writing.terms import term
from tests.writing.a_weekend import fact
from tests.writing.reading_ease import grade, reading_ease
from tests.writing.supporters.invented_books import (
    BOOKS,
    InventedBook,
    a_winter,
    body_split,
    inspection_day,
    month_of_twenty_days,
    one_fact,
    rebuild_weekend,
    tiny_evening,
    without_people_or_photos,
)

Maker = Callable[[], InventedBook]
_every = pytest.mark.parametrize("made", BOOKS)
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_NUMBERS = {in_words(number): number for number in range(2, 61)}


@cache
def _vocabulary() -> Vocabulary:
    return load_vocabulary(vocabulary_folders(""))


def _year(records: Records, year: int = 2026) -> Story:
    days = date(year, 1, 1), date(year, 12, 31)
    return plan_year(Asked(records, a_winter().settings, _vocabulary(), *days))


def _story(book: InventedBook, first: date | None = None, last: date | None = None) -> Story:
    return plan(Asked(book.records, book.settings, _vocabulary(), first or book.first, last or book.last))


@cache
def _report(made: Maker) -> Story:
    return _story(made())


def _told(story: Story) -> str:
    return words(story.sentences)


@_every
def test_each_sentence_has_something_behind_it_and_names_no_part_that_is_not_in_it(made: Maker) -> None:
    """Parts, days and numbers of a sentence are those of the entries behind it, of a gloss or of a reason."""
    book = made()
    terms = _vocabulary()
    entries = {one.id: one for one in book.records.entries}
    names = {term(terms, part.notation): part.notation for part in terms.parts}
    for one in _report(made).sentences:
        assert one.behind, one
        behind = [entries[each] for each in one.behind if each in entries]
        if not behind:
            assert one.behind[0].split(":")[0] in ("gloss", "reason", "settings"), one
            continue
        facts = [fact for entry in behind for fact in entry.facts]
        known = {str(fact.item) for fact in facts} | {str(fact.of) for fact in facts}
        low = one.text.lower()
        for name, notation in names.items():
            if name not in low or any(name in other and other != name and other in low for other in names):
                continue
            if re.search(rf"\bthe (?:port |starboard )?{re.escape(name)}\b", low):
                related = {notation, terms.part(notation).broader} if terms.part(notation) else {notation}  # type: ignore[union-attr]
                whole = name in ("wing", "engine", "tail", "body", "float", "undercarriage")
                assert related & known or whole or _loosely(notation, known), (one.text, name, known)
        told_days = {day for day in _DAYS if day in one.text and not day.lower().startswith("the")}
        own_days = {weekday(entry.at.date()) for entry in behind}
        assert told_days <= own_days, (one.text, own_days)
        for figure in [*re.findall(r"\b\d+\b", one.text), *(w for w in _NUMBERS if re.search(rf"\b{w}\b", low))]:
            number = int(figure) if figure.isdigit() else _NUMBERS[figure]
            counts = {fact.count for fact in facts} | {each.value for fact in facts for each in fact.measure or ()}
            days = {entry.at.day for entry in behind} | {len({entry.at.date() for entry in book.records.entries})}
            days.add(len({entry.at.date() for entry in behind}))
            more = " more" in low
            assert number in counts | days or more, (one.text, number, counts)


def _loosely(notation: str, known: set[str]) -> bool:
    """Tell whether a part is named as what it is joined at, or as a piece of it."""
    terms = _vocabulary()
    return any((part := terms.part(one)) is not None and part.broader == notation for one in known)


@_every
def test_it_is_plain_english(made: Maker) -> None:
    told = _told(_report(made))
    assert reading_ease(told) >= 60 and grade(told) <= 8, told


@_every
def test_no_sentence_is_told_twice_and_no_two_paragraphs_begin_alike(made: Maker) -> None:
    story = _report(made)
    told = [one.text for one in story.sentences]
    assert len(set(told)) == len(told)
    begun = [
        " ".join(each.text.split()[:4])
        for part in story.sections
        for each in part.paragraphs
        if len(each.sentences) > 1
    ]
    assert len(set(begun)) == len(begun), begun


@_every
def test_captions_and_texts_for_pictures_differ_and_no_heap_of_pictures_stands_together(made: Maker) -> None:
    story = _report(made)
    captions = [one.caption for one in story.pictures]
    assert len(set(captions)) == len(captions), captions
    assert all(one.alt.startswith("Photograph, ") and one.alt.endswith(".") for one in story.pictures)
    assert all(len(each.pictures) <= 4 for part in story.sections for each in part.paragraphs)


@_every
def test_grammar_holds(made: Maker) -> None:
    for text in (one.text for one in _report(made).sentences):
        assert re.match(r"[A-Z“]", text) and text.endswith("."), text
        assert not re.search(
            r"\b(\w+) \1\b|\s\s|\bboth \w+ was\b|\ba [aeio]\w+|\ban [^aeiouh]\w+|\b1 \w+s\b|,,", text
        ), text
        assert not re.search(r"\b(?:both|two|three|four) [a-z ]+s (?:was|is|has|goes|comes)\b", text), text


def test_an_evening_with_two_jobs_makes_one_short_section() -> None:
    story = _report(tiny_evening)
    assert [part.heading for part in story.sections] == ["What we did"]
    assert story.headline == "Work on the undercarriage"
    assert story.standfirst[0].text == "On the evening of Tuesday 3 March, we were at work on the undercarriage."


def test_one_fact_makes_a_report() -> None:
    story = _report(one_fact)
    assert story.headline == "Off comes the seat"
    assert "We took off the seat." in _told(story)


def test_looking_is_told_and_what_was_found_is_not() -> None:
    story = _report(inspection_day)
    told = _told(story).lower()
    assert "we looked over the tailplane, both elevators, the fin and the rudder" in told
    for word in ("crack", "corrosion", "play", "measured", "hinge", "spar"):
        assert word not in told
    assert any("finding" in one.why for one in story.withheld)


def test_what_goes_back_on_is_told_with_when_it_had_come_off() -> None:
    story = _report(rebuild_weekend)
    assert story.headline == "The rudder goes back on"
    assert "The rudder, which came off in February, is back on the aircraft." in _told(story)


def test_a_month_of_twenty_days_stays_a_letter() -> None:
    story = _report(month_of_twenty_days)
    assert 8 <= len(story.pictures) <= 12
    assert len(_told(story).split()) < 400


def test_a_book_without_people_and_photos_thanks_nobody_and_shows_nothing() -> None:
    story = _report(without_people_or_photos)
    assert not story.thanks and not story.pictures and story.sections


def test_somebody_is_quoted_letter_for_letter_only_where_all_have_agreed() -> None:
    book = rebuild_weekend()
    quotes = [one for part in _story(book).sections for one in part.quotes]
    assert len(quotes) == 1
    said = {one.id: one.read for one in book.records.utterances}
    assert quotes[0].text == said[quotes[0].utterance]
    people = (
        *book.settings.people,
        book.settings.people[0].model_copy(update={"name": "Zeb Oakes", "consent": False}),
    )
    shy = plan(
        Asked(book.records, book.settings.model_copy(update={"people": people}), _vocabulary(), book.first, book.last)
    )
    assert not any(part.quotes for part in shy.sections)


def test_words_in_doubt_are_not_quoted() -> None:
    book = body_split()
    doubtful = tuple(
        one.model_copy(update={"unsure": (UnsureRecord(start=0, end=3, why="w"),)}) for one in book.records.utterances
    )
    records = book.records.model_copy(update={"utterances": doubtful})
    story = plan(Asked(records, book.settings, _vocabulary(), book.first, book.last))
    assert not any(part.quotes for part in story.sections)


def test_a_series_explains_nothing_twice_and_gives_no_reason_twice_in_a_row() -> None:
    book = a_winter()
    items = {one.item for entry in book.records.entries for one in entry.facts if one.act in ("remove", "fit")}
    held = tuple(
        fact("explained", act="held-by", item=one, count=4, of="bolt") for one in sorted(str(one) for one in items)
    )
    entries = tuple(one.model_copy(update={"facts": (*one.facts, *held)}) for one in book.records.entries)
    book = replace(book, records=book.records.model_copy(update={"entries": entries}))
    months = [_story(book, date(2026, m, 1), date(2026, m, 28)) for m in (1, 2, 3)]
    asked = [story.explained.question for story in months if story.explained is not None]
    assert asked and len(set(asked)) == len(asked)
    given = [{one.behind[0] for one in story.sentences if one.behind[0].startswith("reason:")} for story in months]
    assert not given[0] & given[1] and not given[1] & given[2]


def test_a_report_does_not_change_with_what_comes_after_it() -> None:
    book = a_winter()
    alone = book.records.model_copy(
        update={"entries": tuple(one for one in book.records.entries if one.at.month < 3)}
    )
    story = plan(Asked(alone, book.settings, _vocabulary(), date(2026, 2, 1), date(2026, 2, 28)))
    assert _told(story) == _told(_story(book, date(2026, 2, 1), date(2026, 2, 28)))


def test_a_year_is_summed_up_by_month_with_drawings_and_the_same_in_words() -> None:
    book = a_winter()
    story = _year(book.records)
    assert story.standfirst[0].text == "In 2026 we were at work on five days, spread over four months."
    assert story.standfirst[1].text == "Three parts came off and two went on."
    assert [plot.title for plot in story.plots] == ["Days at work", "Parts off and on"]
    assert story.plots[0].lines[0].text == "The busiest time was in February, with two days at work."
    assert story.plots[0].svg.count("<rect") == 4
    assert {"January", "February", "March"} <= {part.heading for part in story.sections}


def _months_of(svg: str) -> str:
    return "".join(re.findall(r">([JFMASOND])[a-z]+</text>", svg))


def test_a_year_is_drawn_as_far_as_it_has_come_and_whole_once_another_follows() -> None:
    book = a_winter()
    story = _year(book.records)
    last = max(one.at for one in book.records.entries if one.at.year == 2026)
    assert [_months_of(plot.svg) for plot in story.plots] == ["JFMAMJJASOND"[: last.month]] * 2
    assert last.month < 12
    later = book.records.entries[0].model_copy(update={"id": "e-later", "at": last.replace(year=2027)})
    more = book.records.model_copy(update={"entries": (*book.records.entries, later)})
    story = _year(more)
    assert {_months_of(plot.svg) for plot in story.plots} == {"JFMAMJJASOND"}


def _finding(*seen: tuple[str, bool], done: Sequence[str] = (), item: str = "fin", kind: str = "leak") -> FindingLine:
    """A condition as it was seen ("2026-03-14", whether it was gone), and the days of work on it."""
    told = tuple(
        Observation(on=date.fromisoformat(on), absent=gone, entry=f"e-{item}-{on}", measure=None) for on, gone in seen
    )
    moves = tuple(Move(on=date.fromisoformat(on), what="repair", entry=f"e-mend-{on}") for on in done)
    return FindingLine(on=told[0].on, item=item, finding=kind, entry=told[-1].entry, seen=told, done=moves)


def _winter_with(*lines: FindingLine) -> Records:
    records = a_winter().records
    bare = records.entries[0].model_copy(update={"facts": (), "utterances": (), "photos": ()})
    told = [bare.model_copy(update={"id": one.entry}) for line in lines for one in line.seen]
    lists = records.lists.model_copy(update={"findings": lines})
    return records.model_copy(update={"entries": (*records.entries, *told), "lists": lists})


PUT_RIGHT = (
    _finding(("2026-01-17", False), ("2026-02-14", True), done=["2026-02-14"]),
    _finding(("2026-01-17", False), ("2026-03-14", True), ("2026-05-09", True), done=["2026-02-14"], item="flap"),
    _finding(("2026-02-14", False), ("2026-03-14", True), done=["2026-03-14"], item="aileron"),
)
NOT_PUT_RIGHT = (
    _finding(("2026-01-17", False), done=["2026-02-14"], item="rudder"),  # worked on, and never looked at again
    _finding(("2026-01-17", False), ("2026-03-14", True), item="engine"),  # gone, and nobody told of any work
    _finding(("2026-01-17", False), ("2026-03-14", True), done=["2026-05-09"], item="canopy"),  # work came only after
    _finding(("2026-01-17", True), done=["2026-02-14"], item="elevator"),  # never there
    _finding(("2026-01-17", False), ("2026-02-14", True), ("2026-03-14", False), done=["2026-02-14"], item="float"),
    _finding(("2025-01-17", False), ("2025-02-14", True), done=["2025-02-14"], item="tail-boom"),  # another year
)


def test_a_year_draws_how_many_things_were_put_right_in_each_month_and_says_it_in_words() -> None:
    story = _year(_winter_with(*PUT_RIGHT, *NOT_PUT_RIGHT))
    assert [plot.title for plot in story.plots] == ["Days at work", "Parts off and on", "Things put right"]
    drawn = story.plots[2]
    assert [one.text for one in drawn.lines] == ["Three things that were amiss were put right, two of them in March."]
    assert 'aria-label="Things put right in each month: put right: February 1, March 2"' in drawn.svg
    assert drawn.svg.count("<rect") == 2


def test_what_was_put_right_is_told_as_a_bare_number_without_the_part_or_the_fault() -> None:
    story = _year(_winter_with(*PUT_RIGHT, *NOT_PUT_RIGHT))
    shown = " ".join([story.plots[2].svg, *(one.text for one in story.plots[2].lines)]).lower()
    for word in ("leak", "fin", "flap", "aileron", "rudder", "engine", "canopy", "repair"):
        assert not re.search(rf"\b{word}\b", shown), word


def test_one_thing_put_right_is_told_in_the_singular() -> None:
    story = _year(_winter_with(PUT_RIGHT[0]))
    assert story.plots[2].lines[0].text == "One thing that was amiss was put right in February."
    both = _year(_winter_with(*PUT_RIGHT[1:]))
    assert both.plots[2].lines[0].text == "Two things that were amiss were put right in March."


def test_a_year_in_which_nothing_was_put_right_has_no_drawing_of_it() -> None:
    story = _year(_winter_with(*NOT_PUT_RIGHT))
    assert [plot.title for plot in story.plots] == ["Days at work", "Parts off and on"]


def test_a_summary_of_a_year_stays_what_it_was_when_a_fault_comes_back_later() -> None:
    back = _finding(("2026-01-17", False), ("2026-02-14", True), ("2027-03-14", False), done=["2026-02-14"])
    assert put_right(_winter_with(back), 2026) == ((date(2026, 2, 14), "e-fin-2026-02-14"),)
    assert put_right(_winter_with(back), 2027) == ()


def test_a_year_without_work_makes_a_page_without_drawings() -> None:
    book = a_winter()
    story = plan_year(Asked(book.records, book.settings, _vocabulary(), date(2023, 1, 1), date(2023, 12, 31)))
    assert not story.sections and not story.plots and not story.standfirst
