"""The watch: why a text may not go out to supporters. It knows the book, and nothing of how the report is planned."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from pipeline.plain_text import file_name
from pipeline.records import MediaRecord, Records
from pipeline.settings import FIRST_NAME, Person, Settings
from pipeline.values import Clock
from pipeline.writing.supporters.withheld_findings import ReleasedFindings
from pipeline.writing.supporters.withheld_months import without_months
from pipeline.writing.supporters.withheld_names import PARTICLES, Phrases, TeamNames, is_plain_word, runs_of
from pipeline.writing.supporters.withheld_quotations import Quotations
from pipeline.writing.supporters.withheld_strangers import Strangers
from pipeline.writing.supporters.withheld_text import MARKS, plain, readings, sentence_spans, words
from pipeline.writing.supporters.withheld_words import CLAIM, CLAIMS, HARMLESS, PATTERNS
from pipeline.writing.terms import Terms, term

FINDING = "a finding that has not been released"
STRANGER = "a name that is not in the team's list: "
_LEAST_OF_A_CAUTION = 6  # words in a row that make a text part of a caution
_VOCABULARIES = 4  # of which is kept what a watch needs to know: each report has three watches
_LEAST_OF_A_NAME = 5  # letters of a file's name that could not stand for anything else
_RUN = re.compile(r"\w+")


@dataclass(frozen=True)
class Withheld:
    """One thing that was kept back: what it was, why, and where it stood."""

    what: str
    why: str
    where: str


@dataclass
class Watch:
    """Tells why texts may not go out.

    Args:
        settings: the team, what to withhold, what has been released.
        terms: the vocabulary; None for none.
        records: for the names of files and devices, cautions, and what was said; None for none.
        ordinary: more words of the trade, in small letters.
    """

    settings: Settings
    terms: Terms | None = None
    records: Records | None = None
    ordinary: frozenset[str] = frozenset()
    _known_reasons: dict[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)
    leans_on_the_book: bool = False
    """Whether anything was kept back so far for a name of a file or a device, or for a caution of the book."""

    def reasons(self, text: str, around: str = "") -> tuple[str, ...]:
        """Return why a text may not go out; empty where it may.

        Args:
            text: a sentence, a caption, a name.
            around: the paragraph that it stands in, for who is quoted.
        """
        key = (text, around)
        if key not in self._known_reasons:
            self._known_reasons[key] = tuple(dict.fromkeys(self._reasons(text, around or text)))
        return self._known_reasons[key]

    def look_ahead(self, texts: Iterable[str]) -> None:
        """Read many texts at once, of which the reasons are asked soon: they are the same, and come far quicker."""
        self._strangers.look_ahead(
            without_months(self._without_agreed(one)) for text in texts for one in readings(text)
        )

    def names_somebody(self, text: str) -> tuple[str, ...]:
        """Return which names, places and words of the book's settings a text of any kind holds, and no more."""
        return tuple(
            dict.fromkeys(why for one in readings(text) for why in self._of_the_book(self._without_agreed(one)))
        )

    def may_be_of_the_book(self, text: str) -> bool:
        """Tell whether a text, however long, may hold a name of a file or a device, or a caution of the book."""
        for one in readings(text):
            low = one.lower()
            if any(self._named(low)):
                return True
            said = _run(one).split()
            ends = range(_LEAST_OF_A_CAUTION, len(said) + 1) if self._cautions else ()
            if any(f" {' '.join(said[end - _LEAST_OF_A_CAUTION : end])} " in self._cautions for end in ends):
                return True
        return False

    def _reasons(self, text: str, around: str) -> Iterable[str]:
        self.look_ahead([text])
        for one in readings(text):
            bare = self._without_agreed(one)
            yield from self._of_the_book(bare)
            rest = self._without_agreed(self._without_typed(one))
            strangers = self._strangers.found_in(without_months(rest))
            yield from (f"{STRANGER}{name}" for name in strangers)
            yield from self._of_wording(rest)
            if rest != bare and CLAIMS.search(HARMLESS.sub("", bare)):
                yield CLAIM
        if not self._is_typed(text) and (why := self._quotations.fault_of(text, around)):
            yield why

    def _of_the_book(self, text: str) -> Iterable[str]:
        undated = without_months(text)
        said = words(undated)
        runs = runs_of(said)
        yield from (
            f"the name of {person.name}, who has not agreed to be named"
            for person, names in self._names
            if names.found_in(undated, said, runs)
        )
        if undated != text:
            runs = runs_of(words(text))
        if self._places.found_in(runs):
            yield "a place to be withheld"
        if self._words.found_in(runs):
            yield "a word to be withheld"
        named = self._named(text.lower())
        if any(re.search(rf"(?<!\w){re.escape(one)}(?!\w)", text, re.IGNORECASE) for one in named):
            self.leans_on_the_book = True
            yield "the name of a file or a device"
        if any(caution in f" {_run(text)} " for caution in self._cautions):
            self.leans_on_the_book = True
            yield "a caution"

    def _of_wording(self, text: str) -> Iterable[str]:
        harmless = HARMLESS.sub("", text)
        harmless = self._names_of_parts.sub("part", harmless) if self._names_of_parts is not None else harmless
        for why, pattern in PATTERNS:
            if pattern.search(harmless):
                yield why
        told = self._released.told_in(harmless)
        if told and not self._released.lets_out(text, told):
            yield FINDING

    def _without_typed(self, text: str) -> str:
        """Take out what the editor typed for every report, title and closing line: that is meant to go out.

        Names of the team, withheld places and words, and claims of airworthiness are looked for in it all the same.
        """
        return self._typed.sub(" ", text) if self._typed is not None else text

    def _is_typed(self, text: str) -> bool:
        return not self._without_typed(plain(text)).strip()

    @cached_property
    def _typed(self) -> re.Pattern[str] | None:
        own = self.settings.supporters
        forms: set[str] = set()
        for whole in map(plain, (own.title, own.closing)):
            told = {whole, *(whole[start:end].strip() for start, end in sentence_spans(whole))}
            forms |= {one for text in told for one in (text, MARKS.sub("", text)) if len(one.split()) > 1}
        longest = sorted(forms, key=lambda one: (-len(one), one))
        return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest))})(?!\w)") if longest else None

    def _without_agreed(self, text: str) -> str:
        """Take names out that may be told: of those who agreed, in full; and the aircraft's own, which is public."""
        return self._agreed_names.sub("one of us", text) if self._agreed_names is not None else text

    @cached_property
    def _agreed_names(self) -> re.Pattern[str] | None:
        full = [one.name for one in self._agreed if len(one.name.split()) > 1]
        mine = [*full, *([self.settings.aircraft.name] if self.settings.aircraft.name else [])]
        forms = sorted({plain(one) for one in mine if plain(one)}, key=lambda one: (-len(one), one))
        return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, forms))})(?!\w)") if forms else None

    @property
    def _agreed(self) -> list[Person]:
        return [one for one in self.settings.people if one.consent is True]

    @cached_property
    def _names(self) -> list[tuple[Person, TeamNames]]:
        things = frozenset() if self.terms is None else _last_words_of_parts(self.terms)
        return [(one, TeamNames(one, self._trade, things)) for one in self.settings.people if one.consent is not True]

    @cached_property
    def _places(self) -> Phrases:
        return Phrases(self.settings.withhold.places)

    @cached_property
    def _words(self) -> Phrases:
        return Phrases(self.settings.withhold.words)

    @cached_property
    def _trade(self) -> frozenset[str]:
        return self.ordinary if self.terms is None else self.ordinary | _words_of_names(self.terms)

    @cached_property
    def _strangers(self) -> Strangers:
        said = [
            self.settings.aircraft.name,
            self.settings.supporters.title,
            *(one.role for one in self.settings.people),
        ]
        public = {word.low for text in said for word in words(plain(text)) if is_plain_word(word.low)}
        public |= {word.low for word in words(plain(self.settings.aircraft.name))}
        named = [text for one in self.settings.people for text in (one.name, *one.also)]
        team = {word.low for text in named for word in words(plain(text))} - PARTICLES
        return Strangers(self._trade | public, frozenset(team))

    @cached_property
    def _names_of_parts(self) -> re.Pattern[str] | None:
        return None if self.terms is None else _long_names_of_parts(self.terms)

    @cached_property
    def _released(self) -> ReleasedFindings:
        return ReleasedFindings(self.settings.released, self.terms)

    @cached_property
    def _quotations(self) -> Quotations:
        said = self.records.utterances if self.records is not None else ()
        agreed = [name for one in self._agreed for name in (one.name, *one.also)]
        agreed += [one.public_name for one in self.settings.people if one.consent == FIRST_NAME]
        everybody = bool(self.settings.people) and all(one.consent for one in self.settings.people)
        let_out = [one.words for one in self.settings.quoted]
        return Quotations(said, agreed, all_agreed=everybody, let_out=let_out)

    def _named(self, low: str) -> Iterator[str]:
        """Yield the names of originals and of devices that are somewhere in a text of small letters, and are odd."""
        runs = dict.fromkeys((*_RUN.findall(low), ""))
        there = (one for run in runs for one in self._files_by_run.get(run, ()) if one.lower() in low)
        return filter(self._is_odd, there)

    @cached_property
    def _files_by_run(self) -> Mapping[str, Sequence[str]]:
        return {} if self.records is None else _names_by_run(self.records.media, self.records.clocks)

    def _is_odd(self, name: str) -> bool:
        """Tell whether a name is more than plain words."""
        said = words(name)
        has_figures = any(word.low.isdigit() for word in said)
        return has_figures or not all(is_plain_word(word.low) or word.low in self._trade for word in said)

    @cached_property
    def _cautions(self) -> frozenset[str]:
        """Every run of words of a caution's text that is long enough to be known by."""
        if self.records is None:
            return frozenset()
        found = set()
        for one in self.records.cautions:
            said = _run(one.text).split()
            ends = range(_LEAST_OF_A_CAUTION, len(said) + 1)
            found |= {f" {' '.join(said[end - _LEAST_OF_A_CAUTION : end])} " for end in ends}
        return frozenset(found)


