"""One entry's chain, from what is printed to its files."""

from pathlib import Path

import pytest

from pipeline.errors import WrongCommand
from pipeline.values import Kind
from pipeline.writing.trace import entry_called, trace_lines, trace_of, trace_page
from tests.writing.a_weekend import records, settings, vocabulary

BOOK = records()
ZONE = settings().zone


def traced(**changed):
    entry = BOOK.entries[1].model_copy(update=changed)
    return trace_of(entry, BOOK, (), vocabulary(), ZONE)


def fact(said, *utterances):
    first = BOOK.entries[1].facts[0]
    return first.model_copy(update={"said": said, "utterances": utterances})


def test_every_printed_line_leads_to_its_words_by_letters():
    said = {one.id: one for one in BOOK.utterances}
    one, two = BOOK.entries[1].utterances[:2]
    words = said[two].read[3:12]
    (line,) = traced(facts=(fact(words, one, two),)).facts
    assert line.spans == ((two, 3, 12),)
    assert line.printed == "Undid 6 bolts at the port aileron hinge"


def test_words_that_run_from_one_utterance_into_the_next_are_told_in_both():
    said = {one.id: one for one in BOOK.utterances}
    one, two = BOOK.entries[1].utterances[:2]
    words = f"{said[one].read[-6:]} {said[two].read[:4]}"
    (line,) = traced(facts=(fact(words, one, two),)).facts
    end = len(said[one].read)
    assert line.spans == ((one, end - 6, end), (two, 0, 4))


def test_a_fact_whose_words_are_not_known_leads_to_the_whole_utterance():
    one = BOOK.entries[1].utterances[0]
    end = len({said.id: said for said in BOOK.utterances}[one].read)
    assert traced(facts=(fact("", one),)).facts[0].spans == ((one, 0, end),)


def test_a_chance_is_not_told_as_a_share_that_was_measured_nor_rounded_up_to_certainty():
    first = BOOK.entries[1].facts[0]
    learnt = first.model_copy(update={"rule": "learnt from marked notes", "confidence": 0.997})
    by_rule = first.model_copy(update={"rule": "done", "confidence": 0.996})
    one, other = traced(facts=(learnt, by_rule)).facts
    assert "this reading was given a chance of over 99\u00a0%" in one.read_by and "were right" not in one.read_by
    assert "were right over 99\u00a0% of the time on marked notes" in other.read_by


def test_the_lines_hold_every_file_with_its_whole_hash_and_the_seconds():
    lines = "\n".join(trace_lines(traced()))
    entry = BOOK.entries[1]
    for media in (entry.media, *(link.media for link in entry.photos)):
        assert media.removeprefix("sha256:") in lines
    assert f"{entry.start_s:.2f} s to {entry.end_s:.2f} s" in lines
    assert all(f"said     {one} at " in lines for one in entry.utterances)


def test_a_note_in_writing_was_heard_by_nobody():
    media = tuple(
        one.model_copy(update={"kind": Kind.CAPTIONS}) if one.id == BOOK.entries[1].media else one
        for one in BOOK.media
    )
    book = BOOK.model_copy(update={"media": media})
    lines = "\n".join(trace_lines(trace_of(book.entries[1], book, (), vocabulary(), ZONE)))
    assert "of the note" in lines and "  written “" in lines and "\nnote     " in lines
    assert "heard  “" not in lines and "of the sound" not in lines
    assert "of the sound" in "\n".join(trace_lines(traced()))


def test_an_entry_is_called_by_how_its_id_begins_or_by_its_pages_address():
    one = BOOK.entries[1]
    assert entry_called(BOOK, one.id) == one
    assert entry_called(BOOK, f"logbook/2026-02-14.html#{one.id}") == one
    with pytest.raises(WrongCommand, match=r"may be .* and .* more"):
        entry_called(BOOK, one.id[:2])
    for nothing in ("", "#", "nothing"):
        with pytest.raises(WrongCommand, match="There is no entry"):
            entry_called(BOOK, nothing)


def test_an_id_that_begins_another_one_is_still_that_entry():
    entry = BOOK.entries[0]
    longer = entry.model_copy(update={"id": entry.id + "0"})
    assert entry_called(BOOK.model_copy(update={"entries": (entry, longer)}), entry.id) == entry


def test_foreign_text_does_nothing_on_the_page_or_on_a_terminal():
    evil = "<script>alert(1)</script>\x1b[31m\u202e"
    book = BOOK.model_copy(
        update={"utterances": tuple(one.model_copy(update={"read": evil}) for one in BOOK.utterances)}
    )
    one = trace_of(book.entries[0], book, (), vocabulary(), ZONE)
    page = trace_page(one, book, Path("/book"), Path("/book/out/trace/one.html"))
    assert "<script" not in page and "\x1b" not in page and "\u202e" not in page
    assert not any("\x1b" in line or "\u202e" in line for line in trace_lines(one))


def test_the_pages_links_lead_from_where_it_lies_to_the_originals():
    page = trace_page(traced(), BOOK, Path("/book"), Path("/elsewhere/one.html"))
    entry = BOOK.entries[1]
    path = next(one.path for one in BOOK.media if one.id == entry.media)
    assert f'href="../book/{path}#t={entry.start_s:.2f},{entry.end_s:.2f}"' in page


def test_whether_it_was_checked_is_told_as_of_the_pages_that_stand():
    trace = traced()
    assert f"{trace.review})" in next(trace_lines(trace)) and trace.review.endswith(" as the pages stand")
