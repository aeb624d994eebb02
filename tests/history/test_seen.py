"""A second decision builds on the person's own first one, and on nobody else's; answers belong to their entry."""

import pytest

from pipeline.history.acts import Change, amend, answer, decide, refuse_if_changed_since, sign, withdraw
from pipeline.history.chain import read
from pipeline.history.past import about
from pipeline.history.seen import ChangedSince, Seen
from pipeline.settings import Answer
from tests.history.made_entries import NOON
from tests.history.test_cutting import BEA, ONE, TED, TWO, book, entry_of, run, seen, stands  # noqa: F401

FIRST = Change(words={"u-aa-0": "The rudder."})
SECOND = Change(words={"u-aa-4": "The fin."})


def test_a_person_decides_twice_on_what_the_pages_showed_and_both_stand(book):  # noqa: F811
    shown = seen(book, "e-aa-0")
    amend(book, shown, FIRST, BEA, NOON, "one")
    amend(book, shown, SECOND, BEA, NOON, "and another")
    decide(book, shown, "accept", BEA, NOON)
    now = stands(book)["e-aa-0"]
    assert [one.read for one in now.read.words] == ["The rudder.", "The fin.", "elevator"]
    assert [one.act for one in now.decided] == ["amend", "amend", "accept"]
    with pytest.raises(ChangedSince, match="Bea Linnet accepted it"):
        decide(book, shown, "accept", TED, NOON)


def test_what_somebody_else_did_in_between_is_told(book):  # noqa: F811
    shown = seen(book, "e-aa-0")
    amend(book, shown, FIRST, BEA, NOON, "one")
    decide(book, seen(book, "e-aa-0"), "accept", TED, NOON)
    with pytest.raises(ChangedSince, match="Ted Marrack accepted it"):
        amend(book, shown, SECOND, BEA, NOON, "and another")


def test_what_the_program_read_anew_in_between_is_told_also_after_own_acts(book):  # noqa: F811
    shown = seen(book, "e-aa-0")
    run(book, entry_of("e-aa-0", "rudder", "keel", "elevator", photos=(1,)), TWO)
    with pytest.raises(ChangedSince, match="the program read it anew"):
        decide(book, shown, "accept", BEA, NOON)


def test_a_form_over_what_was_shown_is_refused_also_after_own_acts_but_not_after_an_undo(book):  # noqa: F811
    shown = seen(book, "e-aa-0")
    form = Seen(shown.entry, shown.version, shown.decision, exactly=True)
    made = amend(book, shown, FIRST, BEA, NOON, "one")
    for act in (lambda: amend(book, form, SECOND, BEA, NOON, "x"), lambda: refuse_if_changed_since(book, form)):
        with pytest.raises(ChangedSince, match="Bea Linnet amended it"):
            act()
    withdraw(book, "e-aa-0", made.n, BEA, NOON, "no")
    amend(book, form, SECOND, BEA, NOON, "x")


def test_what_is_signed_is_what_was_seen_and_no_amendment_of_ones_own(book):  # noqa: F811
    shown = seen(book, "e-aa-0")
    decide(book, shown, "accept", BEA, NOON)
    sign(book, [shown], BEA, "read", NOON)
    made = amend(book, seen(book, "e-aa-0"), FIRST, BEA, NOON, "one")
    decide(book, seen(book, "e-aa-0"), "accept", BEA, NOON)
    with pytest.raises(ChangedSince, match=rf"Bea Linnet amended it \(number {made.n}\).*saidseen run.*sign it then"):
        sign(book, [shown], BEA, "read", NOON)


def test_what_is_told_of_an_entry_holds_answers_cuts_and_what_was_taken_back(book):  # noqa: F811
    from pipeline.history.cutting import split

    split(book, seen(book, "e-aa-0"), "u-aa-4", BEA, NOON, "two")
    given = Answer(rule="support-before-undo", item="fin", entry="e-aa-4", reason="it stood", who=BEA)
    made = answer(book, given, 0, NOON)
    withdraw(book, given.rule, made.n, BEA, NOON, "no")
    answer(book, given.model_copy(update={"entry": "e-aa-0"}), 0, NOON)
    events = read(book.history_file).events
    assert [one.act for one in about(events, "e-aa-4")] == ["split", "answer", "withdraw"]
    assert [one.act for one in about(events, "e-aa-0")] == ["read", "split", "answer"]
