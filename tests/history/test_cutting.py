"""Entries split and joined: what goes where, that a rerun leaves it, that it is asked again, that it is undone."""

from datetime import timedelta

import pytest

from pipeline.book import new_book
from pipeline.errors import WrongCommand
from pipeline.history.acts import Change, amend, decide, sign, withdraw
from pipeline.history.chain import append, read
from pipeline.history.check import check_history
from pipeline.history.cutting import join, split
from pipeline.history.events import Act
from pipeline.history.past import past_of
from pipeline.history.seen import ChangedSince, Seen
from pipeline.history.versions import ReadEntry, WordsRead, as_json
from pipeline.records import EntryRecord, FactRecord, PhotoLink
from tests.history.made_entries import NOON, SOUND, photo

BEA, TED = "Bea Linnet", "Ted Marrack"


def entry_of(name, *said, start_s=0.0, photos=()):
    """An entry with one fact for each utterance; the utterances last four seconds each."""
    ids = tuple(f"u-{name.removeprefix('e-').partition('-')[0]}-{int(start_s) + 4 * at}" for at in range(len(said)))
    facts = tuple(
        FactRecord(status="done", act="remove", item=item, said=item, utterances=(one,), rule="x")
        for one, item in zip(ids, said, strict=True)
    )
    words = tuple(
        WordsRead(id=one, start_s=start_s + 4 * at, end_s=start_s + 4 * at + 4, heard=item, read=item)
        for at, (one, item) in enumerate(zip(ids, said, strict=True))
    )
    return ReadEntry(
        entry=EntryRecord(
            id=name,
            at=NOON + timedelta(seconds=start_s),
            media=SOUND,
            start_s=start_s,
            end_s=start_s + 4 * len(said),
            utterances=ids,
            facts=facts,
            photos=tuple(PhotoLink(media=photo(one), p=0.9, why=("there",)) for one in photos),
        ),
        words=words,
    )


ONE = entry_of("e-aa-0", "rudder", "fin", "elevator", photos=(1,))
TWO = entry_of("e-aa-12", "aileron", start_s=12.0, photos=(2,))


@pytest.fixture
def book(tmp_path):
    made = new_book(tmp_path / "book", NOON.date())
    people = "".join(f'\n[[people]]\nname = "{one}"\nmay_sign = ["read"]\n' for one in (BEA, TED))
    made.settings_file.write_text(made.settings_file.read_text() + people)
    run(made, ONE, TWO)
    return made


def run(book, *machine):
    """Note what the program reads, as a run does."""
    read_before = past_of(read(book.history_file).events).read
    acts = [Act("saidseen", "read", one.entry.id, read_before.get(one.entry.id), as_json(one)) for one in machine]
    append(book.history_file, acts, NOON)


def stands(book):
    return past_of(read(book.history_file).events).stands()


def seen(book, entry):
    one = stands(book)[entry]
    return Seen(entry, one.version, one.decided[-1].n if one.decided else 0)


def items(one):
    return [fact.item for fact in one.read.entry.facts]


def test_split_gives_the_words_facts_and_times_of_two_entries(book):
    split(book, seen(book, "e-aa-0"), "u-aa-4", BEA, NOON, "another job")
    now = stands(book)
    assert list(now) == ["e-aa-0", "e-aa-12", "e-aa-4"]
    first, second = now["e-aa-0"], now["e-aa-4"]
    assert (items(first), items(second)) == (["rudder"], ["fin", "elevator"])
    assert [one.id for one in second.read.words] == ["u-aa-4", "u-aa-8"]
    assert (first.read.entry.end_s, second.read.entry.start_s, second.read.entry.end_s) == (4, 4, 12)
    assert second.read.entry.at == NOON + timedelta(seconds=4)
    assert (first.review, second.review, first.asked, second.asked) == ("unread", "unread", False, False)
    assert check_history(book.history_file) == []


def test_both_parts_are_decided_on_by_themselves_and_a_rerun_undoes_nothing(book):
    split(book, seen(book, "e-aa-0"), "u-aa-4", BEA, NOON, "another job")
    decide(book, seen(book, "e-aa-0"), "accept", BEA, NOON)
    change = Change(facts=[{"status": "done", "act": "fit", "item": "fin"}])
    amend(book, seen(book, "e-aa-4"), change, TED, NOON, "it went on")
    run(book, ONE, TWO)
    now = stands(book)
    assert (now["e-aa-0"].review, now["e-aa-4"].review) == ("accepted", "amended")
    assert (items(now["e-aa-0"]), items(now["e-aa-4"])) == (["rudder"], ["fin"])
    assert not now["e-aa-0"].asked and not now["e-aa-4"].asked


def test_where_the_words_are_read_anew_both_parts_are_asked_again_and_stand_as_they_were(book):
    split(book, seen(book, "e-aa-0"), "u-aa-4", BEA, NOON, "another job")
    run(book, entry_of("e-aa-0", "rudder", "keel", "elevator", photos=(1,)), TWO)
    now = stands(book)
    assert now["e-aa-0"].asked and now["e-aa-4"].asked
    assert items(now["e-aa-4"]) == ["fin", "elevator"]
    assert [fact.item for fact in now["e-aa-4"].machine.entry.facts] == ["keel", "elevator"]
    decide(book, seen(book, "e-aa-4"), "accept", BEA, NOON)
    assert not stands(book)["e-aa-4"].asked


