"""Names of the team without consent, and withheld places and words, in every way that they may be said or heard."""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from pipeline.hearing.frequency import zipf
from pipeline.hearing.phones import phones, sounds_like
from pipeline.reading.parse import Token, tag_words
from pipeline.settings import FIRST_NAME, Person
from pipeline.writing.supporters.first_names import ALSO_WORDS, NAMES, SHORT_FORMS
from pipeline.writing.supporters.withheld_text import Word, digits, plain, squeezed

PARTICLES = frozenset({"the", "and", "van", "von", "der", "den", "del", "old", "big", "young", "little", "of", "de"})
Run = tuple[str, Sequence[Word]]
"""A few words as one word of small letters, and the words themselves."""

_MOST_PIECES = 5
_MOST_PIECES_HEARD = 3  # in which a name that was misheard may stand
_LEAST_JOINED = 5  # letters of a name that may be heard as two words
_LEAST_JOINED_TO_A_LETTER = 6  # "a lisa"; "be a" is not Bea
_LEAST_INSIDE = 7  # letters of a name that is known inside a longer run of letters
# How alike, from 0 to 1, a misheard name sounds. Chosen on tests/writing/supporters, not a published figure.
_ALIKE = 0.8
_ALIKE_IN_PIECES = 0.93
_LEAST_PHONES = 4
_LEAST_PHONES_IN_PIECES = 5
_KNOWN_WORD = 3.3  # Zipf: rarer words are no plain English
_RARE_WORD = 2.0
_EVERYWHERE = 5.0  # "then", "with": no name is as common
_INFLECTED = 2.5
_CUE_BEFORE = frozenset({
    "says", "said", "ask", "asked", "tell", "told", "mr", "mrs", "ms", "miss", "dr", "thanks", "auntie", "uncle",
    "cheers",
})  # fmt: skip
_CUE_AFTER = frozenset({
    "reckons", "reckoned", "says", "said", "thinks", "thought", "told", "asked", "knows", "wants", "brought",
    "recalls", "remembers", "swears", "insists",
})  # fmt: skip
_DOES = frozenset({"VBZ", "VBD", "MD"})
# Past forms by which a name without its capital is known: "while hunter held the lamp".
_DID = frozenset({
    "held", "made", "took", "found", "came", "went", "got", "had", "was", "gave", "brought", "led", "drove", "cut",
    "wrote", "began", "kept", "left", "sat", "stood", "swept", "did", "ran", "bent", "fed", "caught", "thought",
})  # fmt: skip
_LEADS_OVER = frozenset({"while", "and", "then", "when", "but", "because", "so", "as"})
# After "X and" at the head of a sentence: with one of these X did something together with somebody.
_TOGETHER_WITH = frozenset({"i", "we", "one", "two", "three", "a", "an", "the", "my", "our", "his", "her", "others"})


@lru_cache(maxsize=65_536)
def is_plain_word(word: str) -> bool:
    """Tell whether a word in small letters is plain English: common, with a plural or another form that is in use."""
    forms = (
        word + "s",
        word + "es",
        word + "ed",
        word + "ing",
        word + "d",
        word[:-1] + "ies",
        word.removesuffix("s"),
    )
    inflected = max(zipf(form) for form in forms if form != word)
    return zipf(word) >= _KNOWN_WORD and inflected >= _INFLECTED


def is_told_of(said: Sequence[Word], at: int) -> bool:
    """Tell whether a word stands where a speaker or a person spoken to stands: "says jack", "jack reckons"."""
    before = said[at - 1].low if at else ""
    after = said[at + 1].low if at + 1 < len(said) else ""
    thanked = before == "to" and at > 1 and said[at - 2].low in ("thanks", "according", "thank")
    return before in _CUE_BEFORE or after in _CUE_AFTER or thanked


