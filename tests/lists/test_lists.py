"""What the facts add up to."""

from datetime import UTC, datetime, timedelta

from pipeline.lists.findings import findings
from pipeline.lists.logged import LoggedFact
from pipeline.lists.to_do import to_do
from pipeline.reading.fact import Fact, Measure, Place

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)


def logged(*facts, day=0, entry="e-1"):
    return [LoggedFact(at=SATURDAY + timedelta(days=day), entry=entry, fact=fact, said="…") for fact in facts]


def done(act, item, side=None, **more):
    return Fact(status="done", act=act, item=item, side=side, **more)


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
    first = logged(Fact(status="planned", act="clean", item="flap"))
    again = logged(Fact(status="not-done", act="clean", item="flap"), day=1)
    (line,) = to_do(again + first)
    assert (line.status, line.said_on, line.owed_since) == ("planned", SATURDAY.date(), None)
