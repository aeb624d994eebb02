"""Fasteners, disconnections, findings and owed work, as spreadsheets and on the page of registers."""

import csv
import io
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path

import pytest

from pipeline.lists.bags import bags_emptied
from pipeline.lists.disconnections import disconnections
from pipeline.lists.fasteners import fasteners
from pipeline.lists.findings import findings
from pipeline.lists.logged import LoggedFact
from pipeline.lists.parts_off import parts_off
from pipeline.lists.to_do import to_do
from pipeline.reading.fact import Fact, Measure, Place, Stowage
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import BookRecord, FastenerLine, LineQuestion, Lists, Records, ToDo
from pipeline.writing import standing_wording as words
from pipeline.writing.entry_links import Link
from pipeline.writing.register_page import registers_page
from pipeline.writing.registers import register_files
from tests.writing.reading_pages import read_page

OCTOBER = datetime(2025, 10, 4, 10, tzinfo=UTC)
VOCAB = Path(__file__).parents[2] / "vocab"
FRAME_15 = (Place(scheme="frame", at="15"),)


@cache
def vocabulary() -> Vocabulary:
    return load_vocabulary((VOCAB / "base", VOCAB / "crew-trainer"))


def logged(day: int, *facts: Fact, around: str = "") -> list[LoggedFact]:
    at = OCTOBER + timedelta(days=day)
    return [LoggedFact(at=at, entry=f"e-{day}", fact=one, said="=SUM(A1)", around=around) for one in facts]


def done(act: str, item: str, side: str | None = None, **more: object) -> Fact:
    return Fact.model_validate({"status": "done", "act": act, "item": item, "side": side, **more})


def seen(finding: str, item: str, side: str | None = None, **more: object) -> Fact:
    return Fact.model_validate({"status": "seen", "finding": finding, "item": item, "side": side, **more})


def mm(value: float) -> tuple[Measure, ...]:
    return (Measure(value=value, unit="mm"),)


def a_winter() -> list[LoggedFact]:
    return [
        *logged(
            0,
            done("undo", "wing-joint", "port", count=14, of="bolt"),
            done("drill-out", "wing-joint", "port", count=1, of="bolt"),
            done("bag", "bolt", "port", count=12, of="bolt", stowage=Stowage(bag="14")),
            done("disconnect", "control-cable", "port"),
            done("disconnect", "fuel-line", "port"),
            around="undone with AN4-12A bolts",
        ),
        *logged(
            1,
            seen("crack", "longeron", "port", place=FRAME_15, measure=mm(15)),
            seen("corrosion", "fin", grade="heavy"),
            seen("crack", "joint-fitting", "port", absent=True),
            Fact(status="planned", act="repair", item="longeron", side="port", place=FRAME_15),
            Fact(status="planned", act="paint", item="longeron", side="port"),
            done("bag", "screw", stowage=Stowage(bag="27")),
        ),
        *logged(30, seen("crack", "longeron", "port", place=FRAME_15, measure=mm(18)), done("treat", "fin")),
    ]


def a_book(facts: list[LoggedFact]) -> Records:
    book = BookRecord(title="t", aircraft="crew trainer", zone="UTC", program="p", model="m", vocabulary="v")
    return Records(
        book=book,
        lists=Lists(
            fasteners=fasteners(facts, vocabulary()),
            disconnections=disconnections(facts, vocabulary()),
            findings=findings(facts, vocabulary()),
            to_do=to_do(facts, vocabulary()),
        ),
    )


def rows(name: str, facts: list[LoggedFact]) -> list[dict[str, str]]:
    content = register_files(a_book(facts), vocabulary())[f"registers/{name}.csv"]
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def page(facts: list[LoggedFact]) -> str:
    entries = {one.entry: Link(f"day.html#{one.entry}", one.entry) for one in facts}
    return registers_page(a_book(facts), vocabulary(), entries)


