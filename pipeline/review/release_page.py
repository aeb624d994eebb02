"""What may go out to supporters, as a page shows it: findings, names, and what was said on a day."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cached_property

from pipeline.english import capital
from pipeline.errors import WrongCommand
from pipeline.history.events import Event
from pipeline.history.past import Past
from pipeline.history.releases import FindingOut, NameOut, QuotationOut, Thing, covers, last_said, with_releases
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import EntryRecord, FindingLine, Records, UtteranceRecord
from pipeline.settings import FIRST_NAME, Settings
from pipeline.writing.decision_wording import when
from pipeline.writing.supporters.quoting import sayings, why_held
from pipeline.writing.supporters.withheld import Watch
from pipeline.writing.wording import part_text

_FEWEST_WORDS, _MOST_WORDS = 5, 30


@dataclass(frozen=True)
class Item:
    """One thing that may go out: what it is, whether it does, who said so, and the last act on it (0 for none).

    ``held`` is why the report would keep it back though a person let it out.
    """

    thing: Thing
    text: str
    out: bool
    said: str
    number: int
    entry: str = ""
    aside: str = ""
    held: tuple[str, ...] = ()

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
        """Return what was said on a day that could be quoted: whole sentences without an unsure word.

        Each with why the report would keep it back all the same.
        """
        in_entry = {said: entry for entry in self._records.entries for said in entry.utterances}
        own = sayings(self._records, self._by_book, (day, day))
        found = [(one, in_entry.get(one.id)) for one in sorted(own, key=_begun) if _may_be_quoted(one)]
        self._watch.look_ahead(one.read for one, _ in found)
        return tuple(self._quotation(one, entry) for one, entry in found)

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
        good = {one.notation for one in self._terms.findings if one.good}  # a report claims no part to be so
        for line in self._records.lists.findings:
            if line.item is not None and not line.absent and line.finding not in good:
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
        return next(one.consent is True for one in self._settings.people if one.name == thing.person)

    def _names(self) -> Iterator[Item]:
        for person in self._by_book.people:
            thing = NameOut(person=person.name)
            whole = f"the whole name; the {FIRST_NAME} goes out, " if person.consent == FIRST_NAME else ""
            by_book = f"{whole}agreed, as book.toml has it" if person.consent else ""
            yield self._item(thing, person.name, self._last_or_book(thing), by_book, aside=person.role)

    @cached_property
    def _watch(self) -> Watch:
        return Watch(self._settings, self._terms, self._records)

    def why_held(self, thing: Thing) -> tuple[str, ...]:
        """Return why a report would keep a quotation back though a person let it out; nothing where it would not."""
        if not isinstance(thing, QuotationOut):
            return ()
        said = next((one for one in self._records.utterances if one.id == thing.utterance), None)
        entry = next((one for one in self._records.entries if thing.utterance in one.utterances), None)
        return () if said is None else self._held(said, entry)

    def _held(self, said: UtteranceRecord, entry: EntryRecord | None) -> tuple[str, ...]:
        return why_held(said, entry.facts if entry is not None else (), [said.read], self._watch.reasons)

    def _quotation(self, said: UtteranceRecord, own: EntryRecord | None) -> Item:
        entry, reasons = own.id if own is not None else "", self._held(said, own)
        thing = QuotationOut(utterance=said.id, words=said.read)
        held = next((one for one in self._settings.quoted if one.utterance == said.id), None)
        out = held is not None and held.words == said.read
        item = replace(self._item(thing, f"“{said.read}”", out, "", entry), held=reasons)
        if held is not None and not out:
            return replace(item, said="let out before the words were put right: look again")
        return item

    def _item(self, thing: Thing, text: str, out: bool, by_book: str, entry: str = "", aside: str = "") -> Item:
        last = self._last.get(thing.name)
        said = by_book if last is None else self._said(last)
        return Item(thing, text, out, said, 0 if last is None else last.n, entry, aside)

    def _said(self, act: Event) -> str:
        done = "let out" if act.act == "release" else "kept in"
        return f"{done} by {act.who}, {when(act.at, self._zone)} (number {act.n}): {act.why}"


def _begun(said: UtteranceRecord) -> tuple[datetime, str]:
    return said.start_at, said.id


def _may_be_quoted(said: UtteranceRecord) -> bool:
    number = len(said.read.split())
    whole = said.read[:1].isupper() and said.read.endswith((".", "!", "?"))
    return whole and _FEWEST_WORDS <= number <= _MOST_WORDS and not said.unsure
