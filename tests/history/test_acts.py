"""What people do to entries of a book: as functions, which the command line and a page call."""

from datetime import timedelta

import pytest

from pipeline.book import new_book
from pipeline.errors import BookInUse, WrongCommand
from pipeline.history.acts import Change, amend, decide, new_reading, sign, withdraw
from pipeline.history.chain import HistoryChanged, append, read
from pipeline.history.events import Act
from pipeline.history.past import past_of
from pipeline.history.recording import made_since
from pipeline.history.seen import Seen
from pipeline.history.signing import new_key, proof_of
from pipeline.history.versions import version_of
from tests.history.made_entries import NOON, made_entry, photo

PEOPLE = """
[[people]]
name = "Ailsa Thornby"
may_sign = ["checked the words"]

[[people]]
name = "Bea Linnet"
"""


@pytest.fixture
def book(tmp_path):
    made = new_book(tmp_path / "book", NOON.date())
    made.settings_file.write_text(made.settings_file.read_text() + PEOPLE)
    run(made, made_entry("e-1"), made_entry("e-2", item="fin", photos=(2,)))
    return made


def run(book, *entries):
    """What a run leaves in the history."""
    past = past_of(read(book.history_file).events)
    append(book.history_file, made_since(past, [], entries, "saidseen"), NOON)


def stands(book, entry="e-1"):
    return past_of(read(book.history_file).events).stands()[entry]


def seen(book, entry="e-1"):
    now = stands(book, entry)
    return Seen(entry, now.version, now.decided[-1].n if now.decided else 0)


def test_a_decision_names_what_was_seen_and_stands_at_once(book):
    event = decide(book, seen(book), "accept", "Bea Linnet", NOON)
    assert (event.act, event.who, event.on, event.before["version"]) == (
        "accept",
        "Bea Linnet",
        "e-1",
        stands(book).version,
    )
    assert stands(book).review == "accepted"


def test_the_second_of_two_people_is_told_and_nothing_is_lost(book):
    both = seen(book)
    decide(book, both, "reject", "Ailsa Thornby", NOON, "read wrong")
    with pytest.raises(WrongCommand, match=r"Ailsa Thornby rejected it \(number 3\).*nothing is lost"):
        decide(book, both, "accept", "Bea Linnet", NOON)
    assert stands(book).review == "rejected"
    decide(book, seen(book), "accept", "Bea Linnet", NOON)
    assert stands(book).review == "accepted"


def test_a_decision_on_what_the_program_has_read_anew_is_told(book):
    before = seen(book)
    run(book, made_entry("e-1", words="The fort rudder's off."), made_entry("e-2", item="fin", photos=(2,)))
    with pytest.raises(WrongCommand, match="the program read it anew"):
        decide(book, before, "accept", "Bea Linnet", NOON)


def test_amendments_change_what_stands_and_keep_what_was_first_made(book):
    change = Change(
        facts=[{"status": "done", "act": "remove", "item": "elevator", "side": "port"}],
        words={"u-1": "The port elevator's off."},
        photos=[],
    )
    amend(book, seen(book), change, "Bea Linnet", NOON, "I saw it")
    now = stands(book)
    assert now.read.entry.facts[0].item == "elevator"
    assert now.read.words[0].read == "The port elevator's off."
    assert now.read.words[0].heard == "The port rudder's off."
    assert now.base == made_entry("e-1")
    assert now.review == "amended"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (Change(facts=[{"status": "done", "item": "flux-capacitor"}]), "no part of the vocabulary"),
        (Change(facts=[{"status": "done", "act": "dance"}]), "no act of the vocabulary"),
        (Change(facts=[{"status": "maybe"}]), "A fact cannot be read, at 'status'"),
        (Change(facts=[{"status": "done", "colour": "red"}]), "at 'colour'"),
        (Change(photos=[photo(7)]), "has no photo"),
        (Change(words={"u-9": "Hello."}), "has no utterance 'u-9'. It has: u-1"),
        (Change(words={"u-1": "The port rudder's off."}), "says already"),
        (Change(), "says already"),
    ],
)
def test_an_amendment_that_cannot_be_is_told_and_not_written(book, change, told):
    before = book.history_file.read_bytes()
    with pytest.raises(WrongCommand, match=told):
        amend(book, seen(book), change, "Bea Linnet", NOON, "because")
    assert book.history_file.read_bytes() == before


def test_a_person_who_agrees_takes_what_the_program_reads_by_now(book):
    decide(book, seen(book), "accept", "Bea Linnet", NOON)
    later = made_entry("e-1", words="The port elevator's off.", item="elevator", photos=(1, 3))
    run(book, later, made_entry("e-2", item="fin", photos=(2,)))
    assert stands(book).asked
    amend(book, seen(book), new_reading(book, "e-1"), "Bea Linnet", NOON, "it is right now")
    now = stands(book)
    assert (now.review, now.asked) == ("amended", False)
    assert now.version == version_of(later)
    assert now.read.entry.facts == later.entry.facts


