"""What a report must not say: what nobody is sure of, of another engine, in an order or with a reason untold."""

import re
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from functools import cache

import pytest

from pipeline.book import vocabulary_folders
from pipeline.reading.learnt.deciding import ONLY_RULES
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import DecisionRecord, Records
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.believed import NOT_SURE
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.public_text import page_left
from pipeline.writing.supporters.story import Story
from pipeline.writing.supporters.withheld import Watch
from pipeline.writing.supporters.year import plan_year
from tests.writing.supporters.invented_books import InventedBook, Told, done, made_book, said_to

FIRST = datetime(2026, 1, 10, 10, tzinfo=UTC)
RUDDER = ("We took the rudder off.", [done("remove", "rudder", confidence=0.95)], 0)


@cache
def _vocabulary() -> Vocabulary:
    return load_vocabulary(vocabulary_folders(""))


def _year(book: InventedBook) -> Story:
    return plan_year(Asked(book.records, book.settings, _vocabulary(), date(2026, 1, 1), date(2026, 12, 31)))


def _records(*days: Sequence[Told], apart: int = 7) -> Records:
    """What was said on Saturdays, a week apart."""
    told = {FIRST + timedelta(days=apart * number): own for number, own in enumerate(days)}
    return made_book("month", "Mail Carrier", told).records


def _report(*days: Sequence[Told], apart: int = 7, records: Records | None = None) -> Story:
    told = {FIRST + timedelta(days=apart * number): own for number, own in enumerate(days)}
    book = made_book("month", "Mail Carrier", told)
    return plan(Asked(records or book.records, book.settings, _vocabulary(), book.first, book.last))


def _words(story: Story) -> str:
    box = [story.explained.question] if story.explained is not None else []
    return " ".join([story.headline, *box, *(one.text for one in story.sentences)])


def _one(words: str, *facts: Mapping[str, object]) -> Told:
    return (words, list(facts), 0)


def _reviewed(records: Records, **changes: object) -> Records:
    entries = tuple(one.model_copy(update=changes) for one in records.entries)
    return records.model_copy(update={"entries": entries})


RACK = _one(
    "The wireless rack is out of the cabin, it was held by ten screws.",
    done("remove", "bomb-rack", confidence=0.72, check=("likely, not sure: 72 in 100",)),
    said_to("explained", "held-by", "bomb-rack", count=10, of="screw", confidence=0.34, check=("likely, not sure",)),
)


def test_what_a_person_should_check_first_is_told_nowhere() -> None:
    story = _report([RUDDER, RACK])
    assert "bomb rack" not in _words(story).lower()
    assert story.explained is None
    assert any(NOT_SURE in one.why for one in story.withheld)


def test_what_is_weakly_believed_is_not_told_even_without_a_doubt_beside_it() -> None:
    weak = _one("The fin's off.", done("remove", "fin", confidence=0.6))
    assert "fin" not in _words(_report([RUDDER, weak])).lower()


@pytest.mark.parametrize(
    "decided",
    [
        {"review": "accepted"},
        {
            "review": "amended",
            "decided": (DecisionRecord(number=1, at=FIRST, who="A", act="amend", what=("facts",)),),
        },
    ],
)
def test_what_a_person_has_accepted_is_told(decided: dict[str, object]) -> None:
    records = _reviewed(_records([RUDDER, RACK]), **decided)
    assert "bomb rack" in _words(_report([RUDDER, RACK], records=records)).lower()


def test_an_entry_of_which_only_the_photos_were_amended_is_not_accepted() -> None:
    photos = (DecisionRecord(number=1, at=FIRST, who="A", act="amend", what=("photos",)),)
    records = _reviewed(_records([RUDDER, RACK]), review="amended", decided=photos)
    assert "bomb rack" not in _words(_report([RUDDER, RACK], records=records)).lower()


def test_where_only_the_side_is_in_doubt_the_work_is_told_without_it() -> None:
    doubt = ("by the rules on both, here port",)
    flap = _one("The flap's off.", done("remove", "flap", "port", confidence=0.95, check=doubt))
    story = _report([flap])
    assert story.headline == "Off comes the flap"


def test_a_plan_in_doubt_is_not_told_as_what_comes_next() -> None:
    sure = said_to("planned", "remove", "fin", confidence=0.95)
    unsure = said_to("planned", "remove", "tailplane", confidence=0.5, check=("likely, not sure: 50 in 100",))
    told = " ".join(one.text for one in _report([RUDDER, _one("Next.", sure), _one("And.", unsure)]).ahead)
    assert "fin" in told and "tailplane" not in told


NOSE = _one("And the nose engine's off!", done("remove", "engine"))
PORT = _one("The port engine is off now.", done("remove", "engine", "port"))


def test_the_nose_engine_and_the_port_engine_are_two() -> None:
    story = _report([NOSE], [PORT])
    assert story.headline == "Off come the nose and port engines"
    assert "The nose and port engines came off, the nose engine first." in _words(story)