@lru_cache(maxsize=1)
def _names_by_run(media: Sequence[MediaRecord], clocks: Sequence[Clock]) -> Mapping[str, Sequence[str]]:
    """Return the names of files and devices by the first run of letters and figures in each, "" for none.

    A book may hold many thousands, and each of a report's watches asks for them.
    """
    names: set[str] = set()
    for one in media:
        for path in (one.path, *one.other_paths):
            name = file_name(path)
            stem, dot, ending = name.rpartition(".")
            names |= {plain(name), plain(stem if stem and dot and ending else name)}
        names.add(one.id.removeprefix("sha256:"))
    names |= {plain(device) for device in {one.device for one in media} | {one.device for one in clocks}}
    found: dict[str, list[str]] = {}
    for name in sorted(names):
        if len(name) >= _LEAST_OF_A_NAME:
            run = _RUN.search(name.lower())
            found.setdefault(run[0] if run else "", []).append(name)
    return found


@lru_cache(maxsize=_VOCABULARIES)
def _words_of_names(terms: Terms) -> frozenset[str]:
    texts = [one.text for one in terms.names()]
    return frozenset(one for text in texts for one in re.findall(r"[a-z]+", text.lower().replace("'s", "")))


@lru_cache(maxsize=_VOCABULARIES)
def _last_words_of_parts(terms: Terms) -> frozenset[str]:
    """Return the last words of parts' names: "Cowling" may be a surname, and a cowling is a part all the same."""
    return frozenset(
        one.text.lower().split()[-1]
        for one in terms.names()
        if one.text.strip() and terms.part(one.notation) is not None
    )


@lru_cache(maxsize=_VOCABULARIES)
def _long_names_of_parts(terms: Terms) -> re.Pattern[str] | None:
    """Match names of parts of two words and more, in which a word like "split" or "safety" says nothing."""
    names = {one.text.lower() for one in terms.names() if terms.part(one.notation) is not None}
    names |= {term(terms, one.notation).lower() for one in terms.names()}
    long = sorted(
        (one for one in names if " " in one and not re.search(r"\d", one)), key=lambda one: (-len(one), one)
    )
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, long))})(?:e?s)?\b", re.IGNORECASE) if long else None


def _run(text: str) -> str:
    return " ".join(word.low for word in words(plain(text)))
