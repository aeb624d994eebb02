"""The planner: from a period's facts to a report with a beginning, a middle and an end.

It decides what is told, in which order and under which heading; how a sentence is put is in ``sentences``, and what
may not be told is in ``privacy``. Nothing is told that no fact says, but for the plain reasons in ``areas``.
"""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date, datetime, tzinfo

from pipeline.records import EntryRecord, FactRecord, Records
from pipeline.settings import Settings
from pipeline.writing.english import (
    capital,
    in_words,
    listed,
    month,
    plural,
    running_number,
    sentence,
    span_of_days,
    weekday,
    with_article,
)
from pipeline.writing.supporters.ahead import ahead
from pipeline.writing.supporters.areas import HEADINGS, IN_WORDS, reason, told_areas
from pipeline.writing.supporters.illustrating import Illustrator
from pipeline.writing.supporters.privacy import Gate, inner_keys, keep_fact
from pipeline.writing.supporters.sentences import Forms, fasteners, parts_listed, told
from pipeline.writing.supporters.steps import LARGE, Area, Step, areas, named, steps
from pipeline.writing.supporters.story import Picture, Section, Story
from pipeline.writing.terms import Terms, gloss, kind_and_zone, term
from pipeline.writing.wording import counted, fact_text

_PEOPLE_END_IN = (
    "er", "or", "ist", "man", "woman", "ian", "ice", "ant", "ent", "ee", "hand", "head", "chief", "lead",
)  # fmt: skip
_MOST_WORDS = 16
_MANY = 4  # people, from which a lift is worth a headline
_SIDES = {
    "port": "the left side, as you sit in the cockpit and look ahead",
    "starboard": "the right side, as you sit in the cockpit and look ahead",
}


def plan(records: Records, settings: Settings, terms: Terms, first: date, last: date) -> Story:
    """Plan the report of a period.

    Args:
        records: everything that the book holds.
        settings: the team, what to withhold, and what the report is called.
        terms: the vocabulary.
        first: the first day, in the book's time zone.
        last: the last day.
    """
    return _Planner(records, settings, terms, first, last).story()


