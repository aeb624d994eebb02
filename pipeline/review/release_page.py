"""What may go out to supporters, as a page shows it: findings, names, and what was said on a day."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from pipeline.errors import WrongCommand
from pipeline.history.events import Event
from pipeline.history.past import Past
from pipeline.history.releases import FindingOut, NameOut, QuotationOut, Thing, covers, last_said, with_releases
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FindingLine, Records, UtteranceRecord
from pipeline.settings import Settings
from pipeline.writing.decision_wording import when
from pipeline.writing.english import capital
from pipeline.writing.wording import part_text

_FEWEST_WORDS, _MOST_WORDS = 5, 30


@dataclass(frozen=True)
class Item:
    """One thing that may go out: what it is, whether it does, who said so, and the last act on it (0 for none)."""

    thing: Thing
    text: str
    out: bool
    said: str
    number: int
    entry: str = ""
    aside: str = ""

    @property
    def name(self) -> str:
        """What a form calls it."""
        return self.thing.name


class Releases:
    """What may go out of one state of a book."""

    def __init__(self, records: Records, past: Past, vocabulary: Vocabulary, settings: Settings) -> None:
        self._records, self._terms, self._zone = records, vocabulary, settings.zone
        self._by_book = settings
        self._settings = with_releases(settings, past.acts)
        self._last = last_said(past.acts)
        self.findings = tuple(self._findings())
        self.names = tuple(self._names())
        self.speakers = tuple(one.person for one in self._of_names() if self._last_or_book(one))

    def said_on(self, day: date) -> tuple[Item, ...]:
        """Return what was said on a day that could be quoted: whole sentences without an unsure word."""
        said = {one.id: one for one in self._records.utterances}
        entries = [
            entry
            for entry in self._records.entries
            if entry.review != "rejected" and entry.at.astimezone(self._zone).date() == day
        ]
        return tuple(
            self._quotation(said[one], entry.id)
            for entry in entries
            for one in entry.utterances
            if one in said and _may_be_quoted(said[one])
        )

    def thing_called(self, name: str, words: str, by: str) -> Thing:
        """Return the thing that a form names, as it stands; raises WrongCommand where it is not there any more."""
        for one in (*self.findings, *self.names):
            if one.name == name:
                return one.thing
        said = next((one for one in self._records.utterances if f"quotation: {one.id}" == name), None)
        if said is None:
            raise WrongCommand("That is not there any more. Nothing was done.")
        if said.read != words:
            raise WrongCommand("These words have been put right since you saw them. Nothing was done.")
        if by and by not in self.speakers:
            raise WrongCommand(f"{by} has not agreed to be named. Let the name out first, or quote one of the team.")
        return QuotationOut(utterance=said.id, words=said.read, by=by)

    def _findings(self) -> Iterator[Item]:
        found: dict[str, tuple[FindingOut, FindingLine]] = {}
        for line in self._records.lists.findings:
            if line.item is not None and not line.absent:
                thing = FindingOut(item=line.item, finding=line.finding, side=line.side or "")
                found.setdefault(thing.name, (thing, line))
        for thing, line in sorted(found.values(), key=lambda one: (one[1].on, one[0].name)):
            part = part_text(line.item, line.side, None, self._terms)
            out = any(covers(one, thing) for one in self._settings.released)
            listed = next((one.who for one in self._by_book.released if covers(one, thing)), "")
            text = f"{capital(self._terms.preferred(thing.finding))}: {part}"
            yield self._item(thing, text, out, f"let out by {listed} in book.toml" if listed else "", line.entry)

    def _of_names(self) -> Iterator[NameOut]:
        return (NameOut(person=one.name) for one in self._by_book.people)

    def _last_or_book(self, thing: NameOut) -> bool:
        return next(one.consent for one in self._settings.people if one.name == thing.person)

    def _names(self) -> Iterator[Item]:
        for person in self._by_book.people:
            thing = NameOut(person=person.name)
            by_book = "agreed, as book.toml has it" if person.consent else ""
            yield self._item(thing, person.name, self._last_or_book(thing), by_book, aside=person.role)

    def _quotation(self, said: UtteranceRecord, entry: str) -> Item:
        thing = QuotationOut(utterance=said.id, words=said.read)
        held = next((one for one in self._settings.quoted if one.utterance == said.id), None)
        out = held is not None and held.words == said.read
        item = self._item(thing, f"“{said.read}”", out, "", entry)
        if held is not None and not out:
            return Item(
                thing, item.text, False, "let out before the words were put right: look again", item.number, entry
            )
        return item

    def _item(self, thing: Thing, text: str, out: bool, by_book: str, entry: str = "", aside: str = "") -> Item:
        last = self._last.get(thing.name)
        said = by_book if last is None else self._said(last)
        return Item(thing, text, out, said, 0 if last is None else last.n, entry, aside)

    def _said(self, act: Event) -> str:
        done = "let out" if act.act == "release" else "kept in"
        return f"{done} by {act.who}, {when(act.at, self._zone)} (number {act.n}): {act.why}"


def _may_be_quoted(said: UtteranceRecord) -> bool:
    number = len(said.read.split())
    whole = said.read[:1].isupper() and said.read.endswith((".", "!", "?"))
    return whole and _FEWEST_WORDS <= number <= _MOST_WORDS and not said.unsure