def test_fasteners_can_be_added_up_in_a_spreadsheet() -> None:
    joint, adrift = rows("fasteners", a_winter())
    assert [joint[one] for one in ("joint", "side", "fastener", "expected", "expected from")] == [
        "wing joint", "port", "bolt", "16", "list for the type",
    ]  # fmt: skip
    assert [joint[one] for one in ("undone", "drilled out", "bagged", "bags", "not undone", "not bagged")] == [
        "14", "1", "12", "14", "1", "2",
    ]  # fmt: skip
    assert joint["part numbers"] == "AN4-12A"
    assert joint["questions"] == "Undone and not said to be bagged: 2 of 14 bolts."
    assert adrift["questions"] == "Bag 27 holds screws of a joint that nobody undid."
    assert (joint["entries"], adrift["entries"]) == ("e-0", "e-1")


def test_disconnections_tell_where_what_is_open_and_what_is_inspected_again() -> None:
    cable, fuel = rows("disconnections", a_winter())
    assert [cable[one] for one in ("service", "at", "where from", "parted on")] == [
        "control cable", "wing joint", "told in the same entry", "2025-10-04",
    ]  # fmt: skip
    assert cable["second inspection usual"] == "after reconnecting: flight controls"
    assert (fuel["should be blanked"], fuel["blanked on"], fuel["second inspection usual"]) == ("yes", "", "")
    assert fuel["questions"].startswith("It was opened on 4 October 2025, and nobody said that it was blanked.")


def test_findings_tell_their_history_the_worst_and_what_was_done() -> None:
    told = {line["part"]: line for line in rows("findings", a_winter())}
    crack, fin = told["longeron"], told["fin"]
    assert crack["history"] == "2025-10-05: 15 mm; 2025-11-03: 18 mm"
    assert crack["worst"] == "2025-11-03: 18 mm"
    assert (crack["seen on"], crack["first told on"], crack["planned"]) == (
        "2025-11-03",
        "2025-10-05",
        "repair; paint",
    )
    assert (fin["done since"], fin["published grade"].split(":")[0]) == ("treated 2025-11-03", "severe")
    assert told["joint fitting"]["present"] == "no"
    assert set(crack["entries"].split()) == {"e-1", "e-30"}


def test_owed_work_tells_its_age_and_what_it_waits_for() -> None:
    repair, paint = rows("to-do", a_winter())
    assert (repair["age in days"], repair["waits for"]) == ("29", "")
    assert paint["waits for"] == "repair the port longeron (owed before)"


@pytest.mark.parametrize("name", ["fasteners", "disconnections", "findings", "to-do"])
def test_no_cell_starts_a_formula_and_every_row_is_as_long_as_the_header(name: str) -> None:
    content = register_files(a_book(a_winter()), vocabulary())[f"registers/{name}.csv"]
    assert content.startswith(b"\xef\xbb\xbf") and content.endswith(b"\r\n")
    header, *lines = csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""))
    assert lines
    for line in lines:
        assert len(line) == len(header)
        assert not any(one.startswith(("=", "+", "-", "@", "\t", "\r")) for one in line)


def test_page_has_every_line_with_its_entries_and_its_questions() -> None:
    html = page(a_winter())
    lists = a_book(a_winter()).lists
    told = read_page(html).all("tr")
    lines = [row for row in told if row.all("td")]
    count = sum(map(len, (lists.fasteners, lists.disconnections, lists.findings, lists.to_do)))
    assert len(lines) == count
    assert all(row.all("a") for row in lines)
    text = read_page(html).text
    assert "Bag 27 holds screws of a joint that nobody undid." in text
    assert "nobody said that it was blanked" in text
    assert "published guidance says “severe”" in text


def test_findings_stand_under_their_zone_and_place_along_the_aircraft() -> None:
    html = page(a_winter())
    groups = [one.text for one in read_page(html).all("th") if one.attributes.get("class") == "group"]
    assert groups == ["Tail", "Wings", "Frame 15"]


