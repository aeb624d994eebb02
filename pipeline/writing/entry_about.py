"""What an entry is about, in one line: zone, place, system chapter, tags; and who said that he or she is speaking."""

import re
from collections.abc import Iterable, Mapping, Sequence

from pipeline.records import EntryRecord, UtteranceRecord
from pipeline.settings import Person
from pipeline.writing.standing_wording import ZONES
from pipeline.writing.terms import Terms, chapter_text, kind_and_zone
from pipeline.writing.wording import place_text

_NO_SYSTEM = frozenset({"fastener", "material", "support-equipment"})
_FORMS = (r"this is {}", r"it's {}(?= here\b| speaking\b|[,.!]|$)", r"{}(?= here\b| speaking\b)", r"my name is {}",
          r"i am {}", r"i'm {}")  # fmt: skip


def about(entry: EntryRecord, terms: Terms) -> tuple[tuple[str, str], ...]:
    """Return where on the aircraft an entry is and of which system: (("Zone", "Wings"), ("System", "57 Wings")).

    Only what its facts name; fasteners and materials are of no system.
    """
    parts = [one.item for one in entry.facts if kind_and_zone(terms, one.item)[0] not in _NO_SYSTEM]
    zones = _once(ZONES.get(kind_and_zone(terms, one)[1], "") for one in parts)
    told = (
        ("Zone", [one for one in zones if one != ZONES["any"]]),
        ("Place", _once(place_text(one.place) for one in entry.facts)),
        ("System", sorted(_once(chapter_text(terms, one) for one in parts))),
        ("Tag", _once(one.tag or "" for one in entry.facts)),
    )
    return tuple((name, "; ".join(texts)) for name, texts in told if texts)


class Speakers:
    """Who speaks in each recording, where that is said in it ("Tam here") or by its caption file."""

    def __init__(self, utterances: Iterable[UtteranceRecord], people: Sequence[Person]) -> None:
        """Look for people of the team who say their name.

        Args:
            utterances: all that was said.
            people: the team, with the names by which each is called.
        """
        patterns = [(one, _introduction(one)) for one in people]
        self._people = people
        self._told: dict[str, list[tuple[float, str, str]]] = {}
        for said in sorted(utterances, key=lambda one: (one.start_s, one.id)):
            if said.speaker:
                self._told.setdefault(said.media, []).append((said.start_s, self.voice(said), said.id))
                continue
            text = said.read.replace("\u2019", "'")
            for person, pattern in patterns:
                if pattern.search(text):
                    self._told.setdefault(said.media, []).append((said.start_s, person.name, said.id))

    def voice(self, said: UtteranceRecord) -> str:
        """Return whose voice a caption file says an utterance is, by the name in the book; "" where it does not."""
        return _of_the_team(said.speaker, self._people) if said.speaker else ""

    def until(self, media: str, end_s: float) -> tuple[str, str]:
        """Return who spoke last before a second of a recording, and the utterance that says so; ("", "") for none."""
        told = [(name, said) for start_s, name, said in self._told.get(media, ()) if start_s < end_s]
        return told[-1] if told else ("", "")


def named(texts: Iterable[str], people: Sequence[Person]) -> tuple[str, ...]:
    """Return the people of the team who are named in these words, in the order of the book's settings."""
    words = " ".join(texts).replace("\u2019", "'")
    return tuple(one.name for one in people if re.search(rf"\b(?:{_names(one)})(?:'s)?\b", words))


def _of_the_team(name: str, people: Sequence[Person]) -> str:
    """Return the name of whoever a caption file calls by this one: a whole name, another, a first name of one alone.

    The name itself where that is nobody's.
    """
    wanted = name.casefold()
    called = [one.name for one in people if wanted in {other.casefold() for other in (one.name, *one.also)}]
    first = [one.name for one in people if wanted == one.name.split(" ", 1)[0].casefold()]
    return called[0] if called else first[0] if len(first) == 1 else name


def _introduction(person: Person) -> re.Pattern[str]:
    # a name counts with its capital only: several are words of the trade too
    name = f"(?-i:{_names(person)})(?![\\w'])"
    return re.compile("|".join(rf"\b{form.format(name)}" for form in _FORMS), re.IGNORECASE)


def _names(person: Person) -> str:
    first = person.name.split(" ", 1)[0]
    names: Mapping[str, None] = dict.fromkeys(
        one.strip() for one in (person.name, *person.also, first) if one.strip()
    )
    return "|".join(re.escape(one) for one in sorted(names, key=len, reverse=True)) or "(?!)"


def _once(texts: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(one for one in texts if one))
