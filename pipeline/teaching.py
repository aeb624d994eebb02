"""What a person teaches: a word that was heard wrong, or a name of the team's own; and what it would change.

Before anything is changed, everything that was said and that the word may touch is read again in memory, as the next
run would read it.
"""

import json
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from pipeline.bench import Bench
from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.hearing.corrected import read_utterance
from pipeline.hearing.frequency import zipf
from pipeline.hearing.heard_text import name_words
from pipeline.hearing.repair import Repairer
from pipeline.history.chain import append
from pipeline.history.events import Act, Event
from pipeline.history.seen import acting, need_reason
from pipeline.known import RecordingRead
from pipeline.matching.passages import Passages, SaidFact, tell
from pipeline.mistyped import to_type
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FactRecord, Records
from pipeline.store import Store
from pipeline.trade.lessons import Lesson, add_lesson, with_lesson
from pipeline.values import Kind, Reading, Utterance
from pipeline.writing.wording import fact_text


@dataclass(frozen=True)
class ReadOtherwise:
    """One utterance that would be read otherwise; ``decided``: a decision on it stands, and is asked again."""

    utterance: str
    entry: str
    before: str
    after: str
    decided: bool


@dataclass(frozen=True)
class Facts:
    """What the facts of one recording would be otherwise: those that go and that come, one of their entries."""

    entry: str
    gone: tuple[str, ...]
    new: tuple[str, ...]


@dataclass(frozen=True)
class Changes:
    """All that a lesson would change in a book."""

    places: tuple[ReadOtherwise, ...] = ()
    facts: tuple[Facts, ...] = ()


def changes_of(book: Book, records: Records, lesson: Lesson) -> Changes:
    """Return what a lesson would change in a book, without changing anything.

    Args:
        book: one that was run.
        records: its records as they stand.
        lesson: what is to be taught.

    Raises:
        WrongCommand: the lesson cannot be, or the book has no database to read what was heard from.
    """
    settings = book.settings()
    before = book.vocabulary(settings)
    if not book.store_file.exists():
        raise WrongCommand(f"{book.folder} has no database. Run it first: saidseen run {to_type(book.folder)}")
    trial = _Trial(records, before, Bench(settings, with_lesson(before, lesson)), lesson)
    with Store(book.store_file, read_only=True) as store:
        for media in records.media:
            if media.kind in (Kind.RECORDING, Kind.FILM, Kind.CAPTIONS):
                trial.read_again(media.id, store)
    return Changes(tuple(trial.places), tuple(trial.facts))


def teach(book: Book, lesson: Lesson, who: str, now: datetime, why: str) -> Event:
    """Put a lesson into the book's own vocabulary, and note who taught it; the next run reads everything with it.

    Raises:
        WrongCommand: the book does not list the person, or the lesson cannot be.
        BookInUse, HistoryChanged: as the acts.
    """
    need_reason(why, "Teaching")
    with acting(book, who):
        file, line = add_lesson(book.vocabulary_folder, book.vocabulary(book.settings()), lesson)
        after = {**lesson._asdict(), "file": f"vocab/{file.name}", "line": line}
        return append(book.history_file, [Act(who, "teach", lesson.heard, None, after, why)], now)[-1]


class _Trial:
    """Reads recordings again with a lesson, and gathers what comes out otherwise."""

    def __init__(self, records: Records, before: Vocabulary, bench: Bench, lesson: Lesson) -> None:
        self.places: list[ReadOtherwise] = []
        self.facts: list[Facts] = []
        self._before, self._bench = before, bench
        self._heard = name_words(lesson.heard)
        new = [(lesson.means, lesson.part)] if lesson.part else []
        self._sounds = Repairer(new, zipf) if new else None
        self._entry_of = {said: entry.id for entry in records.entries for said in entry.utterances}
        self._decided = {said for entry in records.entries if entry.decided for said in entry.utterances}

    def read_again(self, media: str, store: Store) -> None:
        """Read one recording again."""
        held, heard, told_before = (store.latest(stage, media) for stage in ("read", "hear", "tell"))
        if held is None or held.value is None or heard is None or heard.value is None:
            return
        told = RecordingRead.model_validate_json(held.value)
        after = told.readings
        if json.loads(heard.value)["by"] != "captions":  # of captions, a person has checked the words
            after = tuple(map(self._reading, told.utterances, told.readings))
        for said, old, new in zip(told.utterances, told.readings, after, strict=True):
            if old.read != new.read:
                entry = self._entry_of.get(said.id, "")
                self.places.append(ReadOtherwise(said.id, entry, old.read, new.read, said.id in self._decided))
        if told_before is not None and told_before.value is not None and self._tells_otherwise(told.readings, after):
            again = tell(media, told.utterances, after, self._bench.reader.read_note)
            self.facts += self._differences(Passages.model_validate_json(told_before.value), again)

    def _reading(self, said: Utterance, before: Reading) -> Reading:
        return read_utterance(said, self._bench.repairer) if self._may_change(said) else before

    def _may_change(self, said: Utterance) -> bool:
        words = name_words(said.heard)
        number = len(self._heard)
        if any(words[at : at + number] == self._heard for at in range(len(words) - number + 1)):
            return True
        return self._sounds is not None and bool(self._sounds.candidates(said.heard))

    def _tells_otherwise(self, before: tuple[Reading, ...], after: tuple[Reading, ...]) -> bool:
        old, new = (" ".join(one.read for one in readings) for readings in (before, after))
        return old != new or self._before.seen_from(old) != self._bench.vocabulary.seen_from(new)

    def _differences(self, before: Passages, after: Passages) -> Iterator[Facts]:
        old, new = self._counted(before), self._counted(after)
        gone, come = Counter(list(old)), Counter(list(new))
        if gone != come:
            changed = [*(come - gone), *(gone - come)]
            entry = {**old, **new}[changed[0]]
            yield Facts(entry, tuple(sorted(gone - come)), tuple(sorted(come - gone)))

    def _counted(self, told: Passages) -> Mapping[str, str]:
        terms = self._bench.vocabulary
        return {fact_text(as_recorded(said), terms): one.id for one in told.passages for said in one.facts}


def as_recorded(said: SaidFact) -> FactRecord:
    """Return a fact that was read as the records hold it, without the doubts about it."""
    fields = said.fact.model_dump(exclude={"words", "doubts"})
    return FactRecord(**fields, said=said.said, utterances=said.utterances)
