"""Trade words that were heard wrong, read right: by sound, by how rare what was heard is, and by what is beside it.

Every window of one to four heard words is compared with every name of the vocabulary. What was heard is never
changed: a repair is a second reading beside it, with its score and its reason.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from statistics import fmean

from rapidfuzz import process
from rapidfuzz.distance import Indel, Levenshtein

from pipeline.hearing.heard_text import (
    TextWord,
    inflections,
    name_words,
    plurals,
    starts_sentence,
    word_set,
    words_of,
)
from pipeline.hearing.number_sounds import number_corrections
from pipeline.hearing.phones import phones, phones_alike, sounds_like
from pipeline.values import Correction

# At this score a repair is applied; down to the second it is shown as a suggestion only.
APPLY, SUGGEST = 0.76, 0.69

MOST_WORDS = 4
LEAST_PHONES = 4
PHONES_COUNT = 0.65  # the rest of the likeness is spelling
LOOKED_AT = 8  # names nearest by plain edit distance, that are then compared phone by phone
LEAST_WORD_LIKENESS = 0.55

# Words this common in everyday English are seldom a recogniser's failed try at a rare one (zipf scale).
UNKNOWN_ZIPF, COMMON_ZIPF = 1.5, 3.2
# What the evidence adds to, or takes from, the likeness.
UNKNOWN_WORD, RARE_WORD, COMMON_WORD, ONE_COMMON_WORD = 0.04, -0.1, -0.15, -0.22
NO_TRADE_WORD_NEAR = -0.06
DOUBTED_BY_RECOGNISER, TRUSTED_BY_RECOGNISER = 0.03, -0.03
SMALL_WORD_AT_EDGE = -0.1
NEAR_WORDS = 10
DOUBTED, TRUSTED = 0.5, 0.95
# In poor sound what was heard is too far from what was said: there most repairs are suggestions only.
POOR_SOUND, POOR = -0.04, 0.65
MOST_ADDED = UNKNOWN_WORD + DOUBTED_BY_RECOGNISER
_SMALL_WORDS = word_set(
    "a an the and or but of to in on at for from with by is was are were be it its it's that this there we i you he "
    "they so as if then up off out"
)


_NUMBERS = word_set(
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand"
)


@dataclass(frozen=True)
class Repaired:
    """A text after repair: ``read`` has the applied ones of ``corrections``, which stand in order of place."""

    read: str
    corrections: tuple[Correction, ...]


@dataclass(frozen=True)
class _Name:
    text: str
    words: tuple[str, ...]
    sound: str


@dataclass(frozen=True)
class _Heard:
    """A heard text, its words, the known names in it as (first word, word after the last), and how sure it is."""

    text: str
    words: tuple[TextWord, ...]
    known: tuple[tuple[int, int], ...]
    probabilities: Sequence[float] | None


@dataclass(frozen=True)
class _Window:
    heard: _Heard
    start: int
    end: int

    @property
    def words(self) -> tuple[TextWord, ...]:
        return self.heard.words[self.start : self.end]

    @property
    def plain(self) -> list[str]:
        return [word.plain for word in self.words]

    @property
    def known_inside(self) -> list[tuple[int, int]]:
        return [(a, b) for a, b in self.heard.known if a < self.end and b > self.start]

    @property
    def is_whole(self) -> bool:
        """Whether it is words in digits' stead, said in one go, that cut no hyphenated word and no possessive."""
        first, last, text = self.words[0], self.words[-1], self.heard.text
        return (
            not any(word.is_number for word in self.words)
            and all(word.joined for word in self.words[1:])
            and not any(word.possessive for word in self.words[:-1])
            and text[first.start - 1 : first.start] != "-"
            and text[last.end : last.end + 1] != "-"
        )


