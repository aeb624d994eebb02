"""What the rules of advice rest on, told in spoken notes: each check names its source.

The published ones were read on pages that show them: US Army TM 1-1500-204-23-1 (aircraft maintenance), 3-9 f:
pressure is discharged completely before a component comes out; US Army TM 55-1520-240-23-6, 7-3: pressure is let out
before a fitting is disconnected, and open ends of lines are capped; 29 CFR 1910.1026 (US): chromium(VI); an OSHA
letter of 13 March 2018 treats paint removal on aircraft under it.
"""

from datetime import UTC, datetime, timedelta

import pytest

from pipeline.lists.cautions import causes
from pipeline.lists.holding_up import holding_up
from pipeline.lists.logged import LoggedFact, sentence_of
from pipeline.reading.reader import Reader
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.shipped import shipped


@pytest.fixture(scope="module")
def trainer() -> Vocabulary:
    return load_vocabulary([shipped("vocab") / "base", shipped("vocab") / "crew-trainer"])


@pytest.fixture(scope="module")
def reader(trainer: Vocabulary) -> Reader:
    return Reader(trainer)


def advised(reader: Reader, trainer: Vocabulary, *notes: str) -> set[str]:
    """Return the rules that are set off by notes that were spoken an hour apart."""
    facts = []
    for number, text in enumerate(notes):
        at = datetime(2026, 2, 14, 9, tzinfo=UTC) + timedelta(hours=number)
        for fact in reader.read(text):
            said = text[slice(*fact.words)]
            around = sentence_of(text, said)
            facts.append(LoggedFact(at=at, entry=f"e-{number}", fact=fact, said=said, around=around))
    lines = holding_up(facts, trainer)
    return {cause.rule for cause in causes(facts, lines, trainer)}


def test_section_is_supported_before_its_bolts_are_undone(reader: Reader, trainer: Vocabulary) -> None:
    # common practice, no source
    undone = "We undid the transport joint bolts."
    assert "support-before-undo" in advised(reader, trainer, undone)
    supported = (
        "We trestled the rear fuselage at frame 21.",
        "There's a trestle under the centre fuselage at frame 12.",
    )
    assert "support-before-undo" not in advised(reader, trainer, *supported, undone)
    gone = "The trestle under the centre fuselage has come away."
    assert "support-before-undo" in advised(reader, trainer, *supported, gone, undone)


def test_services_are_freed_before_a_joint_is_parted(reader: Reader, trainer: Vocabulary) -> None:
    # common practice, no source
    freed = (
        "We've disconnected the control rod and the control cable on the starboard aileron.",
        "Disconnected the bonding strip on the starboard aileron.",
    )
    off = "The starboard aileron's off."
    assert "services-before-parting" in advised(reader, trainer, off)
    assert "services-before-parting" in advised(reader, trainer, freed[0], off)
    assert "services-before-parting" not in advised(reader, trainer, *freed, off)


def test_supports_stand_on_strong_frames(reader: Reader, trainer: Vocabulary) -> None:
    # common practice, no source; frame 12 of the crew trainer is strong and frame 14 is not: an invented aircraft
    assert "strong-place" not in advised(reader, trainer, "We trestled the rear fuselage at frame 12.")
    assert "strong-place" in advised(reader, trainer, "We trestled the rear fuselage at frame 14.")


@pytest.mark.parametrize(
    ("work", "before"),
    [
        ("We took the accumulator off.", "Discharged the accumulator."),
        ("Removed the air bottle.", "Bled the air bottle down."),
        ("Took the port main oleo out.", "Depressurised the port main oleo."),
    ],
)
def test_pressure_is_discharged_before_a_part_comes_out(
    reader: Reader, trainer: Vocabulary, work: str, before: str
) -> None:
    # US Army TM 1-1500-204-23-1, 3-9 f
    assert "pressure-before-opening" in advised(reader, trainer, work)
    assert "pressure-before-opening" not in advised(reader, trainer, before, work)


def test_open_ends_of_lines_are_capped(reader: Reader, trainer: Vocabulary) -> None:
    # US Army TM 55-1520-240-23-6, 7-3; for pitot-static, fuel and oxygen lines: common practice, no source
    opened = "Disconnected the pitot static line."
    assert "blank-open-lines" in advised(reader, trainer, opened)
    assert "blank-open-lines" not in advised(reader, trainer, opened, "Blanked off the pitot static line.")
    assert "blank-open-lines" not in advised(reader, trainer, f"{opened} And capped it off.")


def test_dust_of_old_primer_is_warned_of(reader: Reader, trainer: Vocabulary) -> None:
    # 29 CFR 1910.1026
    assert "primer-dust" in advised(reader, trainer, "Rubbed the skin down to metal.")
    assert "primer-dust" in advised(reader, trainer, "Drilled out the rivets on the skin.")
    assert "primer-dust" not in advised(reader, trainer, "Cleaned the skin.")


def test_rules_say_which_published_source_they_rest_on(trainer: Vocabulary) -> None:
    sources = {rule.notation: rule.source for rule in trainer.rules}
    assert sources["pressure-before-opening"].startswith("US Army TM 1-1500-204-23-1, 3-9 f")
    assert sources["primer-dust"].startswith("29 CFR 1910.1026")
    assert sources["support-before-undo"] == sources["services-before-parting"] == "common practice, no source"
