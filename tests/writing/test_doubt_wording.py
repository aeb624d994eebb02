import pytest

from pipeline.reading.laws.hearsay import HEARSAY
from pipeline.reading.learnt.deciding import ONLY_RULES
from pipeline.records import FactRecord
from pipeline.writing.doubt_wording import doubts_told


@pytest.mark.parametrize(
    ("doubt", "told"),
    [
        ("by the rules it was planned, not done", "read in two ways: as still to do and as done"),
        ("by the rules on both, here no side", "read in two ways: on both sides and with no side"),
        (
            "by the rules it was the other way about, there and not there",
            "read in two ways: as there and as not there",
        ),
        ("likely, not sure: 71 in 100", "likely, not sure: 71 in 100"),
        ("likely, not sure: 36 in 100", "not sure: 36 in 100"),
        (ONLY_RULES, "only one of the two readings has it"),
        (HEARSAY, "the speaker has it from somebody else"),
        ("it may be oil line instead", "it may be oil line instead"),
    ],
)
def test_a_doubt_is_told_without_the_words_of_the_reading(doubt: str, told: str) -> None:
    fact = FactRecord(status="done", act="remove", item="fin", said="", utterances=(), check=(doubt,))
    assert doubts_told(fact) == (told,)
