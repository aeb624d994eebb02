"""The report's pictures: chosen, placed in the story, named, and told in words from what was said with them."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, tzinfo

from pipeline.english import plural, sentence
from pipeline.plain_text import file_name
from pipeline.records import EntryRecord, PhotoLink, Records
from pipeline.settings import Released
from pipeline.values import Kind
from pipeline.writing.fastened import is_of_fastenings
from pipeline.writing.supporters.as_told import BLEED
from pipeline.writing.supporters.chapters import SERVICES, Chapter, area_of, in_words
from pipeline.writing.supporters.choosing import MOST_PICTURES, Chosen, Group, Looks, choose
from pipeline.writing.supporters.explaining import meaning_of
from pipeline.writing.supporters.found import finding_text
from pipeline.writing.supporters.moments import Moments, Subject, of_facts, same_part
from pipeline.writing.supporters.privacy import Gate
from pipeline.writing.supporters.sentences import ACTS, doing, what_holds
from pipeline.writing.supporters.steps import LARGE, Step, is_plural, part_named, sides_of
from pipeline.writing.supporters.story import Picture
from pipeline.writing.supporters.when import at_time, on_day
from pipeline.writing.supporters.withheld_photos import WithheldPhotos
from pipeline.writing.terms import Terms, kind_and_zone

_LEAD_WITHIN_S = 60.0
_SHOWN_AT_WORK = frozenset({
    "support", "drain", "disconnect", "separate", "inspect", "test", "lift", "lower",
    "clean", "prime", "paint", "dope", "undo", "drill-out",
    "make", "fit", "connect", "tighten", "lock", "open", "move", BLEED,
})  # fmt: skip
_PLAIN = "plain"


@dataclass(frozen=True)
class Shown:
    """A picture with the entry that it belongs to and the part that it shows, "" where nobody said."""

    picture: Picture
    entry: str
    item: str


@dataclass(frozen=True)
class Pictures:
    """The pictures of the report: those of each chapter, the lead, and one of the part that is explained."""

    by_chapter: tuple[tuple[Shown, ...], ...]
    lead: Picture | None
    explained: Picture | None


@dataclass
class _Candidates:
    sections: list[dict[str, list[tuple[str, float]]]]
    about: dict[str, Subject | None] = field(default_factory=dict)
    entry_of: dict[str, EntryRecord] = field(default_factory=dict)
    p: dict[str, float] = field(default_factory=dict)
    area: dict[str, str] = field(default_factory=dict)
    untold: set[str] = field(default_factory=set)


class Illustrator:
    """Chooses and captions pictures for the chapters of one report."""

    def __init__(
        self,
        records: Records,
        terms: Terms,
        gate: Gate,
        zone: tzinfo,
        looks: Looks,
        days: Sequence[date],
        released: Sequence[Released] = (),
        let_out: frozenset[str] = frozenset(),
    ) -> None:
        """Take what the pictures are chosen by.

        Args:
            records: everything that the book holds.
            terms: the vocabulary.
            gate: lets captions through or keeps them back.
            zone: the book's time zone.
            looks: how photos look.
            days: the report's days with work.
            released: findings that were let out.
            let_out: photos that the editor has looked at and lets out, whatever was said with them.
        """
        self._let_out = let_out
        self._many: frozenset[tuple[str, str]] = frozenset()
        self._looks = looks
        self._days = days
        self._taken_at = {media.id: media.taken_at for media in records.media if media.kind == Kind.PHOTO}
        self._error_s = {media.id: media.time_error_s for media in records.media}
        self._names = {media.id: file_name(media.path) for media in records.media}
        self._moments = Moments(records, terms)
        self._withheld = WithheldPhotos(self._moments, gate, released, terms)
        self._terms = terms
        self._gate = gate
        self._zone = zone

    def pictures(
        self,
        entries: Sequence[EntryRecord],
        chapters: Sequence[Chapter],
        biggest: Step | None,
        explained: str,
        most: int = MOST_PICTURES,
        number: int = 1,
        wished: str = "",
        *,
        findings: bool = False,
    ) -> Pictures:
        """Return the pictures of the report.

        Args:
            entries: the period's entries.
            chapters: the chapters of the story.
            biggest: the headline's removal; the lead is taken near the words that tell of it.
            explained: the notation of the part that the report explains, "" for none.
            most: how many pictures at most.
            number: what the first picture's file is numbered.
            wished: the photo that the editor wants as the lead, if it may be shown; "" for none.
            findings: whether there is a section of findings after the chapters, for the photos of those let out.
        """
        done = [step for chapter in chapters for step in chapter.steps]
        self._many = frozenset((one.act, one.item) for one in done if one.several or one.number > 1)
        found = self._candidates(entries, chapters, findings=findings)
        lead = wished if wished in found.about else self._lead(found, biggest)
        box = self._of_part(found, explained, lead)
        sections = [
            [Group(name, tuple(photos), plain=name.startswith(_PLAIN)) for name, photos in section.items()]
            for section in found.sections
        ]
        # what a person named goes before what the program would choose
        named = sorted(self._let_out & found.about.keys(), key=lambda one: (one != lead, self._taken_at[one], one))
        wanted = [one for one in (*named, lead, box) if one]
        chosen = choose(sections, self._taken_at, wanted, most, self._looks, self._let_out)
        flat = sorted((one for section in chosen for one in section), key=lambda one: (one.at, one.media))
        of_work = [one for one in flat if not self._of_a_finding(found, one.media)]
        lead = lead if lead in {one.media for one in flat} else ((of_work or flat)[0].media if flat else "")
        flat.sort(key=lambda one: one.media != lead)
        made = self._captioned(flat, found, number)
        left = [[one for one in section if one.media in made and one.media not in (lead, box)] for section in chosen]
        placed = tuple(tuple(self._shown(made[one.media], found) for one in section) for section in left)
        return Pictures(placed, made.get(lead), made.get(box) if box != lead else None)

    def _shown(self, picture: Picture, found: _Candidates) -> Shown:
        subject = found.about[picture.media]
        return Shown(picture, found.entry_of[picture.media].id, subject.item if subject is not None else "")

    def _candidates(
        self, entries: Sequence[EntryRecord], chapters: Sequence[Chapter], *, findings: bool
    ) -> _Candidates:
        """Sort the photos that may be shown by chapter and by what they show; list those that may not."""
        found = _Candidates([{} for _ in range(len(chapters) + findings)])
        own = list(entries) if found.sections else []
        self._withheld.look_ahead(
            (entry, self._taken_at[link.media])
            for entry in own
            for link in entry.photos
            if link.media in self._taken_at
        )
        for entry in own:
            kept_back: dict[str, list[str]] = {}
            for link in entry.photos:
                at = self._taken_at.get(link.media)
                if at is None:
                    continue
                unclear_s = self._error_s[link.media] if link.utterance == "" else 0.0
                why = self._withheld.why(entry, at, unclear_s)
                if why and link.media not in self._let_out:
                    kept_back.setdefault(why, []).append(self._names[link.media])
                    continue
                # what the program would have kept in may show anything: its words do not tell what
                subject = None if why else self._subject(entry, link, at)
                is_found = subject is not None and bool(subject.found)
                if not (findings if is_found else chapters):
                    continue
                home = len(chapters) if is_found else self._home(subject, entry, chapters, untold=bool(why))
                name = f"{self._theme(subject) if subject else f'{_PLAIN} {entry.id}'} {home}"
                found.sections[home].setdefault(name, []).append((link.media, link.p))
                found.about[link.media], found.entry_of[link.media] = subject, entry
                found.p[link.media] = link.p
                found.area[link.media] = "" if is_found or why else _in_words(chapters[home])
                found.untold |= {link.media} if why else set()
            for why, names in kept_back.items():
                number = len(names)
                self._gate.keep_back(f"{number} {plural('photo', number)}: {', '.join(names)}", why, entry.id)
        return found

    def _subject(self, entry: EntryRecord, link: PhotoLink, at: datetime) -> Subject | None:
        """Return what a photo shows: a finding that was told with it before all else, or no caption would be true.

        Where it is not clear of which words of its entry it is, it shows the one part that all of them are about.
        """
        if link.utterance == "":
            return self._moments.of_one_part(entry)
        fact = self._withheld.shown(entry, at)
        if fact is None:
            return self._moments.subject(entry, at)
        return Subject(str(fact.item), sides_of(fact.side), found=finding_text(fact, self._terms))

    def _of_a_finding(self, found: _Candidates, media: str) -> bool:
        subject = found.about[media]
        return subject is not None and bool(subject.found)

    def _theme(self, subject: Subject) -> str:
        """Return what a photo is one of: things that look alike to a reader are one theme."""
        if subject.found:
            return subject.found
        if subject.act == "support":
            return "props"
        if kind_and_zone(self._terms, subject.item)[0] in SERVICES:
            return "services"
        return f"{subject.item} {'-'.join(subject.sides)}"

    def _home(self, subject: Subject | None, entry: EntryRecord, chapters: Sequence[Chapter], *, untold: bool) -> int:
        """Return the chapter that a photo belongs in: that of its part, else of its entry, else of its day.

        One of which nobody told what it shows is with the small jobs, if there are any.
        """
        if untold and chapters[-1].area == "small":
            return len(chapters) - 1
        at = entry.at.astimezone(self._zone)

        def fit(chapter: Chapter) -> tuple[bool, bool, bool, float]:
            same = subject is not None and any(step.item == subject.item for step in chapter.steps)
            area = subject is not None and area_of(subject.item, self._terms) == chapter.area
            told = any(entry.id in step.entries for step in chapter.steps)
            away = min((abs((step.at - at).total_seconds()) for step in chapter.steps), default=0.0)
            return not (area and chapter.main is not None), not (same and told), not told, away

        return min(range(len(chapters)), key=lambda index: fit(chapters[index]))

    def _lead(self, found: _Candidates, biggest: Step | None) -> str:
        """Return the photo of the headline: of its part, near the words that told of it, and asked for if any was."""
        if biggest is None:
            return ""

        def rank(media: str) -> tuple[bool, bool, bool, float, str]:
            at = self._taken_at[media]
            look = self._looks(media)
            return (
                look is not None and not look.good,
                not self._shows(found, media, biggest.item),
                not self._moments.asked_for(at),
                self._from(found, media, biggest),
                media,
            )

        near = [
            media for media in found.about
            if found.p[media] >= 0.6 and self._from(found, media, biggest) <= _LEAD_WITHIN_S
            and not self._of_a_finding(found, media)
        ]  # fmt: skip
        return min(near, key=rank, default="") or self._of_part(found, biggest.item, "")

    def _from(self, found: _Candidates, media: str, step: Step) -> float:
        """Return the seconds from a photo to the words of its entry that tell of a step; endless for none."""
        entry = found.entry_of[media]
        told = [fact for fact in entry.facts if fact.act == step.act and fact.item == step.item]
        away = (self._moments.away_s(fact.utterances, self._taken_at[media]) for fact in told)
        return min(away, default=float("inf"))

    def _of_part(self, found: _Candidates, item: str, other: str) -> str:
        """Return the likeliest photo of a part that is not ``other``, "" for none."""
        of_it = [media for media in found.about if item and media != other and self._shows(found, media, item)]
        return min(
            of_it, key=lambda media: (*self._plainness(found, media, item), -found.p[media], media), default=""
        )

    def _plainness(self, found: _Candidates, media: str, item: str) -> tuple[bool, bool]:
        """Rank photos of a part itself before those of its pieces, and those where it was named before work on it."""
        subject = found.about[media]
        return subject is None or subject.item != item, subject is None or bool(subject.act)

    def _shows(self, found: _Candidates, media: str, item: str) -> bool:
        subject = found.about[media]
        return subject is not None and not subject.found and same_part(subject.item, item, self._terms)

    def _captioned(self, chosen: Sequence[Chosen], found: _Candidates, number: int) -> dict[str, Picture]:
        made: dict[str, Picture] = {}
        used: set[str] = set()
        for one in chosen:
            subject = found.about[one.media]
            local = one.at.astimezone(self._zone)
            when = at_time(local, self._days)
            untold = one.media in found.untold
            texts = self._captions(
                subject, found.area[one.media], local, when, self._meanwhile(found.entry_of[one.media])
            )
            texts = [when, f"{when}, at {local:%H:%M:%S}"] if untold else texts
            caption = next((text for text in texts if text not in used), texts[-1])
            used.add(caption)
            slug = subject.item if subject is not None else "at-work"
            seen = "" if untold else f": {self._seen(subject, found.area[one.media])}"
            alt = sentence(f"photograph, {when}{seen}")
            caption = sentence(caption)
            if not (self._gate.text(caption, "caption") and self._gate.text(alt, "text for a picture")):
                continue
            file = f"{len(made) + number:02d}-{_file_letters(slug)}.jpg"
            made[one.media] = Picture(one.media, file, caption, alt, untold=untold)
        return made

    def _captions(self, subject: Subject | None, area: str, local: datetime, when: str, meanwhile: str) -> list[str]:
        """Return what may be said of a picture, best first: the work on it, what it is, and when it was taken."""
        if subject is None:
            at_work = f"at work on {area}" if area else "at work"
            texts = [f"{when}, {meanwhile}"] if meanwhile else []
            return [
                *texts,
                f"{at_work}, {when}",
                f"{at_work}, {when}, at {local:%H:%M}",
                f"{at_work}, {local:%H:%M:%S}",
            ]
        if subject.found:
            return [subject.found, f"{subject.found}, {when}", f"{subject.found}, {when}, {local:%H:%M:%S}"]
        name = part_named(subject.item, subject.sides, self._terms, many=subject.many)
        meaning = "" if subject.item in LARGE else meaning_of(subject.item, self._terms)
        is_many = is_plural(name, subject.item, self._terms)
        texts = [self._seen(subject, area)] if subject.act else []
        if meaning and not is_many:
            texts.append(f"{name}: {meaning}")
        texts += [f"{name}, {when}", f"{name} at {local:%H:%M} on {on_day(local.date(), self._days)}"]
        return [*texts, f"{name}, {when}, {local:%H:%M:%S}"]

    def _meanwhile(self, entry: EntryRecord) -> str:
        """Return what was done around the time of a photo that nobody told of: "when the fin came off"."""
        subject = of_facts(entry.facts, self._terms)
        if subject is None or subject.act not in ACTS:
            return ""
        name = part_named(subject.item, subject.sides, self._terms, many=subject.many)
        if subject.act == "remove":
            return f"when {name} came off"
        if is_of_fastenings((subject.act,), subject.item, self._terms):
            name = what_holds(name, self._terms)
        return f"when we {ACTS[subject.act].past.format(name)}"

    def _seen(self, subject: Subject | None, area: str) -> str:
        """Say what a person sees, no more than is known."""
        if subject is None:
            return f"work on {area}" if area else "work in progress"
        if subject.found:
            return subject.found
        many = subject.many or (subject.act, subject.item) in self._many
        name = part_named(subject.item, subject.sides, self._terms, many=many)
        if is_of_fastenings((subject.act,), subject.item, self._terms):
            name = what_holds(name, self._terms)
        if subject.act in _SHOWN_AT_WORK:
            still = subject.act == "support" and subject.item in ("wheel", "tail-wheel")
            return f"holding {name} still" if still else doing(subject.act, name)
        if subject.act == "remove":
            return f"{name} {'come' if is_plural(name, subject.item, self._terms) else 'comes'} away"
        return name


def _in_words(chapter: Chapter) -> str:
    """Return where a chapter's work was, in words; "" for small jobs here and there."""
    return "" if chapter.area == "small" else in_words(chapter.area, chapter.steps)


def _file_letters(text: str) -> str:
    return re.sub(r"[^a-z0-9-]", "", text.lower())
