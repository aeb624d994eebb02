"""What the review pages show, as values: the days, one day's entries with the doubtful first, one entry."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from pipeline.english import capital, long_date
from pipeline.history.answers import last_answer
from pipeline.history.cuts import follower
from pipeline.history.past import Past
from pipeline.history.seen import Seen
from pipeline.plain_text import file_name
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Caution, EntryRecord, MediaRecord, Records
from pipeline.review.doubts import doubts_of
from pipeline.review.fact_form import FactForm, form_of
from pipeline.review.media_files import SOUNDS
from pipeline.review.words import Words, words_of
from pipeline.settings import Answer, Settings
from pipeline.values import HeardWord
from pipeline.writing.dated_by import day_known, time_told
from pipeline.writing.day_pages import percent
from pipeline.writing.decision_wording import decision_text, read_otherwise, signature_told
from pipeline.writing.doubt_wording import doubts_told
from pipeline.writing.fact_names import FactNames, names_told
from pipeline.writing.matters import Matter, matters
from pipeline.writing.titles import entry_title
from pipeline.writing.wording import STATUS_HEADINGS, fact_text, part_text

_NO_DAY = date.min


@dataclass(frozen=True)
class Row:
    """One entry in a list: ``doubts`` is what to look at; ``state`` is what a person decided."""

    id: str
    clock: str
    title: str
    state: str
    doubts: tuple[str, ...]
    seen: Seen
    picture: str

    @property
    def clear(self) -> bool:
        """Tell whether nobody has looked at it and there is nothing in it to check."""
        return self.state == "unread" and not self.doubts


@dataclass(frozen=True)
class Loose:
    """A photo that stands in no entry."""

    id: str
    clock: str
    why: str


@dataclass(frozen=True)
class Day:
    """One day: its entries, the doubtful first, and its photos without an entry.

    Photos of which nobody knows the day are together under one that there never was, the last of all.
    """

    day: date
    title: str
    rows: tuple[Row, ...]
    loose: tuple[Loose, ...] = ()

    @property
    def known(self) -> bool:
        """Tell whether it is a day of the calendar."""
        return self.day != _NO_DAY

    @property
    def doubtful(self) -> int:
        """How many entries hold something to check."""
        return sum(bool(one.doubts) for one in self.rows)

    @property
    def clear(self) -> tuple[Row, ...]:
        """The entries that may be accepted together."""
        return tuple(one for one in self.rows if one.clear)

    @property
    def done(self) -> int:
        """How many entries a person has decided on."""
        return sum(one.state != "unread" for one in self.rows)


@dataclass(frozen=True)
class FactLine:
    """One fact as a sentence, what is to be checked in it, what was inferred, and its form."""

    number: int
    status: str
    text: str
    doubts: tuple[str, ...]
    inferred: tuple[str, ...]
    form: FactForm


@dataclass(frozen=True)
class Photo:
    """One photo of an entry."""

    id: str
    clock: str
    device: str
    why: str
    flags: tuple[str, ...]


@dataclass(frozen=True)
class Advice:
    """A caution of an entry; ``number`` is that of the last answer to it in the history, 0 for none."""

    caution: Caution
    number: int
    who: str


@dataclass(frozen=True)
class Asked:
    """Something to settle: the part that it is about, "" where it names its part itself; what is asked, and why."""

    part: str
    text: str
    why: str


@dataclass(frozen=True)
class Decided:
    """A decision or a signature that stands, in words; its number by which whoever made it takes it back."""

    number: int
    who: str
    text: str


@dataclass(frozen=True)
class EntryPage:
    """One entry with all that is to be seen, heard and decided.

    ``siblings`` are the other entries of its recording, the file ``source``, that are not rejected.
    """

    row: Row
    day: Day
    sound: str
    start_s: float
    end_s: float
    words: tuple[Words, ...]
    facts: tuple[FactLine, ...]
    photos: tuple[Photo, ...]
    advice: tuple[Advice, ...]
    questions: tuple[Asked, ...]
    decided: tuple[Decided, ...]
    signed: tuple[Decided, ...]
    otherwise: str
    time_doubts: tuple[str, ...]
    before: Row | None
    after: Row | None
    neighbour: Row | None
    source: str
    siblings: tuple[Row, ...]

    def place(self, asked: str) -> str:
        """Return the id of a place on this page, or of what stands there now; "" for the page as a whole.

        Args:
            asked: as ``place_in`` gives it: an utterance, "photo-…", or "fact-2"; the last fact where that is gone.
        """
        facts = [f"fact-{one.number}" for one in self.facts]
        there = {*facts, *(one.id for one in self.words), *(f"photo-{one.id}" for one in self.photos)}
        if asked in there:
            return asked
        return facts[-1] if asked.startswith("fact-") and facts else ""


Spoken = Callable[[str], Mapping[str, Sequence[HeardWord]]]
"""Gives the words of each utterance of a recording with their seconds."""


def _unspoken(media: str) -> Mapping[str, Sequence[HeardWord]]:
    return {}


_HEADINGS = dict(STATUS_HEADINGS)
# What was not said in the words that tell a fact, as a person calls it.
_KEY_WORDS = {
    "act": "what was done", "item": "the part", "of": "what was counted", "place": "the place", "side": "the side",
    "stowage": "where it is kept",
}  # fmt: skip


class Views:
    """The pages of one state of a book's records."""

    def __init__(
        self, records: Records, past: Past, vocabulary: Vocabulary, settings: Settings, spoken: Spoken = _unspoken
    ) -> None:
        self.records = records
        self._spoken = spoken
        self._past = past
        self._terms = vocabulary
        self._zone = settings.zone
        self._people = settings.people
        self._media = {one.id: one for one in records.media}
        self._said = {one.id: one for one in records.utterances}
        self.entries = {one.id: one for one in records.entries}
        self._matters: dict[str, list[Matter]] = {}
        for matter in matters(records, vocabulary):
            for entry in matter.entries:
                self._matters.setdefault(entry, []).append(matter)
        self.days = self._days()

    @property
    def media(self) -> Mapping[str, MediaRecord]:
        """Every piece of media of the book, by id."""
        return self._media

    def day(self, day: str) -> Day | None:
        """Return the day of a date as it stands in an address, None for one that the book does not have."""
        return next((one for one in self.days if one.day.isoformat() == day), None)

    def day_of(self, entry: str) -> Day | None:
        """Return the day on which an entry is."""
        return next((day for day in self.days if any(one.id == entry for one in day.rows)), None)

    def loose_photo(self, name: str) -> tuple[Day, Loose] | None:
        """Return a photo that stands in no entry, by the figures of its id, behind the day that its clock gives."""
        return next(((day, one) for day in self.days for one in day.loose if one.id == name), None)

    def days_to_choose(self, at: date, asked: str) -> tuple[tuple[Day, ...], Day | None]:
        """Return the days that have entries, and the one that is asked for, or else the nearest to a date."""
        there = tuple(one for one in self.days if one.rows)
        nearest = min(there, key=lambda one: abs((one.day - at).days), default=None)
        return there, next((one for one in there if one.day.isoformat() == asked), nearest)

    def called(self, entry: str) -> str:
        """Return the hour and title of an entry, "" where there is none."""
        day = self.day_of(entry)
        return "" if day is None else next(f"{one.clock} {one.title}" for one in day.rows if one.id == entry)

    def next_to_check(self, entry: str) -> Row | None:
        """Return the next entry of its day that nobody has decided on, the doubtful first."""
        day = self.day_of(entry)
        left = () if day is None else tuple(one for one in day.rows if one.state == "unread" and one.id != entry)
        return left[0] if left else None

    def entry(self, entry: str) -> EntryPage | None:
        """Return the page of an entry, None where there is none of this id."""
        record, day = self.entries.get(entry), self.day_of(entry)
        if record is None or day is None:
            return None
        at = next(number for number, one in enumerate(day.rows) if one.id == entry)
        source = self._media[record.media]
        spoken = self._spoken(record.media)
        return EntryPage(
            row=day.rows[at],
            day=day,
            sound=_hex(record.media) if source.kind in SOUNDS else "",
            start_s=record.start_s,
            end_s=record.end_s,
            words=tuple(
                words_of(self._said[one], self._clock(self._said[one].start_at), self._terms, spoken.get(one, ()))
                for one in record.utterances
                if one in self._said
            ),
            facts=tuple(self._facts(record)),
            photos=tuple(self._photo(one.media, percent(one.p), one.why) for one in record.photos),
            advice=tuple(self._advice(one) for one in self.records.cautions if entry in one.entries),
            questions=self._questions(entry),
            decided=tuple(Decided(one.number, one.who, decision_text(one, self._zone)) for one in record.decided),
            signed=tuple(self._signed(record)),
            otherwise=read_otherwise(record, self._said, self._terms),
            time_doubts=tuple(one for one in source.flags if "corrected" not in one),
            before=day.rows[at - 1] if at else None,
            after=day.rows[at + 1] if at + 1 < len(day.rows) else None,
            neighbour=self._neighbour(record),
            source=file_name(source.path),
            siblings=tuple(
                self._row(one)
                for one in self.records.entries
                if one.media == record.media and one.id != entry and one.review != "rejected"
            ),
        )

    def _signed(self, entry: EntryRecord) -> Iterable[Decided]:
        for one in sorted(entry.signed, key=lambda one: one.number):
            told = signature_told(one, self._zone)
            yield Decided(one.number, one.who, f"{told.text} {told.doubt}".strip())

    def _neighbour(self, entry: EntryRecord) -> Row | None:
        """Return the entry that follows in the same recording, with which this one can be joined."""
        follows = None if entry.review == "rejected" else follower(entry, self.records.entries)
        if follows is None or follows.review == "rejected" or follows.signed:
            return None
        return self._row(follows)

    def _days(self) -> tuple[Day, ...]:
        by_day: dict[date, list[EntryRecord]] = {}
        for entry in self.records.entries:
            by_day.setdefault(entry.at.astimezone(self._zone).date(), []).append(entry)
        loose: dict[date, list[Loose]] = {}
        for one in self.records.unplaced_photos:
            photo = self._media[one.media]
            at = photo.taken_at.astimezone(self._zone)
            loose.setdefault(at.date() if day_known(photo) else _NO_DAY, []).append(
                Loose(_hex(one.media), self._time_of(photo), one.why)
            )
        return tuple(
            Day(
                day=day,
                title="Day not known" if day == _NO_DAY else long_date(day),
                rows=self._rows(by_day.get(day, ())),
                loose=tuple(sorted(loose.get(day, ()), key=lambda one: one.clock)),
            )
            for day in sorted({*by_day, *loose}, key=lambda day: (day == _NO_DAY, day))
        )

    def _rows(self, entries: Iterable[EntryRecord]) -> tuple[Row, ...]:
        rows = [self._row(one) for one in sorted(entries, key=lambda one: (one.at, one.id))]
        return tuple(sorted(rows, key=lambda one: (not one.doubts, one.state != "unread")))

    def _row(self, entry: EntryRecord) -> Row:
        return Row(
            id=entry.id,
            clock=self._clock(entry.at)[:5],
            title=entry_title(entry, self._terms, self._names_told(entry)),
            state=entry.review,
            doubts=doubts_of(entry, self._said, self._media, tuple(self._matters.get(entry.id, ()))),
            seen=Seen.of(entry),
            picture=_hex(entry.photos[0].media) if entry.photos else "",
        )

    def _names_told(self, entry: EntryRecord) -> tuple[FactNames, ...]:
        read = {one: self._said[one].read for one in entry.utterances if one in self._said}
        return names_told(entry, read, self._terms)

    def _facts(self, entry: EntryRecord) -> Iterable[FactLine]:
        for number, (fact, name) in enumerate(zip(entry.facts, self._names_told(entry), strict=True)):
            inferred = tuple(f"{_KEY_WORDS.get(key, key)} ({why})" for key, why in fact.inferred)
            text = fact_text(fact, self._terms, name)
            for prefix in ("To do: ", "Not done: ", "How: "):
                text = text.removeprefix(prefix)
            text = text[:1].upper() + text[1:]
            heading, form = _HEADINGS[fact.status], form_of(fact, self._terms)
            yield FactLine(number, heading, text, tuple(doubts_told(fact)), inferred, form)

    def _questions(self, entry: str) -> tuple[Asked, ...]:
        """Return what is asked of an entry, besides its advice and its facts, which stand elsewhere on its page."""
        found = [one for one in self._matters.get(entry, ()) if one.kind not in ("caution", "to-check")]
        parts = [part_text(one.item, one.side, one.place, self._terms, article=False) for one in found]
        return tuple(Asked(capital(part), one.text, one.why) for part, one in zip(parts, found, strict=True))

    def _photo(self, media: str, likely: str, why: Sequence[str]) -> Photo:
        one = self._media[media]
        return Photo(
            id=_hex(media),
            clock=self._time_of(one),
            device=one.device,
            why=f"{likely}: {'; '.join(why)}",
            flags=tuple(flag for flag in one.flags if "corrected" not in flag),
        )

    def _advice(self, caution: Caution) -> Advice:
        last = last_answer(self._past.acts, new_answer(caution, "", ""))
        return Advice(caution, 0 if last is None else last.n, "" if last is None else last.who)

    def _time_of(self, photo: MediaRecord) -> str:
        """Return when a photo was taken; its name with what is not known, where there is no hour to tell it by."""
        clock = self._clock(photo.taken_at)
        told = time_told(photo, clock)
        return clock if told == clock else f"{file_name(photo.path)} ({told})"

    def _clock(self, at: datetime) -> str:
        return f"{at.astimezone(self._zone):%H:%M:%S}"


def new_answer(caution: Caution, reason: str, who: str) -> Answer:
    """Return the answer to a caution: to this one alone, which its first entry tells from others of its rule."""
    entry = caution.entries[0] if caution.entries else ""
    return Answer(
        rule=caution.rule, item=caution.item or "", side=caution.side or "", entry=entry, reason=reason, who=who
    )


def _hex(media: str) -> str:
    return media.removeprefix("sha256:")
