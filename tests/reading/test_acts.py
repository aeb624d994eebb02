"""Acts told in turns of speech: turned round, with the verb left out, put off, excused or still in the way."""

import pytest

from pipeline.reading.reader import Reader
from tests.reading.test_reader import brief


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("Battery. Two clamps undone, then out it came.", ["done undo battery", "done remove battery"]),
        ("The rudder's slung, so up it went.", ["done lift rudder"]),
        ("The fuel cock's cleaned, and back in it goes.", ["done clean fuel-cock", "planned fit fuel-cock"]),
        ("Before lunch I disconnected the battery.", ["done disconnect battery"]),
        ("I drained the oil tank before I undid the straps.", ["done drain oil-tank", "done undo oil-tank"]),
        ("Starter. Four nuts off. Wouldn't come.", ["done undo starter", "not-done remove starter"]),
        ("Tailplane. Tried every way. Still on there.", ["not-done remove tailplane"]),
        ("I've drained the oil tank but I didn't pull it.", ["done drain oil-tank", "not-done remove oil-tank"]),
        ("The port aileron I haven't pulled.", ["not-done remove aileron port"]),
        ("It's six bolts holds the fin.", ["explained held-by fin"]),
        ("Ted is riveting on a gusset.", ["done fit gusset"]),
        ("I'd have nipped up the fuel pump only I'd left the spanner at home.", ["not-done tighten fuel-pump"]),
        ("Getting at it means removing the tail cone and then disconnecting the battery.",
         ["explained remove tail-cone", "explained disconnect battery"]),
        ("You can see Ted taking off the spinner.", ["done remove spinner"]),
        ("The propeller is being wheeled to the paint shop right now, not on Friday.", ["done move propeller"]),
        ("The fin should be primed by now and it hasn't been. We'll do it on Monday.",
         ["not-done prime fin", "planned prime fin"]),
        ("The ailerons are off and they're on rack 3. The rudder isn't.",
         ["done remove aileron", "done store aileron", "not-done remove rudder"]),
        ("The starboard wheel I've removed, the port wheel will follow.",
         ["done remove wheel starboard", "planned remove wheel port"]),
        ("The spinner's off, it's off.", ["done remove spinner"]),
        ("Stuck a label on the battery.", ["done tag battery"]),
        ("Did the rudder today primed it.", ["done prime rudder"]),
        ("Got the battery to come off.", ["done remove battery"]),
        ("Still got the battery to come off.", ["planned remove battery"]),
        ("Starter not yet on.", ["not-done fit starter"]),
        ("As soon as the bolts come, we fit the starter.", ["planned fit starter"]),
        ("Must get the starter cleaned.", ["planned clean starter"]),
        ("The fin's had two coats of silver.", ["done paint fin"]),
        ("Gave the oil tank a rinse.", ["done clean oil-tank"]),
        ("I've no looked at the fin.", ["not-done inspect fin"]),
        ("What we've done here is disconnect the battery.", ["done disconnect battery"]),
        ("Six gallons out of the oil tank.", ["done drain oil-tank"]),
        ("The battery's disconnected. Clamps next.", ["done disconnect battery", "planned undo battery"]),
        ("I primed the rudder. Paint's Monday.", ["done prime rudder", "planned paint rudder"]),
        ("The rudder's off, it's the fin I've not had off.", ["done remove rudder", "not-done remove fin"]),
        ("The port aileron's back in the starboard one isn't we ran out of bolts",
         ["done fit aileron port", "not-done fit aileron starboard"]),
        ("The nut on the starboard wheel I've undone, the port nut will follow.",
         ["done undo wheel starboard", "planned undo wheel port"]),
        ("Cleaned the oil tank and blanked all the holes.", ["done clean oil-tank", "done blank oil-tank"]),
    ],
)  # fmt: skip
def test_act_is_read_however_it_is_turned(reader: Reader, said: str, told: list[str]) -> None:
    assert brief(reader.read(said)) == told


@pytest.mark.parametrize(
    "said",
    [
        "At the back fitting of the fuel pipe.",
        "Nothing but good air gets in.",
        "The spar bolts went round twice.",
        "When I was a boy apprentice, the longeron was spliced, never patched.",
        "If the trestle isn't under the wing the skin will crease.",
        "It's the floor that wants watching, not the fin.",
        "This rib carries an old patch.",
        "What we're looking at is the fin.",
        "I should never have let them paint the fin.",
    ],
)
def test_what_only_sounds_like_work_gives_no_act(reader: Reader, said: str) -> None:
    assert [fact.act for fact in reader.read(said) if fact.act] == []


def test_what_is_left_to_do_is_planned_and_counted(reader: Reader) -> None:
    facts = reader.read("Undid eight bolts on the fin. Four to go.")
    assert [(fact.status, fact.count) for fact in facts] == [("done", 8), ("planned", 4)]


@pytest.mark.parametrize("doer", ["The lads", "Two volunteers", "Mary and the lads"])
def test_people_who_have_a_part_off_took_it_off(reader: Reader, doer: str) -> None:
    assert brief(reader.read(f"{doer} have the starboard aileron off.")) == ["done remove aileron starboard"]


@pytest.mark.parametrize(
    "text", ["Somebody'd painted over the aileron hinge.", "Someone'd drilled the rivets out of the skin."]
)
def test_work_of_somebody_before_us_is_not_ours(reader: Reader, text: str) -> None:
    assert not brief(reader.read(text))


def test_part_that_has_a_tag_on_it_was_tagged(reader: Reader) -> None:
    assert "done tag rudder" in brief(reader.read("The rudder's off and it has a tag on it."))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("We need the shims checked by Friday.", ["planned inspect shim"]),
        ("Make sure the rudder's locked.", []),
        ("Make sure the pins are in.", []),
    ],
)
def test_what_is_wanted_or_to_be_made_sure_of_is_not_done(reader: Reader, text: str, told: list[str]) -> None:
    assert brief(reader.read(text)) == told
