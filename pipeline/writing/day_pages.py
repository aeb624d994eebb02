"""A day's page of the logbook: every entry, its words, its photos and the sound behind it."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta, tzinfo
from itertools import pairwise
from typing import TypeVar

from markupsafe import Markup

from pipeline.english import capital, listed, long_date, minutes, utc_offset
from pipeline.plain_text import file_name
from pipeline.records import (
    BookRecord,
    Caution,
    EntryRecord,
    FactRecord,
    MediaRecord,
    NotUnderstood,
    PhotoLink,
    Records,
    UnplacedPhoto,
    UnplacedSpeech,
    UtteranceRecord,
)
from pipeline.settings import Person
from pipeline.spans import span_text
from pipeline.writing.airframe_page import day_drawing
from pipeline.writing.asked_for import asked_of
from pipeline.writing.dated_by import DATED_BY, day_known, time_told
from pipeline.writing.day_views import (
    DayView,
    EntryView,
    FactView,
    FileView,
    PhotoView,
    SilenceView,
    SourceView,
    SpeechView,
)
from pipeline.writing.decision_wording import NO_RELEASE, acts_on, read_otherwise
from pipeline.writing.doubt_wording import doubts_told
from pipeline.writing.entry_about import Speakers, about, named
from pipeline.writing.fact_names import FactNames, names_told
from pipeline.writing.pages import page
from pipeline.writing.photo_captions import photo_caption
from pipeline.writing.speech import Piece, pieces
from pipeline.writing.terms import Terms
from pipeline.writing.titles import NO_PART, entry_title
from pipeline.writing.viewing_copies import Links, from_second
from pipeline.writing.wording import STATUS_HEADINGS, fact_text

__all__ = [
    "DayView",
    "EntryView",
    "FactView",
    "Logbook",
    "PhotoView",
    "SilenceView",
    "SourceView",
    "SpeechView",
    "day_page",
    "moved",
    "percent",
]

FOLDER = "logbook"
_NO_DAY = date.min  # under which photos are kept of which nobody knows the day
_T = TypeVar("_T")
_KEY_WORDS = {"item": "part", "of": "what was counted"}
_PREFIXES = ("To do: ", "Not done: ", "How: ")
_HARDLY_OFF_S = 60


class Logbook:
    """The day pages of one book's records."""

    def __init__(
        self, records: Records, terms: Terms, links: Links, zone: tzinfo, people: Sequence[Person] = ()
    ) -> None:
        """Make ready to lay out pages.

        Args:
            records: everything that the book holds.
            terms: the vocabulary.
            links: where pictures, sound and originals are.
            zone: the book's time zone, in which days begin and end.
            people: the team, by whose names a speaker may be told.
        """
        self._records = records
        self._terms = terms
        self._links = links
        self._zone = zone
        self._media = {media.id: media for media in records.media}
        self._utterances = {utterance.id: utterance for utterance in records.utterances}
        self._read = {one.id: one.read for one in records.utterances}
        self._people = people
        self._speakers = Speakers(records.utterances, people)
        self._entries_of = _by_day(records.entries, lambda one: self._local(one.at).date())
        self._unplaced_of = _by_day(records.unplaced_speech, lambda one: self._day_of_speech(one.utterance))
        self._silent_of = _by_day(records.not_understood, lambda one: self._local(self._silence_at(one)).date())
        self._photos_of = _by_day(records.unplaced_photos, lambda one: self._day_of_photo(self._media[one.media]))

    def days(self) -> tuple[DayView, ...]:
        """Return every day on which something was said or photographed, in order."""
        days = {*self._entries_of, *self._unplaced_of, *self._silent_of, *self._photos_of} - {_NO_DAY}
        return tuple(map(self.day, sorted(days)))

    def undated(self) -> DayView:
        """Return the photos without an entry of which nobody knows the day, as if they were of one."""
        return replace(self.day(_NO_DAY), title="Not dated: nobody knows the day")

    def _day_of_photo(self, media: MediaRecord) -> date:
        return self._local(media.taken_at).date() if day_known(media) else _NO_DAY

    @property
    def book(self) -> BookRecord:
        """Whose book it is."""
        return self._records.book

    def drawing(self, day: date) -> Markup:
        """Return the small drawing of a day's work."""
        return day_drawing(self._entries_of.get(day, ()), self._terms, day, self._zone)

    def day(self, day: date) -> DayView:
        """Return a day as its page shows it."""
        entries = sorted(self._entries_of.get(day, ()), key=lambda one: (one.at, one.id))
        unplaced = self._unplaced_of.get(day, ())
        silent = self._silent_of.get(day, ())
        photos = self._photos_of.get(day, ())
        media = [self._media[one] for one in _media_of(entries, unplaced, silent, photos, self._utterances)]
        return DayView(
            day=day,
            title=long_date(day),
            entries=tuple(self._entry(one) for one in entries),
            speech=tuple(
                self._speech(said := self._utterances[one.utterance], one.why, self._speakers.voice(said))
                for one in sorted(unplaced, key=lambda one: self._utterances[one.utterance].start_at)
            ),
            silent=tuple(self._silence(one) for one in sorted(silent, key=self._silence_at)),
            photos=tuple(
                self._photo(self._media[one.media], None, "a photo that was not placed with any entry", (one.why,))
                for one in sorted(photos, key=lambda one: (self._media[one.media].taken_at, one.media))
            ),
            files=tuple(map(self._file, sorted(media, key=lambda one: (one.taken_at, one.id)))),
            corrected=tuple(sorted({(one.device, flag) for one in media for flag in _corrected(one)})),
        )

    def _entry(self, entry: EntryRecord) -> EntryView:
        at = self._local(entry.at)
        media = self._media[entry.media]
        names = names_told(entry, self._read, self._terms)
        texts = [(fact, fact_text(fact, self._terms, name)) for fact, name in zip(entry.facts, names, strict=True)]
        sound = self._links.to_sound(media, FOLDER)
        speech = tuple(self._utterances[one] for one in entry.utterances if one in self._utterances)
        who, who_told = self._speakers.until(entry.media, entry.end_s)
        voices = [self._speakers.voice(one) for one in speech]
        if several := len(set(voices)) > 1:
            who, who_told = listed(list(dict.fromkeys(filter(None, voices)))), ""
        begins = [
            (one or "Somebody") if several and one != before else "" for before, one in pairwise((None, *voices))
        ]
        return EntryView(
            id=entry.id,
            at=at,
            clock=f"{at:%H:%M:%S}",
            offset=utc_offset(at),
            title=entry_title(entry, self._terms, names),
            facts=tuple(
                (heading, tuple(_fact_view(fact, text) for fact, text in texts if fact.status == status))
                for status, heading in STATUS_HEADINGS
                if any(fact.status == status for fact in entry.facts)
            ),
            speech=tuple(self._speech(one, speaker=begun) for one, begun in zip(speech, begins, strict=True)),
            photos=tuple(self._entry_photo(entry, link, texts, names) for link in entry.photos),
            source=self._source(media),
            sound=from_second(sound, entry.start_s, entry.end_s),
            from_to=f"{minutes(entry.start_s)} to {minutes(entry.end_s)}",
            review=entry.review,
            cautions=tuple(one for one in self._records.cautions if entry.id in one.entries),
            hardware=tuple(number.says for one in speech for number in one.part_numbers),
            about=about(entry, self._terms),
            who=who,
            who_told=self._link_to_words(who_told, at.date()),
            named=tuple(
                one for one in named((one.read for one in speech), self._people) if one not in (who, *voices)
            ),
            within=span_text(media.time_error_s) if media.time_error_s > _HARDLY_OFF_S else "",
            acts=acts_on(entry, self._zone),
            signed=bool(entry.signed),
            asks=asked_of(entry.facts),
            otherwise=read_otherwise(entry, self._utterances, self._terms),
        )

    def _entry_photo(
        self,
        entry: EntryRecord,
        link: PhotoLink,
        texts: Sequence[tuple[FactRecord, str]],
        names: Sequence[FactNames],
    ) -> PhotoView:
        media = self._media[link.media]
        caption = photo_caption(media, link, entry, texts, self._utterances)
        title = entry_title(entry, self._terms, names)
        caption = caption or ("" if title in NO_PART else title)
        return self._photo(media, link.p, f"placed with: {caption or title}", link.why, caption)

    def _photo(
        self, media: MediaRecord, p: float | None, about: str, why: tuple[str, ...], caption: str = ""
    ) -> PhotoView:
        at = self._local(media.taken_at)
        still = media.still_of is not None
        corrected = _corrected(media)
        clock = time_told(media, f"{at:%H:%M:%S}")
        return PhotoView(
            picture=self._links.to_picture(media.id, FOLDER),
            original=self._links.to_original(media, FOLDER),
            name=file_name(media.path),
            hash=media.id,
            clock=clock,
            device=media.device,
            alt=f"{'Still from a film' if still else 'Photo'}{' at' * clock[:1].isdigit()} {clock}, {about}",
            percent="" if p is None else percent(p),
            moved="" if any("clock" in one for one in why) else moved(media.moved_s),
            why=why,
            doubts=tuple(one for one in media.flags if one not in corrected),
            caption=caption,
        )

    def _speech(self, utterance: UtteranceRecord, why: str = "", speaker: str = "") -> SpeechView:
        media = self._media[utterance.media]
        cut = pieces(utterance)
        at = self._local(utterance.start_at)
        return SpeechView(
            id=utterance.id,
            clock=f"{at:%H:%M:%S}",
            pieces=cut if cut is not None else (Piece(utterance.read),),
            heard="" if cut is not None else utterance.heard,
            suggestions=tuple(f"“{one.heard}” may be “{one.read}”: {one.why}" for one in utterance.suggestions),
            sound=from_second(self._links.to_sound(media, FOLDER), utterance.start_s, utterance.end_s),
            why=why,
            speaker=speaker,
        )

    def _silence(self, one: NotUnderstood) -> SilenceView:
        media = self._media[one.media]
        link = from_second(self._links.to_sound(media, FOLDER), one.start_s, one.end_s)
        where = f"{file_name(media.path)}, {minutes(one.start_s)} to {minutes(one.end_s)}"
        return SilenceView(
            clock=f"{self._local(self._silence_at(one)):%H:%M:%S}",
            where=where,
            link=link,
            why=one.why,
            guess=one.guess,
        )

    def _source(self, media: MediaRecord) -> SourceView:
        return SourceView(
            name=file_name(media.path),
            link=self._links.to_original(media, FOLDER),
            sound=self._links.to_sound(media, FOLDER),
            hash=media.id,
            kind=str(media.kind),
            device=media.device,
            dated=f"{DATED_BY[media.time_source]}, within {span_text(media.time_error_s)}",
            moved=moved(media.moved_s),
            doubts=media.flags,
        )

    def _file(self, media: MediaRecord) -> FileView:
        dated = f"{DATED_BY[media.time_source]}, within {span_text(media.time_error_s)}"
        return FileView(
            name=file_name(media.path),
            link=self._links.to_original(media, FOLDER),
            kind="still" if media.still_of is not None else str(media.kind),
            device=media.device,
            dated="; ".join(filter(None, (dated, moved(media.moved_s)))),
            hash=media.id.removeprefix("sha256:"),
        )

    def _link_to_words(self, utterance: str, day: date) -> str:
        """Return the link from a day's page to words, which may have been said on the day before; "" for none."""
        if not utterance:
            return ""
        of = self._day_of_speech(utterance)
        return f"{'' if of == day else f'{of}.html'}#{utterance}"

    def _local(self, at: datetime) -> datetime:
        return at.astimezone(self._zone)

    def _day_of_speech(self, utterance: str) -> date:
        return self._local(self._utterances[utterance].start_at).date()

    def _silence_at(self, one: NotUnderstood) -> datetime:
        return self._media[one.media].taken_at + timedelta(seconds=one.start_s)