def test_the_port_propeller_did_not_come_off_again_where_the_first_was_another() -> None:
    earlier = _one("The nose propeller came off.", done("remove", "propeller"))
    unsided = _one("The propeller came off.", done("remove", "propeller"))
    later = _one("We've got the port propeller off.", done("remove", "propeller", "port"))
    for first in (earlier, unsided):
        records = _records([first], [later], apart=28)
        book = made_book("month", "Mail Carrier", {FIRST + timedelta(days=28): [later]})
        story = plan(Asked(records, book.settings, _vocabulary(), book.first, book.last))
        assert "again" not in _words(story)
    same = _one("The port propeller came off.", done("remove", "propeller", "port"))
    records = _records([same], [later], apart=28)
    story = plan(Asked(records, book.settings, _vocabulary(), book.first, book.last))
    assert "the port propeller came away again" in _words(story).lower().replace("off came", "came off")


def test_three_propellers_are_not_both() -> None:
    story = _report([_one("The three propellers are all off now.", done("remove", "propeller", "both"))])
    assert story.headline == "Off come three propellers"
    assert "both" not in _words(story).lower()


def test_an_aircraft_has_one_tailplane() -> None:
    off = done("remove", "tailplane", "both", count=16, of="bolt")
    story = _report([_one("The tailplane's off, both halves, eight bolts a side.", off)])
    assert story.headline == "Off comes the tailplane"
    assert "both tailplanes" not in _words(story) and "16" in str(story.sections)


def test_the_cloth_on_a_rudder_is_not_called_the_wings() -> None:
    told = _words(
        _report([RUDDER, _one("We stripped the old fabric off the rudder.", done("remove", "wing-fabric"))])
    )
    assert "fabric" in told and "wing fabric" not in told


def test_new_fabric_is_not_the_old_one_back_on() -> None:
    old = _one("We stripped the old fabric off the rudder.", done("remove", "wing-fabric"))
    new = _one("We put new fabric on the rudder.", done("fit", "wing-fabric"))
    told = _words(_report([RUDDER, old], [new]))
    assert "new fabric" in told and "again" not in told and "back" not in told


def test_studs_that_were_fitted_fit_no_exhaust() -> None:
    studs = _one("Des fitted the new exhaust studs, all four.", done("fit", "exhaust-stack", count=4, of="stud"))
    assert "exhaust" not in _words(_report([RUDDER, studs])).lower()
    whole = _one("We fitted the fin back on with four new bolts.", done("fit", "fin", count=4, of="bolt"))
    assert "fin" in _words(_report([RUDDER, whole])).lower()


def test_no_cable_is_told_that_nobody_spoke_of() -> None:
    told = _words(
        _report([_one("We disconnected the throttle.", done("disconnect", "throttle-box")), NOSE, RUDDER])
    ).lower()
    assert "controls" in told and "cable" not in told


def test_what_is_put_down_after_it_came_off_was_not_held_up() -> None:
    off = _one("We removed the port elevator.", done("remove", "elevator", "port"))
    down = _one("We put the elevator on the trestles.", done("support", "elevator", "port"))
    tail = _one("The tailplane's off.", done("remove", "tailplane"))
    assert "weight" not in _words(_report([off, down], [tail]))
    doubtful = _one("We removed the port elevator.", done("remove", "elevator", "port", confidence=0.7))
    assert "weight" not in _words(_report([doubtful, down], [tail]))
    held = _one("The slings have got the tailplane.", done("support", "tailplane"))
    told = _words(_report([held, tail]))
    assert "We took the weight of the tailplane." in told and "so that nothing" not in told


def test_hinges_do_not_come_out_by_number() -> None:
    told = _words(_report([_one("We removed the rudder.", done("remove", "rudder", count=4, of="hinge"))])).lower()
    assert "hinges" not in told.replace("every hinge counts", "")


def test_the_headline_is_the_largest_thing_whether_it_came_off_or_went_on() -> None:
    off = _one("The propeller is off.", done("remove", "propeller", count=2, of="person"))
    on = _one("The starboard lower wing is on.", done("fit", "lower-wing", "starboard"))
    story = _report([off], [on])
    assert story.headline == "The starboard lower wing goes on"


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("We took the propeller off, six bolts.", "No, hang on, eight bolts, it's eight."),
        ("We took the propeller off, six bolts. No, hang on, eight bolts.", "Then we had tea."),
    ],
)
def test_what_is_taken_back_gives_no_count_and_no_side(first: str, then: str) -> None:
    one = done("remove", "propeller", "port", count=6, of="bolt")
    told = _words(_report([(first, [one], 0), (then, [], 0)]))
    assert "propeller" in told
    assert not re.search(r"\b(?:six|eight|port)\b", told.lower())


