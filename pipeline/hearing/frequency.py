"""How common a word is in everyday English: the only module that knows wordfreq."""

from functools import lru_cache

from pipeline.hearing.heard_text import words_of


@lru_cache(maxsize=65_536)
def zipf(word: str) -> float:
    """Give how common a word is, as the base-10 logarithm of its uses in a thousand million words.

    Args:
        word: one word, in any case.

    Returns:
        From 0.0 (not known) to about 8; "the" is 7.7, "hinge" 3.2, "longeron" 0 or near it.

    Source: the scale is van Heuven, Mandera, Keuleers and Brysbaert (2014), SUBTLEX-UK.
    """
    from wordfreq import zipf_frequency  # takes a good part of a second, and a run with one new photo needs none

    return float(zipf_frequency(word, "en"))


def rarest_zipf(text: str) -> float:
    """Give how common the rarest word of a text is; 8.0 if it has no word but numbers."""
    return min([zipf(word.plain) for word in words_of(text) if not word.is_number], default=8.0)
