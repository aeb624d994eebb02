"""Trade words that were heard wrong, read right: by sound, by how rare what was heard is, and by what is beside it.

Every window of one to four heard words is compared with every name of the vocabulary. What was heard is never
changed: a repair is a second reading beside it, with the chance that it is right and its reasons.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from pipeline.hearing.evidence import (
    NUMBERS,
    SMALL_WORDS,
    HeardText,
    SoundedName,
    Window,
    chance,
    evidence,
    reasons,
    trade_weight,
)
from pipeline.hearing.heard_text import TextWord, inflections, name_words, plurals, starts_sentence, words_of
from pipeline.hearing.introduced import introductions
from pipeline.hearing.number_sounds import number_corrections
from pipeline.hearing.phones import coarsely, phones, phones_alike
from pipeline.hearing.repair_taught import taught_corrections
from pipeline.hearing.repair_weights import APPLY, APPLY_AFTER_TWO_LOOKS, APPLY_IN_POOR_SOUND, SUGGEST
from pipeline.hearing.store_sounds import store_corrections
from pipeline.values import Correction

MOST_WORDS = 4
IN_USE_ZIPF = 2.5
LEAST_PHONES, SHORTEST_WORD = 3, 3
LEAST_PLAIN_LIKENESS = 0.56  # by plain edit distance of the phones, the mean of fine and coarse
LOOKED_AT = 4  # names nearest by that, which are then compared phone by phone
LEAST_LIKENESS, LEAST_WORD_LIKENESS = 0.6, 0.45


@dataclass(frozen=True)
class Repaired:
    """A text after repair: ``read`` has the applied ones of ``corrections``, which stand in order of place."""

    read: str
    corrections: tuple[Correction, ...]


@dataclass(frozen=True)
class Candidate:
    """A name that may be read in a window, with the evidence for it."""

    window: Window
    name: SoundedName
    found: dict[str, float]


class _Sounds:
    """How names sound, in phones and coarsely, to be compared with what was heard."""

    def __init__(self, sounds: Sequence[str]) -> None:
        self._sounds = sounds
        coarse = [coarsely(sound) for sound in sounds]
        self._coarse = sorted(set(coarse))
        places = {sound: at for at, sound in enumerate(self._coarse)}
        self._coarse_of = np.array([places[sound] for sound in coarse], dtype=np.intp)  # for each name

    def like(self, heard: Sequence[str]) -> Iterator[list[int]]:
        """Yield for each sound that was heard the names (by their index) that are like it, the most alike first."""
        coarse = _alike([coarsely(sound) for sound in heard], self._coarse)
        for sound, row in zip(heard, coarse, strict=True):
            # Heard coarsely, two are never less alike, so the mean of both can only reach the least from here.
            by_name = row[self._coarse_of]
            found = np.flatnonzero(by_name)
            if not len(found):
                yield []
                continue
            fine = _alike([sound], [self._sounds[index] for index in found.tolist()], 0.0)[0]
            alike = (fine + by_name[found]) / 2
            order = np.argsort(-alike, kind="stable")
            yield [int(index) for index in found[order[alike[order] >= LEAST_PLAIN_LIKENESS]]]


class Repairer:
    """The names of a vocabulary, ready to be looked for. It holds no other state and can be shared by threads."""

    def __init__(
        self,
        names: Iterable[tuple[str, str]],
        common_word_frequency: Callable[[str], float],
        known: Iterable[str] = (),
        single_words: Iterable[str] = (),
        counted: Iterable[str] = (),
        taught: Iterable[tuple[str, str]] = (),
        team: Iterable[Sequence[str]] = (),
    ) -> None:
        """Prepare the names.

        Args:
            names: (name, notation) of everything that may be read where something else was heard.
            common_word_frequency: how common a word is in everyday English, on the zipf scale (0 to 8).
            known: other words and phrases of the trade: never changed, and never a repair.
            single_words: words that may be read too, but have no plural.
            counted: those of the names that are counted more than others are: fasteners and the like.
            taught: (heard, meant) as people taught it: read wherever just that was heard.
            team: of each person, what they may be called: read where somebody says who speaks.
        """
        self._zipf = common_word_frequency
        self._counted = {name_words(name) for name in counted}
        self._taught = {name_words(heard): meant for heard, meant in taught if name_words(heard)}
        self._team = tuple(map(tuple, team))
        both = self._one_and_many(sorted({name for name, _ in names}), sorted(set(single_words)))
        self._names = [
            both[words]
            for words in sorted(both)
            if len(both[words].sound) >= LEAST_PHONES and any(len(word) >= SHORTEST_WORD for word in words)
        ]
        self._sounds = _Sounds([name.sound for name in self._names])
        other = {name_words(one) for one in (*known, *self._taught.values())} - {()}
        self._targets = set(both)
        self._known = self._targets | other | {plurals(words) for words in other}
        self._longest_known = max(map(len, self._known), default=0)
        self._right_words = SMALL_WORDS.union(
            *(self._forms(word) for word in {word for words in self._known for word in words})
        )

    def repair(
        self,
        text: str,
        word_probabilities: Sequence[float] | None = None,
        others: Sequence[str | None] | None = None,
    ) -> Repaired:
        """Read a heard text.

        Args:
            text: what was heard.
            word_probabilities: one for each space-separated piece of ``text``, from 0 to 1; None where not known.
            others: for each piece, what a second look heard there: None for the same, "" for nothing. None where
                there was no second look.

        Returns:
            The text as read, and the corrections: applied ones and mere suggestions.

        Raises:
            ValueError: there are not as many probabilities, or readings of the second look, as pieces.
        """
        heard = self._heard(text, word_probabilities, others)
        found = [
            *taught_corrections(text, heard.words, self._taught),
            *number_corrections(text, heard.words),
            *store_corrections(text, heard.words),
            *introductions(heard, self._team),
            *(one for one in map(self._correction, self._candidates(heard)) if one),
        ]
        chosen = tuple(map(_without_what_stays, _best_without_overlap(found)))
        return Repaired(apply(text, chosen), chosen)

    def candidates(
        self,
        text: str,
        word_probabilities: Sequence[float] | None = None,
        others: Sequence[str | None] | None = None,
    ) -> tuple[Candidate, ...]:
        """List everything that ``repair`` would weigh for a text; the arguments are the same."""
        return tuple(self._candidates(self._heard(text, word_probabilities, others)))

    def _one_and_many(self, names: Iterable[str], single_words: Iterable[str]) -> dict[tuple[str, ...], SoundedName]:
        """Return what may be read, by its words: the names with their plurals, and words that have none."""
        both = {words: self._name(name, words, is_plural=False) for name in names if (words := name_words(name))}
        for words in list(both):
            many = plurals(words)
            both.setdefault(many, self._name(" ".join(many), many, is_plural=True))
        for word in single_words:
            both.setdefault((word,), self._name(word, (word,), is_plural=False))
        return both

    def _forms(self, word: str) -> set[str]:
        """Give the word with its forms; a doer ("tester") only if it is in use: "rotter" is no form of "rot"."""
        return {
            form
            for form in inflections(word)
            if form == word or not form.endswith(("er", "ers")) or self._zipf(form) >= IN_USE_ZIPF
        }

    def _name(self, text: str, words: tuple[str, ...], is_plural: bool) -> SoundedName:
        is_counted = is_plural and any(plurals(name) == words for name in self._counted)
        return SoundedName(text, words, "".join(phones(text)), min(map(self._zipf, words)), is_plural, is_counted)

    def _heard(
        self, text: str, word_probabilities: Sequence[float] | None, others: Sequence[str | None] | None
    ) -> HeardText:
        pieces = tuple(text.split())
        if word_probabilities is not None and len(word_probabilities) != len(pieces):
            raise ValueError("one probability is needed for each space-separated piece of the text")
        if others is not None and len(others) != len(pieces):
            raise ValueError("one reading of the second look is needed for each space-separated piece of the text")
        words = words_of(text)
        spans = self._known_spans(words)
        known = tuple((*span, trade_weight(words[slice(*span)], self._zipf)) for span in spans)
        return HeardText(text, words, pieces, known, word_probabilities, others)

    def _known_spans(self, words: Sequence[TextWord]) -> tuple[tuple[int, int], ...]:
        """Find the longest known names, from left to right."""
        spans, at = [], 0
        while at < len(words):
            longest = 0
            for count in range(1, min(self._longest_known, len(words) - at) + 1):
                if count > 1 and not words[at + count - 1].joined:
                    break
                if tuple(word.plain for word in words[at : at + count]) in self._known:
                    longest = count
            if longest:
                spans.append((at, at + longest))
            at += longest or 1
        return tuple(spans)

    def _windows(self, heard: HeardText) -> Iterator[Window]:
        for start in range(len(heard.words)):
            for end in range(start + 1, min(start + MOST_WORDS, len(heard.words)) + 1):
                if not _is_whole(heard, start, end):
                    continue
                plain = tuple(word.plain for word in heard.words[start:end])
                if self._may_be_wrong(heard, start, end, plain):
                    sound = "".join(phones(" ".join(plain)))
                    if len(sound) >= LEAST_PHONES - 1:
                        yield Window(heard, start, end, plain, sound)

    def _may_be_wrong(self, heard: HeardText, start: int, end: int, plain: Sequence[str]) -> bool:
        if any(word in NUMBERS for word in plain):
            return False
        right = [word in self._right_words for word in plain]
        if all(right) and (len(plain) == 1 or any(word in SMALL_WORDS for word in plain)):
            return False
        # A known name may be part of a longer one of which the rest was heard wrong, but it is never cut.
        return all(start <= first and after <= end for first, after in _inside(heard, start, end))

    def _candidates(self, heard: HeardText) -> Iterator[Candidate]:
        windows = list(self._windows(heard))
        if not windows or not self._names:
            return
        near = self._sounds.like([window.sound for window in windows])
        for window, names in zip(windows, near, strict=True):
            for name in self._nearest(window, names):
                yield Candidate(window, name, evidence(window, name, self._zipf))

    def _nearest(self, window: Window, near: Sequence[int]) -> list[SoundedName]:
        heard = window.heard
        inside = [heard.words[first:after] for first, after in _inside(heard, window.start, window.end)]
        kept = {word.plain for span in inside if tuple(one.plain for one in span) in self._targets for word in span}
        plain, nearest = set(window.plain), []
        for index in near:
            name = self._names[index]
            # A name's own words stay, and to leave words out or put words in is no repair: one at least must change.
            if kept <= set(name.words) and not _one_in_other(plain, set(name.words)) and _may_be(window, name):
                nearest.append(name)
                if len(nearest) == LOOKED_AT:
                    break
        return nearest

    def _correction(self, candidate: Candidate) -> Correction | None:
        score = round(chance(candidate.found), 3)
        if score < SUGGEST:
            return None
        window, name = candidate.window, candidate.name
        text, first, last = window.heard.text, window.words[0], window.words[-1]
        return Correction(
            start=first.start,
            end=last.end,
            heard=text[first.start : last.end],
            read=_in_case(name.text, text, first) + ("'s" if last.possessive else ""),
            score=score,
            why="; ".join(reasons(window, name, candidate.found, self._zipf)),
            applied=score >= _needed(window.heard),
        )


def _needed(heard: HeardText) -> float:
    """Return the score from which a repair of this text is applied."""
    if heard.is_poor:
        return APPLY_IN_POOR_SOUND
    return APPLY if heard.others is None else APPLY_AFTER_TWO_LOOKS


def apply(text: str, corrections: Iterable[Correction]) -> str:
    """Put the applied ones of some corrections, which do not overlap, into a text."""
    pieces, at = [], 0
    for correction in sorted(corrections, key=lambda one: one.start):
        if correction.applied:
            pieces += [text[at : correction.start], correction.read]
            at = correction.end
    return "".join([*pieces, text[at:]])


def _alike(
    sounds: Sequence[str], others: Sequence[str], least: float = LEAST_PLAIN_LIKENESS
) -> npt.NDArray[np.float32]:
    """Compare all with all: from ``least`` to 1, or 0."""
    scorer = Levenshtein.normalized_similarity
    return process.cdist(sounds, others, scorer=scorer, dtype=np.float32, score_cutoff=least)


def _is_whole(heard: HeardText, start: int, end: int) -> bool:
    """Whether these are words, none in digits, said in one go, that cut no hyphenated word and no possessive."""
    words, text = heard.words[start:end], heard.text
    return (
        not any(word.is_number for word in words)
        and all(word.joined for word in words[1:])
        and not any(word.possessive for word in words[:-1])
        and text[words[0].start - 1 : words[0].start] != "-"
        and text[words[-1].end : words[-1].end + 1] != "-"
    )


def _inside(heard: HeardText, start: int, end: int) -> list[tuple[int, int]]:
    return [(first, after) for first, after, _ in heard.known if first < end and after > start]


def _may_be(window: Window, name: SoundedName) -> bool:
    """Whether it sounds enough alike to be weighed at all."""
    if len(window.plain) == len(name.words):
        # Words that are the same must not carry along a word that is quite another.
        pairs = zip(window.plain, name.words, strict=True)
        if min(phones_alike("".join(phones(a)), "".join(phones(b))) for a, b in pairs) < LEAST_WORD_LIKENESS:
            return False
    return phones_alike(window.sound, name.sound) >= LEAST_LIKENESS


def _one_in_other(a: set[str], b: set[str]) -> bool:
    return a <= b or b <= a


def _best_without_overlap(found: Iterable[Correction]) -> tuple[Correction, ...]:
    chosen: list[Correction] = []
    for one in sorted(found, key=lambda one: (-one.score, one.start, one.end, -len(one.read), one.read)):
        if all(one.end <= other.start or one.start >= other.end for other in chosen):
            chosen.append(one)
    return tuple(sorted(chosen, key=lambda one: one.start))


def _without_what_stays(correction: Correction) -> Correction:
    """Leave out the words at either end that are read as they were heard."""
    heard, read, start = correction.heard.split(" "), correction.read.split(" "), correction.start
    while min(len(heard), len(read)) > 1 and heard[-1].lower() == read[-1].lower():
        heard, read = heard[:-1], read[:-1]
    while min(len(heard), len(read)) > 1 and heard[0].lower() == read[0].lower():
        start += len(heard[0]) + 1
        heard, read = heard[1:], read[1:]
    end = start + len(" ".join(heard))
    return correction.model_copy(
        update={"start": start, "end": end, "heard": " ".join(heard), "read": " ".join(read)}
    )


def _in_case(name: str, text: str, first: TextWord) -> str:
    if text[first.start].isupper() and starts_sentence(text, first.start):
        return name[:1].upper() + name[1:]
    return name
