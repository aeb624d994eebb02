"""Aircraft with a third engine, and parts in two halves: what is told of one is not told of another."""

from datetime import UTC, date, datetime, timedelta

from pipeline.book import vocabulary_folders
from pipeline.lists.disconnections import disconnections
from pipeline.lists.findings import findings
from pipeline.lists.logged import LoggedFact, position_of
from pipeline.lists.not_fast import without_not_fast
from pipeline.lists.parts_off import parts_off
from pipeline.lists.positions import with_positions
from pipeline.lists.to_do import to_do
from pipeline.lists.way_back import way_back
from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.records import BookRecord, Lists, Records
from pipeline.where import where
from pipeline.writing.matters import matters
from pipeline.writing.part_wording import part_name, question_text
from pipeline.writing.registers import parts_off as register
from pipeline.writing.standing_registers import disconnection_rows, to_do_rows
from pipeline.writing.way_back_words import step_text

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


OUTER, INNER = "the starboard outer engine", "the starboard inner engine"


def of_engine(day, engine, act, item, words, **more):
    said = words.format(engine)
    return told(day, said, "done", act, item, "starboard", **more)


def four_engines(act, words, days=(0, 1)):
    """Return the same done to the fuel line and the throttle rod of two engines of one side."""
    return [
        of_engine(day, engine, act, item, f"the {name} of {{}} is {words}")
        for day, engine in zip(days, (OUTER, INNER), strict=False)
        for item, name in (("fuel-line", "fuel line"), ("engine-control-rod", "throttle rod"))
    ]


def test_connecting_the_services_of_one_engine_leaves_those_of_the_other_open():
    facts = [*four_engines("disconnect", "disconnected"), *four_engines("connect", "connected", days=(9,))]
    lines = disconnections(facts, VOCABULARY)
    assert [(line.item, line.position, line.connected_on is not None) for line in lines] == [
        ("fuel-line", "outer", True),
        ("engine-control-rod", "outer", True),
        ("fuel-line", "inner", False),
        ("engine-control-rod", "inner", False),
    ]
    _, rows = disconnection_rows(lines, VOCABULARY)
    assert [row[0] for row in rows] == [
        "outer fuel line",
        "outer throttle rod",
        "inner fuel line",
        "inner throttle rod",
    ]
    steps = way_back(facts, VOCABULARY).steps
    assert {step_text(step, VOCABULARY): step.done_on is not None for step in steps if step.item == "fuel-line"} == {
        "Connect the starboard inner fuel line": False,
        "Connect the starboard outer fuel line": True,
    }


def test_connected_without_a_position_is_a_question_once_two_engines_are_known():
    facts = four_engines("disconnect", "disconnected")
    facts += [one for one in four_engines("connect", "connected", days=(9,)) if one.fact.item == "fuel-line"]
    facts += [told(12, "the starboard fuel line is connected", "done", "connect", "fuel-line", "starboard")]
    inner = next(
        line for line in disconnections(facts, VOCABULARY) if (line.item, line.position) == ("fuel-line", "inner")
    )
    assert inner.connected_on is None
    assert [one.kind for one in inner.questions] == ["not-blanked", "which-was-connected"]


def test_propeller_fitted_without_a_position_closes_neither_of_two():
    facts = [
        of_engine(at, one, "remove", "propeller", "the propeller of {} is off")
        for at, one in enumerate((OUTER, INNER))
    ]
    facts += [told(9, "the starboard propeller is back on", "done", "fit", "propeller", "starboard")]
    assert [(part.position, part.state) for part in off(*facts)] == [
        ("outer", "off"),
        ("inner", "off"),
        ("", "refitted"),
    ]


def test_engine_that_was_talked_of_is_that_of_a_sentence_that_names_none():
    text = "We're at the starboard outer engine. The propeller is off. The port propeller is off."
    first, second = with_positions(
        (
            told(0, "The propeller is off.", "done", "remove", "propeller", "starboard"),
            told(0, "The port propeller is off.", "done", "remove", "propeller", "port"),
        ),
        {"e-0": text},
    )
    assert (position_of(first, VOCABULARY), position_of(second, VOCABULARY)) == ("outer", "")
    skin = told(0, "The propeller is off.", "done", "remove", "skin", "starboard")
    (elsewhere,) = with_positions((skin,), {"e-0": text})
    assert position_of(elsewhere, VOCABULARY) == ""


def test_engine_is_known_where_the_words_of_a_fact_begin_in_the_middle_of_its_name():
    drained = told(0, "three engine, oil drained", "done", "drain", "engine")
    drained = drained.model_copy(update={"around": "Number three engine, oil drained, five gallons."})
    assert position_of(drained, VOCABULARY) == "number 3"


def position(said, item, around="", talk="", side=None):
    told_of = told(0, said, "done", "disconnect", item, side).model_copy(update={"around": around or said})
    return position_of(told_of.model_copy(update={"position": talk}), VOCABULARY)