class Repairer:
    """The names of a vocabulary, ready to be looked for. It holds no other state and can be shared by threads."""

    def __init__(
        self,
        names: Iterable[tuple[str, str]],
        common_word_frequency: Callable[[str], float],
        known: Iterable[str] = (),
    ) -> None:
        """Prepare the names.

        Args:
            names: (name, notation) of everything that may be read where something else was heard.
            common_word_frequency: how common a word is in everyday English, on the zipf scale (0 to 8).
            known: other words and phrases of the trade: never changed, and never a repair.
        """
        self._zipf = common_word_frequency
        both: dict[tuple[str, ...], _Name] = {}
        for name in sorted({name for name, _ in names}):
            words = name_words(name)
            if words:
                both[words] = _Name(name, words, "".join(phones(name)))
        for words in list(both):
            many = plurals(words)
            both.setdefault(many, _Name(" ".join(many), many, "".join(phones(" ".join(many)))))
        self._names = [both[words] for words in sorted(both) if len(both[words].sound) >= LEAST_PHONES]
        self._sounds = [name.sound for name in self._names]
        other = {name_words(one) for one in known} - {()}
        self._targets = set(both)
        self._known = self._targets | other | {plurals(words) for words in other}
        self._longest_known = max(map(len, self._known), default=0)
        self._right_words = _SMALL_WORDS.union(
            *(inflections(word) for word in {word for words in self._known for word in words})
        )

    def repair(self, text: str, word_probabilities: Sequence[float] | None = None) -> Repaired:
        """Read a heard text.

        Args:
            text: what was heard.
            word_probabilities: one for each space-separated piece of ``text``, from 0 to 1; None where not known.

        Returns:
            The text as read, and the corrections: applied ones and mere suggestions.

        Raises:
            ValueError: there are not as many probabilities as pieces.
        """
        if word_probabilities is not None and len(word_probabilities) != len(text.split()):
            raise ValueError("one probability is needed for each space-separated piece of the text")
        words = words_of(text)
        heard = _Heard(text, words, self._known_spans(words), word_probabilities)
        found = list(number_corrections(text, words))
        for start in range(len(words)):
            for end in range(start + 1, min(start + MOST_WORDS, len(words)) + 1):
                window = _Window(heard, start, end)
                if window.is_whole and self._may_be_wrong(window):
                    found += self._corrections(window)
        chosen = tuple(map(_without_what_stays, _best_without_overlap(found)))
        return Repaired(apply(text, chosen), chosen)

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

    def _may_be_wrong(self, window: _Window) -> bool:
        plain = window.plain
        if any(word in _NUMBERS for word in plain):
            return False
        right = [word in self._right_words for word in plain]
        if all(right) and (len(plain) == 1 or any(word in _SMALL_WORDS for word in plain)):
            return False
        # A known name may be part of a longer one of which the rest was heard wrong, but it is never cut.
        return all(window.start <= first and after <= window.end for first, after in window.known_inside)

    def _corrections(self, window: _Window) -> list[Correction]:
        likeness, name = self._nearest(window)
        if name is None or likeness < SUGGEST - MOST_ADDED:
            return []
        added, reasons = self._evidence(window, name)
        score = round(min(1.0, max(0.0, likeness + added)), 3)
        if score < SUGGEST:
            return []
        text, first, last = window.heard.text, window.words[0], window.words[-1]
        heard = text[first.start : last.end]
        read = _in_case(name.text, text, first) + ("'s" if last.possessive else "")
        why = "; ".join([f'sounds like "{name.text}" ({likeness:.0%})', *reasons])
        return [
            Correction(
                start=first.start,
                end=last.end,
                heard=heard,
                read=read,
                score=score,
                why=why,
                applied=score >= APPLY,
            )
        ]

    def _nearest(self, window: _Window) -> tuple[float, _Name | None]:
        plain = window.plain
        sound = "".join(phones(" ".join(plain)))
        if len(sound) < LEAST_PHONES - 1:
            return 0.0, None
        near = process.extract(
            sound, self._sounds, scorer=Levenshtein.normalized_similarity, score_cutoff=0.5, limit=LOOKED_AT
        )
        inside = [window.heard.words[first:after] for first, after in window.known_inside]
        kept = {word.plain for span in inside if tuple(one.plain for one in span) in self._targets for word in span}
        names = [self._names[index] for _, _, index in near]
        # A name's own words stay, and to leave words out or put words in is no repair: one word at least must change.
        names = [name for name in names if kept <= set(name.words) and not _one_in_other(set(plain), set(name.words))]
        scored = [(_likeness(plain, sound, name), name) for name in names]
        return max(scored, key=lambda pair: (pair[0], *_preference(plain, pair[1])), default=(0.0, None))

    def _evidence(self, window: _Window, name: _Name) -> tuple[float, list[str]]:
        """Add up what speaks for and against a repair, besides the likeness itself."""
        added, reasons = 0.0, []
        rarest = min([word for word in window.plain if word not in name.words] or window.plain, key=self._zipf)
        rarity = self._zipf(rarest)
        if rarity > COMMON_ZIPF:
            added += ONE_COMMON_WORD if len(window.plain) == 1 else COMMON_WORD
        else:
            added += UNKNOWN_WORD if rarity <= UNKNOWN_ZIPF else RARE_WORD
            reasons.append(f'"{rarest}" is {"rare" if rarity else "unknown"} in everyday English')
        near = [span for span in window.heard.known if window.start - NEAR_WORDS <= span[0] < window.end + NEAR_WORDS]
        if near:
            first, after = min(near, key=lambda span: abs(span[0] - window.start))
            reasons.append(f'near "{" ".join(word.plain for word in window.heard.words[first:after])}"')
        else:
            added += NO_TRADE_WORD_NEAR
        if window.plain[0] in _SMALL_WORDS or window.plain[-1] in _SMALL_WORDS:
            added += SMALL_WORD_AT_EDGE
        if window.heard.probabilities:
            if fmean(window.heard.probabilities) < POOR:
                added += POOR_SOUND
                reasons.append("most of this was hard to hear")
            lowest = min(window.heard.probabilities[word.token] for word in window.words)
            if lowest < DOUBTED:
                added += DOUBTED_BY_RECOGNISER
                reasons.append(f"the recogniser itself was only {lowest:.0%} sure")
            elif lowest > TRUSTED:
                added += TRUSTED_BY_RECOGNISER
        return added, reasons


