"""What denies work, plans it or tells how it goes reaches as far as its clause, and no further: both ways."""

from typing import Any

import pytest

from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader

# What was said, the work that was done, and the work (or its part alone) that was not done here and now.
BESIDE = (
    # A time belongs to the clause that it opens.
    ("Today I disconnect the throttle cable and tomorrow I lift the engine out.", "", "engine"),
    ("Karel is turning a new bush, and on Saturday we'll fit it.", "make bush", "fit bush"),
    ("The bush is being made now, by Karel, and on Saturday we'll paint the fin.", "make bush", "fin"),
    ("I weighed the tail wheel, ninety kilos, and last year they painted the fin.", "measure tail-wheel", "fin"),
    ("till five with rags I've cleaned the floor", "clean floor", ""),
    ("We worked until we've cleaned the floor.", "", "floor"),
    ("We etched the whole fin before lunch and primed it after.", "prime fin", ""),
    ("Before we prime the fin we etched the rudder.", "", "prime fin"),
    ("I've been washing the fin since Monday and tomorrow we prime it.", "clean fin", "prime fin"),
    # So does what is said of a clause without marks beside it.
    ("we will lift it out after dinner the intercom box on the port wall is off", "remove intercom", "lift intercom"),
    ("the brackets are in box 18 ottoline will weld the fin", "", "fin"),
    ("no it isn't done we drained the oil tank", "drain oil-tank", ""),
    ("i've capped the oil line the bottles went years ago", "blank oil-line", "oxygen-bottle"),
    ("I am pleased to say we have the rudder back on and the fin screwed down.", "fit rudder", ""),
    ("They do say we have the rudder back on.", "", "rudder"),
    # Beside how a job goes, and in the words of a report.
    ("You take the fin off first, and the rudder came off this morning.", "remove rudder", "fin"),
    ("Six bolts on the fin is what I've undone.", "undo fin", ""),
    ("Six bolts on the fin is what you undo.", "", "fin"),
    ("The axle measures twenty millimetres exactly.", "measure axle", ""),
    ("The tail wheel lives on rack 2 now.", "store tail-wheel", ""),
    ("The tail wheel would live on rack 2.", "", "tail-wheel"),
    ("Port magneto, three nuts undone, and out it comes.", "remove magneto", ""),
    ("Undo the three nuts and out comes the magneto.", "", "magneto"),
    ("When the hoist is here, out comes the magneto.", "", "magneto"),
    ("I'm after having the canopy off.", "remove canopy", ""),
    ("After having the canopy off we'd have tea.", "", "canopy"),
    # Excuses, exceptions, other people's advice.
    ("We couldn't get the fin off, so we undid the rudder instead.", "undo rudder", "fin"),
    ("We didn't drain the oil tank but we drained the fuel tank.", "drain fuel-tank", "oil-tank"),
    ("Not the rudder, just the port elevator came off.", "remove elevator", "rudder"),
    ("We took the elevator off rather than take the rudder off.", "remove elevator", "rudder"),
    ("Instead of painting the fin we primed the rudder.", "prime rudder", "fin"),
    ("Both main wheels are off apart from the tail wheel.", "", "tail-wheel"),
    ("Everything on the tail is off bar the rudder.", "", "rudder"),
    ("We won't fit the rudder until we've painted the fin.", "", "fin"),
    ("The book says drain the fuel tank first, so we drained the oil tank.", "drain oil-tank", "fuel-tank"),
    ("They told us to take the fin off first but we took the rudder off.", "remove rudder", "fin"),
    # What is not yet done.
    ("Fuel line connected. Throttle cable not yet inspected a second time.", "", "throttle-cable"),
    ("Fuel line connected, throttle cable not yet inspected.", "connect fuel-line", "inspect throttle-cable"),
    ("The fin bolts are in, the rudder not yet painted.", "", "rudder"),
    # Questions.
    ("We've the front four bolts of the fin out, see?", "undo fin", ""),
    ("Have we the front four bolts of the fin out?", "", "fin"),
    ("We've drained the oil tank, haven't we?", "drain oil-tank", ""),
    ("Is the rudder off? Yes, since ten.", "remove rudder", ""),
    ("Is the rudder off? Not yet.", "", "rudder"),
    ("Have we drained the oil tank? Yes, yesterday.", "drain oil-tank", ""),
    ("Have we drained the oil tank? I'll ask Ted.", "", "oil-tank"),
    ("Should we drain the oil tank? Yes, all of it.", "", "oil-tank"),
    ("Is the rudder off? Yes, next week.", "", "rudder"),
    ("Did they ever paint the fin? Yes, in 1950.", "", "fin"),
)  # fmt: skip


def _done(facts: Any) -> set[str]:
    return {f"{fact.act} {fact.item}" for fact in facts if fact.status == "done"}


@pytest.mark.parametrize(("text", "work", "_undone"), [case for case in BESIDE if case[1]])
def test_work_beside_it_stands(note_reader: NoteReader, text: str, work: str, _undone: str) -> None:
    assert work in _done(note_reader.read(text))


@pytest.mark.parametrize(("text", "_work", "undone"), [case for case in BESIDE if case[2]])
def test_what_is_denied_planned_or_told_as_a_rule_is_not_done(
    reader: Reader, note_reader: NoteReader, text: str, _work: str, undone: str
) -> None:
    for either in (reader, note_reader):
        assert not [told for told in _done(either.read(text)) if undone in (told, told.partition(" ")[2])]