def test_heading_of_findings_names_a_place_as_a_line_does() -> None:
    spar, ribs = (Place(scheme="spar", at="front"),), (Place(scheme="rib", at="1-7"),)
    html = page(logged(0, seen("crack", "bracket", place=spar), seen("sound", "rib", place=ribs)))
    groups = [one.text for one in read_page(html).all("th") if one.attributes.get("class") == "group"]
    assert sorted(groups) == ["Front spar", "Ribs 1 to 7"]


def test_a_finding_told_both_ways_in_one_breath_is_asked_about() -> None:
    asked = LineQuestion(kind="there-and-not-there", days=(date(2026, 2, 16),))
    told = "On 16 February 2026 it was said to be there and not to be there. Which is it?"
    assert words.question_text(asked) == told


def test_a_finding_that_was_seen_again_after_work_on_it_is_asked_about() -> None:
    asked = LineQuestion(kind="seen-again-since", days=(date(2026, 3, 5), date(2026, 4, 2)))
    told = "Work on it was told on 5 March 2026, and it was seen again on 2 April 2026. Is it still there?"
    assert words.question_text(asked) == told


def test_what_was_found_broken_and_put_back_is_asked_about() -> None:
    asked = LineQuestion(kind="put-back-not-mended", days=(date(2026, 3, 5),))
    told = "It was put back on 5 March 2026; nobody said that it was mended, or that it is another one."
    assert words.question_text(asked) == told


def test_what_held_nothing_that_was_told_is_asked_about_in_one_and_in_several() -> None:
    asked = LineQuestion(kind="joint-not-told")
    assert words.question_text(asked, "locking wire") == "Nobody said what is held by the locking wire."
    assert words.question_text(asked, "bolts") == "Nobody said what is held by the bolts."


def test_of_one_fastener_a_question_is_asked_in_the_singular() -> None:
    line = FastenerLine(item="rudder", of="nut")
    for number, told in ((1, "1 of 1 nut."), (2, "2 of 2 nuts.")):
        asked = LineQuestion(kind="not-bagged", numbers=(number, number))
        assert words.fasteners_question(asked, line, vocabulary()) == f"Undone and not said to be bagged: {told}"
    more = LineQuestion(kind="more-bagged-than-undone", numbers=(3, 1))
    assert words.fasteners_question(more, line, vocabulary()) == "Bagged: 3 nuts; said to be undone: only 1."


def test_page_claims_no_inspection_and_no_verdict() -> None:
    text = read_page(page(a_winter())).text
    assert "This page does not say that one was made" in text
    assert "not a verdict" in text


def test_hostile_words_stay_words() -> None:
    facts = logged(0, done("blank", "fuel-line"), around='capped with <script>alert("x")</script> bung')
    assert "<script>" not in page(facts).replace('<script src="', "")


def test_every_question_of_the_lists_has_words() -> None:
    kinds = {
        one.kind
        for lines in (a_book(a_winter()).lists.fasteners, a_book(a_winter()).lists.disconnections)
        for line in lines
        for one in line.questions
    }
    assert kinds and kinds <= set(words.QUESTIONS)
    for kind in words.QUESTIONS:
        question = LineQuestion(kind=kind, numbers=(3, 8), bags=("4",), days=(date(2026, 2, 14), date(2026, 2, 15)))
        text = words.question_text(question, "bolts")
        assert text.endswith((".", "?")) and "{" not in text


def test_numbers_say_when_they_are_not_whole() -> None:
    line = fasteners(
        logged(
            0,
            done("undo", "transport-joint", count=110, of="nut-and-bolt", about=True),
            done("undo", "transport-joint"),
        ),
        vocabulary(),
    )[0]
    assert words.number_text(line, "undone") == "about 110 and more"
    assert words.expected_text(line) == "about 240, list for the type"
    assert words.difference_text(line) == ""