def test_work_is_a_test_only_where_the_words_say_so_and_its_outcome_is_left_to_the_engineers() -> None:
    turned = _words(_report([_one("We turned it over by hand.", done("test", "engine"))]))
    assert "tested" not in turned
    tested = _words(_report([_one("We tested the port brake unit.", done("test", "brake-unit", "port"))]))
    assert "tested. What we saw is in the logbook, for the engineers to judge." in tested.replace(
        "We tested the port brake unit", "tested"
    )


def test_the_number_of_the_report_neither_repeats_the_headline_nor_counts_what_nobody_can_count() -> None:
    seven = _one("Seven cylinders are off.", done("remove", "cylinder", count=7, of="cylinder"))
    assert not any(part.number for part in _report([seven]).sections)


def test_side_of_the_fabric_is_that_of_its_wing_and_a_new_part_is_called_new() -> None:
    told = _words(_report([_one("New fabric is on the port wing.", done("fit", "wing-fabric", "port"))])).lower()
    assert "the new fabric of the port wing" in told
    off = _words(_report([_one("The port fabric is off.", done("remove", "wing-fabric", "port"))])).lower()
    assert "the fabric of the port wing" in off


def test_work_on_parts_that_were_counted_is_on_all_of_them_where_its_words_name_none() -> None:
    on = _one("All seven cylinders are back on.", done("fit", "cylinder", count=7, of="cylinder"))
    told = _words(_report([on, _one("We did them up and locked them.", done("tighten", "cylinder"))])).lower()
    assert "the engine cylinder " not in told and "the engine cylinders" in told


def test_bolts_are_tightened_and_locked_not_what_they_hold() -> None:
    mount = _one("The engine bolts are torqued and wire locked.",
                 done("tighten", "engine", count=4, of="bolt"), done("lock", "engine"))  # fmt: skip
    told = _words(_report([mount])).lower()
    assert "the bolts of the engine" in told and "tightened the engine" not in told and "the engine was" not in told
    propeller = _words(_report([_one("The prop is wire locked.", done("lock", "propeller"))])).lower()
    assert "the fastenings of the propeller" in propeller


@pytest.mark.parametrize(("apart_days", "when"), [(84, "in December"), (364, "last year")])
def test_a_part_that_is_back_is_told_with_the_month_that_it_came_off_where_that_is_clear(
    apart_days: int, when: str
) -> None:
    off = datetime(2025, 12, 13, 10, tzinfo=UTC)
    back = off + timedelta(days=apart_days)
    book = made_book(
        "month", "Mail Carrier", {off: [RUDDER], back: [_one("The rudder's on.", done("fit", "rudder"))]}
    )
    story = plan(Asked(book.records, book.settings, _vocabulary(), back.date(), back.date()))
    assert f"which came off {when}, is back" in _words(story)


def test_two_doors_of_the_nose_are_told_as_two() -> None:
    doors = [_one(f"The {side} door is off.", done("remove", "bomb-door", side)) for side in ("port", "starboard")]
    told = _words(_report(doors)).lower()
    assert "bomb doors came off" in told and "off come the bomb doors" in told


def test_what_is_tightened_or_latched_itself_is_told_so() -> None:
    cable = _words(_report([_one("We tensioned the rudder cable.", done("tighten", "control-cable"))])).lower()
    assert "fastenings" not in cable and "control cable" in cable
    door = _words(_report([_one("The canopy is shut and locked.", done("lock", "canopy"))])).lower()
    assert "fastenings" not in door and "canopy" in door


def test_a_system_goes_with_a_big_part_only_where_it_belongs_and_one_engine_is_one() -> None:
    pipe = _one("We freed the pitot line.", done("disconnect", "pitot-line"))
    engine = _one("The engine is off.", done("remove", "engine", count=4, of="person"))
    story = _report([pipe], [engine])
    assert [part.heading for part in story.sections if "ngine" in part.heading] in ([], ["The engine"])
    of_engine = [one.text for part in story.sections if part.heading == "The engine" for each in part.paragraphs
                 for one in each.sentences]  # fmt: skip
    assert not any("pipes" in one for one in of_engine)


def test_a_headline_is_still_true_at_the_end() -> None:
    back = _one("The rudder's back on.", done("fit", "rudder"))
    wheel = _one("We took the tail wheel off.", done("remove", "tail-wheel"))
    door = _one("We cleaned the door.", done("clean", "door"))
    story = _report([RUDDER, wheel, door], [back])
    assert story.headline == "Off comes the tail wheel"
    assert "put the rudder back on" in story.standfirst[0].text
    assert "rudder off" not in story.standfirst[0].text
    assert "By 17 January the rudder was back on." in _words(story)


def test_no_reason_claims_what_nobody_saw() -> None:
    tail = _one("The tailplane's off.", done("remove", "tailplane"))
    made = _one("We made two ribs.", done("make", "rib", count=2, of="rib"))
    prop = _one("The propeller came off.", done("remove", "propeller"))
    told = _words(_report([tail, made, prop]))
    for claim in ("bench", "ladder", "shop sells", "has to go before"):
        assert claim not in told
    assert "two ribs" in told


