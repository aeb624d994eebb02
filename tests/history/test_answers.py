"""Answers to cautions, and amendments of several entries in one act."""

import pytest

from pipeline.errors import WrongCommand
from pipeline.history.acts import Change, amend_together, answer, withdraw
from pipeline.history.answers import answers_in
from pipeline.history.chain import read
from pipeline.history.past import past_of
from pipeline.history.seen import ChangedSince, Seen
from pipeline.settings import Answer
from tests.history.made_entries import NOON, photo
from tests.history.test_acts import book, seen, stands  # noqa: F401


def given(reason="rods were disconnected on Friday", who="Bea Linnet", item="aileron", entry="e-1"):
    return Answer(rule="freed-first", item=item, side="port", entry=entry, reason=reason, who=who)


def stand(book):  # noqa: F811
    return answers_in(past_of(read(book.history_file).events).acts)


def test_an_answer_stands_until_it_is_taken_back(book):  # noqa: F811
    made = answer(book, given(), 0, NOON)
    assert (made.act, made.on, made.why) == ("answer", "freed-first", "rods were disconnected on Friday")
    assert stand(book) == (given(),)
    withdraw(book, "freed-first", made.n, "Bea Linnet", NOON, "it was the other side")
    assert stand(book) == ()


def test_second_answer_to_the_same_caution_is_told_of_the_first(book):  # noqa: F811
    first = answer(book, given(), 0, NOON)
    with pytest.raises(ChangedSince, match="Bea Linnet answered it"):
        answer(book, given("other", "Ailsa Thornby"), 0, NOON)
    answer(book, given("other", "Ailsa Thornby"), first.n, NOON)
    assert [one.reason for one in stand(book)] == ["other", "rods were disconnected on Friday"]


def test_an_answer_to_one_caution_is_none_to_another_of_its_rule(book):  # noqa: F811
    answer(book, given(), 0, NOON)
    answer(book, given(entry="e-2"), 0, NOON)
    answer(book, given(item="elevator"), 0, NOON)
    assert len(stand(book)) == 3


@pytest.mark.parametrize(("reason", "who"), [(" ", "Bea Linnet"), ("because", "Nobody")])
def test_an_answer_needs_a_reason_and_a_person_of_the_team(book, reason, who):  # noqa: F811
    with pytest.raises(WrongCommand):
        answer(book, given(reason, who), 0, NOON)
    assert stand(book) == ()


def test_a_photo_goes_from_one_entry_to_another_or_nothing_happens(book, monkeypatch):  # noqa: F811
    monkeypatch.setattr("pipeline.history.acts._photos", lambda book: {photo(1), photo(2)})
    before = len(read(book.history_file).events)
    out, put, why = Change(photos=[]), Change(photos=[photo(2), photo(1)]), "it shows the fin"
    with pytest.raises(ChangedSince):
        amend_together(book, [(seen(book), out), (Seen("e-2", "0" * 64), put)], "Bea Linnet", NOON, why)
    assert len(read(book.history_file).events) == before
    made = amend_together(book, [(seen(book), out), (seen(book, "e-2"), put)], "Bea Linnet", NOON, why)
    assert [one.on for one in made] == ["e-1", "e-2"]
    assert [one.media for one in stands(book, "e-2").read.entry.photos] == [photo(2), photo(1)]
    assert not stands(book).read.entry.photos
