"""What the words themselves ask to be settled: parts that no list has, and what takes back what was said before."""

from datetime import UTC, datetime, timedelta

import pytest

from pipeline.reading.fact import Fact
from pipeline.records import BookRecord, EntryRecord, FactRecord, Records, UnlistedRecord, UtteranceRecord
from pipeline.writing.entry_links import Link
from pipeline.writing.matters import matters
from pipeline.writing.register_page import registers_page
from tests.writing.a_weekend import vocabulary

SATURDAY = datetime(2026, 2, 14, 10, tzinfo=UTC)
CRACKED = "The tail rotor gearbox is cracked."
NAME = "tail rotor gearbox"


def book(*words, unlisted=(), review="unread", facts=True):
    """One entry a day of the words, each telling of one part."""
    told = tuple(
        FactRecord(**Fact(status="done", act="fit", item="rudder").as_marked(), said="…", utterances=()) for _ in "1"
    )
    entries, said = [], []
    for day, text in enumerate(words):
        at = SATURDAY + timedelta(days=7 * day)
        said.append(
            UtteranceRecord(
                id=f"u-{day}", media="m", start_s=0, end_s=9, start_at=at, end_at=at, heard=text, read=text
            )
        )
        if facts:
            own = {"utterances": (f"u-{day}",), "facts": told, "review": review}
            entries.append(EntryRecord(id=f"e-{day}", at=at, media="m", start_s=0, end_s=9, **own))
    kept = BookRecord(title="", aircraft="", zone="UTC", program="", model="", vocabulary="")
    return Records(book=kept, entries=tuple(entries), utterances=tuple(said), unlisted=tuple(unlisted))


def of_kind(records, kind):
    return [one for one in matters(records, vocabulary()) if one.kind == kind]


@pytest.mark.parametrize("facts", [True, False])
def test_finding_told_of_a_part_that_no_list_has_is_to_be_settled_with_its_words_and_its_entry(facts):
    records = book("Rudder's on.", CRACKED, unlisted=[UnlistedRecord(name=NAME, utterances=("u-1",))], facts=facts)
    (one,) = of_kind(records, "unlisted")
    assert one.entries == (("e-1",) if facts else ())
    assert f"“{NAME}”, which no list has" in one.text
    assert f"Said on 21 February 2026: “{CRACKED}”" in one.text


def test_registers_end_with_what_was_said_of_parts_that_no_list_has():
    records = book(CRACKED, unlisted=[UnlistedRecord(name=NAME, utterances=("u-0",))])
    page = registers_page(records, vocabulary(), {"e-0": Link("2026-02-14.html#e-0", "14/2 10:00")})
    foot = page[page.index('id="unlisted"') :]
    assert CRACKED in foot
    assert 'href="2026-02-14.html#e-0"' in foot


@pytest.mark.parametrize(
    "words",
    [
        "A correction to what I said a fortnight ago.",
        "I said last weekend that the rudder was on. It isn't.",
        "Last time I said the bolts were torqued to thirty. That was wrong, it was thirteen.",
        "I'd misread the board.",
    ],
)
def test_what_takes_back_an_earlier_day_is_asked_about_with_the_entries_of_the_same_part(words):
    (one,) = of_kind(book("Rudder's on.", words), "takes-back")
    assert one.entries == ("e-1", "e-0")
    assert one.item == "rudder"


@pytest.mark.parametrize(
    "words", ["As I said, the rudder is on.", "I said we would fit it.", "It went on the wrong way."]
)
def test_what_takes_nothing_back_is_not_asked_about(words):
    assert of_kind(book("Rudder's on.", words), "takes-back") == []


def test_entry_that_a_person_has_looked_at_is_not_asked_about():
    assert of_kind(book("Rudder's on.", "I'd misread the board.", review="amended"), "takes-back") == []


def test_what_is_taken_back_is_named_by_its_own_sentence_and_not_by_the_part_told_of_before():
    said = book(
        "Four keel blocks under her.", "The rudder is on.", "Rudder's on. The keel blocks, I said four last year."
    )
    whole = said.entries[2]
    apart = said.utterances[2].model_copy(update={"id": "u-3", "read": "The keel blocks, I said four last year."})
    first = said.utterances[2].model_copy(update={"read": "Rudder's on."})
    fact = whole.facts[0].model_copy(update={"utterances": ("u-2",)})
    whole = whole.model_copy(update={"utterances": ("u-2", "u-3"), "facts": (fact,)})
    records = said.model_copy(
        update={"utterances": (*said.utterances[:2], first, apart), "entries": (*said.entries[:2], whole)}
    )
    (one,) = of_kind(records, "takes-back")
    assert one.item is None
    assert one.entries == ("e-2", "e-0")
