"""The page of what is to be settled: all that asks is on it once, the most pressing first, with its entries."""

from datetime import date

from pipeline.records import (
    Caution,
    DisconnectionLine,
    FastenerLine,
    LineQuestion,
    Lists,
    Move,
    PartOff,
    Question,
    Records,
    UnplacedPhoto,
)
from pipeline.values import Clock, TimeSource
from pipeline.writing.matters import Matter, matters
from pipeline.writing.to_settle import groups_to_settle, to_settle_page
from tests.writing.a_weekend import looked_at, records, settings, vocabulary
from tests.writing.reading_pages import Element, read_page
from tests.writing.test_day_pages import _hostile


def _page(book: Records) -> Element:
    return read_page(to_settle_page(book, vocabulary(), settings().zone))


def _rows(page: Element) -> list[Element]:
    return [one for one in page.all("li") if one.attributes.get("class") == "matter"]


def _doubtful(book: Records) -> Records:
    """The facts of one entry are all to be checked, one caution is not answered, and only parts off ask questions."""
    first = book.entries[1]
    facts = tuple(fact.model_copy(update={"check": ("it may be starboard instead",)}) for fact in first.facts)
    doubted = first.model_copy(update={"facts": facts})
    return book.model_copy(
        update={
            "entries": (book.entries[0], doubted, *book.entries[2:]),
            "cautions": (Caution(rule="hold-up", text="Check what holds it.", entries=(first.id,), item="aileron"),),
            "lists": Lists(parts_off=book.lists.parts_off),
        }
    )


def test_questions_cautions_and_facts_to_check_are_each_one_row_with_a_box_and_a_line() -> None:
    book = _doubtful(records())
    rows = _rows(_page(book))
    asked = sum(len(part.questions) for part in book.lists.parts_off)
    doubts = sum(bool(fact.check) for entry in book.entries for fact in entry.facts)
    assert doubts
    assert len(rows) == asked + len(book.cautions) + doubts
    for row in rows:
        (box,) = row.all("input")
        (label,) = row.all("label")
        assert box.attributes["type"] == "checkbox"
        assert label.attributes["for"] == box.attributes["id"]
        assert [one for one in row.all("div") if one.attributes.get("class") == "write"]


def test_each_row_leads_to_its_entries() -> None:
    book = _doubtful(records())
    days = {entry.id: entry.at.astimezone(settings().zone).date() for entry in book.entries}
    rows = _rows(_page(book))
    for matter in matters(book, vocabulary()):
        (row,) = [one for one in rows if " ".join(matter.text.split()) in one.text]
        hrefs = [link.attributes["href"] for link in row.all("a")]
        assert hrefs == [f"logbook/{days[one]}.html#{one}" for one in matter.entries]


def test_most_pressing_comes_first_and_parts_of_one_zone_stand_together() -> None:
    book = _doubtful(records())
    found = matters(book, vocabulary())
    assert [one.pressing for one in found] == sorted(one.pressing for one in found)
    assert found[0].kind == "caution"
    page = _page(book)
    headings = [one.text for one in page.all("h2")]
    assert len(headings) == len(set(headings))
    assert "Undercarriage" in headings and "Wings" in headings


def test_any_list_hands_in_its_questions_as_values() -> None:
    entry = records().entries[0].id
    question = Question(kind="quite-new", item="aileron", side="port", tag="P-0007", entries=(entry,))
    book = Records(
        book=records().book,
        entries=records().entries[:1],
        lists=records().lists.model_copy(
            update={
                "parts_off": (PartOff(item="aileron", side="port", questions=(question, question)),),
                "fasteners": (
                    FastenerLine(
                        item="aileron",
                        side="port",
                        of="bolt",
                        moves=(Move(on=date(2026, 2, 14), what="undo", entry=entry),),
                        questions=(LineQuestion(kind="not-bagged", numbers=(2, 6)),),
                    ),
                ),
            }
        ),
    )
    of_bolts, new = [one for one in matters(book, vocabulary()) if one.kind in ("not-bagged", "quite-new")]
    assert (of_bolts.entries, of_bolts.item, of_bolts.side) == ((entry,), "aileron", "port")
    assert "2" in of_bolts.text and "6" in of_bolts.text
    assert new == Matter("quite-new", "Quite new: the port aileron.", (entry,), "aileron", "port", None, "P-0007")


def test_what_a_person_has_checked_or_answered_is_not_asked_again() -> None:
    book = _doubtful(records())
    asked = len(matters(book, vocabulary()))
    checked = tuple(entry.model_copy(update={"review": "accepted"}) for entry in book.entries)
    doubts = sum(bool(fact.check) for entry in book.entries for fact in entry.facts)
    assert len(matters(book.model_copy(update={"entries": checked}), vocabulary())) == asked - doubts
    answer = {"reason": "the chocks held it", "who": "A. Person"}
    answered = Caution.model_validate({**book.cautions[0].model_dump(), "answer": answer})
    assert len(matters(book.model_copy(update={"cautions": (answered,)}), vocabulary())) == asked - 1


