from datetime import UTC, datetime, timedelta

import pytest

from pipeline.reading.fact import Place
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import EntryRecord, UtteranceRecord
from pipeline.settings import Person
from pipeline.trade.entries import Chapter, Part
from pipeline.writing.entry_about import Speakers, about, named
from tests.writing.a_weekend import fact, media_id

START = datetime(2026, 2, 14, 9, tzinfo=UTC)
TEAM = (
    Person(name="Tamsin Orrell", also=("Tam",)),
    Person(name="Wilf Harkaway"),
    Person(name="Jack Prowse"),
)
TERMS = Vocabulary(
    parts=(
        Part(notation="aileron", preferred="aileron", kind="control-surface", zone="wing", chapter="57"),
        Part(notation="aileron-cable", preferred="aileron cable", kind="controls", zone="wing", chapter="27"),
        Part(notation="bolt", preferred="bolt", kind="fastener", zone="any", chapter="14"),
        Part(notation="skin", preferred="skin", kind="structure", zone="any", chapter="51"),
    ),
    chapters=(Chapter(chapter="27", title="Flight Controls"), Chapter(chapter="57", title="Wings")),
)


def _said(text: str, start_s: float = 0.0, media: str = "a.m4a") -> UtteranceRecord:
    at = START + timedelta(seconds=start_s)
    return UtteranceRecord(
        id=f"u-{media}-{start_s:.0f}", media=media_id(media), start_s=start_s, end_s=start_s + 2,
        start_at=at, end_at=at + timedelta(seconds=2), heard=text, read=text,
    )  # fmt: skip


def _entry(*facts: object) -> EntryRecord:
    return EntryRecord.model_validate(
        {
            "id": "e",
            "at": START,
            "media": media_id("a.m4a"),
            "start_s": 0,
            "end_s": 9,
            "utterances": (),
            "facts": facts,
        }
    )


def test_zone_place_system_and_tag_are_those_of_the_parts_that_were_named() -> None:
    entry = _entry(
        fact("done", act="remove", item="aileron", side="port", tag="P-0101", place=(Place(scheme="rib", at="9"),)),
        fact("done", act="disconnect", item="aileron-cable", side="port"),
        fact("seen", finding="crack", item="aileron"),
    )
    assert about(entry, TERMS) == (
        ("Zone", "Wings"),
        ("Place", "rib 9"),
        ("System", "27 Flight Controls; 57 Wings"),
        ("Tag", "P-0101"),
    )


def test_fasteners_are_of_no_system_and_what_may_be_anywhere_is_in_no_zone() -> None:
    assert about(_entry(fact("done", act="bag", item="bolt")), TERMS) == ()
    assert about(_entry(fact("seen", finding="dent", item="skin")), TERMS) == (("System", "51"),)
    assert about(_entry(fact("done", act="clean")), TERMS) == ()


@pytest.mark.parametrize(
    ("text", "who"),
    [
        ("Tam here, up at the port wing.", "Tamsin Orrell"),
        ("Right, this is Wilf.", "Wilf Harkaway"),
        ("It's Wilf here.", "Wilf Harkaway"),
        ("My name is Tamsin Orrell.", "Tamsin Orrell"),
        ("I’m Tam.", "Tamsin Orrell"),  # noqa: RUF001 - an apostrophe as phones set it
        ("Wilf is holding the other end.", ""),
        ("This is Wilfred's drill.", ""),
        ("This is Wilf's end of it.", ""),
        ("The jack here is leaking.", ""),
        ("Jack here, on the starboard side.", "Jack Prowse"),
    ],
)
def test_a_speaker_is_told_by_his_own_words_only(text: str, who: str) -> None:
    assert Speakers([_said(text)], TEAM).until(media_id("a.m4a"), 60.0)[0] == who


def test_a_speaker_is_told_from_those_words_on_until_another_speaks_and_in_no_other_recording() -> None:
    told = Speakers([_said("Tam here.", 20), _said("Wilf here now.", 40)], TEAM)
    assert told.until(media_id("a.m4a"), 10) == ("", "")
    assert told.until(media_id("a.m4a"), 30) == ("Tamsin Orrell", "u-a.m4a-20")
    assert told.until(media_id("a.m4a"), 50)[0] == "Wilf Harkaway"
    assert told.until(media_id("b.m4a"), 50) == ("", "")


def test_a_speaker_whom_a_caption_file_names_is_told_by_the_name_in_the_book_or_as_it_stands_there() -> None:
    said = [
        _said("The fin is off.", at).model_copy(update={"speaker": who}) for at, who in ((20, "tam"), (40, "Mila"))
    ]
    told = Speakers(said, TEAM)
    assert told.until(media_id("a.m4a"), 30) == ("Tamsin Orrell", "u-a.m4a-20")
    assert told.until(media_id("a.m4a"), 50)[0] == "Mila"


def test_a_speaker_whom_a_caption_file_names_by_a_first_name_is_the_one_of_the_team_who_has_it() -> None:
    said = _said("Off it comes.", 20).model_copy(update={"speaker": "Wilf"})
    assert Speakers([said], TEAM).until(media_id("a.m4a"), 30)[0] == "Wilf Harkaway"
    namesakes = (*TEAM, Person(name="Wilf Arlen"))
    assert Speakers([said], namesakes).until(media_id("a.m4a"), 30)[0] == "Wilf"


def test_people_who_are_named_are_listed_in_the_order_of_the_team() -> None:
    texts = ["Wilf's got the other end.", "Ask Tamsin.", "The jack is out."]
    assert named(texts, TEAM) == ("Tamsin Orrell", "Wilf Harkaway")
    assert named(texts, ()) == ()
