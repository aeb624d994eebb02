"""The editor's own hand in a supporters' report: what ``edits.toml`` wants of it, and what came of each wish.

What an editor writes passes the same gate as all else. What is kept back, and what fits nothing, is told in a line.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date
from functools import cached_property

from rapidfuzz import fuzz, process

from pipeline.digests import digest_of
from pipeline.mistyped import did_you_mean
from pipeline.records import EntryRecord, MediaRecord, Records
from pipeline.settings import Edits, PictureEdit, ReportEdit, Settings
from pipeline.values import Kind
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.choosing import Looks
from pipeline.writing.supporters.earlier import Earlier
from pipeline.writing.supporters.story import Paragraph, Picture, Section, Story
from pipeline.writing.supporters.told import Told
from pipeline.writing.supporters.withheld_text import WhyWithheld, plain, sentence_spans
from pipeline.writing.terms import Terms

_NEAR = 60.0  # how alike, of 100, a sentence must be to be asked for
_BEHIND = ("edits.toml",)


class Photos:
    """Knows the book's photos by the names of their files."""

    def __init__(self, records: Records) -> None:
        """Take the names, those of copies elsewhere too."""
        self._by_name: dict[str, dict[str, tuple[str, ...]]] = {}
        self._own: dict[str, MediaRecord] = {}
        for one in records.media:
            if one.kind != Kind.PHOTO:
                continue
            self._own[one.id] = one
            for path in (one.path, *one.other_paths):
                parts = _parts(_path_of(path, one))
                self._by_name.setdefault(parts[-1].casefold(), {})[one.id] = parts

    def called(self, name: str) -> tuple[str, str]:
        """Return the id of the photo that a name is of, "" for none, and what is to be told of it, "" for nothing."""
        wanted = [one.casefold() for one in _parts(name)]
        alike = self._by_name.get(wanted[-1], {}) if wanted else {}
        found = sorted(
            media for media, parts in alike.items() if [one.casefold() for one in parts[-len(wanted) :]] == wanted
        )
        if len(found) == 1:
            return found[0], ""
        if found:
            listed = ", ".join(self.name_of(one) for one in found)
            return "", f"{name} is the name of {len(found)} photos. Write which: {listed}."
        names = [parts[-1] for of_name in self._by_name.values() for parts in of_name.values()]
        return "", f"the book has no photo {name}. {did_you_mean(name, names)}".rstrip()

    def name_of(self, media: str) -> str:
        """Return the name that tells a photo from all others: its file's, with as many folders as it takes."""
        one = self._own[media]
        parts = _parts(_path_of(one.path, one))
        others = [each for id_, each in self._by_name[parts[-1].casefold()].items() if id_ != media]
        for count in range(1, len(parts) + 1):
            if not any(each[-count:] == parts[-count:] for each in others):
                return "/".join(parts[-count:])
        return one.path


