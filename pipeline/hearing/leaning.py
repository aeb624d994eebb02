"""Which words the second look leans towards: those of the trade that sound like what the first look heard."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from hashlib import sha256
from itertools import islice

import numpy as np
import numpy.typing as npt
from rapidfuzz.distance import Levenshtein
from rapidfuzz.process import cdist

from pipeline.hearing.frequency import zipf
from pipeline.hearing.heard_text import name_words, plurals, words_of
from pipeline.hearing.phones import phones

# With many more the decoder starts to lose clauses; about 40 were measured to help and to lose none.
MOST_NAMES = 40
MOST_WORDS = 4
# People's names, which come seldom, are leaned towards only where they were all but heard. Chosen on a few notes.
OTHERS_ALIKE, MOST_OTHERS = 0.8, 3
LEAST_PHONES, LEAST_PHONES_HEARD = 4, 3
# How much it counts that two phones are of a kind: any vowel for any other, a voiced consonant for its partner.
KINDS_COUNT = 0.3
_KIND = str.maketrans("BDGVZXCeiou8AIOWYN", "PTKFSSSaaaaaaaaaaM")
# Names whose every word is more common than this are heard without help (zipf scale).
EVERYDAY_ZIPF = 4.5
MOST_ZIPF = 6.0


class Leaning:
    """The names of a vocabulary, by their sound. It holds no other state and can be shared by threads."""

    def __init__(self, names: Iterable[str], others: Iterable[str] = ()) -> None:
        """Prepare the names, which may come in any order.

        Args:
            names: of the trade.
            others: of people and of the aircraft; they take no place away from those of the trade.
        """
        sounds, others_sounds = ({name: "".join(phones(name)) for name in sorted(set(of))} for of in (names, others))
        self._sounds, self._others = _worth_help(sounds), _worth_help(others_sounds)
        self.fingerprint = sha256("\n".join((*self._sounds, *self._others)).encode()).hexdigest()
        named = {name_words(name) for name in (*sounds, *self._others)}
        self._trade_words = {word for words in (*named, *map(plurals, named - {()})) for word in words}

    def trade_in(self, text: str) -> float:
        """Say how much of these names is in a text, from 0 (no word of any) to 1 (a word all its own)."""
        said = [word.plain for word in words_of(text) if word.plain in self._trade_words]
        return max((1 - min(zipf(word), MOST_ZIPF) / MOST_ZIPF for word in said), default=0.0)

    def hotwords(self, heard: str) -> str:
        """Choose what to lean towards in hearing a stretch of sound again.

        Args:
            heard: what the first look made of it.

        Returns:
            A few other names that were all but heard, then at most 40 of the trade that sound like something in
            ``heard``, the most alike first, separated by ", ".
        """
        return ", ".join((*self._others_near(heard), *self.near(heard)))

    def near(self, heard: str, most: int = MOST_NAMES) -> tuple[str, ...]:
        """List the names of the trade that sound like one to four words of a text, the most alike first."""
        return tuple(name for _, name in _ranked(self._sounds, heard)[:most])

    def _others_near(self, heard: str) -> Iterator[str]:
        alike = ((share, name) for share, name in _ranked(self._others, heard) if share >= OTHERS_ALIKE)
        return (name for _, name in islice(alike, MOST_OTHERS))


def _worth_help(sounds: Mapping[str, str]) -> dict[str, str]:
    """Return those names that are long enough to be told by their sound, and not of everyday words alone."""
    return {
        name: sound
        for name, sound in sounds.items()
        if len(sound) >= LEAST_PHONES and min(map(zipf, name_words(name)), default=8.0) < EVERYDAY_ZIPF
    }


def _ranked(sounds: Mapping[str, str], heard: str) -> list[tuple[float, str]]:
    """Return how much names sound like one to four words of a text (0 to 1), the most alike first."""
    windows = _sounds_in(heard)
    if not windows or not sounds:
        return []
    own = list(sounds.values())
    alike = (1 - KINDS_COUNT) * _alike(own, windows) + KINDS_COUNT * _alike(_kinds(own), _kinds(windows))
    return sorted(zip(map(float, alike.max(axis=1)), sounds, strict=True), key=lambda one: (-one[0], one[1]))


def _alike(names: Sequence[str], windows: Sequence[str]) -> npt.NDArray[np.float32]:
    return cdist(names, windows, scorer=Levenshtein.normalized_similarity, dtype=np.float32)


def _kinds(sounds: Iterable[str]) -> list[str]:
    return [sound.translate(_KIND) for sound in sounds]


def _sounds_in(text: str) -> list[str]:
    words: Sequence[str] = [word.plain for word in words_of(text) if not word.is_number]
    found = {
        "".join(phones(" ".join(words[start:end])))
        for start in range(len(words))
        for end in range(start + 1, min(start + MOST_WORDS, len(words)) + 1)
    }
    return sorted(sound for sound in found if len(sound) >= LEAST_PHONES_HEARD)
