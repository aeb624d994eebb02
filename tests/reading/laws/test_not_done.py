"""Work that only seems to be told: let down, supposed, coming back from elsewhere, or owed to nobody."""

from typing import Any

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.not_done import without_what_stays, without_what_was_not_done
from pipeline.reading.learnt.deciding import RULE
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader


def _keys(note_reader: NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [(fact.status, fact.act or fact.finding, fact.item, fact.side) for fact in note_reader.read(text)]


def _owed(act: str, item: str, words: tuple[int, int]) -> Fact:
    return Fact(status="not-done", act=act, item=item, side="starboard", words=words, rule=RULE)


@pytest.mark.parametrize(
    "text",
    [
        "The starboard engine is still on its stand.",
        "The starboard engine is still on the two trestles.",
        "The starboard engine is still in the cradle.",
    ],
)
def test_part_that_is_still_on_its_stand_is_not_owed_off(note_reader: NoteReader, text: str) -> None:
    reader = Reader(note_reader.vocabulary)
    (one,) = reader.read_by_rule([(text, ())])
    owed = _owed("remove", "engine", (24, 32))
    assert without_what_stays(Case(reader.lexicon, one), [owed]) == []


def test_part_that_is_still_on_is_owed_off(note_reader: NoteReader) -> None:
    told = [(fact.status, fact.act, fact.item) for fact in note_reader.read("The cowling is still on.")]
    assert told == [("not-done", "remove", "cowling")]


@pytest.mark.parametrize(
    "text",
    [
        "We glued the ribs into the port elevator and left the clamps on.",
        "We glued eleven ribs into the port elevator and left the clamps on.",
        "We repaired the port elevator and left the weights on.",
    ],
)
def test_clamps_left_on_what_was_glued_owe_nothing(note_reader: NoteReader, text: str) -> None:
    assert [fact for fact in note_reader.read(text) if fact.status == "not-done"] == []


@pytest.mark.parametrize(
    ("text", "owed"),
    [
        ("We took the leading edge off and left the pitot head on.", ("remove", "pitot-head")),
        ("We took the port aileron off and left the bolts in.", ("undo", "aileron")),
    ],
)
def test_part_or_fasteners_left_on_are_not_undone(note_reader: NoteReader, text: str, owed: tuple[str, str]) -> None:
    assert owed in [(fact.act, fact.item) for fact in note_reader.read(text) if fact.status == "not-done"]


@pytest.mark.parametrize(
    ("text", "lowered"),
    [
        ("We refitted the port wheel and took her off the jacks.", ("done", "lower", "fuselage", None)),
        ("The port aileron is fitted, so we've taken it off the trestles.", ("done", "lower", "aileron", "port")),
        ("She's off the trestles and on her own wheels.", ("done", "lower", "fuselage", None)),
        ("We're going to take her off the jacks tomorrow.", ("planned", "lower", "fuselage", None)),
    ],
)
def test_what_is_taken_off_its_support_is_let_down_and_not_removed(
    note_reader: NoteReader, text: str, lowered: tuple[Any, ...]
) -> None:
    told = _keys(note_reader, text)
    assert lowered in told
    assert "remove" not in [act for _, act, _, _ in told]


def test_part_of_which_gear_is_only_a_name_is_removed(note_reader: NoteReader) -> None:
    assert _keys(note_reader, "We took the spinner off the port prop.") == [("done", "remove", "spinner", "port")]


@pytest.mark.parametrize("text", ["The fin should come off easily.", "It should lift straight out."])
def test_what_only_should_come_is_no_plan(note_reader: NoteReader, text: str) -> None:
    assert _keys(note_reader, text) == []


@pytest.mark.parametrize(
    "text",
    [
        "The propeller comes back on the fourteenth of November.",
        "The propeller is coming back next week.",
        "The bracing wires come back from the plater on Friday.",
    ],
)
def test_what_comes_back_from_elsewhere_is_not_to_be_removed(note_reader: NoteReader, text: str) -> None:
    assert "remove" not in [act for _, act, _, _ in _keys(note_reader, text)]


def test_what_comes_off_next_week_is_planned(note_reader: NoteReader) -> None:
    assert _keys(note_reader, "The float comes off next week.") == [("planned", "remove", "float", None)]


@pytest.mark.parametrize(
    ("text", "owed"),
    [
        ("Don't pull the aileron yet.", False),
        ("So do not pull the aileron.", False),
        ("We didn't pull the aileron.", True),
        ("We don't pull the aileron.", True),
    ],
)
def test_what_nobody_is_to_do_is_not_owed(note_reader: NoteReader, text: str, owed: bool) -> None:
    reader = Reader(note_reader.vocabulary)
    (one,) = reader.read_by_rule([(text, ())])
    at = text.index("pull")
    told = Fact(status="not-done", act="remove", item="aileron", words=(at, at + 4), rule=RULE)
    assert without_what_was_not_done(Case(reader.lexicon, one), [told]) == ([told] if owed else [])


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("The rudder stays off.", "rudder"),
        ("Tailplane still off.", "tailplane"),
        ("We've left the fin off until the new bolts come.", "fin"),
    ],
)
def test_what_stays_off_was_not_put_back(note_reader: NoteReader, text: str, item: str) -> None:
    assert [(fact.status, fact.act, fact.item) for fact in note_reader.read(text)] == [("not-done", "fit", item)]


