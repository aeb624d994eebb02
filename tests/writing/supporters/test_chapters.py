from dataclasses import replace
from datetime import timedelta

from pipeline.writing.supporters.chapters import Chapter, biggest, chapters, is_bit, tellable
from pipeline.writing.supporters.steps import Step, named, steps
from tests.writing.a_weekend import SATURDAY, SUNDAY, fact, records, vocabulary


def _steps(*keys: dict[str, object]) -> tuple[Step, ...]:
    """Steps of facts that were told a minute apart on Saturday; "sunday" moves one to the next day."""
    entry = records().entries[0]
    told = []
    for index, one in enumerate(keys):
        day = SUNDAY if one.get("sunday") else SATURDAY
        own = {key: value for key, value in one.items() if key != "sunday"}
        told.append(
            (entry.model_copy(update={"id": f"e-{index}"}), fact("done", **own), day + timedelta(minutes=index))
        )
    return steps(told, vocabulary())


def _areas(found: tuple[Chapter, ...]) -> list[tuple[str, list[str]]]:
    return [(one.area, [step.item for step in one.steps]) for one in found]


def test_small_work_goes_with_the_big_part_that_came_off_next_on_that_day() -> None:
    found = _steps(
        dict(act="disconnect", item="control-cable"),
        dict(act="remove", item="outer-wing"),
        dict(act="undo", item="spigot", count=4, of="bolt", sunday=True),
        dict(act="remove", item="main-undercarriage", sunday=True),
        dict(act="disconnect", item="fuel-line", sunday=True),
    )
    assert _areas(chapters(found, vocabulary())) == [
        ("wing", ["control-cable", "outer-wing"]),
        ("gear", ["spigot", "main-undercarriage", "fuel-line"]),
    ]


def test_without_a_big_part_small_work_is_told_last() -> None:
    found = _steps(dict(act="clean", item="wheel-bay"), dict(act="tighten", item="fuel-line"))
    assert _areas(chapters(found, vocabulary())) == [("small", ["wheel-bay", "fuel-line"])]


def test_a_loose_word_for_a_part_is_not_told_as_a_second_part() -> None:
    found = _steps(dict(act="remove", item="outer-wing"), dict(act="remove", item="mainplane", side="starboard"))
    assert [step.item for step in tellable(found, frozenset(), vocabulary())] == ["outer-wing"]
    alone = _steps(dict(act="remove", item="mainplane", side="starboard"))
    assert [step.item for step in tellable(alone, frozenset({"outer-wing"}), vocabulary())] == []
    assert [step.item for step in tellable(alone, frozenset(), vocabulary())] == ["mainplane"]


def test_what_never_comes_off_is_not_said_to_have() -> None:
    found = _steps(
        dict(act="fit", item="spar-cap"), dict(act="remove", item="stringer"), dict(act="clean", item="skin")
    )
    assert [step.item for step in tellable(found, frozenset(), vocabulary())] == ["skin"]


def test_the_news_is_the_largest_part_that_more_than_one_fact_tells_of() -> None:
    told = _steps(
        dict(act="remove", item="mainplane", side="starboard"),
        dict(act="remove", item="outer-wing", side="port"),
        dict(act="store", item="outer-wing", side="port"),
        dict(act="remove", item="aileron", side="port", count=2, of="person"),
    )
    news = biggest(told, vocabulary())
    assert news is not None and news.item == "outer-wing"
    assert biggest(_steps(dict(act="clean", item="skin")), vocabulary()) is None


def test_a_count_that_is_told_again_is_not_added() -> None:
    found = _steps(
        dict(act="undo", item="wing-joint", side="port", count=8, of="bolt"),
        dict(act="undo", item="wing-joint", side="port", count=8, of="bolt"),
        dict(act="undo", item="wing-joint", side="starboard", count=8, of="bolt"),
    )
    assert found[0].counts == (("bolt", 16),)


def test_sides_are_kept_in_the_order_told_and_people_are_the_most_of_any() -> None:
    (step,) = _steps(
        dict(act="remove", item="main-undercarriage", side="starboard", count=4, of="person"),
        dict(act="remove", item="main-undercarriage", side="port", count=5, of="person"),
    )
    assert step.in_turn == ("starboard", "port") and step.people == 5
    assert named(step, vocabulary()) == "both main undercarriages"


def test_parts_that_are_counted_are_named_by_their_number_and_none_is_both_of_many() -> None:
    (two,) = _steps(dict(act="disconnect", item="control-cable", count=2, of="control-cable"))
    assert named(two, vocabulary()) == "two control cables"
    (many,) = _steps(
        dict(act="disconnect", item="hydraulic-line", side="port", count=2, of="hydraulic-line"),
        dict(act="disconnect", item="hydraulic-line", side="starboard", count=2, of="hydraulic-line"),
    )
    assert named(many, vocabulary()) == "the hydraulic lines"
    (middle,) = _steps(dict(act="support", item="centre-section", side="both"))
    assert named(middle, vocabulary()) == "the centre section"


def test_hinges_and_brackets_are_no_news() -> None:
    assert is_bit("aileron-hinge", vocabulary()) and is_bit("bracket", vocabulary()) and is_bit("bolt", vocabulary())
    assert not is_bit("aileron", vocabulary()) and not is_bit("brake-unit", vocabulary())


def test_work_of_the_day_before_leads_to_the_big_part_of_the_next_day() -> None:
    found = _steps(dict(act="disconnect", item="control-cable"), dict(act="remove", item="outer-wing", sunday=True))
    assert _areas(chapters(found, vocabulary())) == [("wing", ["control-cable", "outer-wing"])]


def test_a_part_that_was_named_in_the_plural_is_told_in_the_plural() -> None:
    entry = records().entries[0]
    told = [(entry, fact("done", "all the flap jacks are off", act="remove", item="flap-jack"), SATURDAY)]
    (step,) = steps(told, vocabulary())
    assert named(step, vocabulary()) == "the flap jacks"


def test_what_is_told_in_one_breath_with_two_big_parts_goes_with_the_next_or_else_the_last() -> None:
    wing, gear, line = (
        replace(one, at=SATURDAY)
        for one in _steps(
            dict(act="fit", item="outer-wing"),
            dict(act="fit", item="main-undercarriage"),
            dict(act="connect", item="fuel-line"),
        )
    )
    behind = _areas(chapters([wing, gear, line], vocabulary()))
    assert behind == [("wing", ["outer-wing"]), ("gear", ["main-undercarriage", "fuel-line"])]
    between = _areas(chapters([gear, line, wing], vocabulary()))
    assert between == [("gear", ["main-undercarriage"]), ("wing", ["fuel-line", "outer-wing"])]
