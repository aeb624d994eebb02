"""The report's pictures: chosen, placed in the story, named, and told in words from what was said with them."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, tzinfo

from pipeline.records import EntryRecord, Records
from pipeline.values import Kind
from pipeline.writing.english import plural, sentence, weekday
from pipeline.writing.supporters.chapters import IN_WORDS, SERVICES, Chapter, area_of, is_bit
from pipeline.writing.supporters.choosing import Chosen, Group, choose
from pipeline.writing.supporters.moments import Moments, Subject, same_part
from pipeline.writing.supporters.privacy import Gate
from pipeline.writing.supporters.sentences import doing
from pipeline.writing.supporters.steps import Step, is_plural, part_named
from pipeline.writing.supporters.story import Picture
from pipeline.writing.terms import Terms, kind_and_zone

_LEAD_WITHIN_S = 60.0
_SHOWN_AT_WORK = frozenset({
    "support", "drain", "disconnect", "separate", "lift", "lower", "clean", "prime", "paint", "undo", "drill-out",
    "make", "fit", "connect", "tighten", "lock", "open", "move",
})  # fmt: skip
_PLAIN = "plain"


@dataclass(frozen=True)
class Pictures:
    """The pictures of the report: those of each chapter, the lead, and one of the part that is explained."""

    by_chapter: tuple[tuple[Picture, ...], ...]
    lead: Picture | None
    explained: Picture | None


@dataclass
class _Candidates:
    sections: list[dict[str, list[tuple[str, float]]]]
    about: dict[str, Subject | None] = field(default_factory=dict)
    entry_of: dict[str, EntryRecord] = field(default_factory=dict)
    p: dict[str, float] = field(default_factory=dict)
    area: dict[str, str] = field(default_factory=dict)


class Illustrator:
    """Chooses and captions pictures for the chapters of one report."""

    def __init__(self, records: Records, terms: Terms, gate: Gate, zone: tzinfo) -> None:
        """Captions name days in ``zone``."""
        self._taken_at = {media.id: media.taken_at for media in records.media if media.kind == Kind.PHOTO}
        self._moments = Moments(records, terms)
        self._terms = terms
        self._gate = gate
        self._zone = zone

    def pictures(
        self, entries: Sequence[EntryRecord], chapters: Sequence[Chapter], biggest: Step | None, explained: str
    ) -> Pictures:
        """Return the pictures of the report.

        Args:
            entries: the period's entries.
            chapters: the chapters of the story.
            biggest: the headline's removal; the lead is taken near the words that tell of it.
            explained: the notation of the part that the report explains, "" for none.
        """
        found = self._candidates(entries, chapters)
        lead = self._lead(found, biggest)
        box = self._of_part(found, explained, lead)
        sections = [
            [Group(name, tuple(photos), plain=name.startswith(_PLAIN)) for name, photos in section.items()]
            for section in found.sections
        ]
        chosen = choose(sections, self._taken_at, [one for one in (lead, box) if one])
        flat = sorted((one for section in chosen for one in section), key=lambda one: (one.at, one.media))
        lead = lead if lead in {one.media for one in flat} else (flat[0].media if flat else "")
        flat.sort(key=lambda one: one.media != lead)
        made = self._captioned(flat, found)
        left = [[one for one in section if one.media in made and one.media not in (lead, box)] for section in chosen]
        placed = tuple(
            tuple(made[media] for media in self._large_first(found, chapter, section))
            for chapter, section in zip(chapters, left, strict=True)
        )
        return Pictures(placed, made.get(lead), made.get(box) if box != lead else None)

    def _candidates(self, entries: Sequence[EntryRecord], chapters: Sequence[Chapter]) -> _Candidates:
        """Sort the photos that may be shown by chapter and by what they show; list those that may not."""
        found = _Candidates([{} for _ in chapters])
        for entry in entries if chapters else ():
            kept_back: Counter[str] = Counter()
            for link in entry.photos:
                at = self._taken_at.get(link.media)
                if at is None:
                    continue
                why = self._moments.withheld(entry, at)
                if why:
                    kept_back[why] += 1
                    continue
                subject = self._moments.subject(entry, at)
                home = self._home(subject, entry, chapters)
                name = f"{self._theme(subject) if subject else f'{_PLAIN} {entry.id}'} {home}"
                found.sections[home].setdefault(name, []).append((link.media, link.p))
                found.about[link.media], found.entry_of[link.media] = subject, entry
                found.p[link.media], found.area[link.media] = link.p, chapters[home].area
            for why, number in kept_back.items():
                self._gate.keep_back(f"{number} {plural('photo', number)}", why, entry.id)
        return found

    def _theme(self, subject: Subject) -> str:
        """Return what a photo is one of: things that look alike to a reader are one theme."""
        if subject.act == "support":
            return "props"
        if kind_and_zone(self._terms, subject.item)[0] in SERVICES:
            return "services"
        return f"{subject.item} {'-'.join(subject.sides)}"

    def _home(self, subject: Subject | None, entry: EntryRecord, chapters: Sequence[Chapter]) -> int:
        """Return the chapter that a photo belongs in: that of its part, else of its entry, else of its day."""
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

        def rank(media: str) -> tuple[bool, bool, float, str]:
            at = self._taken_at[media]
            return (
                not self._shows(found, media, biggest.item),
                not self._moments.asked_for(at),
                self._from(found, media, biggest),
                media,
            )

        near = [
            media for media in found.about
            if found.p[media] >= 0.6 and self._from(found, media, biggest) <= _LEAD_WITHIN_S
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
        return subject is not None and same_part(subject.item, item, self._terms)

    def _large_first(self, found: _Candidates, chapter: Chapter, section: Sequence[Chosen]) -> list[str]:
        """Return a chapter's photos in order of time; an odd number begins with the part that came off."""
        media = [one.media for one in section]
        main = chapter.main
        if main is not None and len(media) % 2:
            media.sort(key=lambda one: not self._is_off(found.about[one], main.item))
        return media

    def _is_off(self, subject: Subject | None, item: str) -> bool:
        return subject is not None and subject.item == item and subject.act in ("remove", "lower", "lift")

    def _captioned(self, chosen: Sequence[Chosen], found: _Candidates) -> dict[str, Picture]:
        made: dict[str, Picture] = {}
        used: dict[str, datetime] = {}
        for one in chosen:
            subject = found.about[one.media]
            caption = self._caption(subject, found.area[one.media], one.at, used)
            slug = subject.item if subject is not None else "hangar"
            used.setdefault(caption, one.at)
            alt = sentence(f"photograph: {caption[:1].lower()}{caption[1:].rstrip('.')}")
            caption = sentence(caption)
            if not (self._gate.text(caption, "caption") and self._gate.text(alt, "text for a picture")):
                continue
            made[one.media] = Picture(one.media, f"{len(made) + 1:02d}-{_file_letters(slug)}.jpg", caption, alt)
        return made

    def _caption(self, subject: Subject | None, area: str, at: datetime, used: Mapping[str, datetime]) -> str:
        """Say what a person sees, no more than is known; a second picture of one thing says when it was taken."""
        local = at.astimezone(self._zone)
        when = f"{weekday(local.date())} {_time_of_day(local)}"
        if subject is None:
            return when if when not in used else f"{when} again"
        if is_bit(subject.item, self._terms) and area in IN_WORDS and area != "small":
            text = f"work on {IN_WORDS[area]}, on {when}"
            return text if text not in used else f"{text}, at {local:%H:%M}"
        name = part_named(subject.item, subject.sides, self._terms, many=subject.many)
        text = f"{name}, on {when}"
        if subject.act in _SHOWN_AT_WORK:
            still = subject.act == "support" and subject.item in ("wheel", "tail-wheel")
            text = f"holding {name} still" if still else doing(subject.act, name)
        elif subject.act == "remove":
            text = f"{name} {'come' if is_plural(name, subject.item, self._terms) else 'comes'} away"
        if text not in used:
            return text
        text = f"{name}, {'later on' if at > used[text] else 'earlier on'} {weekday(local.date())}"
        return text if text not in used else f"{name} at {local:%H:%M} on {weekday(local.date())}"


def _time_of_day(local: datetime) -> str:
    return "morning" if local.hour < 12 else "afternoon" if local.hour < 17 else "evening"


def _file_letters(text: str) -> str:
    return re.sub(r"[^a-z0-9-]", "", text.lower())