def test_tailplane_that_stays_on_is_no_stay_of_it(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("So the tailplane stays on till next time.")
    assert (fact.status, fact.act, fact.item) == ("not-done", "remove", "tailplane")


def test_what_somebody_is_after_doing_is_done(note_reader: NoteReader) -> None:
    (fact,) = note_reader.read("We're after taking the port wheel off.")
    assert (fact.status, fact.act, fact.side) == ("done", "remove", "port")


def test_part_that_is_off_still_does_not_come_off_today(note_reader: NoteReader) -> None:
    told = [(fact.status, fact.act, fact.item) for fact in note_reader.read("Off still, the port propeller.")]
    assert told == [("not-done", "fit", "propeller")]


@pytest.mark.parametrize(
    ("text", "status"),
    [
        ("Both wheels are off apart from the tail wheel.", "not-done"),
        ("Both wheels are off and the tail wheel.", "done"),
    ],
)
def test_what_is_excepted_is_not_done(note_reader: NoteReader, text: str, status: str) -> None:
    assert [fact.status for fact in note_reader.read(text) if fact.item == "tail-wheel"] == [status]


@pytest.mark.parametrize(
    "text",
    [
        "You leave the mount on the wing and undo the four bolts.",
        "What you do is, you keep the cowling on and take the spinner off first.",
    ],
)
def test_what_a_job_leaves_on_it_does_not_take_off(note_reader: NoteReader, text: str) -> None:
    told = {(fact.act, fact.item) for fact in note_reader.read(text)}
    assert not {("remove", "engine-mount"), ("remove", "cowling")} & told


def test_all_that_is_told_of_another_place_is_not_of_this_aircraft(note_reader: NoteReader) -> None:
    text = (
        "When I was at the other place, there was a bomber like this, and the rudder came off in the wind "
        "because somebody's lad undid the top hinge."
    )
    assert [fact for fact in note_reader.read(text) if fact.status == "done"] == []


@pytest.mark.parametrize(
    "text", ["Please note that the fuel tank is drained.", "Please remember the fuel tank has been drained."]
)
def test_what_is_to_be_noted_is_told_and_not_asked_for(note_reader: NoteReader, text: str) -> None:
    (fact,) = note_reader.read(text)
    assert (fact.status, fact.act, fact.item) == ("done", "drain", "fuel-tank")


@pytest.mark.parametrize(
    "text", ["Please see that the fuel tank is drained.", "Please remember to drain the fuel tank."]
)
def test_what_is_to_be_seen_to_is_not_done(note_reader: NoteReader, text: str) -> None:
    assert [fact for fact in note_reader.read(text) if fact.status == "done"] == []


def test_what_is_asked_for_is_not_done(note_reader: NoteReader) -> None:
    assert [
        fact.status for fact in note_reader.read("Please have the fuel tank drained.") if fact.status == "done"
    ] == []


def test_nearly_so_many_are_about_so_many(note_reader: NoteReader) -> None:
    told = note_reader.read("Nearly a hundred screws in that fairing, and we've taken seventy out so far.")
    assert ("done", "undo", 70) in [(fact.status, fact.act, fact.count) for fact in told]


def test_what_was_nearly_done_was_not(note_reader: NoteReader) -> None:
    assert [fact for fact in note_reader.read("We nearly took the fairing off.") if fact.status == "done"] == []


@pytest.mark.parametrize(
    "text", ["There's a crack in the engine mount. Not paint.", "It's cracked, the engine mount. Not paint, a crack."]
)
def test_what_is_no_paint_is_not_unpainted(note_reader: NoteReader, text: str) -> None:
    assert [f.act for f in note_reader.read(text) if f.act] == []


def test_what_is_not_painted_is_told(note_reader: NoteReader) -> None:
    told = [(f.status, f.act) for f in note_reader.read("The engine mount is primed, not painted.")]
    assert ("not-done", "paint") in told


def test_what_was_left_disconnected_was_not_connected(note_reader: NoteReader) -> None:
    told = [(f.status, f.act, f.item) for f in note_reader.read("I left the pitot disconnected.")]
    assert told == [("not-done", "connect", "pitot-head")]


def test_what_was_left_open_is_not_said_to_be_unopened(note_reader: NoteReader) -> None:
    text = "We opened all the little panels, there were nine. We closed seven panels again and left two open."
    assert [f for f in note_reader.read(text) if f.status == "not-done" and f.act == "open"] == []


def test_what_was_disconnected_and_left_so_was_disconnected(note_reader: NoteReader) -> None:
    told = [(f.status, f.act, f.item) for f in note_reader.read("We disconnected the pitot and left it.")]
    assert told == [("done", "disconnect", "pitot-head")]


@pytest.mark.parametrize(
    "text",
    ["The rudder. We have not fitted both elevators yesterday.", "The rudder. We've not fitted the elevator yet."],
)
def test_what_we_have_not_fitted_was_not_fitted(note_reader: NoteReader, text: str) -> None:
    told = [(f.status, f.act or f.finding, f.item) for f in note_reader.read(text)]
    assert told == [("not-done", "fit", "elevator")]


def test_what_somebody_never_fitted_was_not_fitted(note_reader: NoteReader) -> None:
    told = note_reader.read("The rudder. Ted never fitted six bolts on the fin in the end.")
    assert [f for f in told if f.status == "done"] == []


@pytest.mark.parametrize(
    ("text", "done"),
    [
        ("They told us to take the fin off first but we took the rudder off.", ["rudder"]),
        ("Joan told me to take the spinner off and I did.", ["spinner"]),
    ],
)
def test_what_somebody_told_us_to_do_is_done_only_where_we_did_it(
    note_reader: NoteReader, text: str, done: list[str]
) -> None:
    assert [fact.item for fact in note_reader.read(text) if fact.status == "done"] == done