def test_days_are_told_as_people_write_them() -> None:
    fin = _one("The fin's off.", done("remove", "fin"))
    told = _words(
        _report([RUDDER, NOSE, PORT, fin], [fin], [_one("We cleaned the rudder.", done("clean", "rudder"))])
    )
    assert " was for " not in told and "was the day for" not in told and "ran from" not in told
    assert "On three days in January, we took" not in told and "In January, we took" in told
    assert "on three days between 10 and 24 January" in told.replace("On three", "on three")


def test_a_chapter_holds_what_belongs_to_it() -> None:
    seats = _one("The cabin seats are out.", done("remove", "seat", count=8, of="seat"))
    radio = _one("The radio set is out.", done("remove", "radio-set"))
    cable = _one("We freed the cables.", done("disconnect", "control-cable"))
    tail = _one("The tailplane's off.", done("remove", "tailplane"))
    story = _report([cable, seats, radio, RUDDER, tail])
    by_heading = {
        part.heading: " ".join(one.text for each in part.paragraphs for one in each.sentences)
        for part in story.sections
    }
    assert "cables" in by_heading["The tail"]
    assert "seats" not in by_heading["The tail"] and "radio" not in by_heading["The tail"]
    assert "eight seats" in by_heading["Smaller jobs"]


def test_a_meaning_alone_makes_no_box_of_its_own_and_stands_among_the_words() -> None:
    story = _report([_one("We took the spinner off.", done("remove", "spinner"))])
    assert story.explained is None
    assert "Spinner" in {word for word, _ in story.glossary}


def test_one_part_with_a_label_goes_back_as_it() -> None:
    told = _words(_report([RUDDER, _one("Tagged.", done("tag", "rudder"))]))
    assert "We labelled the rudder, so that it can go back where it came from." in told


def test_parts_are_counted_only_where_each_is_named() -> None:
    parts = ("rudder", "fin", "tailplane", "tail-wheel", "door", "seat", "fuel-line", "bracket")
    story = _report([[_one(f"The {one} is off.", done("remove", one)) for one in parts][index] for index in range(8)])
    (number,) = [part.number for part in story.sections if part.number is not None]
    assert number.figure == "6"
    more = [_one(f"The {one} is off.", done("remove", one)) for one in (*parts, "flap", "canopy")]
    seats = _one("Eight seats are out.", done("remove", "seat", count=8, of="seat"))
    assert [part.number.figure for part in _report(more).sections if part.number] == ["8"]
    assert not any(part.number for part in _report([*more, seats]).sections)


def test_a_number_that_was_told_again_is_not_lost() -> None:
    made = done("make", "rib", count=2, of="rib")
    told = _words(_report([_one("We've made two new ribs.", made), _one("Imogen made both ribs.", made)]))
    assert "two ribs" in told


def test_pipes_are_freed_once_in_a_report() -> None:
    first = _one("We disconnected the fuel line.", done("disconnect", "fuel-line"))
    again = _one("And the other fuel line.", done("disconnect", "fuel-line", "port"))
    leg = _one("The port main undercarriage is off.", done("remove", "main-undercarriage", "port"))
    brake = _one("We disconnected the brake line.", done("disconnect", "hydraulic-line"))
    told = _words(_report([first, NOSE, RUDDER], [again, brake, leg])).lower()
    assert told.count("freed the pipes") + told.count("pipes were freed") == 1


def test_a_cable_that_was_freed_alone_is_one_and_its_covered_end_is_no_news() -> None:
    freed = _one("The aileron cable's disconnected, and I've taped its end.",
                 done("disconnect", "control-cable", "port"), done("blank", "control-cable", "port"))  # fmt: skip
    told = _words(_report([freed, RUDDER, NOSE, PORT])).lower()
    assert "freed a control cable" in told or "a control cable was freed" in told
    assert "covered" not in told and "control cables" not in told
    several = _one("The port cables are off.", done("disconnect", "control-cable", "port"))
    assert "the control cables" in _words(_report([several, RUDDER, NOSE, PORT])).lower()
    pipe = _one("The fuel line's off.", done("disconnect", "fuel-line"))
    line = _words(_report([pipe, RUDDER, NOSE, PORT])).lower()
    assert "freed a pipe" in line or "a pipe was freed" in line
    together = _words(_report([several, pipe])).lower()
    assert "the control cables and a pipe" in together
    assert "then there was the engines" not in line


def test_several_of_one_side_are_told_as_several() -> None:
    back = _one("The landing wires are back on, port.", done("fit", "landing-wire", "port"))
    story = _report([back])
    assert "port landing wires" in story.headline and "go back on" in story.headline
    assert "the port landing wires" in _words(story).lower() and "landing wire " not in _words(story)


