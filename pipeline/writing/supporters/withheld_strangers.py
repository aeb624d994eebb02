"""Names of people who are not in the team's list, as far as a text shows that a word is a name.

A tagger calls many words of the trade names. It is believed only where the word is none of the vocabulary's, and has
a capital in mid-sentence, or is a known first name, or stands where a speaker stands, or is taken for a person's
name and is no plain word.
"""

import re
from collections.abc import Iterable, Iterator, Sequence

from pipeline.hearing.frequency import zipf
from pipeline.reading.parse import Token, tag_words_and_people
from pipeline.writing.supporters.first_names import ALSO_WORDS, NAMES
from pipeline.writing.supporters.withheld_names import is_plain_word, is_told_of
from pipeline.writing.supporters.withheld_text import Word, words

# Capitals that name nobody: days, months, feasts, peoples, makers of tools and materials.
_NOBODY = frozenset(
    """
air alclad am america america's american april araldite august australian avdel bakelite bourdon bowden
britain brite british bst caa canada canadian chobert christmas december dr dunlop dural duralumin dutch
dzus easa easter england english europe european faa father february first force france french friday german germany
gmt god great hangar i i'd i'll i'm i've ii iii imperial international internet ireland
irish italian iv january july june kevlar madapolam march may metric miss monday mr mrs ms news
norwegian november nyloc nylon october ok oleo pdf perspex philidas photograph photographs pitot pm
polish port raf royal saturday scotch scotland scottish second september simmonds starboard stilson sunday
tannoy teflon teleflex thursday tuesday uk us usa utc velcro venturi vernier vi wales war wednesday welsh whitsun
whitworth world ww
""".split()  # noqa: SIM905 - easier to read and to add to
)
_PHRASES = re.compile(
    r"\b(?:allen (?:keys?|bolts?|screws?)|stanley kni(?:fe|ves)|phillips(?:[- ]head)?(?: screws?| screwdrivers?)?"
    r"|mole (?:grips?|wrench(?:es)?)|jubilee clips?|pop rivets?|jenny (?:oil|clip)s?|jack (?:pads?|points?|stands?)"
    r"|derby hats?|bob weights?|norton key|robinson screws?)\b",
    re.IGNORECASE,
)
# Clubs and the like are nobody: they may be thanked, unless a first name is in theirs.
_ORGANISATION = re.compile(
    r"\b(?:[A-Z][a-z'-]+ ){0,4}(?:Club|Society|Museum|School|College|University|Association|Institute|Library"
    r"|Scouts|Cadets|Guild|Federation|Council)\b"
)
_THANKED = re.compile(r"\b(?:thank\w*|grateful|lent|loan\w*|gift|gave|given|donat\w+)\b", re.IGNORECASE)
_BEFORE_A_THING = frozenset({
    "the", "a", "an", "our", "your", "this", "that", "these", "those", "its", "each", "every", "no", "another",
})  # fmt: skip
_MONTHS = frozenset({"april", "may", "june", "august"})
_BEFORE_A_MONTH = frozenset(
    {"in", "of", "by", "until", "till", "since", "last", "next", "early", "late", "mid", "this"}
)
_PROPER = ("NNP", "NNPS")
_RARE = 2.6