class _Planner:
    def __init__(self, records: Records, settings: Settings, terms: Terms, first: date, last: date) -> None:
        self._records = records
        self._settings = settings
        self._terms = terms
        self._zone: tzinfo = settings.zone
        self._first = first
        self._last = last
        self._gate = Gate(settings)
        self._entries = [
            entry
            for entry in sorted(records.entries, key=lambda one: (one.at, one.id))
            if entry.review != "rejected" and first <= self._local(entry.at).date() <= last
        ]
        self._steps = steps(self._tellable(), terms)
        self._areas = told_areas(areas(self._steps))
        self._biggest = _biggest(self._steps, terms)
        self._forms = Forms()

    def story(self) -> Story:
        gate, settings = self._gate, self._settings
        illustrator = Illustrator(self._records, self._steps, self._terms, gate, self._zone)
        pictures, lead = illustrator.pictures(self._entries, self._areas, self._biggest)
        sections = tuple(self._section(area, index, pictures[index]) for index, area in enumerate(self._areas))
        ahead = gate.texts(self._ahead(), "what is next")
        explained = self._explained()
        story_words = " ".join(
            [*(text for part in sections for lines in part.paragraphs for text in lines), *ahead]
        ).lower()
        return Story(
            title=gate.text(settings.supporters.title, "title") or "Progress report",
            aircraft=gate.text(settings.aircraft.name, "aircraft") or "our aircraft",
            period=span_of_days(*self._days_told()),
            headline=gate.text(self._headline(), "headline") or "News from the hangar",
            standfirst=gate.texts(self._standfirst(), "first lines"),
            lead=lead,
            sections=tuple(part for part in sections if part.paragraphs),
            explained=explained,
            number=self._number(),
            ahead=ahead,
            glossary=self._glossary(story_words, explained[0] if explained else ""),
            thanks=gate.texts(self._thanks(), "thanks"),
            withheld=gate.withheld,
        )

    def _tellable(self) -> Iterable[tuple[EntryRecord, FactRecord, datetime]]:
        told_facts = []
        for entry in self._entries:
            for fact in entry.facts:
                why = keep_fact(fact)
                if why:
                    self._gate.keep_back(fact_text(fact, self._terms), why, entry.id)
                    continue
                for key in inner_keys(fact):
                    self._gate.keep_back(fact_text(fact, self._terms), f"a {key}", entry.id)
                if fact.status == "done":
                    told_facts.append((entry, fact, self._local(entry.at)))
        return told_facts

    def _days_told(self) -> tuple[date, date]:
        days = [self._local(entry.at).date() for entry in self._entries] or [self._first, self._last]
        return min(days), max(days)

    def _headline(self) -> str:
        if self._biggest is None:
            return "News from the hangar"
        part = named(self._biggest, self._terms)
        return f"Off {'come' if part.startswith('both ') else 'comes'} {part}"

    def _standfirst(self) -> list[str]:
        days = sorted({self._local(entry.at).date() for entry in self._entries})
        if not days or not self._steps:
            return []
        span = f"in {in_words(len(days))} {plural('day', len(days))} in {month(days[0])}"
        off = [step for step in self._steps if step.act == "remove"]
        number = sum(max(1, len(step.sides)) for step in off)
        lines = []
        if off:
            what = f"{running_number(number)} parts, large and small,"
            if number < 3:
                what = parts_listed([named(step, self._terms) for step in off])
            lines.append(sentence(f"{span}, we took {what} off the aircraft"))
        else:
            lines.append(sentence(f"{span}, work on the aircraft went on"))
        if self._biggest is not None and self._biggest.people >= _MANY:
            lines.append(
                sentence(
                    f"{named(self._biggest, self._terms)} needed the most hands: "
                    f"{running_number(self._biggest.people)} people"
                )
            )
        return lines

    def _section(self, area: Area, index: int, chosen: Sequence[Picture]) -> Section:
        lines = [sentence(self._opener(area, index)), *told(area.steps, self._terms, self._forms)]
        half = len(lines) if len(lines) < 6 else (len(lines) + 1) // 2
        paragraphs = [lines[:half], lines[half:]]
        why = reason(area)
        if why:
            paragraphs[-1 if paragraphs[-1] else 0].append(why)
        where = HEADINGS[area.name]
        kept = (self._gate.texts(one, where) for one in paragraphs)
        return Section(where, tuple(one for one in kept if one), tuple(chosen))

    def _opener(self, area: Area, index: int) -> str:
        day, words = weekday(area.steps[0].day), IN_WORDS[area.name]
        if area.name == "other":
            return "there were smaller jobs too"
        if index == 0:
            return f"{day} began with {words}"
        if area.steps[0].day > self._areas[index - 1].steps[0].day:
            return f"on {day} we turned to {words}"
        return self._forms.next(
            "opener", f"there was work to do on {words} as well", f"{words} had our attention too"
        )

    def _explained(self) -> tuple[str, tuple[str, ...]] | None:
        """Explain one part that came off, in the vocabulary's words, and what holds it if somebody said so."""
        off = [step for step in self._steps if step.act == "remove"]
        held = {
            str(fact.item): fact
            for entry in self._entries
            for fact in entry.facts
            if fact.status == "explained" and fact.act == "held-by" and fact.count and fact.of
        }
        off.sort(key=lambda step: (step.item not in held, step is not self._biggest))
        for step in off:
            meaning = gloss(self._terms, step.item)
            name = term(self._terms, step.item)
            if _says_nothing(meaning, name):
                continue
            lines = [sentence(f"{with_article(name)} is {_lower_first(meaning)}")]
            fact = held.get(step.item)
            if fact is not None and fact.count and fact.of:
                number = running_number(fact.count)
                noun = counted(fact.count, fact.of, self._terms).split(" ", 1)[1]
                lines.append(sentence(f"on this aircraft it is held by {number} {noun}"))
            kept = self._gate.texts(lines, "one thing explained")
            if kept:
                return f"What is {with_article(name)}?", kept
        return None

    def _number(self) -> tuple[str, str] | None:
        """Return the largest number of fasteners undone, as a figure and what it counts."""
        found = [
            (sum(count for _, count in step.counts), step)
            for step in self._steps
            if step.act in ("undo", "drill-out") and step.counts
        ]
        if not found:
            return None
        total, step = max(found, key=lambda one: one[0])
        if total < 10:
            return None
        noun = fasteners(step, self._terms).removeprefix("about ").split(" ", 1)[1]
        noun = noun if len(step.counts) == 1 else "fasteners"
        out = "drilled out from" if step.act == "drill-out" else "undone at"
        text = self._gate.text(f"{noun} {out} {named(step, self._terms)}", "the number")
        return (("about " if step.about else "") + f"{total:,}", text) if text else None

    def _ahead(self) -> list[str]:
        owed = self._records.lists.to_do
        off = [step for step in self._steps if step.act == "remove"]
        return ahead((one for one in owed if self._first <= one.said_on <= self._last), off, self._terms)

    def _glossary(self, story: str, explained: str) -> tuple[tuple[str, str], ...]:
        """Explain the trade words that the story uses, those that come first in it where there are many."""
        items = {step.item for step in self._steps}
        items |= {one.item for one in self._records.lists.to_do if one.item}
        words = {term(self._terms, item): gloss(self._terms, item) for item in items} | _SIDES
        used = {name: re.search(rf"\b{re.escape(name)}", story) for name in words}
        found = sorted(
            (where.start(), name)
            for name, where in used.items()
            if where and not _says_nothing(words[name], name) and not explained.endswith(f" {name}?")
        )
        return tuple(
            (capital(name), capital(words[name].rstrip(".")) + ".")
            for name in sorted(name for _, name in found[:_MOST_WORDS])
            if self._gate.text(f"{name}: {words[name]}", "glossary")
        )

    def _thanks(self) -> list[str]:
        roles = Counter(person.role for person in self._settings.people)
        lines = []
        if roles:
            groups = [
                f"our {_group(role)}" if number == 1 else f"our {in_words(number)} {plural(role)}"
                for role, number in roles.items()
            ]
            lines.append(sentence(f"thank you to {listed(groups)}"))
        named_people = [person for person in self._settings.people if person.consent]
        if named_people:
            who = listed([f"{person.name} ({person.role})" for person in named_people])
            lines.append(sentence(f"among them {'is' if len(named_people) == 1 else 'are'} {who}"))
        if self._settings.supporters.closing:
            lines.append(sentence(self._settings.supporters.closing))
        return lines

    def _local(self, at: datetime) -> datetime:
        return at.astimezone(self._zone)


def _biggest(all_steps: Sequence[Step], terms: Terms) -> Step | None:
    """Return the removal that took many people, else that of the largest part, else of structure, else the first."""
    off = [step for step in all_steps if step.act == "remove"]
    if not off:
        return None

    def size(step: Step) -> tuple[int, int, bool]:
        large = len(LARGE) - LARGE.index(step.item) if step.item in LARGE else 0
        return (step.people if step.people >= _MANY else 0), large, kind_and_zone(terms, step.item)[0] == "structure"

    return max(off, key=size)


def _says_nothing(meaning: str, name: str) -> bool:
    """Tell whether an explanation is missing, or so short ("A main wheel.") that everybody knows the word."""
    return len(meaning.split()) < 4 or meaning.lower().rstrip(".").endswith(f" {name}")


def _group(role: str) -> str:
    """Return a role as people: "fitter" as it is, "hydraulics" as "hydraulics team"."""
    return role if role.endswith(_PEOPLE_END_IN) else f"{role} team"


def _lower_first(text: str) -> str:
    return text[:1].lower() + text[1:]