def test_several_that_were_held_by_counted_fasteners_are_several_still() -> None:
    off = _one("Flying wires port, front and rear, off, four clevis pins.",
               done("remove", "flying-wire", "port", count=4, of="clevis-pin"))  # fmt: skip
    assert "the port flying wires" in _words(_report([off])).lower()
    rudder = _one("The rudder is off, four bolts.", done("remove", "rudder", count=4, of="bolt"))
    assert "the rudder" in _words(_report([rudder])).lower()


def test_fabric_that_went_on_is_the_news_of_a_day_without_anything_larger() -> None:
    fabric = _one("The fabric is on the port wing.", done("fit", "wing-fabric", "port"))
    small = [_one(f"We cleaned the {one}.", done("clean", one)) for one in ("rib", "bracket", "scarf-joint")]
    story = _report([*small, fabric])
    assert story.headline == "The fabric of the port wing goes on"
    assert "fitted the fabric of the port wing" in story.standfirst[0].text
    assert _report([*small, fabric, _one("The fin's on.", done("fit", "fin"))]).headline == "The fin goes on"


def test_no_page_puts_a_team_into_a_hangar_that_nobody_spoke_of() -> None:
    small = [_one(f"We cleaned the {one}.", done("clean", one)) for one in ("rib", "bracket", "scarf-joint")]
    story = _report([*small, ("Trestle's gone.", [done("remove", "trestle")], 1)])
    pictures = [f"{one.alt} {one.caption} {one.file}" for one in story.pictures]
    assert pictures and "hangar" not in " ".join([_words(story), *pictures]).lower()


def test_work_of_morning_and_afternoon_is_of_the_day() -> None:
    said = [_one("We painted the cowling.", done("paint", "cowling")), _one("Made a rib.", done("make", "rib")),
            _one("We cleaned the engine.", done("clean", "engine"))]  # fmt: skip
    noon = datetime(2026, 1, 10, 11, 55, tzinfo=UTC)
    for begins, when in ((FIRST, "On the morning of Saturday 10 January"), (noon, "On Saturday 10 January")):
        book = made_book("month", "Mail Carrier", {begins: said})
        story = plan(Asked(book.records, book.settings, _vocabulary(), book.first, book.last))
        assert story.standfirst[0].text.startswith(f"{when}, we")


def test_work_in_one_place_on_one_day_has_nothing_to_begin_with_first() -> None:
    tail = _one("The elevators are off.", done("remove", "elevator", "both"))
    cables = _one("The elevator cables are off.", done("disconnect", "control-cable"))
    spar = _one("The rear spar is out.", done("remove", "rear-spar", "port"))
    bag = _one("Screws in bag C1.", done("bag", "screw"))
    told = _words(_report([tail, cables, spar, bag]))
    assert "First, the tail" not in told and "elevators" in told
    assert "such surfaces steer" in told.lower() or "steer" not in told


def test_a_year_that_is_not_over_says_how_far_it_goes_and_tells_what_was_made() -> None:
    made = _one("We made two ribs.", done("make", "rib", count=2, of="rib"))
    book = made_book("month", "Mail Carrier", {FIRST: [RUDDER, made], FIRST + timedelta(days=28): [NOSE]})
    story = _year(book)
    assert story.period == "the year 2026, up to 7 February"
    told = " ".join(
        [*(one.text for one in story.sentences), *(one.text for each in story.plots for one in each.lines)]
    )
    assert "two ribs" in told
    assert "In each of January and February there was one day of work." in told
    later = made_book("month", "Mail Carrier", {FIRST: [RUDDER], FIRST + timedelta(days=400): [NOSE]})
    assert _year(later).period == "the year 2026"


def test_what_comes_next_is_the_latest_plan() -> None:
    opened = said_to("planned", "open", "centre-section")
    lifted = said_to("planned", "lift", "floor")
    told = " ".join(one.text for one in _report([RUDDER, _one("Next.", opened), _one("Then.", lifted)]).ahead)
    assert "open the centre section" in told and "lift the floor" in told


def test_a_month_that_came_before_believes_no_more_than_its_own_report() -> None:
    weak = _one("The port propeller came off.", done("remove", "propeller", "port", confidence=0.5))
    later = _one("We've got the port propeller off.", done("remove", "propeller", "port"))
    records = _records([weak], [later], apart=28)
    settings = made_book("month", "Mail Carrier", {FIRST: [later]}).settings
    story = plan(Asked(records, settings, _vocabulary(), date(2026, 2, 1), date(2026, 2, 28)))
    assert "again" not in _words(story)


OUT = "Port interplane struts out. Tagged. Bolts back in their own fittings."


