"""The check sheets, the drawing and the answer on the command line."""

import re
from datetime import UTC, datetime, timedelta
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

import pytest
from typer.testing import CliRunner

from pipeline.book import vocabulary_folders
from pipeline.command_line import app
from pipeline.errors import WrongCommand
from pipeline.lists.logged import LoggedFact
from pipeline.lists.way_back import way_back
from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import BookRecord, EntryRecord, Held, HoldPoint, Lists, Records, WayBackStep
from pipeline.writing.records_file import records_json
from pipeline.writing.way_back_answer import side_called, way_back_answer
from pipeline.writing.way_back_page import way_back_files
from pipeline.writing.way_back_words import assembly_text, by_assembly, notes_of
from tests.writing.reading_pages import read_page
from tests.writing.test_day_pages import HOSTILE

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
LONDON = ZoneInfo("Europe/London")
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return load_vocabulary(vocabulary_folders(""))


def _done(hour: int, act: str, item: str, side: str | None = None, **more: object) -> LoggedFact:
    fact = Fact.model_validate({"status": "done", "act": act, "item": item, "side": side, **more})
    return LoggedFact(at=SATURDAY + timedelta(hours=hour), entry=f"e-{hour}", fact=fact, said="…")


def _tail() -> list[LoggedFact]:
    return [
        _done(1, "disconnect", "rudder-control-rod"),
        _done(2, "remove", "rudder", count=4, of="bolt"),
        _done(2, "store", "rudder", stowage=Stowage(rack="3")),
        _done(3, "remove", "fin"),
        _done(4, "remove", "elevator", "both"),
        _done(5, "remove", "tailplane"),
        _done(30, "remove", "outer-wing", "port"),
        _done(31, "fit", "tailplane"),
    ]


def _records(facts: list[LoggedFact], vocabulary: Vocabulary, aircraft: str = "Crew Trainer") -> Records:
    entries = {one.entry: one.at for one in facts}
    return Records(
        book=BookRecord(
            title="T", aircraft=aircraft, zone="Europe/London", program="saidseen 0", model="", vocabulary=""
        ),
        entries=tuple(
            EntryRecord(id=one, at=at, media="sha256:" + "0" * 64, start_s=0, end_s=1, utterances=())
            for one, at in entries.items()
        ),
        lists=Lists(way_back=way_back(facts, vocabulary)),
    )


def test_every_step_and_hold_point_stands_once_on_the_sheets_and_every_number_leads_to_its_line(vocabulary):
    records = _records(_tail(), vocabulary)
    page = read_page(way_back_files(records, vocabulary, LONDON)["way-back.html"])
    ids = [one.attributes["id"] for one in page.everything() if "id" in one.attributes]
    assert len(ids) == len(set(ids))
    assert set(records.lists.way_back.order) <= set(ids)
    for link in page.all("a"):
        href = link.attributes["href"]
        assert href[0] != "#" or href[1:] in ids
    assert "logbook/2026-02-14.html#e-1" in {one.attributes["href"] for one in page.all("a")}


def test_box_is_there_for_each_step_that_is_left_and_none_for_what_is_done(vocabulary):
    way = _records(_tail(), vocabulary).lists.way_back
    page = read_page(way_back_files(_records(_tail(), vocabulary), vocabulary, LONDON)["way-back.html"])
    assert len(page.all("input")) == sum(one.done_on is None for one in way.steps)
    (done,) = [one for one in page.all("li") if one.attributes.get("id") == "fit-tailplane"]
    assert "Told as fitted on 15 Feb 2026" in done.text
    assert not done.all("input")


def test_hold_point_has_lines_to_sign_and_never_reads_as_done(vocabulary):
    page = read_page(way_back_files(_records(_tail(), vocabulary), vocabulary, LONDON)["way-back.html"])
    holds = [one for one in page.all("li") if one.attributes.get("class") == "hold"]
    assert len(holds) == len(_records(_tail(), vocabulary).lists.way_back.hold_points)
    assert page.text.count("To be inspected by a person who is authorised.") == 1
    for hold in holds:
        assert {"Name", "Signature", "Date"} <= {one.text for one in hold.all("dt")}
        assert all(one.text == "" for one in hold.all("dd"))
        assert not hold.all("input")