def test_nobody_is_told_of_bags_of_what_is_back_in() -> None:
    off, on = done("undo", "canopy", count=4, of="bolt"), done("fit", "canopy", count=4, of="bolt")
    (out,) = fasteners(logged(0, off), vocabulary())
    assert words.difference_text(out) == "4 not bagged"
    (back,) = fasteners([*logged(0, off), *logged(1, on)], vocabulary())
    assert words.difference_text(back) == ""


def test_bag_tells_what_was_put_in_and_what_is_there_now() -> None:
    facts = logged(0, done("bag", "screw", count=12, of="screw", stowage=Stowage(bag="3")))
    left = "Three are back in, and nine are left in bag three."
    facts += logged(21, done("bag", "screw", count=9, of="screw", stowage=Stowage(bag="3")), around=left)
    (row,) = rows("fasteners", facts)
    assert [row[one] for one in ("bagged", "bags", "in the bags now")] == ["12", "3", "9"]
    (line,) = fasteners(facts, vocabulary())
    assert words.bagged_text(line) == "12, bag 3; 9 there on 25 October 2025"
    empty = bags_emptied([("e-48", OCTOBER + timedelta(days=48), "Bag three is empty now.")])
    (line,) = fasteners(facts, vocabulary(), empty)
    assert words.bagged_text(line) == "12, bag 3; empty on 21 November 2025"
    assert words.entries_of(line.moves) == ("e-0", "e-21", "e-48")


def test_finding_on_a_part_that_was_replaced_says_so_and_one_of_many_is_asked_about() -> None:
    facts = logged(0, seen("chafing", "brake-unit", "port"), seen("loose", "turnbuckle", "starboard"))
    new = "Fitted a new brake unit on the port side and locked the turnbuckles."
    fit, lock = done("fit", "brake-unit", "port"), done("lock", "turnbuckle")
    facts += [one.model_copy(update={"said": "Fitted a new brake unit"}) for one in logged(7, fit, lock, around=new)]
    by_part = {row["part"]: row for row in rows("findings", facts)}
    assert by_part["brake unit"]["done since"] == "replaced 2025-10-11"
    assert by_part["turnbuckle"]["done since"] == "nobody yet"
    assert by_part["turnbuckle"]["questions"] == (
        "On 11 October 2025 work was told of on one of that name, but not on which. Was it this one?"
    )


def test_page_tells_the_old_one_of_a_swap_from_the_new_one() -> None:
    told = "Taken the old compass out and fitted a new one."
    facts = logged(0, done("remove", "compass"), done("fit", "compass"), around=told)
    facts = [facts[0], facts[1].model_copy(update={"said": "fitted a new one"})]
    book = a_book([]).model_copy(update={"lists": Lists(parts_off=parts_off(facts, vocabulary()))})
    rows_ = [row.text for row in read_page(registers_page(book, vocabulary(), {})).all("tr")]
    (old,) = [row for row in rows_ if "Compass (the old one)" in row]
    assert "replaced 4 Oct 2025" in old
    (new,) = [row for row in rows_ if "Compass (the new one)" in row]
    assert "4 Oct 2025" in new


def test_of_what_was_seen_very_often_the_page_shows_the_last_tellings_and_how_many_more_there_are():
    often = [one for day in range(20) for one in logged(day, seen("crack", "fin", "port", measure=mm(day + 1)))]
    page = registers_page(
        a_book(often),
        vocabulary(),
        {},
    )
    assert "7 earlier; " in page
    assert "8 mm" in page
    assert "7 mm" not in page.replace("17 mm", "")


def test_brakes_that_are_still_to_be_bled_are_not_to_be_drained() -> None:
    owed = ToDo(said_on=date(2026, 2, 14), status="planned", act="drain", item="brake-unit", entry="e-1",
                words="Nobody's bled the brakes yet.")  # fmt: skip
    assert words.work_text(owed, vocabulary()).startswith("Bleed the brake")
    down = owed.model_copy(update={"words": "Bleed the system down first."})
    assert words.work_text(down, vocabulary()).startswith("Drain the brake")