@pytest.mark.parametrize("unsure", ["remove", "fit"])
def test_of_a_part_that_one_entry_takes_off_and_puts_on_neither_is_told_unless_both_are_sure(unsure: str) -> None:
    facts = [
        done(act, "interplane-strut", "port", confidence=0.75 if act == unsure else 0.95)
        | ({"check": ("likely, not sure: 75 in 100",)} if act == unsure else {})
        for act in ("remove", "fit")
    ]
    assert "strut" not in _words(_report([RUDDER, _one(OUT, *facts)])).lower()
    rules = facts[0] | {"confidence": 0.95, "check": (ONLY_RULES,)}
    assert (
        "strut"
        not in _words(_report([RUDDER, _one(OUT, rules, facts[1] | {"check": (), "confidence": 0.95})])).lower()
    )
    both = [done(act, "interplane-strut", "port", confidence=0.95) for act in ("remove", "fit")]
    assert "strut" in _words(_report([RUDDER, _one(OUT, *both)])).lower()


def test_what_came_off_is_never_told_to_be_off_still() -> None:
    days = [[_one("The wing's off.", done("remove", "outer-wing", "port"))],
            [_one("The aileron's off.", done("remove", "aileron", "port"))]]  # fmt: skip
    for first in range(1, 5):
        book = made_book("month", "Mail Carrier", {FIRST.replace(month=first) + timedelta(days=7 * n): own
                                              for n, own in enumerate(days)})  # fmt: skip
        story = plan(Asked(book.records, book.settings, _vocabulary(), book.first, book.last))
        assert "off too" not in _words(story).replace("came off too", "")


def test_every_cable_is_many_and_so_is_what_them_stands_for() -> None:
    labelled = _one("Labelled every cable end in the tail bay.", done("tag", "control-cable"))
    assert "We labelled the control cables," in _words(_report([RUDDER, labelled]))
    joined = _one("Connected the rudder cables.", done("connect", "control-cable"))
    looked = _one("Checked them for sense.", done("inspect", "control-cable"))
    assert "the control cable." not in _words(_report([RUDDER, joined, looked]))


def test_linen_that_was_doped_was_not_painted() -> None:
    doped = _one("Irish linen, doped twice.", done("paint", "wing-fabric"))
    told = _words(_report([doped])).lower()
    assert "paint" not in told and "dope" in told
    painted = _one("The fabric is painted.", done("paint", "wing-fabric"))
    assert "paint" in _words(_report([painted])).lower()


def test_every_month_of_a_year_that_is_drawn_keeps_its_name() -> None:
    book = made_book("month", "Mail Carrier", {FIRST: [RUDDER]})
    watch = Watch(book.settings, _vocabulary())
    for plot in _year(book).plots:
        assert ">January</text>" in page_left(plot.svg, watch.reasons).text


def test_a_year_tells_how_many_days_a_month_had_once_and_the_parts_of_each_month() -> None:
    unsure = _one("The fin's off.", done("remove", "fin", confidence=0.6))
    months = {FIRST: [RUDDER], FIRST + timedelta(days=1): [unsure],
              FIRST + timedelta(days=31): [_one("The tailplane's off.", done("remove", "tailplane"))]}  # fmt: skip
    story = _year(made_book("month", "Mail Carrier", months))
    assert story.plots[0].lines[0].text == "We were at work on two days in January and one in February."
    assert story.plots[1].lines[0].text == "One part came off in January and one in February."
    assert all("days of work" not in one.text and "days at work" not in one.text
               for part in story.sections for each in part.paragraphs for one in each.sentences)  # fmt: skip


@pytest.mark.parametrize(
    ("item", "words", "told"),
    [
        ("hull-panel", "We took the hull panel off.", "took off the hull panel"),
        ("drain-plug", "We took the drain plug out.", "took off the drain plug"),
    ],
)
def test_what_the_headline_tells_is_told_below_it(item: str, words: str, told: str) -> None:
    story = _report([_one(words, done("remove", item, confidence=0.95))])
    assert story.headline == f"Off comes {told.removeprefix('took off ')}"
    assert told in " ".join(one.text for part in story.sections for each in part.paragraphs for one in each.sentences)


def test_a_part_with_a_name_is_the_news_before_a_pin_or_a_bracket() -> None:
    plugs = _one(
        "All five drain plugs are out.", done("remove", "drain-plug", count=5, of="drain-plug", confidence=0.95)
    )
    panel = _one("The hull panel is off.", done("remove", "hull-panel", confidence=0.95))
    assert _report([plugs, panel]).headline == "Off comes the hull panel"


def test_an_is_heard_without_its_apostrophe_makes_no_plural_of_what_a_side_has_one_of() -> None:
    heard = _one("And the port engines off.", done("remove", "engine", "port", confidence=0.95))
    assert "engines off the aircraft" not in _words(_report([heard]))
    assert _report([heard]).headline == "Off comes the port engine"
    pump = _one("The bilge pumps back in, three bolts.", done("fit", "bilge-pump", confidence=0.95))
    assert "bilge pumps" not in _words(_report([pump]))
    many = _one("The port engines are off.", done("remove", "engine", "port", confidence=0.95))
    assert _report([many]).headline == "Off come the port engines"