def day_page(
    logbook: Logbook,
    day: date,
    before: date | None,
    after: date | None,
    timeline: str,
    whys: Mapping[Caution, str],
) -> str:
    """Return the page of a day.

    Args:
        logbook: of the day's records, or of more.
        day: which day.
        before: the logbook's day before it, None for none.
        after: the day after it.
        timeline: the link to its timeline.
        whys: the link to each piece of advice.
    """
    return page(
        "logbook/day.html",
        book=logbook.book,
        day=logbook.day(day),
        before=None if before is None else {"day": before, "title": long_date(before)},
        after=None if after is None else {"day": after, "title": long_date(after)},
        timeline=timeline,
        airframe=logbook.drawing(day),
        whys=whys,
        no_release=NO_RELEASE,
    )


def _by_day(found: Iterable[_T], day_of: Callable[[_T], date]) -> dict[date, list[_T]]:
    days: dict[date, list[_T]] = {}
    for one in found:
        days.setdefault(day_of(one), []).append(one)
    return days


def _media_of(
    entries: Sequence[EntryRecord],
    unplaced: Sequence[UnplacedSpeech],
    silent: Sequence[NotUnderstood],
    photos: Sequence[UnplacedPhoto],
    utterances: Mapping[str, UtteranceRecord],
) -> set[str]:
    """Return every piece of media that something of a day comes from."""
    media = {one.media for one in entries} | {one.media for one in silent} | {one.media for one in photos}
    media |= {utterances[one.utterance].media for one in unplaced}
    return media | {link.media for entry in entries for link in entry.photos}


def _corrected(media: MediaRecord) -> tuple[str, ...]:
    """Return what tells that its clock was wrong and is corrected: no doubt, and told once for the whole day."""
    return tuple(one for one in media.flags if media.moved_s and "corrected" in one)


def percent(p: float) -> str:
    """Return a probability as "97 %", never rounded up to certainty or down to none."""
    return "over 99\u00a0%" if p > 0.994 else "under 1\u00a0%" if p < 0.005 else f"{p * 100:.0f}\u00a0%"


def moved(by_s: float) -> str:
    """Return how far a time was moved, "" for less than a second: "1 h 0 min 4 s later than its clock showed"."""
    if abs(by_s) < 1:
        return ""
    return f"{span_text(by_s)} {'later' if by_s > 0 else 'earlier'} than its clock showed"


def _fact_view(fact: FactRecord, text: str) -> FactView:
    for prefix in _PREFIXES:
        text = text.removeprefix(prefix)
    inferred = "; ".join(f"{_KEY_WORDS.get(key, key)} ({why})" for key, why in fact.inferred)
    return FactView(capital(text), inferred, "; ".join(doubts_told(fact)))
