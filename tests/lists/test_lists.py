"""What the facts add up to."""

from datetime import UTC, datetime, timedelta

from pipeline.lists.findings import findings
from pipeline.lists.logged import LoggedFact
from pipeline.lists.parts_off import parts_off
from pipeline.lists.to_do import to_do
from pipeline.reading.fact import Fact, Measure, Place, Stowage

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)


def logged(*facts, day=0, entry="e-1"):
    return [LoggedFact(at=SATURDAY + timedelta(days=day), entry=entry, fact=fact, said="…") for fact in facts]


def done(act, item, side=None, **more):
    return Fact(status="done", act=act, item=item, side=side, **more)


def off(facts):
    return parts_off(facts, lambda notation: notation not in ("bolt", "trestle"))


def test_removed_part_is_one_line_with_what_held_it_its_tag_and_where_it_is():
    facts = logged(
        done("remove", "aileron", "starboard", count=6, of="bolt"),
        done("tag", "aileron", "starboard", tag="P-0142"),
        done("store", "aileron", "starboard", stowage=Stowage(rack="3", shelf="top")),
        Fact(status="seen", finding="corrosion", item="aileron", side="starboard", grade="light"),
    )
    (part,) = off(facts)
    assert (part.item, part.side, part.tag, part.held_by) == ("aileron", "starboard", "P-0142", "6 bolts")
    assert part.stowage == Stowage(rack="3", shelf="top")
    assert part.condition == ("light corrosion",)
    assert part.questions == ()
    assert [move.what for move in part.moves] == ["remove", "tag", "store", "light corrosion"]


def test_both_sides_are_two_parts():
    assert [part.side for part in off(logged(done("remove", "rudder", "both")))] == ["port", "starboard"]


def test_removed_and_never_stowed_is_a_question_and_so_is_stowed_and_never_removed():
    lines = off(logged(done("remove", "rudder"), done("store", "battery", stowage=Stowage(pallet="4"))))
    assert "nobody said where it is kept" in lines[0].questions[0]
    assert "nobody said when it came off" in lines[1].questions[0]


def test_last_move_says_where_it_is_now_whatever_the_order_of_intake():
    early = logged(done("remove", "fin"), done("store", "fin", stowage=Stowage(rack="1")))
    late = logged(done("store", "fin", stowage=Stowage(stand="2")), day=1, entry="e-2")
    assert off(late + early) == off(early + late)
    assert off(late + early)[0].stowage == Stowage(stand="2")


def test_place_of_the_slings_does_not_make_two_parts_of_one_wing():
    ribs = (Place(scheme="rib", at="4"), Place(scheme="rib", at="10"))
    facts = logged(
        done("remove", "outer-wing", "port"),
        done("lift", "outer-wing", "port", place=ribs),
        done("store", "outer-wing", "port", place=ribs, stowage=Stowage(stand="4")),
    )
    assert [part.stowage for part in off(facts)] == [Stowage(stand="4")]
    assert off(facts[:2])[0].place is None


def test_ribs_of_the_same_name_at_other_places_are_other_parts():
    sixth, ninth = ((Place(scheme="rib", at=at),) for at in ("6", "9"))
    assert len(off(logged(done("remove", "nose-rib", place=sixth), done("remove", "nose-rib", place=ninth)))) == 2


def test_refitted_part_is_no_longer_stowed_and_asks_nothing():
    (part,) = off(logged(done("remove", "fuel-cock"), done("fit", "fuel-cock")))
    assert part.refitted_on == SATURDAY.date()
    assert (part.stowage, part.questions) == (None, ())


def test_fasteners_and_equipment_are_not_parts_off():
    assert off(logged(done("bag", "bolt", stowage=Stowage(bag="14")), done("move", "trestle"))) == ()


def test_part_that_was_only_looked_at_is_not_off():
    assert off(logged(Fact(status="seen", finding="sound", item="rib"))) == ()


def test_finding_keeps_its_size_place_and_photos():
    crack = Fact(
        status="seen",
        finding="crack",
        item="rib",
        place=(Place(scheme="rib", at="6"),),
        measure=(Measure(value=15, unit="mm"),),
    )
    (line,) = findings([LoggedFact(at=SATURDAY, entry="e", fact=crack, said="…", photos=("sha256:1",))])
    assert (line.finding, line.measure, line.place, line.photos) == (
        "crack",
        crack.measure,
        crack.place,
        ("sha256:1",),
    )


def test_plan_is_owed_until_it_is_done_on_that_side():
    plan = logged(Fact(status="planned", act="remove", item="flap", side="starboard"))
    assert [line.item for line in to_do(plan)] == ["flap"]
    assert to_do(plan + logged(done("remove", "flap", "port"), day=1)) != ()
    assert to_do(plan + logged(done("remove", "flap", "starboard"), day=1)) == ()
    assert to_do(plan + logged(done("remove", "flap", "both"), day=1)) == ()


def test_work_said_twice_to_be_owed_is_one_line_under_the_first_day():
    first = logged(Fact(status="not-done", act="clean", item="flap"))
    again = logged(Fact(status="planned", act="clean", item="flap"), day=1)
    (line,) = to_do(again + first)
    assert (line.status, line.said_on) == ("not-done", SATURDAY.date())