def test_a_day_of_which_only_the_morning_is_told_is_not_called_a_morning() -> None:
    unsure = _one("The fin's off.", done("remove", "fin", confidence=0.6))
    whole_day = [RUDDER, *[_one("We looked at it.") for _ in range(40)], unsure]
    assert "on the morning of" in _words(_report([RUDDER])).lower()
    assert "morning" not in _words(_report(whole_day)).lower()


def test_a_report_of_which_nothing_may_be_told_says_that_there_was_work() -> None:
    unsure = _one("The fin's off.", done("remove", "fin", confidence=0.6))
    story = _report([unsure])
    assert [one.text for one in story.standfirst] == [
        "On Saturday 10 January, we were at work: what we did is in the logbook."
    ]
    assert story.standfirst[0].behind == ("e-month-0110-0",)
    meant = _one("We'll take the fin off.", said_to("planned", "remove", "fin", confidence=0.95))
    assert _report([meant]).standfirst == ()


def test_a_part_that_is_back_came_off_when_its_own_side_did() -> None:
    port = _one("The port engine is off.", done("remove", "engine", "port", confidence=0.95))
    other = _one("The engine is off.", done("remove", "engine", confidence=0.95))
    back = _one("The port engine is back on.", done("fit", "engine", "port", confidence=0.95))
    told = {datetime(year, 3, 7, 10, tzinfo=UTC): [one] for year, one in ((2024, port), (2025, other), (2026, back))}
    book = made_book("month", "Mail Carrier", told)
    story = plan(Asked(book.records, book.settings, _vocabulary(), date(2026, 3, 1), date(2026, 3, 31)))
    assert "which came off in 2024, is back" in _words(story)


def test_new_bolts_of_a_mount_make_no_new_mount() -> None:
    bolts = _one(
        "Four new mount bolts, torqued.", done("tighten", "engine-mount", count=4, of="bolt", confidence=0.95)
    )
    assert "new" not in _words(_report([bolts]))


def test_a_line_that_was_connected_alone_is_one() -> None:
    line = _one("Fuel line connected.", done("connect", "fuel-line", confidence=0.95))
    assert "the fuel line" in _words(_report([line])).lower() and "fuel lines" not in _words(_report([line])).lower()


def test_no_part_is_told_to_be_held_by_itself() -> None:
    held = said_to("explained", "held-by", "float", count=2, of="float", confidence=0.95)
    off = done("remove", "float", "port", confidence=0.95)
    story = _report([_one("What holds the float? Two struts. The port float is off.", held, off)])
    assert "hold it in place" not in _words(story) and "held the port float" not in _words(story)


def test_a_part_that_went_on_is_the_news_before_the_screws_of_another() -> None:
    screws = _one("Twelve screws into the door.", done("fit", "door", count=12, of="screw", confidence=0.95))
    fairing = _one("The fairing is back on.", done("fit", "fairing", confidence=0.95))
    assert _report([screws, fairing]).headline == "The fairing goes back on"


def test_what_was_only_slackened_is_not_free() -> None:
    slack = _one("The rudder cables I've only slackened off.", done("undo", "control-cable"))
    told = _words(_report([slack, RUDDER]))
    assert "slackened the control cables" in told and "freed" not in told
    free = _one("We undid the elevator turnbuckle.", done("undo", "turnbuckle"))
    assert "slackened" not in _words(_report([slack, free, RUDDER]))
    nuts = _one("We slackened the engine mount nuts.", done("undo", "engine-mount"))
    assert "slacken" not in _words(_report([nuts, RUDDER]))


def test_a_chapter_names_all_the_days_of_its_work() -> None:
    cable = _one("We freed the cables.", done("disconnect", "control-cable"))
    legs = _one("The port leg's off.", done("remove", "main-undercarriage", "port"))
    fin = _one("The fin's off.", done("remove", "fin"))
    (tail,) = (one for one in _report([cable], [RUDDER, fin, legs], apart=1).sections if one.heading == "The tail")
    assert "Saturday and Sunday" in tail.paragraphs[0].sentences[0].text
    wing = _one("The port wing's off.", done("remove", "outer-wing", "port"))
    pipe = _one("We freed the hydraulic line.", done("disconnect", "hydraulic-line"))
    story = _report([pipe, wing, RUDDER], [pipe, legs], apart=1)
    (of_wing,) = (one for one in story.sections if one.heading == "The wing")
    assert "Sunday" not in of_wing.paragraphs[0].sentences[0].text


def test_bags_of_other_days_are_not_told_as_of_the_last_chapters_day() -> None:
    bag = _one("Bolts in bag two.", done("bag", "bolt", tag="2"))
    radio = [_one(f"{what} out.", done("remove", item)) for what, item in (("Radio set", "radio-set"),)]
    pipes = [_one("Pipe off.", done("disconnect", item)) for item in ("hydraulic-line", "fuel-line", "oil-line")]
    story = _report([RUDDER, bag], [*radio, *pipes], apart=1)
    assert "Along the way we bagged the bolts" in _words(story)
    assert "We bagged the bolts" in _words(_report([RUDDER, bag]))