def test_what_a_kind_of_hold_point_is_for_is_told_once_and_not_at_each(vocabulary):
    records = _records(_tail(), vocabulary)
    page = read_page(way_back_files(records, vocabulary, LONDON)["way-back.html"])
    (kinds,) = [one for one in page.all("dl") if one.attributes.get("class") == "kinds"]
    points = records.lists.way_back.hold_points
    assert len(points) > len({one.name for one in points})
    assert [one.text for one in kinds.all("dt")] == list(dict.fromkeys(one.name for one in _in_order(records)))
    for one in points:
        assert page.text.count(one.why) == kinds.text.count(one.why) == 1
    assert "no source" not in page.text.replace("names no source", "")


def _in_order(records: Records) -> list[HoldPoint]:
    way = records.lists.way_back
    return sorted(way.hold_points, key=lambda one: way.order.index(one.id))


def test_that_parts_are_in_place_before_they_are_tightened_is_said_once_above_the_sheets(vocabulary):
    facts = [_done(1, "remove", "tailplane", count=4, of="bolt")]
    page = read_page(way_back_files(_records(facts, vocabulary), vocabulary, LONDON)["way-back.html"])
    (secure,) = [one for one in page.all("li") if one.attributes.get("id") == "secure-tailplane"]
    assert page.text.count("once they are in place") == 1
    assert "After 1." in secure.text and "in place" not in secure.text


def test_what_comes_first_for_one_reason_is_told_together(vocabulary):
    facts = [_done(1, "remove", "propeller", count=8, of="bolt"),
             _done(2, "remove", "magneto", "both", count=3, of="bolt")]  # fmt: skip
    page = read_page(way_back_files(_records(facts, vocabulary), vocabulary, LONDON)["way-back.html"])
    (propeller,) = [one for one in page.all("li") if one.attributes.get("id") == "fit-propeller"]
    assert "After 2, 5: What hangs on a part is off" in propeller.text
    for line in page.all("li"):
        told = [
            one.text.partition(": ")[2] for one in line.all("p") if one.text.startswith("After ") and ":" in one.text
        ]
        assert len(told) == len(set(told)), line.text


def test_parts_of_both_sides_of_one_engine_make_no_two_engines(vocabulary):
    magnetos = [_done(1, "remove", "magneto", "both")]
    assert _titles(magnetos, vocabulary) == ["Engine"]
    engines = [_done(1, "remove", "magneto", "both"), _done(2, "remove", "engine", "both")]
    assert {"Port engine", "Starboard engine"} <= set(_titles(engines, vocabulary))
    tail = [_done(1, "remove", "elevator", "both")]
    assert {"Port tailplane", "Starboard tailplane"} == set(_titles(tail, vocabulary))


def test_each_of_four_engines_has_its_sheet(vocabulary):
    def said(hour, item, side, words):
        return _done(hour, "remove", item, side).model_copy(update={"said": words, "around": words})

    told = [
        said(1, "engine", None, "Number one engine is off."),
        said(2, "magneto", None, "The magneto of number three engine is off."),
        said(3, "engine", "starboard", "The starboard outer engine is off."),
    ]
    titles = _titles(told, vocabulary)
    assert {"Number 1 engine", "Number 3 engine", "Starboard outer engine"} <= set(titles)
    page = read_page(way_back_files(_records(told, vocabulary), vocabulary, LONDON)["way-back.html"])
    ids = {one.attributes.get("id") for one in page.all("h2")}
    assert "sheet-engine-number-1" in ids and "sheet-engine-starboard-outer" in ids


def _titles(facts: list[LoggedFact], vocabulary: Vocabulary) -> list[str]:
    way = _records(facts, vocabulary).lists.way_back
    return [assembly_text(one, vocabulary) for one, _ in by_assembly(way, vocabulary)]


def test_circle_is_told_with_its_reasons_and_what_was_left_out(vocabulary):
    facts = [_done(1, "remove", "fin"), _done(2, "remove", "rudder")]
    text = way_back_files(_records(facts, vocabulary), vocabulary, LONDON)["way-back.html"]
    page = read_page(text)
    (out,) = [one for one in page.all("li") if one.attributes.get("class") == "out"]
    assert out.text.startswith("Fit the fin, then fit the rudder. The rudder hangs on the fin.")
    assert out.text.endswith("Left out.")


