"""What may not go out to supporters: the one gate that every sentence, caption and picture passes.

Nothing is reworded here. A sentence that holds something that must stay inside is left out whole and is listed, with
the reason, for the editor alone.
"""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from pipeline.records import FactRecord
from pipeline.settings import Person, Settings

# Names that are also ordinary words: matched with their capital only, or "flap jack" would be a person.
_ALSO_WORDS = frozenset((
    "art", "bill", "bob", "bolt", "carol", "dawn", "dean", "don", "drew", "faith", "frank", "gene", "grace",
    "guy", "hope", "iris", "ivy", "jack", "joy", "june", "lance", "mark", "may", "miles", "nick", "norm", "olive",
    "pat", "port", "peg", "penny", "ray", "reed", "rich", "rob", "robin", "rod", "rose", "sandy", "skip", "sue",
    "victor", "wade", "will",
))  # fmt: skip
_PARTICLES = frozenset({"the", "and", "van", "von", "der", "den", "del", "old", "big", "young"})
_PATTERNS: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("a position on the map", re.compile(r"[-+]?\d{1,3}\.\d{3,}|\d{1,3}\s?°\s?\d")),
    ("a tag, part or serial number", re.compile(r"\b[A-Z]{1,4}[-/ ]?\d{2,}\b|\b(?=\w*\d)(?=\w*[A-Z])[A-Z\d-]{5,}\b")),
    ("a serial number", re.compile(r"\bserial (?:number|no)\b|\bs/n\b|\bregistration\b", re.IGNORECASE)),
    ("a storage place", re.compile(r"\b(?:rack|shelf|box|bag|pallet|stand|bay|room)\s+\d", re.IGNORECASE)),
    (
        "a claim about safety or airworthiness",
        re.compile(
            r"\bair\s?-?worth\w*|\bunsafe\w*|\bsafe(?:ly|ty|r|st)?\b|\bcertif\w*"
            r"|\b(?:fit|ready|clear(?:ed)?) (?:to|for) fl(?:y|ight)"
            r"|\bserviceab\w*|\bunserviceab\w*|\bapproved\b|\bpassed\b|\blegal\w*|\bsound condition\b",
            re.IGNORECASE,
        ),
    ),
    ("money", re.compile(r"[£$€]\s?\d|\b\d+\s?(?:pounds sterling|quid|euros?|dollars?)\b", re.IGNORECASE)),
    ("an address", re.compile(r"\S+@\S+\.\w+|\bhttps?://|\bwww\.", re.IGNORECASE)),
)
_GAP = re.compile(r"[\s-]+")
_ANY_GAP = r"[\s-]*"
_LEAST_PARTED = 5  # letters of a name that a recogniser may hear as two words
# Work that tells of a fault that was found, or of its outcome.
TELLS_OF_FINDINGS = frozenset({"inspect", "measure", "test", "treat", "repair", "strip-finish"})


@dataclass(frozen=True)
class Withheld:
    """One thing that was kept back: what it was, why, and where it stood."""

    what: str
    why: str
    where: str


class Gate:
    """Lets text through or keeps it back, and remembers what was kept."""

    def __init__(self, settings: Settings, ordinary: frozenset[str] = frozenset()) -> None:
        """Take names without consent, places and words to withhold from the book's settings.

        Args:
            settings: the book's settings.
            ordinary: words of the trade, in small letters: a name that is one counts with its capital only.
        """
        self._aircraft = settings.aircraft.name
        words = _ALSO_WORDS | ordinary
        self._patterns = [
            *((f"the name of {one.name}, who has not agreed to be named", _name(one, words))
              for one in settings.people if not one.consent),
            *(("a place to be withheld", _phrase(one)) for one in settings.withhold.places if one.strip()),
            *(("a word to be withheld", _phrase(one)) for one in settings.withhold.words if one.strip()),
        ]  # fmt: skip
        self._kept: list[Withheld] = []

    @property
    def withheld(self) -> tuple[Withheld, ...]:
        """What was kept back so far, each thing once, in the order met."""
        return tuple(dict.fromkeys(self._kept))

    def text(self, text: str, where: str) -> str:
        """Return the text as it is, or "" where it holds anything that may not go out."""
        reasons = self.reasons(text)
        self._kept.extend(Withheld(text, why, where) for why in reasons)
        return "" if reasons else text

    def texts(self, texts: Iterable[str], where: str) -> tuple[str, ...]:
        """Return those of the texts that may go out."""
        return tuple(one for text in texts if (one := self.text(text, where)))

    def keep_back(self, what: str, why: str, where: str) -> None:
        """List something that the plan left out by itself."""
        self._kept.append(Withheld(what, why, where))

    def reasons(self, text: str) -> tuple[str, ...]:
        """Return why a text may not go out; empty where it may."""
        plain = unicodedata.normalize("NFKC", text).replace("\u2019", "'")
        found = [why for why, pattern in self._patterns if pattern.search(plain)]
        # the aircraft's own name is public by being the book's title, whatever figures it has
        bare = plain.replace(self._aircraft, "the aircraft") if self._aircraft else plain
        found += [why for why, pattern in _PATTERNS if pattern.search(bare)]
        return tuple(dict.fromkeys(found))


def keep_fact(fact: FactRecord) -> str:
    """Return why a whole fact may not be told, "" where it may."""
    if fact.status == "seen":
        return "a finding that has not been released"
    if fact.act in TELLS_OF_FINDINGS:
        return "work that tells of a finding that has not been released"
    return ""


def inner_keys(fact: FactRecord) -> tuple[str, ...]:
    """Return the keys of a fact that are never told, by name: its tag number and its storage place."""
    named = (("tag number", fact.tag is not None), ("storage place", fact.stowage is not None))
    return tuple(name for name, there in named if there)


def _name(person: Person, ordinary: frozenset[str]) -> re.Pattern[str]:
    """Match a person's whole name, the other ways it is said, and each part of the name, also in the possessive.

    A name that is heard as two words ("Thorn by") is the name all the same.
    """
    whole = {form.strip() for form in (person.name, *person.also)} - {""}
    parts = {part for part in (*person.name.split(), *_GAP.split(person.name)) if len(part) > 2}
    forms = sorted(
        whole | {part for part in parts if part.lower() not in _PARTICLES}, key=lambda one: (-len(one), one)
    )
    return re.compile("|".join(_name_form(form, ordinary) for form in forms) or r"(?!)")


def _name_form(form: str, ordinary: frozenset[str]) -> str:
    plain = unicodedata.normalize("NFKC", form).replace("\u2019", "'")
    if plain.lower() in ordinary:
        cased = re.escape(plain)
    else:
        parts = [_in_one_or_two(part) for part in _GAP.split(plain)]
        cased = f"(?i:{_ANY_GAP.join(parts)})"
    return rf"(?<!\w){cased}(?:'?s'?)?(?!\w)"


def _in_one_or_two(word: str) -> str:
    """Match a word whole, or with one gap that leaves two letters or more on both sides."""
    parted = (rf"{re.escape(word[:at])}[\s-]+{re.escape(word[at:])}" for at in range(2, len(word) - 1))
    return f"(?:{'|'.join([re.escape(word), *(parted if len(word) >= _LEAST_PARTED else ())])})"


def _phrase(words: str) -> re.Pattern[str]:
    plain = unicodedata.normalize("NFKC", words).replace("\u2019", "'")
    inner = r"[\s-]+".join(map(re.escape, plain.split()))
    return re.compile(rf"(?<!\w){inner}(?:'?s'?)?(?!\w)", re.IGNORECASE)