def test_a_reading_that_is_cut_otherwise_is_taken_by_taking_back_the_decision(book):
    decide(book, seen(book), "accept", "Bea Linnet", NOON)
    run(book)
    with pytest.raises(WrongCommand, match="--withdraw N"):
        new_reading(book, "e-1")


def test_every_act_but_acceptance_needs_a_reason_and_each_needs_a_person_of_the_book(book):
    with pytest.raises(WrongCommand, match="--why"):
        decide(book, seen(book), "reject", "Bea Linnet", NOON, " ")
    with pytest.raises(WrongCommand, match="--why"):
        amend(book, seen(book), Change(photos=[]), "Bea Linnet", NOON, "")
    with pytest.raises(WrongCommand, match="nobody called 'Bea'"):
        decide(book, seen(book), "accept", "Bea", NOON)
    with pytest.raises(WrongCommand, match="no entry e-9"):
        decide(book, Seen("e-9", "0" * 64), "accept", "Bea Linnet", NOON)


def test_only_who_did_it_takes_it_back_and_only_once(book):
    event = decide(book, seen(book), "reject", "Bea Linnet", NOON, "read wrong")
    with pytest.raises(WrongCommand, match="only Bea Linnet can"):
        withdraw(book, "e-1", event.n, "Ailsa Thornby", NOON, "no")
    with pytest.raises(WrongCommand, match="no decision"):
        withdraw(book, "e-2", event.n, "Bea Linnet", NOON, "no")
    with pytest.raises(WrongCommand, match="no decision"):
        withdraw(book, "e-1", 1, "Bea Linnet", NOON, "no")
    withdraw(book, "e-1", event.n, "Bea Linnet", NOON, "I was wrong")
    assert stands(book).review == "unread"
    with pytest.raises(WrongCommand, match="taken back already"):
        withdraw(book, "e-1", event.n, "Bea Linnet", NOON, "again")


def test_entries_are_signed_all_together_or_not_at_all(book):
    signed = sign(book, [seen(book), seen(book, "e-2")], "Ailsa Thornby", "checked the words", NOON)
    assert [one.on for one in signed] == ["e-1", "e-2"]
    assert signed[0].after == {"entry": "e-1", "version": stands(book).version, "for": "checked the words"}
    decide(book, seen(book, "e-2"), "reject", "Bea Linnet", NOON, "read wrong")
    before = book.history_file.read_bytes()
    with pytest.raises(WrongCommand, match="e-2 is rejected"):
        sign(book, [seen(book), seen(book, "e-2")], "Ailsa Thornby", "checked the words", NOON)
    assert book.history_file.read_bytes() == before


def test_signing_with_a_key_at_any_fraction_of_a_second_gives_a_signature_that_fits(book, tmp_path):
    line = new_key(tmp_path / "ailsa.pem")
    listed = PEOPLE.replace("may_sign", f'key = "{line}"\nmay_sign')
    book.settings_file.write_text(book.settings_file.read_text().replace(PEOPLE, listed))
    people = book.settings().people
    (event,) = sign(
        book,
        [seen(book)],
        people[0].name,
        "checked the words",
        NOON + timedelta(microseconds=999_999),
        tmp_path / "ailsa.pem",
    )
    assert proof_of(read(book.history_file).events[-1], people) == "key"
    assert proof_of(event, people) == "key"


def test_nothing_is_decided_while_a_run_has_the_book_or_on_a_history_that_was_changed(book):
    here = seen(book)
    with book.locked(), pytest.raises(BookInUse):
        decide(book, here, "accept", "Bea Linnet", NOON)
    append(book.history_file, [Act("x", "seal", "bag")], NOON)
    book.history_file.write_bytes(book.history_file.read_bytes().replace(b"rudder", b"ruddle"))
    with pytest.raises(HistoryChanged):
        decide(book, here, "accept", "Bea Linnet", NOON)


def test_whoever_accepted_an_entry_can_sign_it_as_shown_and_nobody_else_goes_on_from_there(book):
    as_shown = seen(book)
    decide(book, as_shown, "accept", "Ailsa Thornby", NOON)
    assert sign(book, [as_shown], "Ailsa Thornby", "checked the words", NOON)[0].act == "sign"
    with pytest.raises(WrongCommand, match="Ailsa Thornby accepted it"):
        decide(book, as_shown, "reject", "Bea Linnet", NOON, "misread")