class Editor:
    """What an editor wants of one report.

    Args:
        settings: the book's settings, with all that ``edits.toml`` holds.
        records: the book's records.
        name: the name of the report's folder.
        first: its first day.
        last: its last day.
        photos: the photos of the records, where somebody knows them already.
    """

    def __init__(
        self,
        settings: Settings,
        records: Records,
        name: str,
        first: date,
        last: date,
        photos: Callable[[], Photos] | None = None,
    ) -> None:
        self._settings = settings
        self._know = photos or (lambda: Photos(records))
        self._edits, self._all, self._zone, self._days = settings.edits, records, settings.zone, (first, last)
        self.name = name
        mine = next((one for one in settings.edits.reports if one.report == name), None)
        self._wish = mine or ReportEdit(report=name)
        self._closing = settings.supporters.closing
        self.lead = self._photo(self._wish.lead)

    @cached_property
    def records(self) -> Records:
        """The records without the photos that are left out: no picture is chosen among those."""
        gone = {media for one in self._edits.pictures if one.leave_out and (media := self._photo(one.photo))}
        if not gone:
            return self._all

        def without(entry: EntryRecord) -> EntryRecord:
            photos = tuple(one for one in entry.photos if one.media not in gone)
            return entry if len(photos) == len(entry.photos) else entry.model_copy(update={"photos": photos})

        return self._all.model_copy(update={"entries": tuple(map(without, self._all.entries))})

    @cached_property
    def let_out(self) -> frozenset[str]:
        """The photos that the editor has looked at, and lets out by name."""
        wished = (one for one in self._edits.pictures if one.let_out and not one.leave_out)
        return frozenset(
            media for one in wished if not self._not_let_out_by(one) and (media := self._photo(one.photo))
        )

    def _not_let_out_by(self, one: PictureEdit) -> str:
        """Return why a photo is not let out by whoever is said to have looked at it, "" where it is."""
        who = one.who.strip()
        if not who:
            return f'{one.photo} is not let out: write who has looked at it, as who = "…".'
        team = self._settings.people
        named = {name.casefold() for person in team for name in (person.name, *person.also)}
        if who.casefold() not in named:
            return (
                f"{one.photo} is not let out: {who} is not in [[people]] of book.toml. Write a whole name of those."
            )
        return ""

    def asked(self, terms: Terms, looks: Looks, earlier: Earlier | None = None) -> Asked:
        """Return what is to be planned.

        Args:
            terms: the vocabulary.
            looks: how the photos look.
            earlier: knows what the reports before told, where that has been worked out.
        """
        return Asked(self.records, self._settings, terms, *self._days, looks, self.lead, self.let_out, earlier)

    def made_from(self) -> str:
        """Return a fingerprint of all that the editor wants of this report, and of the photos that are meant."""
        named = [self.lead, *(self._photo(one.photo) for one in self._edits.pictures)]
        pictures = (one.model_dump_json() for one in self._edits.pictures)
        return digest_of([self._wish.model_dump_json(), *pictures, *named])

    def edited(self, story: Story, reasons: WhyWithheld) -> tuple[Story, tuple[str, ...]]:
        """Return the story as the editor wants it, and what is to be told of what could not be done.

        Args:
            story: as it was planned, of ``records`` and with ``lead``.
            reasons: tells why a text may not go out.
        """
        notes = list(self._not_found())
        if self._closing and not any(_key(self._closing) in _key(one.text) for one in story.thanks):
            notes.append(f"book.toml: the closing line is not in the reports{_why(reasons(self._closing))}.")
        if self._edits == Edits():
            return story, tuple(notes)
        story = self._left_out(self._begun(self._captioned(story, reasons, notes), reasons, notes), notes)
        return story, tuple(f"edits.toml: {one}" if not one.startswith("book.toml") else one for one in notes)

    def _not_found(self) -> Iterator[str]:
        for one in self._edits.pictures:
            if one.let_out and (why := self._not_let_out_by(one)):
                yield why
        for name in (self._wish.lead, *(one.photo for one in self._edits.pictures)):
            if name and (why := self._photos.called(name)[1]):
                yield why

    def _captioned(self, story: Story, reasons: WhyWithheld, notes: list[str]) -> Story:
        """Put the editor's captions to the pictures that are shown."""
        wished = {self._photo(one.photo): one for one in self._edits.pictures if one.caption.strip()}

        def captioned(picture: Picture) -> Picture:
            wish = wished.get(picture.media)
            if wish is None:
                return picture
            if why := self._kept_back(wish.caption, reasons):
                notes.append(f"the caption of {wish.photo} is not in the report {self.name}{_why(why)}.")
                return picture
            caption = " ".join(wish.caption.split())
            # who hears the page hears when it was taken, and what the editor says of it
            return replace(picture, caption=caption, alt=f"{picture.alt.partition(': ')[0].rstrip('.')}: {caption}")

        shown = {one.media for one in story.pictures}
        taken = self._taken_then() - shown if wished else frozenset()
        notes += (
            f"{wish.photo} is not shown in the report {self.name}, so its caption is not either."
            for media, wish in wished.items()
            if media in taken and not wish.leave_out
        )
        notes += (
            f"{self._photos.name_of(one.media)} is let out, and no words tell what it shows: write a caption for it."
            for one in story.pictures
            if one.untold and one.media not in wished
        )
        return each_picture(story, captioned)

    def _taken_then(self) -> frozenset[str]:
        first, last = self._days
        media = (one for one in self._all.media if one.kind == Kind.PHOTO)
        return frozenset(one.id for one in media if first <= one.taken_at.astimezone(self._zone).date() <= last)

    def _begun(self, story: Story, reasons: WhyWithheld, notes: list[str]) -> Story:
        """Put the editor's headline, first paragraph and first picture in place."""
        wish = self._wish
        if wish.headline.strip():
            if why := self._kept_back(wish.headline, reasons):
                notes.append(f"your headline is not in the report {self.name}{_why(why)}.")
            else:
                story = replace(story, headline=" ".join(wish.headline.split()))
        opening = _sentences(wish.opening)
        held = [(one, why) for one in opening if (why := reasons(one))]
        for one, why in held:
            # a paragraph with a hole may say something else than its writer meant
            notes.append(f"your opening is not in the report {self.name}, for the sake of “{one}”{_why(why)}.")
        if opening and not held:
            story = replace(story, standfirst=tuple(Told(one, _BEHIND) for one in opening))
        return self._led(story, notes) if self.lead else story

    def _led(self, story: Story, notes: list[str]) -> Story:
        """Begin with the picture that the editor wants: it changes places with the one that leads."""
        if story.lead is not None and story.lead.media == self.lead:
            return story
        wanted = next((one for one in story.pictures if one.media == self.lead), None)
        if wanted is None:
            notes.append(
                f"the report {self.name} does not begin with {self._wish.lead}: it is not of those that it may show."
            )
            return story
        before = story.lead
        story = each_picture(story, lambda one: before if one.media == self.lead else one)
        return replace(story, lead=wanted)

    def _left_out(self, story: Story, notes: list[str]) -> Story:
        """Leave out the sentences that the editor does not want."""
        wished = {_key(one): one for text in self._wish.leave_out for one in _pieces(text, story)}
        met: set[str] = set()

        def stays(text: str) -> bool:
            key = _key(text)
            met.update({key} & wished.keys())
            return key not in wished

        changed = without_sentences(story, stays) if wished else story
        there = {_key(one): one for one in texts_of(story)}
        for key in (one for one in wished if one not in met):
            near = process.extractOne(key, there.keys(), scorer=fuzz.ratio, score_cutoff=_NEAR)
            meant = f" Did you mean “{there[near[0]]}”?" if near else ""
            notes.append(f"the report {self.name} has no sentence “{wished[key]}”.{meant}")
        return changed

    def _kept_back(self, text: str, reasons: WhyWithheld) -> tuple[str, ...]:
        return tuple(dict.fromkeys(why for one in (text, *_sentences(text)) for why in reasons(one)))

    def _photo(self, name: str) -> str:
        return self._photos.called(name)[0] if name else ""

    @cached_property
    def _photos(self) -> Photos:
        return self._know()