def test_a_pipe_is_of_the_engine_talked_of_where_its_sentence_names_a_part_of_that():
    words = "Disconnected the oil pipe and the fuel pipe"
    assert position("the fuel pipe", "fuel-line", f"{words} at the firewall.", "number 1") == "number 1"
    assert position("the fuel pipe", "fuel-line", f"{words} at the tank.", "number 1") == ""
    assert (
        position("the fuel pipe", "fuel-line", f"{words} at the firewall of number three.", "number 1") == "number 3"
    )
    assert position("the fuel pipe", "fuel-line", f"{words} at the firewall.") == ""


def test_a_hose_with_a_side_of_its_own_is_of_no_engine_that_its_sentence_names_by_number():
    words = "Lock the number three engine mount, connect the starboard brake hose."
    assert position("connect the starboard brake hose", "hydraulic-line", words, side="starboard") == ""
    words = "The port inner engine, connected the hydraulic line."
    assert position("connected the hydraulic line", "hydraulic-line", words, side="port") == "inner"


def test_a_part_that_goes_from_one_engine_to_another_is_known_by_that_with_which_it_is_called():
    words = "Put the number three starter on number two."
    assert position("Put", "starter", words) == "number 3"
    assert position(words[:-1], "starter", words) == "number 3"
    words = "The number two starter is back and on number three."
    assert position("on", "starter", words) == "number 2"


def test_open_pipes_of_two_engines_are_two_lines_and_neither_hides_the_other():
    first = told(0, "the fuel pipe", "done", "disconnect", "fuel-line").model_copy(
        update={"around": "Disconnected the fuel pipe at the firewall.", "position": "number 1"}
    )
    blanked = told(0, "blanked", "done", "blank", "fuel-line").model_copy(
        update={"around": "Blanked the fuel pipe of number one."}
    )
    second = first.model_copy(update={"at": START + timedelta(days=3), "entry": "e-3", "position": "number 3"})
    lines = disconnections([first, blanked, second], VOCABULARY)
    assert [(one.position, one.blanked_on is not None) for one in lines] == [("number 1", True), ("number 3", False)]


def test_an_engine_that_came_off_by_its_number_goes_back_by_its_place():
    facts = [told(0, "Number one engine is off", "done", "remove", "engine")]
    facts += [told(1, "Number four engine is off", "done", "remove", "engine")]
    facts += [told(9, "The port outer engine's back on", "done", "fit", "engine", "port")]
    first, fourth = off(*facts)
    assert [(one.position, one.state) for one in (first, fourth)] == [("number 1", "refitted"), ("number 4", "off")]
    assert part_name(first, VOCABULARY) == "port number 1 engine"


def test_a_new_part_for_one_engine_takes_no_place_on_another():
    both_off = [
        told(day, f"Number {number}'s oil cooler is off", "done", "remove", "oil-cooler")
        for day, number in enumerate(("three", "four"))
    ]
    words = "A new oil cooler for the number three engine is in box 8"
    waits = told(2, words, "done", "store", "oil-cooler", stowage=Stowage(box="8"))
    steps = way_back((*both_off, waits), VOCABULARY).steps
    assert {one.position: one.stowage for one in steps if one.act == "fit"} == {
        "number 3": Stowage(box="8"),
        "number 4": None,
    }
    on = told(3, "The new number three oil cooler's on", "done", "fit", "oil-cooler")
    assert [(one.position, one.state) for one in off(*both_off, waits, on)] == [
        ("number 3", "replaced"),
        ("number 4", "off"),
        ("number 3", "refitted"),
    ]


def test_bolts_that_are_not_tight_on_one_engine_are_tight_on_another():
    tight = told(0, "Number three's propeller bolts are torqued", "done", "tighten", "propeller", of="bolt")
    other = told(1, "Number four's propeller bolts are not torqued", "not-done", "tighten", "propeller", of="bolt")
    same = told(1, "Number three's propeller bolts are not torqued", "not-done", "tighten", "propeller", of="bolt")
    assert tight in without_not_fast((tight, other), VOCABULARY)
    assert tight not in without_not_fast((tight, same), VOCABULARY)


def test_a_part_that_came_off_one_engine_was_not_put_back_on_another():
    seen = told(0, "Number three's starter has play", "seen", None, "starter", finding="play")
    off_four = told(1, "Number four's starter is off", "done", "remove", "starter")
    off_three = told(1, "Number three's starter is off", "done", "remove", "starter")
    on = told(2, "Number three's starter is fitted", "done", "fit", "starter")
    (other,), (same,) = (findings((seen, came_off, on), VOCABULARY) for came_off in (off_four, off_three))
    assert not [one for one in other.questions if one.kind == "put-back-not-mended"]
    assert [one for one in same.questions if one.kind == "put-back-not-mended"]
