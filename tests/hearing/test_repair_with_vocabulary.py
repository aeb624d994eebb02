"""Repair with the vocabulary that is shipped."""

from pathlib import Path

import pytest

from pipeline.hearing.corrected import REPAIRED_LISTS, repairer_of
from pipeline.hearing.heard_text import name_words, plurals
from pipeline.hearing.repair import Repairer
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary

VOCAB = Path(__file__).parent.parent.parent / "vocab"


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return load_vocabulary([VOCAB / "base", VOCAB / "crew-trainer"])


@pytest.fixture(scope="module")
def repairer(vocabulary: Vocabulary) -> Repairer:
    return repairer_of(vocabulary)


@pytest.mark.parametrize(
    ("heard", "read"),
    [
        ("There's a crack in the hinder costal.", "There's a crack in the intercostal."),
        ("The starbird engine is seized.", "The starboard engine is seized."),
        ("Rotter cables are slack.", "Rudder cables are slack."),
        ("The tail plain is off.", "The tail plane is off."),
        ("The kupola leaks.", "The cupola leaks."),
    ],
)
def test_what_a_recogniser_made_of_trade_words_is_read_right(repairer: Repairer, heard: str, read: str) -> None:
    assert repairer.repair(heard).read == read


def test_no_name_of_the_vocabulary_is_read_as_another(vocabulary: Vocabulary, repairer: Repairer) -> None:
    names = sorted({name.text for name in vocabulary.names() if name.list in REPAIRED_LISTS})
    texts = [
        text for name in names for text in (f"The {name} is off.", f"Both {' '.join(plurals(name_words(name)))} fit.")
    ]
    changed = [text for text in texts if repairer.repair(text).read != text]
    assert len(texts) > 1500
    assert changed == []


@pytest.mark.parametrize(
    "text",
    [
        "Doreen and young Clive put the kettle on.",
        "The carburetor and the carburettor are the same thing.",
        "I rotted the old fence and won the raffle.",
        "My sister is a cellist in a string quartet, and her brother bowls for the county.",
        "The ladder is against the wall, so watch your fingers.",
        "Genius is one per cent inspiration.",
    ],
)
def test_ordinary_words_and_proper_names_stay(repairer: Repairer, text: str) -> None:
    assert repairer.repair(text).read == text