def unknown_reports(edits: Edits, there: Iterable[str]) -> tuple[str, ...]:
    """Tell of the reports that something is wanted of and that nobody has made."""
    known = sorted(set(there))
    return tuple(
        f"edits.toml: there is no report {one.report}. {did_you_mean(one.report, known)}".rstrip()
        for one in edits.reports
        if one.report not in known
    )


def each_picture(story: Story, change: Callable[[Picture], Picture | None]) -> Story:
    """Return the story with each picture changed, or without it where nothing is left of it."""

    def paragraph(one: Paragraph) -> Paragraph:
        pictures = tuple(new for picture in one.pictures if (new := change(picture)) is not None)
        return replace(one, pictures=pictures)

    sections = tuple(replace(one, paragraphs=tuple(map(paragraph, one.paragraphs))) for one in story.sections)
    answer = story.explained
    if answer is not None and answer.picture is not None:
        answer = replace(answer, picture=change(answer.picture))
    lead = None if story.lead is None else change(story.lead)
    return replace(story, lead=lead, sections=sections, explained=answer)


def texts_of(story: Story) -> Iterator[str]:
    """Yield every text of a story that may be left out."""
    yield from (one.text for one in story.sentences)
    for section in story.sections:
        yield from (one.text for one in section.quotes)
        yield from [f"{section.number.figure} {section.number.text}"] if section.number is not None else []
    yield from [story.explained.question] if story.explained is not None else []
    yield from (f"{word}: {meaning}" for word, meaning in story.glossary)


def without_sentences(story: Story, stays: Callable[[str], bool]) -> Story:
    """Return the story with those of its texts that stay; what is empty then goes too, its pictures never."""

    def left(sentences: Iterable[Told]) -> tuple[Told, ...]:
        kept: list[Told] = []
        gone = False
        for one in sentences:
            # a reason belongs to the sentence before it, and goes with it
            gone = not stays(one.text) or (gone and all(each.startswith("reason: ") for each in one.behind))
            kept += [] if gone else [one]
        return tuple(kept)

    def section(one: Section) -> Section:
        paragraphs = tuple(replace(each, sentences=left(each.sentences)) for each in one.paragraphs)
        paragraphs = tuple(each for each in paragraphs if each.sentences or each.pictures)
        number = one.number if one.number and stays(f"{one.number.figure} {one.number.text}") else None
        quotes = tuple(each for each in one.quotes if stays(each.text))
        return replace(one, paragraphs=paragraphs, number=number, quotes=quotes)

    sections = tuple(map(section, story.sections))
    answer = story.explained
    if answer is not None:
        lines = left(answer.lines)
        answer = replace(answer, lines=lines) if lines and stays(answer.question) else None
    plots = tuple(replace(one, lines=left(one.lines)) for one in story.plots)
    return replace(
        story,
        standfirst=left(story.standfirst),
        sections=tuple(one for one in sections if one.paragraphs or one.number or one.quotes),
        explained=answer,
        ahead=left(story.ahead),
        glossary=tuple(one for one in story.glossary if stays(f"{one[0]}: {one[1]}")),
        thanks=left(story.thanks),
        plots=plots,
    )


def _sentences(text: str) -> list[str]:
    joined = " ".join(text.split())
    return [one for start, end in sentence_spans(joined) if (one := joined[start:end].strip())]


def _pieces(text: str, story: Story) -> list[str]:
    """Return what somebody wants left out: a text of the story as it stands, else each sentence of it."""
    return [text] if _key(text) in map(_key, texts_of(story)) else _sentences(text)


def _key(text: str) -> str:
    """Return the words of a text alone: its signs may have been copied from a page or from Markdown."""
    return " ".join(re.findall(r"\w+", plain(text).casefold()))


def _why(reasons: Iterable[str]) -> str:
    told = "; ".join(dict.fromkeys(reasons))
    return f" ({told})" if told else ""


def _path_of(path: str, media: MediaRecord) -> str:
    """Return what a photo is called by; a still of a film by its second too."""
    return path if media.still_of is None else f"{path} at {media.still_at_s or 0.0:g} s"


def _parts(path: str) -> tuple[str, ...]:
    return tuple(one for one in path.strip().replace("\\", "/").split("/") if one)
