"""Sounds that differ in voice alone are near each other, by the International Phonetic Alphabet's consonant chart.

Source: International Phonetic Association, chart of pulmonic consonants (revised 2020): in each cell the left symbol
is voiceless and the right one voiced (from memory).
"""

import pytest

from pipeline.hearing.phones import coarsely, phones, sounds_like

# Words of one voiceless and one voiced sound of the same cell: bilabial, alveolar and velar plosive, labiodental and
# alveolar fricative.
PAIRS = [("pin", "bin"), ("tie", "die"), ("cap", "gap"), ("fan", "van"), ("sip", "zip"), ("leaf", "leave")]
# A word, one with the other sound of the same cell, and one with a sound of a cell apart.
TRIPLES = [("pin", "bin", "kin"), ("sip", "zip", "lip"), ("fan", "van", "ran"), ("tie", "die", "my")]


@pytest.mark.parametrize(("voiceless", "voiced"), PAIRS)
def test_a_cells_two_sounds_are_coarsely_the_same(voiceless: str, voiced: str) -> None:
    assert phones(voiceless) != phones(voiced)
    assert coarsely("".join(phones(voiceless))) == coarsely("".join(phones(voiced)))


@pytest.mark.parametrize(("word", "same_cell", "other_cell"), TRIPLES)
def test_the_other_sound_of_a_cell_is_nearer_than_one_of_a_cell_apart(
    word: str, same_cell: str, other_cell: str
) -> None:
    assert sounds_like(word, same_cell) > sounds_like(word, other_cell)