def test_of_many_readings_to_check_the_newest_stand_there_and_the_others_by_day(monkeypatch) -> None:
    book = _doubtful(records())
    before = _rows(_page(book))
    checks = sum("To check" in row.text for row in before)
    monkeypatch.setattr("pipeline.writing.to_settle._MOST_TO_CHECK", 1)
    page = _page(book)
    rows = _rows(page)
    shown = sum("To check" in row.text for row in rows)
    zones = [one for one in page.all("p") if one.attributes.get("class") == "older"]
    linked = [link for one in zones for link in one.all("a")]
    assert 0 < shown < checks and len(before) - checks == len(rows) - shown
    assert sum(int(link.text.rpartition(": ")[2]) for link in linked) == checks - shown
    assert {link.attributes["href"] for link in linked} <= {f"logbook/{one.at.date()}.html" for one in book.entries}
    assert f"{len(before)} things that the words" in page.text


def test_page_has_no_script_and_hostile_text_stays_text() -> None:
    page = _page(_hostile(_doubtful(records())))
    assert not page.all("script")
    assert not page.all("img")
    assert not [name for one in page.everything() for name in one.attributes if name.startswith("on")]


def test_book_with_nothing_to_settle_says_so() -> None:
    assert "Nothing is left to settle." in _page(Records(book=records().book)).text


def test_what_was_decided_or_signed_and_has_changed_since_is_asked_again() -> None:
    asked = {one.kind: one for one in matters(looked_at(records()), vocabulary())}
    assert asked["read-otherwise"].text.startswith("The program now reads this otherwise:")
    assert asked["read-otherwise"].entries == (records().entries[0].id,)
    assert "Bea Linnet put a name to it" in asked["changed-since-signed"].text
    assert not {"read-otherwise", "changed-since-signed"} & {one.kind for one in matters(records(), vocabulary())}


def test_who_has_signed_anew_is_not_asked_again() -> None:
    first, *others = looked_at(records()).entries
    old = first.signed[0]
    anew = old.model_copy(update={"number": 13, "stands": True, "changed_by": ""})
    for signed, asked in (((old, anew), 0), ((old, anew.model_copy(update={"who": "Ted Marrack"})), 1)):
        entry = first.model_copy(update={"signed": signed})
        found = matters(records().model_copy(update={"entries": (entry, *others)}), vocabulary())
        assert len([one for one in found if one.kind == "changed-since-signed"]) == asked


def test_what_may_hurt_somebody_stands_in_one_group_before_all_parts_of_the_aircraft() -> None:
    book = _doubtful(records())
    asked = LineQuestion(kind="which-was-connected", days=(date(2026, 2, 14),))
    cable = DisconnectionLine(item="control-cable", questions=(asked,))
    book = book.model_copy(update={"lists": book.lists.model_copy(update={"disconnections": (cable,)})})
    first, *rest = groups_to_settle(book, vocabulary(), {})
    assert (first.title, [row.kind for row in first.rows]) == ("First of all", ["Advice", "Question"])
    assert rest and not any(row.pressing for group in rest for row in group.rows)


def test_of_doubts_one_on_a_control_comes_before_one_on_a_bag_of_bolts() -> None:
    first = records().entries[0]
    doubted = [
        first.facts[0].model_copy(update={"item": item, "side": None, "check": ("likely, not sure",)})
        for item in ("bolt", "aileron", "control-cable")
    ]
    entry = first.model_copy(update={"facts": tuple(doubted), "review": "unread"})
    book = Records(book=records().book, entries=(entry,))
    items = [one.item for one in matters(book, vocabulary()) if one.kind == "to-check"]
    assert items == ["aileron", "control-cable", "bolt"]


def test_photos_that_wait_for_a_clock_are_to_be_settled() -> None:
    clock = Clock(device="Spare camera", offset_s=0, spread_s=0, anchors=0, sure=False, why="")
    at = records().media[0].taken_at
    photo = (
        records()
        .media[0]
        .model_copy(
            update={"id": "sha256:loose", "device": "Spare camera", "time_source": TimeSource.FILE, "taken_at": at}
        )
    )
    loose = UnplacedPhoto(media=photo.id, why="its day is not known")
    book = Records(book=records().book, media=(photo,), clocks=(clock,), unplaced_photos=(loose,))
    (asked,) = matters(book, vocabulary())
    assert asked.kind == "clock"
    assert asked.text.startswith("1 photo waits for the clock of Spare camera, which is not known.")
    assert matters(book.model_copy(update={"unplaced_photos": ()}), vocabulary()) == ()