def test_joined_entries_are_one_and_the_other_is_no_entry_any_more(book):
    join(book, seen(book, "e-aa-12"), seen(book, "e-aa-0"), BEA, NOON, "one job")
    now = stands(book)
    assert list(now) == ["e-aa-0"]
    assert items(now["e-aa-0"]) == ["rudder", "fin", "elevator", "aileron"]
    assert [one.media for one in now["e-aa-0"].read.entry.photos] == [photo(1), photo(2)]
    run(book, ONE, TWO)
    assert list(stands(book)) == ["e-aa-0"] and not stands(book)["e-aa-0"].asked
    run(book, ONE, entry_of("e-aa-12", "flap", start_s=12.0))
    assert stands(book)["e-aa-0"].asked
    assert items(stands(book)["e-aa-0"])[-1] == "aileron"


def test_what_was_joined_can_be_split_again_at_the_same_place(book):
    join(book, seen(book, "e-aa-0"), seen(book, "e-aa-12"), BEA, NOON, "one job")
    split(book, seen(book, "e-aa-0"), "u-aa-12", BEA, NOON, "two jobs")
    now = stands(book)
    assert (items(now["e-aa-0"]), items(now["e-aa-12"])) == (["rudder", "fin", "elevator"], ["aileron"])
    assert not now["e-aa-12"].asked


@pytest.mark.parametrize("on", ["e-aa-0", "e-aa-4"])
def test_a_split_is_taken_back_from_either_part(book, on):
    made = split(book, seen(book, "e-aa-0"), "u-aa-4", BEA, NOON, "another job")
    withdraw(book, on, made.n, BEA, NOON, "it was one")
    now = stands(book)
    assert list(now) == ["e-aa-0", "e-aa-12"]
    assert items(now["e-aa-0"]) == ["rudder", "fin", "elevator"]
    assert now["e-aa-0"].review == "unread" and not now["e-aa-0"].decided


def test_what_others_build_on_is_not_taken_back_from_under_them(book):
    amended = amend(book, seen(book, "e-aa-0"), Change(words={"u-aa-0": "The rudder."}), BEA, NOON, "so it is")
    made = split(book, seen(book, "e-aa-0"), "u-aa-4", BEA, NOON, "another job")
    decide(book, seen(book, "e-aa-4"), "accept", TED, NOON)
    for number in (amended.n, made.n):
        with pytest.raises(WrongCommand, match="has to be taken back first"):
            withdraw(book, "e-aa-0", number, BEA, NOON, "no")
    assert len(stands(book)) == 3


def test_second_of_two_people_is_told(book):
    first, second = seen(book, "e-aa-0"), seen(book, "e-aa-12")
    split(book, first, "u-aa-4", BEA, NOON, "another job")
    with pytest.raises(ChangedSince, match="Bea Linnet split it"):
        join(book, first, second, TED, NOON, "one job")
    with pytest.raises(ChangedSince, match="Bea Linnet split it"):
        decide(book, first, "accept", TED, NOON)
    join(book, second, seen(book, "e-aa-4"), TED, NOON, "one job")
    with pytest.raises(WrongCommand, match="no entry e-aa-12"):
        decide(book, second, "accept", BEA, NOON)


def test_only_neighbours_are_joined_and_only_between_utterances_is_split(book):
    run(book, entry_of("e-aa-40", "flap", start_s=40.0))
    with pytest.raises(WrongCommand, match="not neighbours"):
        join(book, seen(book, "e-aa-0"), seen(book, "e-aa-40"), BEA, NOON, "no")
    for utterance in ("u-aa-0", "u-aa-12", "nonsense"):
        with pytest.raises(WrongCommand, match="can be split before"):
            split(book, seen(book, "e-aa-0"), utterance, BEA, NOON, "no")
    decide(book, seen(book, "e-aa-12"), "reject", BEA, NOON, "wrong")
    with pytest.raises(WrongCommand, match="is rejected"):
        join(book, seen(book, "e-aa-0"), seen(book, "e-aa-12"), BEA, NOON, "no")


def test_a_signature_is_not_lost_by_joining(book):
    sign(book, [seen(book, "e-aa-12")], TED, "read", NOON)
    with pytest.raises(WrongCommand, match="Ted Marrack put their name"):
        join(book, seen(book, "e-aa-0"), seen(book, "e-aa-12"), BEA, NOON, "one")
    sign(book, [seen(book, "e-aa-0")], TED, "read", NOON)
    split(book, seen(book, "e-aa-0"), "u-aa-4", BEA, NOON, "two")
    one = stands(book)["e-aa-0"]
    assert one.signed[0].after["version"] != one.version
    made = split(book, seen(book, "e-aa-4"), "u-aa-8", BEA, NOON, "three")
    signed = sign(book, [seen(book, "e-aa-8")], TED, "read", NOON)[0]
    with pytest.raises(WrongCommand, match="Ted Marrack builds on"):
        withdraw(book, "e-aa-4", made.n, BEA, NOON, "no")
    withdraw(book, "e-aa-8", signed.n, TED, NOON, "no")
    withdraw(book, "e-aa-4", made.n, BEA, NOON, "no")
    assert "e-aa-8" not in stands(book)


def test_a_cut_that_somebody_wrote_into_the_history_without_its_parts_is_passed_over(book):
    for after in (
        None,
        {},
        {"other": "e-aa-4"},
        {"other": "e-aa-4", "entry": {}},
        {"other": 4, "entry": as_json(ONE)},
    ):
        before = {"version": "", "read": "", "review": "unread"}
        append(book.history_file, [Act(BEA, "split", "e-aa-0", before, after, "x")], NOON)
    assert list(stands(book)) == ["e-aa-0", "e-aa-12"]