def test_page_of_a_book_where_nothing_came_off_says_so(vocabulary):
    files = way_back_files(_records([], vocabulary), vocabulary, LONDON)
    assert "Nothing has come off yet" in files["way-back.html"]
    assert "Nothing has come off yet" in files["way-back.svg"]


def test_drawing_has_a_box_for_each_step_none_over_another_and_lines_lead_down(vocabulary):
    records = _records(_tail(), vocabulary)
    root = ElementTree.fromstring(way_back_files(records, vocabulary, LONDON)["way-back.svg"])
    assert root.find(f"{SVG}title") is not None and root.find(f"{SVG}desc") is not None
    width, height = float(root.attrib["width"]), float(root.attrib["height"])
    hrefs = [one.attrib["href"] for one in root.iter(f"{SVG}a")]
    assert sorted(hrefs) == sorted(f"way-back.html#{one}" for one in records.lists.way_back.order)
    for part in root.findall(f".//{SVG}g[@role='group']"):
        boxes = [_box(one) for one in part.findall(f"{SVG}g")]
        top = float(re.findall(r"[\d.]+", part.attrib["transform"])[1])
        for at, (x, y, wide, high) in enumerate(boxes):
            assert x >= 0 and x + wide <= width and top + y + high <= height
            for other in boxes[at + 1 :]:
                apart = x + wide <= other[0] or other[0] + other[2] <= x
                assert apart or y + high <= other[1] or other[1] + other[3] <= y
        for path in part.findall(f"{SVG}path[@class='way']"):
            start = re.match(r"M[\d.-]+ ([\d.]+)", path.attrib["d"])
            end = re.search(r"([\d.]+)$", path.attrib["d"])
            assert start and end and float(start[1]) < float(end[1])


def _box(group: ElementTree.Element) -> tuple[float, float, float, float]:
    x, y = map(float, re.findall(r"-?[\d.]+", group.attrib["transform"]))
    box = group.find(f"{SVG}a/{SVG}rect")
    assert box is not None
    return x, y, float(box.attrib["width"]), float(box.attrib["height"])


def test_hostile_names_stay_text(vocabulary):
    facts = [_done(1, "tag", "rudder", tag=HOSTILE), _done(2, "remove", "rudder")]
    files = way_back_files(_records(facts, vocabulary, HOSTILE), vocabulary, LONDON)
    assert not read_page(files["way-back.html"]).all("script")
    assert not read_page(files["way-back.html"]).all("img")
    ElementTree.fromstring(files["way-back.svg"])


def test_answer_names_what_comes_first_with_hold_points_and_where_it_is_kept(vocabulary):
    way = _records(_tail(), vocabulary).lists.way_back
    answer = way_back_answer(way, vocabulary, "rudder", None)
    assert answer[0] == "Before you fit the rudder:"
    assert "  Fit the fin. Nobody said where it is kept." in answer
    assert any(one.startswith("  HOLD POINT  Torque and locking check: the fin.") for one in answer)
    assert "Then: Fit the rudder. Kept on rack 3." in answer
    assert not any(one.startswith("  Fit the tailplane") for one in answer)


def test_answer_says_when_nothing_stands_in_the_way_or_it_is_on_or_was_never_off(vocabulary):
    way = _records(_tail(), vocabulary).lists.way_back
    assert "nothing stands in the way" in way_back_answer(way, vocabulary, "port outer wing", None)[0]
    assert "it is on already" in way_back_answer(way, vocabulary, "tailplane", None)[0]
    assert "Nobody said that the propeller came off" in way_back_answer(way, vocabulary, "airscrew", None)[0]
    (line,) = way_back_answer(way, vocabulary, "outer wing", side_called("right"))
    assert line.startswith("Nobody said that the starboard outer wing came off")


def test_part_that_is_on_but_not_locked_says_what_is_still_to_do(vocabulary):
    way = _records(_tail(), vocabulary).lists.way_back
    assert "After it: Tighten and lock the tailplane." in way_back_answer(way, vocabulary, "tailplane", None)


def test_unknown_name_is_refused_with_near_names(vocabulary):
    way = _records(_tail(), vocabulary).lists.way_back
    with pytest.raises(WrongCommand, match=r"No part is called 'ruder'. Near names: .*rudder"):
        way_back_answer(way, vocabulary, "ruder", None)
    with pytest.raises(WrongCommand, match="Say port or starboard"):
        side_called("upwards")


