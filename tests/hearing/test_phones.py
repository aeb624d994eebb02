import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.phones import coarsely, consonants, phones, sounds_like

WORDS = st.text(alphabet="abcdefghijklmnopqrstuvwxyz '-", max_size=20)


@pytest.mark.parametrize(
    ("a", "b"),
    [("tail plain", "tailplane"), ("nut", "knut"), ("bell crank", "bellcrank"), ("rap", "wrap"), ("fase", "phase")],
)
def test_words_that_sound_the_same_have_the_same_phones(a: str, b: str) -> None:
    assert phones(a) == phones(b)


@pytest.mark.parametrize(
    ("heard", "meant", "other"),
    [
        ("a leron", "aileron", "elevator"),
        ("long run", "longeron", "stringer"),
        ("gust it", "gusset", "bracket"),
        ("spicket", "spigot", "bracket"),
        ("castle lated", "castellated", "accumulator"),
    ],
)
def test_what_was_meant_sounds_nearer_than_another_part(heard: str, meant: str, other: str) -> None:
    assert sounds_like(heard, meant) > 0.7 > sounds_like(heard, other)


@given(WORDS, WORDS)
def test_likeness_is_between_0_and_1_and_the_same_both_ways(a: str, b: str) -> None:
    assert 0.0 <= sounds_like(a, b) <= 1.0
    assert sounds_like(a, b) == pytest.approx(sounds_like(b, a))


@given(WORDS)
def test_what_has_phones_sounds_wholly_like_itself(a: str) -> None:
    assert sounds_like(a, a) == (1.0 if phones(a) else 0.0)


def test_text_without_letters_has_no_phones() -> None:
    assert phones("12 - !") == ()


def test_voiced_and_voiceless_partners_are_coarsely_the_same() -> None:
    assert coarsely("RoT8") == coarsely("R8Di") == "RaTa"


def test_consonants_are_what_is_left_without_vowels() -> None:
    assert consonants("BOLTZ") == "PLTS"
    assert consonants("8O") == ""


@given(WORDS)
def test_coarse_sounds_are_no_longer_than_fine_ones(a: str) -> None:
    sound = "".join(phones(a))
    assert len(coarsely(sound)) <= len(sound) and coarsely(coarsely(sound)) == coarsely(sound)