class Strangers:
    """Finds names that are in nobody's list.

    Args:
        known: words that name nobody, in small letters: the vocabulary's, and those of the book's own title.
        team: words of the team's own names, in small letters: whether they may be told is settled elsewhere.
    """

    def __init__(self, known: frozenset[str], team: frozenset[str]) -> None:
        """Take what is known already."""
        self._known = known | _NOBODY
        self._team = team
        self._tagged: dict[str, tuple[tuple[Token, ...], tuple[tuple[int, int], ...]]] = {}

    def look_ahead(self, texts: Iterable[str]) -> None:
        """Tag many plain texts at once, which is far quicker than one by one and finds the same."""
        new = [one for one in dict.fromkeys(map(_bare, texts)) if one not in self._tagged]
        self._tagged.update(zip(new, tag_words_and_people(new), strict=True) if new else ())

    def found_in(self, text: str) -> tuple[str, ...]:
        """Return the names of strangers in a plain text, in order, each once."""
        self.look_ahead([text])
        bare = _bare(text)
        said = words(bare)
        by_place = {word.start: at for at, word in enumerate(said)}
        tokens, people = self._tagged[bare]
        shouted = sum(one.capital for one in tokens) > max(4, 0.6 * len(tokens))
        return tuple(dict.fromkeys(self._names(bare, tokens, said, by_place, people, in_title_case=shouted)))

    def _names(
        self,
        text: str,
        tokens: Sequence[Token],
        said: Sequence[Word],
        places: dict[int, int],
        people: Sequence[tuple[int, int]],
        *,
        in_title_case: bool,
    ) -> Iterator[str]:
        for index, token in enumerate(tokens):
            own = text[token.start : token.end]
            low = token.low.removesuffix("'s")
            if not low.isalpha() or len(low) < 2 or self._is_known(low):
                continue
            if low in _MONTHS and _is_a_month(tokens, index):
                continue
            at = places.get(token.start, -1)
            told = at >= 0 and is_told_of(said, at)
            first_name = low in NAMES or (low.removesuffix("s") in NAMES and len(low) > 4)
            if first_name and low not in ALSO_WORDS and (token.capital or _is_a_name_only(low)):
                yield own
                continue
            short_in_capitals = own.isupper() and len(own) <= 5 and not first_name
            if not token.capital or short_in_capitals or (token.glued and is_plain_word(low)):
                continue
            one = low.removesuffix("s")
            unusual = not is_plain_word(low) and max(zipf(one + "s"), zipf(one + "d")) < _RARE
            a_person = unusual and any(first <= token.start < last for first, last in people)
            if a_person or self._is_believed(tokens, index, text, told=told, in_title_case=in_title_case):
                yield own

    def _is_known(self, low: str) -> bool:
        stems = {low, low.removesuffix("s"), low.removesuffix("es"), low.removesuffix("ed"), low.removesuffix("ing")}
        if low in ALSO_WORDS or low in NAMES:
            return low in self._team
        return bool(stems & (self._known | self._team))

    def _is_believed(
        self, tokens: Sequence[Token], index: int, text: str, *, told: bool, in_title_case: bool
    ) -> bool:
        token = tokens[index]
        begins = index == 0 or tokens[index - 1].low in (".", "!", "?", ":", "\u201c", "\u2018", '"', "-", "\u2022")
        rare = not is_plain_word(token.low) and zipf(token.low) < _RARE
        if told and (token.tag in _PROPER or rare):
            return True
        if begins:
            after = tokens[index + 1] if index + 1 < len(tokens) else None
            with_a_verb = after is not None and (after.tag in ("VBD", "VBZ", "MD", "CC") or after.tag in _PROPER)
            does = after is not None and after.tag in ("VBD", "VBZ")
            named = token.low in ALSO_WORDS and token.tag in _PROPER and does
            return named or (token.tag in _PROPER and rare and not in_title_case and with_a_verb)
        if token.tag not in _PROPER or (in_title_case and not rare):
            return False
        return rare or tokens[index - 1].low not in _BEFORE_A_THING


def _bare(text: str) -> str:
    text = _PHRASES.sub(lambda found: "x" * len(found[0]), text)
    return _ORGANISATION.sub(_without_organisation, text) if _THANKED.search(text) else text


def _without_organisation(found: re.Match[str]) -> str:
    named = any(one.low in NAMES for one in words(found[0]))
    return found[0] if named else "x" * len(found[0])


def _is_a_month(tokens: Sequence[Token], index: int) -> bool:
    """Tell whether a word that is a month and a name stands where a month stands: "in May", "3 June"."""
    before = tokens[index - 1].low if index else ""
    after = tokens[index + 1].low if index + 1 < len(tokens) else ""
    return before in _BEFORE_A_MONTH or before.isdigit() or after.isdigit()


def _is_a_name_only(word: str) -> bool:
    """Tell whether a word in small letters can only be a name: no plural or other form of it is in use."""
    return max(zipf(word + ending) for ending in ("ed", "ing", "es")) < _RARE
