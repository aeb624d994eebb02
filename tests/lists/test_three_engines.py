"""Aircraft with a third engine, and parts in two halves: what is told of one is not told of another."""

from datetime import UTC, date, datetime, timedelta

from pipeline.book import vocabulary_folders
from pipeline.lists.logged import LoggedFact
from pipeline.lists.parts_off import parts_off
from pipeline.lists.to_do import to_do
from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.records import BookRecord, Lists, Records
from pipeline.where import where
from pipeline.writing.matters import matters
from pipeline.writing.part_wording import part_name, question_text
from pipeline.writing.registers import parts_off as register
from pipeline.writing.standing_registers import to_do_rows

START = datetime(2026, 1, 10, 10, tzinfo=UTC)
VOCABULARY = load_vocabulary(vocabulary_folders(""))


def told(day, said, status, act, item, side=None, **more):
    at = START + timedelta(days=day)
    fact = Fact(status=status, act=act, item=item, side=side, **more)
    return LoggedFact(at=at, entry=f"e-{day}", fact=fact, said=said, around=said)


NOSE_OFF = told(7, "the nose engine's off", "done", "remove", "engine")
NOSE_KEPT = told(7, "It's on stand 2", "done", "store", "engine", stowage=Stowage(stand="2"))
PORT_OFF = told(21, "The port engine is off", "done", "remove", "engine", "port")


def off(*facts):
    return parts_off(facts, VOCABULARY)


def test_the_nose_engine_and_the_port_engine_have_a_line_each():
    nose, port = off(NOSE_OFF, NOSE_KEPT, PORT_OFF)
    assert (part_name(nose, VOCABULARY), nose.removed_on) == ("nose engine", date(2026, 1, 17))
    assert nose.stowage == Stowage(stand="2")
    assert (part_name(port, VOCABULARY), port.removed_on) == ("port engine", date(2026, 1, 31))
    assert port.stowage is None
    assert "the nose engine" not in question_text(port.questions[0], VOCABULARY)
    assert b"\nnose engine,engine,," in register((nose, port), VOCABULARY).replace(b"\r", b"")


def test_a_question_of_the_nose_engine_is_asked_under_its_name():
    book = BookRecord(title="", aircraft="", zone="UTC", program="", model="", vocabulary="")
    records = Records(book=book, lists=Lists(parts_off=off(NOSE_OFF, PORT_OFF)))
    assert [one.position for one in matters(records, VOCABULARY)] == ["nose", ""]


def test_what_belongs_to_the_nose_engine_is_named_by_it():
    (part,) = off(told(0, "the nose engine cowlings are off", "done", "remove", "cowling"))
    assert part_name(part, VOCABULARY) == "nose cowling"


def test_an_engine_is_found_by_its_place_and_one_that_nobody_told_of_is_not_known():
    book = BookRecord(title="", aircraft="", zone="UTC", program="", model="", vocabulary="")
    records = Records(book=book, lists=Lists(parts_off=off(NOSE_OFF, PORT_OFF)))
    found = where(records, VOCABULARY, UTC, ("nose engine",))
    assert [line.partition(":")[0] for line in found.lines] == ["nose engine"]
    missing = where(records, VOCABULARY, UTC, ("where", "is", "the", "centre", "engine"))
    assert missing.lines == ()
    assert missing.advice == "Nothing is told of the centre engine."


def test_one_propeller_that_nobody_named_is_not_the_port_one_of_another_day():
    first = told(0, "the propeller came off", "done", "remove", "propeller")
    later = told(28, "the port propeller is off", "done", "remove", "propeller", "port")
    assert [(part.side, part.removed_on) for part in off(first, later)] == [
        (None, START.date()),
        ("port", START.date() + timedelta(days=28)),
    ]


def test_work_on_one_engine_is_not_owed_or_done_on_another():
    plans = (
        told(0, "take the nose engine off", "planned", "remove", "engine"),
        told(0, "the port engine is next", "planned", "remove", "engine", "port"),
    )
    assert [line.words for line in to_do(plans, VOCABULARY)] == [plans[0].said, plans[1].said]
    (left,) = to_do((*plans, PORT_OFF), VOCABULARY)
    assert left.words == plans[0].said


def test_a_plan_takes_the_place_of_what_was_not_done_before():
    undone = told(28, "we didn't get the starboard engine touched", "not-done", "remove", "engine", "starboard")
    plan = told(49, "in March we'll take the starboard engine off", "planned", "remove", "engine", "starboard")
    (line,) = to_do((undone, plan), VOCABULARY)
    assert (line.status, line.said_on, line.words) == ("planned", plan.at.date(), plan.said)
    assert (line.owed_since, line.age_days) == (undone.at.date(), 21)
    assert to_do_rows([line], VOCABULARY)[1][0][1] == "planned, left undone on 2026-02-07"
    (line,) = to_do((plan.model_copy(update={"at": START}), undone), VOCABULARY)
    assert line.status == "planned"
    anyhow = told(49, "we'll take the engine off", "planned", "remove", "engine")
    (line,) = to_do((undone, anyhow), VOCABULARY)
    assert (line.status, line.side) == ("planned", "starboard")


def test_eight_bolts_a_side_are_sixteen_and_eight_of_each_half():
    both = told(
        0, "The tailplane's off, eight bolts a side", "done", "remove", "tailplane", "both", count=16, of="bolt"
    )
    again = told(0, "The tailplane's out", "done", "remove", "tailplane")
    later = again.model_copy(update={"entry": "e-later", "at": again.at + timedelta(minutes=5)})
    parts = off(both, later)
    assert [(part.side, [held.count for held in part.held]) for part in parts] == [("port", [8]), ("starboard", [8])]


def test_a_number_that_does_not_divide_is_told_of_neither_side():
    odd = told(0, "the tailplane is off, seven bolts", "done", "remove", "tailplane", "both", count=7, of="bolt")
    assert [part.held for part in off(odd)] == [(), ()]