def test_command_prints_the_answer(vocabulary, tmp_path):
    book = tmp_path / "book"
    run = CliRunner()
    assert run.invoke(app, ["new", str(book)]).exit_code == 0
    asked = ["way-back", str(book), "the", "rudder"]
    assert run.invoke(app, asked).exit_code == 2
    (book / "out").mkdir()
    (book / "out" / "records.json").write_bytes(records_json(_records(_tail(), vocabulary)))
    result = run.invoke(app, asked)
    assert result.exit_code == 0
    assert result.stdout.startswith("Before you fit the rudder:")
    assert result.stdout.endswith("check it against the aircraft's manuals.\n")


def test_answer_tells_what_is_connected_once_the_part_is_on_and_what_may_belong_to_it(vocabulary):
    facts = [
        _done(1, "disconnect", "fuel-line", "port"),
        _done(2, "disconnect", "control-rod", "port"),
        _done(3, "disconnect", "control-rod", "starboard"),
        _done(4, "undo", "engine-mount"),
        _done(5, "remove", "engine", "port"),
    ]
    answer = way_back_answer(_records(facts, vocabulary).lists.way_back, vocabulary, "port engine", None)
    assert any(one.startswith("After it: Connect the port fuel line at the engine mount.") for one in answer)
    assert "Disconnected on the same day, and nobody said for what: Connect the port control rod." in answer
    assert not any("starboard control rod" in one for one in answer)


def test_service_that_the_register_holds_open_is_not_on_already(vocabulary):
    facts = [
        _done(1, "disconnect", "control-cable", "both"),
        _done(2, "disconnect", "control-cable"),
        _done(30, "connect", "control-cable"),
    ]
    way = way_back(facts, vocabulary)
    lines = [one for one in way.steps if one.item == "control-cable"]
    assert [(one.done_on, one.questions) for one in lines] == [(None, ("which-connected",))] * 3
    answer = "\n".join(way_back_answer(way, vocabulary, "control cable", None))
    assert "on already" not in answer
    assert answer.count("nobody can tell which. Look at it.") == 3


def test_engine_is_asked_for_by_its_position_and_a_control_by_its_own_name(vocabulary):
    def off(hour: int, where: str) -> LoggedFact:
        words = f"The starboard {where} engine is off"
        return _done(hour, "remove", "engine", "starboard").model_copy(update={"said": words, "around": words})

    rods = _done(3, "disconnect", "engine-control-rod").model_copy(
        update={"around": "The throttle rod and the mixture rod are disconnected", "said": "throttle rod"}
    )
    way = way_back([off(1, "outer"), off(2, "inner"), rods], vocabulary)
    outer = way_back_answer(way, vocabulary, "the starboard outer engine", None)
    assert [line for line in outer if "starboard inner engine:" in line] == []
    assert any("the starboard outer engine" in line.lower() for line in outer)
    mixture = "\n".join(way_back_answer(way, vocabulary, "mixture rod", None))
    assert "onnect the mixture rod" in mixture
    assert "throttle rod" not in mixture
    assert "the port outer engine came off" in way_back_answer(way, vocabulary, "port outer engine", None)[0]


def test_fasteners_of_one_kind_at_two_spars_are_added_up(vocabulary: Vocabulary) -> None:
    eight = Held(of="split-pin", count=8, told="usual")
    held = (eight, Held(of="bolt", count=4, told="undone"), eight)
    step = WayBackStep(id="s-1", act="secure", item="wing-joint", held=held)
    assert "16 split pins (list for the type) and 4 bolts." in notes_of(step, vocabulary)


def test_a_joint_that_nobody_said_is_marked_as_the_usual_one(vocabulary: Vocabulary) -> None:
    usual = WayBackStep(id="s-1", act="connect", item="control-cable", joint="cowl-gill")
    assert "Where it was parted was not said: at the cowl gill is usual." in notes_of(usual, vocabulary)
    told = usual.model_copy(update={"parted_at": "cowl gill"})
    assert notes_of(told, vocabulary) == () == notes_of(usual.model_copy(update={"joint": None}), vocabulary)
