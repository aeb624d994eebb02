"""What a supporter reads: the main event first, plain words, no doubtful number, and nobody else's work."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache

import pytest

from pipeline.book import vocabulary_folders
from pipeline.reading.learnt.deciding import ONLY_RULES
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import Lists, PartEvent, PartOff, Records
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.story import Story
from tests.writing.supporters.invented_books import Told, done, made_book, said_to

FIRST = datetime(2026, 1, 10, 10, tzinfo=UTC)
CARRIED_ON = (("side", "carried on from what was said before"),)


@cache
def _vocabulary() -> Vocabulary:
    return load_vocabulary(vocabulary_folders(""))


def _asked(*days: Sequence[Told]) -> Asked:
    told = {FIRST + timedelta(days=7 * number): own for number, own in enumerate(days)}
    book = made_book("month", "Mail Carrier", told)
    return Asked(book.records, book.settings, _vocabulary(), book.first, book.last)


def _report(*days: Sequence[Told]) -> Story:
    return plan(_asked(*days))


def _words(story: Story) -> str:
    return " ".join(one.text for one in story.sentences)


def _one(words: str, *facts: Mapping[str, object]) -> Told:
    return (words, list(facts), 0)


def _off(item: str, side: str | None = None, words: str = "", **more: object) -> Told:
    return _one(words or f"The {item.replace('-', ' ')} is off.", done("remove", item, side, **more))


RUDDER = _off("rudder")
SMALL = [_one(f"We cleaned the {one}.", done("clean", one)) for one in ("seat", "battery", "compass", "bracket")]


def test_the_chapter_of_the_headline_comes_first_and_the_others_as_they_began() -> None:
    seats = [_off("canopy"), _off("seat"), _off("rudder-pedal")]
    story = _report([RUDDER], seats, [_off("outer-wing", "port")])
    assert story.headline == "Off comes the port outer wing"
    assert [one.heading for one in story.sections][:3] == ["The wing", "The tail", "The body"]
    # the tail was before the wing: nobody "turned" to it
    assert "turned to the tail" not in _words(story)


def test_a_day_needs_no_words_that_say_its_headings_again() -> None:
    story = _report([RUDDER, _off("outer-wing", "port"), *SMALL])
    for words in ("First, ", "Then came", "Next, the", "had our attention"):
        assert words not in _words(story)


def test_all_parts_that_came_off_are_counted_as_all_of_the_report() -> None:
    parts = ("rudder", "outer-wing", "canopy", "seat", "battery", "propeller")
    numbers = [one.number.text for one in _report([_off(one) for one in parts]).sections if one.number]
    assert numbers and numbers[0].endswith(" in all")


def test_a_bush_that_was_made_is_no_news_beside_a_rudder() -> None:
    made = _one("We made a bush.", done("make", "bush"))
    story = _report([RUDDER, made, *SMALL])
    assert "bush" not in story.standfirst[0].text and "a bush" in _words(story).lower()
    alone = _report([made, *SMALL])
    assert "made a bush" in alone.standfirst[0].text


def test_small_jobs_alone_are_what_was_done() -> None:
    assert [one.heading for one in _report(SMALL).sections] == ["What we did"]


def test_the_headline_without_a_large_part_is_of_one_that_the_report_tells() -> None:
    bit = _one("New bearings in the nose wheel.", done("fit", "wheel-bearing"))
    story = _report([bit, _one("The nose wheel is back in.", done("fit", "nose-wheel")), *SMALL])
    assert story.headline == "The nose wheel goes back on"


def test_what_is_said_to_go_back_on_is_told_so_though_nobody_told_how_it_came_off() -> None:
    float_on = _one("The port float's back on.", done("fit", "float", "port"))
    story = _report([float_on, *SMALL])
    assert story.headline == "The port float goes back on" and "put the port float back on" in _words(story)
    bare = _report([_one("The port float's on.", done("fit", "float", "port")), *SMALL])
    assert bare.headline == "The port float goes on" and "fitted the port float" in bare.standfirst[0].text
    assert "float on." not in _words(bare)


def test_a_new_one_of_a_side_is_not_the_old_one_that_is_back() -> None:
    new = _one("New port exhaust stack's on.", done("fit", "exhaust-stack", "port"))
    story = _report([_off("exhaust-stack", "port")], [new, *SMALL])
    assert "the new port exhaust stack" in _words(story).lower() and "back" not in _words(story)


def test_work_of_people_outside_the_team_is_not_ours() -> None:
    away = _one("The brackets are back from the welders, painted.", done("paint", "bracket"))
    told = _words(_report([away, RUDDER])).lower()
    assert "brackets got a coat of paint" in told or "bracket got a coat of paint" in told
    assert "we painted" not in told
    looked = _one("The inspector had a look at the port fuel tank.", done("inspect", "fuel-tank", "port"))
    assert "we looked over" not in _words(_report([looked])).lower()
    own = _words(_report([_one("We've had a look at the port fuel tank.", done("inspect", "fuel-tank", "port"))]))
    assert "We looked over the port fuel tank" in own or "we took the time to look things over" in own


def test_a_sum_over_several_holds_no_one_of_them() -> None:
    held = said_to("explained", "held-by", "cowling", count=48, of="fastener", inferred=(("count", "48 altogether"),))
    off = done("remove", "cowling", count=4, of="cowling")
    assert _report([_one("Four cowls off, twelve fasteners apiece.", held, off), RUDDER]).explained is None
    one = said_to("explained", "held-by", "cowling", count=12, of="fastener")
    box = _report([_one("Each cowl has twelve fasteners. Four cowls off.", one, off), RUDDER]).explained
    assert box is not None and "12 fasteners hold it" in _numbers(box.lines[-1].text)


def _numbers(text: str) -> str:
    return text.replace("twelve", "12")


def test_the_other_two_bolts_are_two_more() -> None:
    two = _one("Two engine bolts are undone.", done("undo", "engine", count=2, of="bolt"))
    rest = _one(
        "The other two engine bolts are out.", done("undo", "engine", count=2, of="bolt"), done("remove", "engine")
    )
    again = _one("Two engine bolts are undone.", done("undo", "engine", count=2, of="bolt"), done("remove", "engine"))
    assert "our bolts" in _words(_report([two, rest, *SMALL]))
    assert "wo bolts" in _words(_report([two, again, *SMALL]))


def test_bolts_of_another_large_part_free_none() -> None:
    knocked = _one("One propeller bolt had to be knocked through.", done("undo", "propeller", count=1, of="bolt"))
    engine = _one(
        "Four bolts out and the engine's off.", done("undo", "engine", count=4, of="bolt"), done("remove", "engine")
    )
    told = _words(_report([knocked, engine, *SMALL]))
    assert "our bolts" in told and "ive bolts" not in told


def test_the_same_bolts_told_with_two_words_are_counted_once_and_those_of_the_other_side_not_at_all() -> None:
    plates = _one(
        "The retaining plates are off the port leg, eight bolts.",
        done("remove", "retaining-flange", "port", count=8, of="bolt"),
        done("undo", "retaining-flange", "port", count=8, of="bolt"),
    )
    port = _off("main-undercarriage", "port", confidence=0.95)
    assert "eight bolts" in _words(_report([plates, port, *SMALL])).lower()
    starboard = _words(_report([plates, _off("main-undercarriage", "starboard"), *SMALL])).lower()
    assert "bolts" not in starboard


def test_bolts_of_one_side_and_of_nobody_knows_which_are_of_neither() -> None:
    port = _one("Eight bolts out of the port flap.", done("undo", "flap", "port", count=8, of="bolt"))
    some = _one("Another eight bolts out of the flap.", done("undo", "flap", count=8, of="bolt"))
    story = _report([port, some, *SMALL])
    assert "16" not in " ".join(one.number.figure for one in story.sections if one.number)
    assert "ixteen" not in _words(story)


def test_a_side_that_was_said_of_something_else_is_not_told() -> None:
    fairing = _one("The step fairing's back on.", done("fit", "fairing", "port", inferred=CARRIED_ON))
    story = _report([fairing])
    assert story.headline == "The fairing goes back on" and "port" not in _words(story)
    its_own = (("side", "the side that was said of it before"),)
    said = _report([_one("The fairing's back on.", done("fit", "fairing", "port", inferred=its_own))])
    assert said.headline == "The port fairing goes back on"


@pytest.mark.parametrize(
    ("why", "doubts"),
    [
        ("'wing' taken as mainplane", (ONLY_RULES,)),
        ("'wing' taken as mainplane", ("likely, not sure: 72 in 100",)),
        ("'wing' taken as mainplane; not settled: it may be outer wing",
         ("'wing' taken as mainplane; not settled: it may be outer wing", ONLY_RULES)),
    ],
)  # fmt: skip
def test_the_wing_that_came_off_is_news_whichever_part_of_it_was_meant(why: str, doubts: tuple[str, ...]) -> None:
    off = done("remove", "mainplane", "port", confidence=0.72, check=doubts, inferred=(("item", why),))
    story = _report([_one("The port wing's off.", off)])
    assert story.headline == "Off comes the port wing" and "mainplane" not in _words(story)


def test_a_wing_of_which_more_than_its_part_is_doubtful_is_not_told() -> None:
    inferred = (("item", "'wing' taken as mainplane"),)
    weak = done(
        "remove", "mainplane", "port", confidence=0.5, check=("likely, not sure: 50 in 100",), inferred=inferred
    )
    assert "wing" not in _words(_report([_one("The port wing's off.", weak), RUDDER]))
    other = ("'wing' taken as mainplane; not settled: it may be tailplane",)
    tail = done("remove", "mainplane", "port", confidence=0.72, check=other, inferred=(("item", other[0]),))
    assert "wing" not in _words(_report([_one("The port wing's off.", tail), RUDDER]))


def test_a_rib_is_one_of_many() -> None:
    assert "a port rib" in _words(_report([_one("We cleaned the port rib.", done("clean", "rib", "port"))]))


def _with_life(asked: Asked, item: str, *whats: str) -> Records:
    entries = sorted(asked.records.entries, key=lambda one: one.at)
    life = tuple(
        PartEvent(on=one.at.date(), what=what, act="remove", entry=one.id)
        for one, what in zip(entries, whats, strict=True)
    )
    lines = Lists(parts_off=(PartOff(item=item, state="off", life=life),))
    return asked.records.model_copy(update={"lists": lines})


def test_what_was_off_already_does_not_come_off_again() -> None:
    asked = _asked([RUDDER], [_off("rudder", words="The rudder's down again, it's on rack two.")])
    later = replace(asked, records=_with_life(asked, "rudder", "removed", "told-again"), first=date(2026, 1, 17))
    assert "rudder" not in plan(later).headline
    again = replace(later, records=_with_life(asked, "rudder", "removed", "removed-again"))
    assert plan(again).headline == "Off comes the rudder"
    # of two that have no side told, it may be the other
    magnetos = _asked([_off("magneto")], [_off("magneto")])
    other = replace(
        magnetos, records=_with_life(magnetos, "magneto", "removed", "told-again"), first=date(2026, 1, 17)
    )
    assert plan(other).headline == "Off comes the magneto"


def test_a_battery_is_disconnected_and_no_wire_is_freed() -> None:
    battery = _one("The battery's disconnected.", done("disconnect", "battery"))
    told = _words(_report([battery, RUDDER, *SMALL])).lower()
    assert "battery was disconnected" in told or "disconnected the battery" in told
    assert "wire" not in told and "wiring" not in told
    loom = _one("The loom's unplugged.", done("disconnect", "wiring-loom"))
    told = _words(_report([loom, RUDDER, *SMALL])).lower()
    assert "freed some wiring" in told or "some wiring was freed" in told


def test_a_part_that_goes_by_another_name_is_named_as_one() -> None:
    pipe = _one("The pitot pipe's disconnected.", done("disconnect", "pitot-static-line"))
    assert "a pipe" in _words(_report([pipe, RUDDER, *SMALL])).lower()


def test_a_pipe_is_not_judged_by_its_dirt() -> None:
    pipe = _one("We blew the fuel line through.", done("clean", "fuel-line"))
    assert "coat of dirt" not in _words(_report([pipe, RUDDER]))
    assert "coat of dirt" in _words(_report([_one("We cleaned the keel.", done("clean", "keel-member")), RUDDER]))


def test_what_is_left_is_told_of_large_parts_alone() -> None:
    def left(item: str) -> Told:
        return _one("We left that on.", said_to("not-done", "remove", item))

    assert "rudder" in _words(_report([left("rudder"), _off("propeller")]))
    assert "seat" not in _words(_report([left("seat"), _off("propeller")]))


def test_a_word_under_a_picture_is_explained_as_one_in_the_text_is() -> None:
    shown = ("We disconnected the throttle box.", [done("disconnect", "throttle-box")], 1)
    story = _report([shown, RUDDER, *SMALL])
    assert any("throttle box" in one.caption for one in story.pictures)
    assert "Throttle box" in dict(story.glossary)


def test_areas_of_two_names_are_told_apart() -> None:
    cable = _one("The rudder cable is tight.", done("tighten", "control-cable"))
    text = _report([_one("The rudder's on.", done("fit", "rudder")), cable]).standfirst[0].text
    assert "the tail as well as the systems and controls" in text


def test_what_is_joined_again_is_connected() -> None:
    story = _report([_one("The battery is connected.", done("connect", "battery"))])
    assert "We connected the battery" in _words(story)


def test_bolts_of_one_side_are_no_number_of_both() -> None:
    port = _one("Port leg off, three bolts.", done("remove", "main-undercarriage", "port", count=3, of="bolt"))
    starboard = _off("main-undercarriage", "starboard", words="Starboard leg off, same again.")
    told = _words(_report([port, starboard, *SMALL]))
    assert "oth main undercarriages came off" in told and "bolts" not in told


def test_a_battery_that_came_off_is_not_told_to_be_disconnected_as_well() -> None:
    off = _one("Battery's out, both leads off first.", done("disconnect", "battery"), done("remove", "battery"))
    assert "disconnected" not in _words(_report([off, RUDDER, *SMALL]))


def test_what_is_back_with_a_large_part_of_its_side_is_told_without_saying_too_twice() -> None:
    def on(item: str) -> Told:
        return _one(f"The starboard {item.replace('-', ' ')} is on.", done("fit", item, "starboard"))

    story = _report([_off("outer-wing", "starboard"), _off("lift-strut", "starboard")], [RUDDER])
    assert story.headline
    book = _asked(
        [_off("outer-wing", "starboard"), _off("lift-strut", "starboard")], [on("outer-wing"), on("lift-strut")]
    )
    told = _words(plan(replace(book, first=date(2026, 1, 17))))
    assert "is back on the aircraft. So is the starboard lift strut." in told


def test_what_was_finished_in_part_alone_is_not_told_as_finished() -> None:
    nipped = done("tighten", "engine", count=4, of="bolt", confidence=0.98)
    not_torqued = said_to("not-done", "tighten", "engine", count=4, of="bolt")
    words = "Four bolts, just nipped up by hand, not torqued."
    assert "tightened" not in _words(_report([_one(words, nipped, not_torqued), RUDDER]))
    assert "tightened" in _words(_report([_one("The engine's four bolts are torqued.", nipped), RUDDER]))
    later = said_to("planned", "tighten", "engine", count=2, of="bolt")
    assert "tightened" not in _words(_report([_one("Four torqued, two still to do.", nipped, later), RUDDER]))


def test_a_brake_that_was_bled_is_rid_of_air_and_not_empty() -> None:
    told = _words(_report([_one("Starboard brake bled.", done("drain", "brake-unit", "starboard")), RUDDER])).lower()
    assert "air out of the starboard brake unit" in told or "starboard brake unit was cleared of air" in told
    assert "drained" not in told


def test_nobody_locks_a_split_pin() -> None:
    pin = done("lock", "propeller", count=1, of="split-pin")
    told = _words(_report([_one("Split pin fitted.", pin), RUDDER])).lower()
    assert "fastenings of the propeller" in told and "split pin" not in told


def test_a_large_part_that_came_off_keeps_the_side_that_was_talked_of() -> None:
    wing = done("remove", "outer-wing", "port", inferred=CARRIED_ON)
    assert _report([_one("The wing's off.", wing)]).headline == "Off comes the port outer wing"


def test_the_first_lines_tell_what_the_headline_tells() -> None:
    panel = _off("access-panel")
    looked = _one("We looked over the fuel tank.", done("inspect", "fuel-tank"))
    story = _report([panel, looked, *SMALL])
    assert story.headline == "Off comes the access panel"
    assert "took the access panel off the aircraft and looked over the fuel tank" in story.standfirst[0].text


def test_what_went_on_with_it_so_did() -> None:
    on = [_one(f"The {one.replace('-', ' ')} is on.", done("fit", one)) for one in ("engine", "engine-mount")]
    assert "The engine went on. So did the engine mount." in _words(_report([*on, *SMALL]))