def _ahead(later: Sequence[Told]) -> str:
    plan_ = _one("We'll have the elevator off next time.", said_to("planned", "remove", "elevator", "starboard"))
    return " ".join(one.text for one in _report([RUDDER, plan_], later).ahead)


def test_a_plan_that_was_given_up_later_is_not_what_comes_next() -> None:
    assert "take off the starboard elevator" in _ahead([RUDDER])
    left = said_to("not-done", "remove", "elevator", "starboard")
    assert "starboard elevator" in _ahead([_one("We left that on.", left)])
    assert "take off" not in _ahead([_one("We left that on.", left)])
    assert not _ahead([_one("We left that on.", left | {"check": ("likely, not sure",)})])


def test_both_wings_are_not_one_where_their_sides_go_untold() -> None:
    props = _one("A trestle under each wing.", done("support", "outer-wing", "both"))
    told = _words(_report([props, _one("The engine's off.", done("remove", "engine")), RUDDER]))
    assert "the weight of the outer wings" in told


def test_one_nut_is_not_told_as_nuts() -> None:
    nut = _one("Hub nut tightened.", done("tighten", "propeller-hub", count=1, of="nut"))
    assert "a nut of the propeller hub" in _words(_report([nut, RUDDER]))
    two = _one("Two nuts.", done("tighten", "propeller-hub", count=2, of="nut"))
    assert "the nuts of the propeller hub" in _words(_report([two, RUDDER]))


def test_a_box_that_was_connected_is_one_and_a_pipes_cover_is_no_news() -> None:
    told = _words(
        _report([
            _one("Throttle's connected up.", done("connect", "throttle-box")),
            _one("Vent pipe covered, oil line too.", done("blank", "vent-pipe"), done("blank", "oil-line")),
            RUDDER,
        ])
    )  # fmt: skip
    assert "throttle box" in told and "throttle boxes" not in told and "cover" not in told
    plan_ = _one("Still to find a blank.", said_to("planned", "blank", "oil-line"))
    assert not _report([RUDDER, plan_]).ahead


def test_work_on_a_part_is_told_in_the_order_of_its_days() -> None:
    first, then = _one("Primed.", done("prime", "flap")), _one("Cleaned.", done("clean", "flap"))
    assert "primed and cleaned" in _words(_report([first], [then, RUDDER], apart=1))


def test_a_tank_that_went_back_on_is_told_in_its_chapter() -> None:
    off = [_one("The port tank's out.", done("remove", "fuel-tank", "port")), RUDDER]
    on = [_one("The port tank's back in.", done("fit", "fuel-tank", "port"))]
    told = [one.text for one in _report(off, on, apart=1).sentences]
    assert "By Sunday the port fuel tank was back on." in told


def test_fasteners_of_four_cowlings_came_out_of_the_cowlings() -> None:
    four = _one("All four cowlings are off.", done("remove", "cowling", count=4, of="cowling"))
    undone = _one("Forty-seven fasteners.", done("undo", "cowling", count=47, of="fastener"))
    (number,) = (one.number for one in _report([four, undone, RUDDER, NOSE]).sections if one.number)
    assert (number.figure, number.text) == ("47", "fasteners came out of the cowlings")
    more = _one("Sixty screws.", done("undo", "access-panel", count=60, of="screw"))
    assert "The cowlings alone gave up 47 fasteners" in _words(_report([four, undone, NOSE, more]))


def test_so_many_each_is_no_number_of_all() -> None:
    each = _one("Refitted the cowlings.", done("fit", "cowling", count=12, of="fastener"))
    assert any(one.number for one in _report([each, RUDDER, NOSE]).sections)
    said = ("Refitted the cowlings. Twelve fasteners each.", *each[1:])
    assert not any(one.number for one in _report([said, RUDDER, NOSE]).sections)
    book = made_book(
        "month", "Mail Carrier", {FIRST: [each, ("Twelve fasteners each.", [], 0), RUDDER, NOSE]}
    ).records
    first, second, *others = book.entries
    fact = first.facts[0].model_copy(update={"said": "Refitted the cowlings."})
    both = first.model_copy(update={"utterances": (*first.utterances, *second.utterances), "facts": (fact,)})
    assert not any(
        one.number for one in _report([each], records=book.model_copy(update={"entries": (both, *others)})).sections
    )
    sides = _one("Six bolts each side.", done("fit", "cowling", count=12, of="bolt"))
    assert any(one.number for one in _report([sides, RUDDER, NOSE]).sections)


def test_an_engine_that_ran_is_no_smaller_job() -> None:
    ran = _one("We tested number one engine for forty minutes.", done("test", "engine", "port"))
    fin = [_one("The fin's on.", done("fit", "fin")), _one("Painted.", done("paint", "fin"))]
    story = _report([RUDDER, *fin, ran])
    assert "tested the number 1 engine" in story.standfirst[0].text
    assert "The engines" in [one.heading for one in story.sections]
