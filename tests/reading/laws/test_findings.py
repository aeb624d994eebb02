"""Findings that were mended or cured."""

from typing import Any

import pytest

from pipeline.reading.fact import Fact
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.findings import tears_in_cloth
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader


def _keys(note_reader: NoteReader, text: str) -> list[tuple[Any, ...]]:
    return [(fact.status, fact.act or fact.finding, fact.item, fact.side) for fact in note_reader.read(text)]


@pytest.mark.parametrize(
    "text",
    [
        "The crack in the top cowling is stop drilled and patched.",
        "The dent in the port float is dressed out.",
        "The corrosion on the keel member is cleaned off.",
    ],
)
def test_finding_that_was_mended_is_not_seen_anew(note_reader: NoteReader, text: str) -> None:
    told = _keys(note_reader, text)
    assert {status for status, _, _, _ in told} == {"done"}
    assert {act for _, act, _, _ in told} <= {"repair", "clean"}


def test_new_crack_is_seen_though_it_was_repaired_at_once(note_reader: NoteReader) -> None:
    told = _keys(note_reader, "There was a crack in the top cowling. We've repaired it.")
    assert ("seen", "crack", "cowling", None) in told


def test_leak_that_is_cured_is_no_more_there(note_reader: NoteReader) -> None:
    (leak,) = note_reader.read("The oil leak on the starboard outer engine is cured.")
    assert (leak.finding, leak.absent, leak.item, leak.side) == ("leak", True, "engine", "starboard")


@pytest.mark.parametrize(
    "text",
    [
        "The oil leak on the starboard engine is not cured.",
        "The oil leak on the starboard engine isn't fixed yet.",
        "The oil leak on the starboard engine is nearly gone.",
        "The oil leak on the starboard engine has to be fixed.",
        "The oil leak on the starboard engine will be fixed tomorrow.",
        "If the oil leak on the starboard engine is cured, we'll run it.",
    ],
)
def test_leak_that_is_not_cured_is_not_gone(note_reader: NoteReader, text: str) -> None:
    assert not [fact for fact in note_reader.read(text) if fact.absent]


def test_leak_that_is_gone_is_not_told_of_another_part(note_reader: NoteReader) -> None:
    text = "Six screws went back into the port access panel. The tyre is flat. There's no oil leak any more."
    assert [fact.item for fact in note_reader.read(text) if fact.finding == "leak"] in ([], [None])


def test_tear_in_cloth_is_one_finding(note_reader: NoteReader) -> None:
    reader = Reader(note_reader.vocabulary)
    text = "There's a tear in the fabric on the port aileron."
    (one,) = reader.read_by_rule([(text, ())])
    crack = Fact(status="seen", finding="crack", item="wing-fabric", side="port", words=(10, 28))
    broken = crack.model_copy(update={"finding": "broken"})
    for facts in ([crack], [broken, crack]):
        assert tears_in_cloth(Case(reader.lexicon, one), facts) == [broken]
    assert len([told for told in _keys(note_reader, text) if told[0] == "seen"]) == 1


def test_torn_skin_is_cracked(note_reader: NoteReader) -> None:
    assert _keys(note_reader, "The skin's torn at frame 6, two inches.") == [("seen", "crack", "skin", None)]


@pytest.mark.parametrize(
    ("text", "finding"),
    [
        ("Inspected the rear spar and nothing was found.", ("sound", None)),
        ("Looked over the fin fittings, nothing found.", ("sound", None)),
        ("Dye-penned the fin fittings, nothing found.", ("crack", True)),
        ("Crack-tested the propeller hub, nothing found.", ("crack", True)),
        ("No cracks in the rear spar.", ("crack", True)),
    ],
)
def test_nothing_found_is_no_crack_only_where_cracks_were_looked_for(
    note_reader: NoteReader, text: str, finding: tuple[str, bool | None]
) -> None:
    assert [(fact.finding, fact.absent) for fact in note_reader.read(text) if fact.finding] == [finding]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (
            "The tyre on the nose wheel is perished. The door is off.",
            [("perished", "nose-wheel")],
        ),
        ("The nose wheel is perished.", [("perished", "nose-wheel")]),
        ("The access panel is off, eight screws. The rubber round it's gone all hard and cracked.", []),
        ("The access panel is off, eight screws. It's cracked.", [("crack", "access-panel")]),
    ],
)
def test_a_finding_is_told_once_and_not_of_what_is_beside_it(
    note_reader: NoteReader, text: str, found: list[tuple[str, str]]
) -> None:
    assert sorted((fact.finding, fact.item) for fact in note_reader.read(text) if fact.finding) == found


def test_what_sounds_dead_is_not_sound(note_reader: NoteReader) -> None:
    text = "I tapped along the port wing fabric and it sounds dead from rib 7 outward."
    assert [f.finding for f in note_reader.read(text) if f.finding] == []
    assert [f.finding for f in note_reader.read("The skin sounds good all the way along.")] == ["sound"]


@pytest.mark.parametrize(
    "text", ["Leak at the rocker cover's dry, it was the screws.", "The leak at the union has dried up."]
)
def test_leak_that_is_dry_is_told_once_as_gone(note_reader: NoteReader, text: str) -> None:
    assert [(f.finding, f.absent) for f in note_reader.read(text)] == [("leak", True)]


@pytest.mark.parametrize("text", ["Pins in and split.", "The pins are in the seat and split."])
def test_pins_that_are_in_and_split_are_no_crack(note_reader: NoteReader, text: str) -> None:
    assert "crack" not in [f.finding for f in note_reader.read(text)]


def test_seat_that_is_split_is_cracked(note_reader: NoteReader) -> None:
    assert "crack" in [f.finding for f in note_reader.read("The pin's in, but the seat is split.")]


def test_hook_that_looked_dry_was_not_found_sound(note_reader: NoteReader) -> None:
    told = note_reader.read("The release hook looked dry, so I oiled it and tried it three times.")
    assert [f.finding for f in told if f.finding] == []
    assert [f.finding for f in note_reader.read("The release hook looked good.")] == ["sound"]