class TeamNames:
    """Knows one person's name, by all its forms.

    Args:
        person: the person.
        ordinary: words of the trade, in small letters: a name that is one counts with its capital only.
        things: those words of the trade that name a thing by themselves, however rare they are elsewhere.
    """

    def __init__(
        self, person: Person, ordinary: frozenset[str] = frozenset(), things: frozenset[str] = frozenset()
    ) -> None:
        """Work out the forms of the name."""
        parts = [part for part in re.split(r"[\s-]+", plain(person.name)) if part]
        low = [squeezed(part) for part in parts]
        also = [one for one in person.also if one.strip()]
        single = {one for one in low if len(one) > 1 and one not in PARTICLES and not one.isdigit()}
        single |= set(low[-1:])
        single |= {squeezed(one) for one in also if len(one.split()) == 1}
        single |= _short_forms(low[:1])
        told = person.public_name if person.consent == FIRST_NAME else ""
        agreed = {squeezed(one) for one in (told, *re.split(r"[\s-]+", told))} - {""}
        whole = {"".join(low), "".join((*low[1:], *low[:1])), *map(squeezed, also)}
        whole |= {low[0] + low[-1], low[-1] + low[0]} if len(low) > 1 else set()
        single, whole, self._agreed = single - agreed, whole - agreed, agreed
        self._capital_only = {one for one in single if one in things or _may_be_no_name(one, ordinary)}
        self._forms = frozenset(
            (single - self._capital_only) | {one for one in whole if one not in self._capital_only}
        )
        self._single = frozenset(one for one in single if len(one) > 3 or one in low)
        self._long_forms = _long(self._forms)
        heard = ((one, len(phones(one))) for one in sorted(self._single - self._capital_only))
        self._heard = [(one, length) for one, length in heard if length >= _LEAST_PHONES]
        self._initials = _initials(parts)
        self._ordinary = ordinary

    def found_in(self, text: str, said: Sequence[Word], runs: Sequence[Run]) -> bool:
        """Tell whether a plain text names the person.

        Args:
            text: a text in plain letters.
            said: its words.
            runs: the runs of its words, as ``runs_of`` makes them.
        """
        if self._initials is not None and self._initials.search(text):
            return True
        if any(_matches(one, self._forms, self._long_forms) for one in runs):
            return True
        return self._as_a_name(text, said) or self._by_sound(runs)

    def _as_a_name(self, text: str, said: Sequence[Word]) -> bool:
        for at, word in enumerate(said):
            if not _singular(word.low) & self._capital_only:
                continue
            if is_told_of(said, at):
                return True
            if word.low in self._ordinary and (word.own.isupper() or word.own.islower()):
                continue
            if word.own[0].islower():
                if _did(said, at):
                    return True
                continue
            named = _tag(text, word) in ("NNP", "NNPS") and word.low in self._capital_only
            if named or not _begins(text, word.start) or _does(text, said, at):
                return True
        return False

    def _by_sound(self, runs: Sequence[Run]) -> bool:
        for run, said in runs if self._heard else ():
            if len(said) > _MOST_PIECES_HEARD:
                continue
            if len(said) == 1:
                if len(run) < 4 or run in self._agreed or not self._is_odd(said[0]):
                    continue
                least, enough = _ALIKE, _LEAST_PHONES
            else:
                if any(word.low in self._ordinary for word in said):
                    continue
                least, enough = _ALIKE_IN_PIECES, _LEAST_PHONES_IN_PIECES
            for form, length in self._heard:
                if abs(len(run) - len(form)) <= 3 and length >= enough and sounds_like(run, form) >= least:
                    return True
        return False

    def _is_odd(self, word: Word) -> bool:
        """Tell whether a word is none that would be said here: not of the trade, and rare unless it is a name."""
        if _singular(word.low) & self._ordinary or word.low.isdigit():
            return False
        lower = not word.own[0].isupper()
        if zipf(word.low) >= _EVERYWHERE:
            return False
        return not is_plain_word(word.low) and (not lower or zipf(word.low) < _RARE_WORD)


class Phrases:
    """Knows phrases: places and words to withhold, also run together, parted, hyphened, owned or in the plural."""

    def __init__(self, phrases: Iterable[str]) -> None:
        """Take the phrases as they stand in the settings."""
        self._forms = frozenset(squeezed(one) for one in phrases) - {""}
        self._long_forms = _long(self._forms)
        self._heard = [one for one in sorted(self._forms) if len(phones(one)) >= 6 and zipf(one) == 0]

    def found_in(self, runs: Iterable[Run]) -> bool:
        """Tell whether a text holds one of the phrases, by the runs of its words."""
        for run, said in runs if self._forms else ():
            if _matches((run, said), self._forms, self._long_forms, of_phrases=True):
                return True
            if len(said) <= 2 and any(abs(len(run) - len(form)) <= 3 and sounds_like(run, form) >= 0.85
                                  for form in self._heard if not run.isdigit()):  # fmt: skip
                return True
        return False