def apply(text: str, corrections: Iterable[Correction]) -> str:
    """Put the applied ones of some corrections, which do not overlap, into a text."""
    pieces, at = [], 0
    for correction in sorted(corrections, key=lambda one: one.start):
        if correction.applied:
            pieces += [text[at : correction.start], correction.read]
            at = correction.end
    return "".join([*pieces, text[at:]])


def _likeness(plain: Sequence[str], sound: str, name: _Name) -> float:
    if len(plain) == len(name.words):
        # Words that are the same must not carry along a word that is quite another.
        weakest = min(sounds_like(a, b) for a, b in zip(plain, name.words, strict=True))
        if weakest < LEAST_WORD_LIKENESS:
            return 0.0
    spelling = Indel.normalized_similarity("".join(plain), "".join(name.words))
    return PHONES_COUNT * phones_alike(sound, name.sound) + (1 - PHONES_COUNT) * spelling


def _one_in_other(a: set[str], b: set[str]) -> bool:
    return a <= b or b <= a


def _preference(plain: Iterable[str], name: _Name) -> tuple[int, int, str]:
    """Order names that sound the same: with more of the heard words first, then the one with a hyphen or space."""
    return sum(word in name.words for word in plain), len(name.text), name.text


def _best_without_overlap(found: Iterable[Correction]) -> tuple[Correction, ...]:
    chosen: list[Correction] = []
    for one in sorted(found, key=lambda one: (-one.score, one.start, one.end)):
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
