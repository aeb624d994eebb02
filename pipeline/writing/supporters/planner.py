"""The planner: from a period's facts to a report with a beginning, a middle and an end.

It decides what is told, in which order and under which heading; how a chapter is put is in ``telling``, and what
may not be told is in ``privacy``. Nothing is told that no fact says, but for explanations and plain ``reasons``; each
sentence carries what is behind it.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime, time, timedelta, tzinfo

from pipeline.english import capital, day_and_month, listed, sentence, span_of_days
from pipeline.records import EntryRecord, FactRecord, ToDo
from pipeline.writing.airframe_supporters import supporters_drawing
from pipeline.writing.supporters.ahead import ahead, as_it_stands
from pipeline.writing.supporters.as_told import as_told
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.believed import NOT_SURE, believed, is_in_doubt, sure_parts, told_again, told_by
from pipeline.writing.supporters.chapters import HEADINGS, MAIN_ACTS, Chapter, biggest, chapters, tellable
from pipeline.writing.supporters.explaining import explained, held_by, meaning_of
from pipeline.writing.supporters.found import found, mended
from pipeline.writing.supporters.illustrating import Illustrator, Pictures, Shown
from pipeline.writing.supporters.moments import tells_of_a_finding
from pipeline.writing.supporters.news import (
    FEW_STEPS,
    aims_met,
    at_work_alone,
    biggest_of,
    entries_planned,
    first_lines,
    headline,
    number_worth_telling,
)
from pipeline.writing.supporters.placing import with_pictures
from pipeline.writing.supporters.plain_names import plain_name
from pipeline.writing.supporters.privacy import TELLS_OF_FINDINGS, Gate, inner_keys, keep_fact
from pipeline.writing.supporters.quoting import quotations
from pipeline.writing.supporters.reasons import LOOKED_AT
from pipeline.writing.supporters.sentences import Forms, finished
from pipeline.writing.supporters.steps import Step, sides_of, steps
from pipeline.writing.supporters.story import QUIET, Explained, Number, Paragraph, Picture, Plot, Section, Story
from pipeline.writing.supporters.taking_back import Spoken
from pipeline.writing.supporters.telling import Teller, labels
from pipeline.writing.supporters.thanking import thanks
from pipeline.writing.supporters.told import Told, passed
from pipeline.writing.wording import fact_text

_MOST_WORDS = 12
_SIDES = {
    "port": "the left side, as you sit in the cockpit and look ahead",
    "starboard": "the right side, as you sit in the cockpit and look ahead",
}


def plan(asked: Asked) -> Story:
    """Plan the report of a period."""
    return Planner(asked).story()


class Planner:
    """Plans one report."""

    def __init__(self, asked: Asked) -> None:
        """Sort out what the period's entries tell."""
        self._asked = asked
        self._records, self._settings, self._terms = asked.records, asked.settings, asked.terms
        self._zone: tzinfo = asked.settings.zone
        self._first, self._last = first, last = asked.first, asked.last
        records, settings, terms = asked.records, asked.settings, asked.terms
        ordinary = frozenset(word for name in terms.names() for word in name.text.lower().split())
        self.gate = Gate(settings, ordinary, terms, records)
        spoken = Spoken.of(records)
        self._as_read = [
            as_told(entry, spoken)
            for entry in sorted(records.entries, key=lambda one: (one.at.timestamp(), one.id))
            if entry.review != "rejected" and first <= self._local(entry.at).date() <= last
        ]
        self.entries = [told_by(entry) for entry in self._as_read]
        planned = frozenset(
            str(fact.item)
            for entry in self.entries
            for fact in entry.facts
            if fact.status == "planned" and fact.act == "remove" and fact.item
        )
        self.steps = tellable(steps(self._done(), terms), planned, terms, told_again(records))
        self.off = [step for step in self.steps if step.act == "remove"]
        self.biggest = biggest_of(self.steps, biggest(self.steps, terms), terms)
        self.chapters = chapters(self.steps, terms, self.biggest)
        self.days = sorted({day for step in self.steps for day in step.days}) or sorted(
            {self._local(entry.at).date() for entry in self.entries}
        )
        self._at_work = [self._local(one.at) for one in self._as_read if _is_of_work(one)]
        self.days_at_work = sorted({at.date() for at in self._at_work})
        self.past = asked.past()
        # a report of the next month begins its turns one further on
        self.forms = Forms(first.year * 12 + first.month if self.past.days else 0)

    def story(self) -> Story:
        """Return the report."""
        gate, settings = self.gate, self._settings
        thing = explained(self._best_explained(), self.entries, self._terms, self.biggest, self.past.explained)
        shown = self.pictures(thing[0] if thing else "")
        sections = self._sections(shown.by_chapter)
        ahead_lines = passed(gate, self._ahead(), "what is next")
        answer = self._explained(thing, shown.explained, sections)
        lines = passed(gate, self._standfirst(), "first lines")
        story = Story(
            title=gate.text(settings.supporters.title, "title") or "Progress report",
            aircraft=gate.text(settings.aircraft.name, "aircraft") or "our aircraft",
            period=span_of_days(self.days[0], self.days[-1]) if self.days else span_of_days(self._first, self._last),
            headline=gate.text(headline(self.biggest, self.steps, self.past, self._terms), "headline") or QUIET,
            standfirst=lines,
            lead=shown.lead,
            sections=sections,
            explained=answer,
            ahead=ahead_lines,
            glossary=(),
            thanks=passed(gate, self.thanks(), "thanks"),
            plots=self.drawing(),
            withheld=gate.withheld,
            leans_on_the_book=gate.leans_on_the_book,
        )
        return self.with_glossary(story)

    @property
    def tells_all(self) -> bool:
        """Whether every day at work is told, and all that came off or went on: only then may months be compared."""
        every_day = set(self.days_at_work) <= {day for step in self.steps for day in step.days}
        unsure = (
            fact
            for entry in self._as_read
            for fact in entry.facts
            if fact.status == "done" and fact.act in MAIN_ACTS and believed(entry, fact) is None
        )
        return every_day and not any(unsure)

    def drawing(self) -> tuple[Plot, ...]:
        """Return the aircraft as a drawing with what is away hatched, none where there is no such drawing."""
        end = self.days[-1] if self.days else self._last
        sure = sure_parts(self._records, datetime.combine(end, time.max, self._zone))
        svg, parts, undrawn = supporters_drawing(sure, self._terms, end)
        if not parts:
            return ()
        # it does not claim to show all: small parts are not drawn, and of some nobody said enough
        texts = [f"the hatched parts were away from the aircraft on {day_and_month(end)}: {listed(parts)}"]
        if undrawn:
            texts.append(f"{listed(undrawn)} {'was' if len(undrawn) == 1 else 'were'} away too, but not hatched")
        known = {step.item for step in self.off} | set(self.past.off)
        behind = tuple(
            dict.fromkeys(
                event.entry
                for part in sure.lists.parts_off
                for event in part.life
                if event.what in ("removed", "removed-again") and event.on <= end
            )
        )
        told_lines = [Told(sentence(text), behind) for text in texts]
        lines = passed(self.gate, told_lines, "the drawing") if known else ()
        return (Plot("Away from the aircraft", svg, lines, beside=True),) if lines else ()

    def pictures(self, explained_item: str) -> Pictures:
        """Return the pictures of the report."""
        illustrator = Illustrator(
            self._records,
            self._terms,
            self.gate,
            self._zone,
            self._asked.looks,
            self.days,
            self._settings.released,
            self._asked.let_out,
        )
        return illustrator.pictures(
            self.entries, self.chapters, self.biggest, explained_item, wished=self._asked.lead, findings=True
        )

    def _done(self) -> Iterable[tuple[EntryRecord, FactRecord, datetime]]:
        told_facts = []
        for entry in self._as_read:
            for each in entry.facts:
                fact = believed(entry, each) or each
                why = keep_fact(fact, self._settings.released)
                looked = fact.status == "done" and fact.act in LOOKED_AT
                if why:
                    what = (
                        f"what came of this: {fact_text(fact, self._terms)}"
                        if looked
                        else fact_text(fact, self._terms)
                    )
                    self.gate.keep_back(what, why, entry.id)
                    if not looked:
                        continue
                    fact = fact.model_copy(update={"measure": None, "count": None, "of": None})
                for key in inner_keys(fact):
                    self.gate.keep_back(fact_text(fact, self._terms), f"a {key}", entry.id)
                if fact.status == "done" and believed(entry, each) is None:
                    self.gate.keep_back(fact_text(fact, self._terms), NOT_SURE, entry.id)
                elif fact.status == "done":
                    told_facts.append((entry, fact, self._local(entry.at)))
        return told_facts

    def _best_explained(self) -> list[Step]:
        """Return the steps whose part may be explained: what came off, else the headline's, else any."""
        return [*self.off, *(step for step in self.steps if step not in self.off)]

    def _standfirst(self) -> list[Told]:
        at = {entry.id: self._local(entry.at) for entry in self.entries}
        if not self.steps:
            return at_work_alone([one for one in self._as_read if _tells_of_work(one)], self._zone)
        aims = aims_met(entries_planned(self.entries, at), self.off, self.biggest, self.days, self._terms)
        return first_lines(self.steps, self.biggest, self.days, self._terms, aims, self.past, self._at_work)

    def _sections(self, pictures: Sequence[tuple[Shown, ...]]) -> tuple[Section, ...]:
        teller = Teller(self._terms, self.forms, held_by(self.entries), self.past, self.days, self.gate)
        of_step, number = number_worth_telling(self.steps, self._terms, self.forms)
        if number is not None and not self.gate.text(f"{number.figure} {number.text}", "the number"):
            number = None
        teller.leave_out_number_of(of_step.item if of_step is not None and number is not None else "")
        small_report = len(self.steps) <= FEW_STEPS
        one_place = len(self.days) == 1 and sum(one.area != "small" for one in self.chapters) == 1
        made: list[Section] = []
        before: Chapter | None = None
        spare: tuple[Shown, ...] = ()
        for index, chapter in enumerate(self.chapters):
            alone = small_report or len(self.chapters) == 1 or one_place
            paragraphs = teller.paragraphs(chapter, before, alone=alone)
            before = chapter
            if not paragraphs:
                spare += pictures[index]
                continue
            own = number if of_step is not None and of_step in chapter.steps else None
            shown, spare = (*spare, *pictures[index]), ()
            made.append(Section(chapter.heading, with_pictures(paragraphs, shown, self._terms), own))
        sections = self._finished(made, spare, number)
        released, lines = self._settings.released, self._records.lists.findings
        news = found(self.entries, released, self._terms)
        news += mended(self.entries, lines, released, self._terms, news)
        findings = passed(self.gate, news, "findings")
        if findings:
            told = with_pictures([findings], pictures[-1], self._terms)
            sections.append(Section("What we found", told))
        return self._with_quotes(sections)

    def _finished(self, made: Sequence[Section], spare: tuple[Shown, ...], number: Number | None) -> list[Section]:
        """Add the sentence on labels, the number where no section has it, and pictures left over."""
        tags = passed(
            self.gate, finished(labels(self.steps, self._terms, along=len(made) > 1 and len(self.days) > 1)), "labels"
        )
        sections = list(made) or ([Section("The work", ())] if tags else [])
        if tags:
            last = sections[-1]
            sections[-1] = Section(last.heading, _with_sentence(last.paragraphs, tags), last.number, last.quotes)
        if spare and sections:
            last = sections[-1]
            rest = Paragraph((), tuple(one.picture for one in spare[:2]))
            sections[-1] = Section(last.heading, (*last.paragraphs, rest), last.number, last.quotes)
        if sections and (len(self.steps) <= FEW_STEPS or [one.heading for one in sections] == [HEADINGS["small"]]):
            paragraphs = tuple(each for one in sections for each in one.paragraphs)
            sections = [Section("What we did", paragraphs)]
        if number is not None and sections and not any(one.number for one in sections):
            one = sections[0]
            sections[0] = Section(one.heading, one.paragraphs, number, one.quotes)
        return sections

    def _with_quotes(self, sections: Sequence[Section]) -> tuple[Section, ...]:
        """Put each quotation under the heading that tells of what it was said with, else of what was told next."""
        days = self._first, self._last
        own = quotations(self._records, self._settings, days, self.entries, self.steps, self.biggest, self.gate)
        entry_of = {said: one.id for one in self.entries for said in one.utterances}
        homes = [self._home(sections, entry_of.get(one.utterance, "")) for one in own]
        return tuple(
            replace(one, quotes=tuple(quote for quote, home in zip(own, homes, strict=True) if home == index))
            for index, one in enumerate(sections)
        )

    def _home(self, sections: Sequence[Section], entry: str) -> int:
        own = next((one for one in self.entries if one.id == entry), None)
        same_day = [one for one in self.entries if own is not None and self._same_day(one, own)]
        nearest = sorted(same_day, key=lambda one: abs(one.at - own.at) if own is not None else timedelta(0))
        found = (index for one in nearest for index, part in enumerate(sections) if _tells_of(part, one.id))
        return next(found, 0)

    def _same_day(self, one: EntryRecord, other: EntryRecord) -> bool:
        return self._local(one.at).date() == self._local(other.at).date()

    def _explained(
        self, thing: tuple[str, str, list[Told]] | None, picture: Picture | None, sections: Sequence[Section]
    ) -> Explained | None:
        """Return what is explained, without what holds the part where the story has told it."""
        if thing is None:
            return None
        held = {one.behind[0] for part in sections for each in part.paragraphs for one in each.sentences
                if " held " in one.text}  # fmt: skip
        own = [one for one in thing[2] if not (one.text.startswith("on this aircraft") and one.behind[0] in held)]
        lines = passed(self.gate, finished(own, self.gate, "one thing explained"), "one thing explained")
        # a meaning alone stands among the words of the trade
        return Explained(thing[1], lines, picture) if len(lines) > 1 else None

    def _ahead(self) -> list[Told]:
        told_of = [one for one in self._owed() if not self._tells_of_a_finding(one)]
        return ahead(told_of, self.off, self._terms, self.forms)

    def _owed(self) -> list[ToDo]:
        entries = {one.id: one for one in self._as_read}
        owed = [one for one in self._records.lists.to_do if self._first <= one.said_on <= self._last]
        sure = [
            one for one in owed if one.entry not in entries or not is_in_doubt(entries[one.entry], one.act, one.item)
        ]
        return [stands for one in sure if (stands := as_it_stands(one, self._since(one))) is not None]

    def _since(self, owed: ToDo) -> Iterable[EntryRecord]:
        return (one for one in self._as_read if self._local(one.at).date() > owed.said_on)

    def _tells_of_a_finding(self, owed: ToDo) -> bool:
        """Tell whether owed work is on a part with a finding, or was told in one breath with one or its cure."""
        sides = set(sides_of(owed.side))
        for line in self._records.lists.findings:
            on_that_side = not sides or not line.side or bool(sides & set(sides_of(line.side)))
            if line.item == owed.item and on_that_side and not line.absent and line.finding != "sound":
                return owed.act != "remove"
        entry = next((one for one in self._records.entries if one.id == owed.entry), None)
        facts = entry.facts if entry is not None else ()
        said = {one for fact in facts if fact.act == owed.act and fact.item == owed.item for one in fact.utterances}
        spoken = [text for one in self._records.utterances if one.id in said for text in (one.read, one.heard)]
        return any(map(tells_of_a_finding, spoken)) or any(
            said & set(fact.utterances) and (fact.status == "seen" or fact.act in TELLS_OF_FINDINGS) for fact in facts
        )

    def with_glossary(self, story: Story) -> Story:
        """Explain the trade words that a story uses, those that come first in it where there are many."""
        text = story.text.lower()
        items = {step.item for step in self.steps}
        items |= {one.item for one in self._owed() if one.item}
        meanings = {plain_name(self._terms, item): meaning_of(item, self._terms) for item in items} | _SIDES
        used = {name: re.search(rf"\b{re.escape(name)}", text) for name in meanings}
        asked = story.explained.question if story.explained is not None else ""
        found = sorted(
            (where.start(), name)
            for name, where in used.items()
            if where and meanings[name] and not re.search(rf"\b{re.escape(name)}\b", asked)
        )
        glossary = tuple(
            (capital(name), capital(meanings[name].rstrip(".")) + ".")
            for name in sorted(name for _, name in found[:_MOST_WORDS])
            if self._may_be_explained(name, meanings[name])
        )
        return replace(story, glossary=glossary)

    def _may_be_explained(self, name: str, meaning: str) -> bool:
        """Tell whether a word may stand in the glossary; one with its capital there may be somebody's name."""
        named = self.gate.reasons(f"the word {capital(name)}: {meaning}")
        is_a_name = any(why.startswith("the name of ") for why in named)
        return not is_a_name and bool(self.gate.text(f"{capital(name)}: {capital(meaning)}", "glossary"))

    def thanks(self) -> list[Told]:
        """Return the thanks, and the closing line of the settings as it was typed."""
        told = thanks(self._settings.people)
        closing = self._settings.supporters.closing.strip()
        lines = [*([sentence(told)] if told else []), *([closing] if closing else [])]
        return [Told(one, ("settings: people",)) for one in lines]

    def _local(self, at: datetime) -> datetime:
        return at.astimezone(self._zone)


def _is_of_work(entry: EntryRecord) -> bool:
    """Tell whether an entry tells of a day at work: not where all that it tells is meant for later or was left."""
    return not entry.facts or any(fact.status not in ("planned", "not-done") for fact in entry.facts)


def _tells_of_work(entry: EntryRecord) -> bool:
    return any(fact.status in ("done", "seen") for fact in entry.facts)


def _tells_of(section: Section, entry: str) -> bool:
    return any(entry in one.behind for each in section.paragraphs for one in each.sentences)


def _with_sentence(paragraphs: tuple[Paragraph, ...], more: tuple[Told, ...]) -> tuple[Paragraph, ...]:
    if not paragraphs:
        return (Paragraph(more),)
    last = paragraphs[-1]
    return (*paragraphs[:-1], Paragraph((*last.sentences, *more), last.pictures))
