"""Dialect read in the common spelling: "it's aff noo" as "it's off now"; what was said stays as it was."""

import re
from collections.abc import Iterable, Sequence

from pipeline.reading.taken_back import Meant, moved
from pipeline.reading.vocabulary import Spelling

_BESIDE = r"[\w\u2019'-]"  # what makes another word of it: "o'clock", "wi-fi"


class CommonSpelling:
    """Puts the words of one vocabulary's dialects into the common spelling."""

    def __init__(self, spellings: Iterable[Spelling]) -> None:
        self._means = {one.said: one.means for one in spellings}
        words = sorted(map(re.escape, self._means), key=len, reverse=True)
        anyhow = "|".join(words).replace("'", "['\u2019]")
        self._words = re.compile(rf"(?<!{_BESIDE})(?:{anyhow})(?!{_BESIDE})", re.IGNORECASE) if words else None

    def of(self, text: str, pauses: Sequence[int]) -> Meant:
        """Return a text in the common spelling, with where its words are in the text as said.

        Args:
            text: as said.
            pauses: positions of the characters before which the speaker paused.
        """
        found = list(self._words.finditer(text)) if self._words else []
        if not found:
            return Meant(text, tuple(pauses))
        edits, kept, at = [], [], 0
        for match in found:
            means = self._means[match.group().lower().replace("\u2019", "'")]
            means = means[0].upper() + means[1:] if match.group()[0].isupper() else means
            edits.append((match.start(), match.end(), means))
            kept += [text[at : match.start()], means]
            at = match.end()
        return Meant("".join([*kept, text[at:]]), tuple(moved(pauses, edits)), tuple(edits))