def runs_of(said: Sequence[Word]) -> list[Run]:
    """Return every run of a few words as one word of small letters, with its words: made once for all names."""
    made: list[Run] = []
    for start in range(len(said)):
        run = ""
        for end in range(start + 1, min(start + _MOST_PIECES, len(said)) + 1):
            run += digits(said[end - 1].low)
            made.append((run, said[start:end]))
    return made


def _long(forms: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(form for form in forms if len(form) >= _LEAST_INSIDE))


def _matches(one: Run, forms: frozenset[str], long_forms: Sequence[str], *, of_phrases: bool = False) -> bool:
    """Tell whether a run of letters is one of the forms, or has a long one inside."""
    run, said = one
    if len(said) == 1 and any(form in run for form in long_forms):
        return True
    found = _singular(run) & forms
    if not found or len(said) == 1 or of_phrases:
        return bool(found)
    least = _LEAST_JOINED if min(len(one.low) for one in said) > 1 else _LEAST_JOINED_TO_A_LETTER
    return any(len(one) >= least for one in found)


@lru_cache(maxsize=65_536)
def _singular(word: str) -> frozenset[str]:
    found = {word}
    if len(word) > 2 and word.endswith("s"):
        found.add(word[:-1])
        found |= {word[:-2]} if word.endswith(("ses", "xes", "zes", "ches", "shes")) else set()
        found |= {word[:-3] + "y", word[:-3] + "ie"} if word.endswith("ies") else set()
    return frozenset(found)


def _has_other_forms(word: str) -> bool:
    return max(zipf(word + ending) for ending in ("s", "es", "ed", "ing", "d")) >= _INFLECTED


def _may_be_no_name(word: str, ordinary: frozenset[str]) -> bool:
    """Tell whether a part of a name is an ordinary word as well, of English or of the trade."""
    if word in ALSO_WORDS:
        return True
    return word not in NAMES and (word in ordinary or is_plain_word(word)) and _has_other_forms(word)


def _short_forms(first: Sequence[str]) -> set[str]:
    return {other for one in first for group in SHORT_FORMS if one in group for other in group}


def _initials(parts: Sequence[str]) -> re.Pattern[str] | None:
    named = [part for at, part in enumerate(parts) if part.lower() not in PARTICLES or at == len(parts) - 1]
    letters = [part[0].upper() for part in named if part[0].isalpha()]
    if len(letters) < 2:
        return None
    dotted = r"\.\s?".join(map(re.escape, letters))
    bare = "".join(letters)
    return re.compile(rf"(?<![\w.-])(?:(?i:{dotted})\.?|{bare}|{' '.join(letters)})(?:'?s)?(?![\w-])")


def _begins(text: str, at: int) -> bool:
    """Tell whether a word begins a sentence, so that its capital says nothing."""
    before = text[:at].rstrip(" \"'(\u201c\u2018*_#>-")
    return not before or before[-1] in ".!?:\u2026"


def _does(text: str, said: Sequence[Word], at: int) -> bool:
    """Tell whether the first word of a sentence does something: "May is waiting", "Hunter and I held it"."""
    word, after = said[at], said[at + 1 : at + 3]
    if not after:
        return False
    between = text[word.end : after[0].start].strip()
    if between == "," and word.own.isalpha():
        return True
    if between or not word.own.isalpha():
        return False
    if after[0].low in ("and", "or"):
        return len(after) > 1 and (after[1].own[0].isupper() or after[1].low in _TOGETHER_WITH)
    verb = after[1] if len(after) > 1 and _tag(text, after[0]) == "RB" else after[0]
    return verb.own[0].islower() and (_tag(text, verb) in _DOES or _is_past(verb.low))


def _did(said: Sequence[Word], at: int) -> bool:
    """Tell whether a word without a capital stands like a name: it begins a clause, and a past form follows."""
    begins = at == 0 or said[at - 1].low in _LEADS_OVER
    return begins and at + 1 < len(said) and _is_past(said[at + 1].low)


def _is_past(word: str) -> bool:
    return word in _DID or (word.endswith("ed") and len(word) > 4)


def _tag(text: str, word: Word) -> str:
    return next((one.tag for one in tagged(text) if one.start <= word.start < one.end), "")


@lru_cache(maxsize=8192)
def tagged(text: str) -> tuple[Token, ...]:
    """Return the words of a text with their tags."""
    return next(tag_words([text]), ())
