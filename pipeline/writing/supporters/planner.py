"""The planner: from a period's facts to a report with a beginning, a middle and an end.

It decides what is told, in which order and under which heading; how a chapter is put is in ``telling``, and what
may not be told is in ``privacy``. Nothing is told that no fact says, but for the plain reasons in ``chapters``.
"""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date, datetime, tzinfo

from pipeline.records import EntryRecord, FactRecord, Records, ToDo
from pipeline.settings import Settings
from pipeline.writing.english import (
    capital,
    day_and_month,
    in_words,
    listed,
    month,
    plural,
    running_number,
    sentence,
    span_of_days,
    weekday,
)
from pipeline.writing.supporters.ahead import ahead
from pipeline.writing.supporters.chapters import Chapter, biggest, chapters, tellable
from pipeline.writing.supporters.explaining import explained, held_by, meaning_of
from pipeline.writing.supporters.illustrating import Illustrator
from pipeline.writing.supporters.moments import tells_of_a_finding
from pipeline.writing.supporters.privacy import TELLS_OF_FINDINGS, Gate, inner_keys, keep_fact
from pipeline.writing.supporters.sentences import Forms, finished, noun, parts_listed, principal
from pipeline.writing.supporters.steps import LARGE, Step, is_plural, named, part_named, sides_of, steps
from pipeline.writing.supporters.story import Explained, Picture, Section, Story
from pipeline.writing.supporters.telling import Teller, hands
from pipeline.writing.terms import Terms, belongs_to, term
from pipeline.writing.wording import fact_text

_PEOPLE_END_IN = (
    "er", "or", "ist", "man", "woman", "ian", "ice", "ant", "ent", "ee", "hand", "head", "chief", "lead",
)  # fmt: skip
_MOST_WORDS = 12
_MANY = 3  # people, from which a job is worth a line of its own
_LEAST_NUMBER = 10
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
        self._gate = Gate(settings, frozenset(word for name in terms.names() for word in name.text.lower().split()))
        self._entries = [
            entry
            for entry in sorted(records.entries, key=lambda one: (one.at, one.id))
            if entry.review != "rejected" and first <= self._local(entry.at).date() <= last
        ]
        planned = frozenset(
            str(fact.item)
            for entry in self._entries
            for fact in entry.facts
            if fact.status == "planned" and fact.act == "remove" and fact.item
        )
        self._steps = tellable(steps(self._done(), terms), planned)
        self._off = [step for step in self._steps if step.act == "remove"]
        self._chapters = chapters(self._steps, terms)
        self._biggest = biggest(self._steps)
        self._forms = Forms()

    def story(self) -> Story:
        gate, settings = self._gate, self._settings
        thing = explained(self._off, self._entries, self._terms, self._biggest)
        shown = Illustrator(self._records, self._terms, gate, self._zone).pictures(
            self._entries, self._chapters, self._biggest, thing[0] if thing else ""
        )
        number_of, number = self._number()
        sections = self._sections(shown.by_chapter, number_of)
        ahead_lines = gate.texts(self._ahead(), "what is next")
        answer = self._explained(thing, shown.explained)
        words = [text for part in sections for lines in part.paragraphs for text in lines]
        return Story(
            title=gate.text(settings.supporters.title, "title") or "Progress report",
            aircraft=gate.text(settings.aircraft.name, "aircraft") or "our aircraft",
            period=span_of_days(*self._days_told()),
            headline=gate.text(self._headline(), "headline") or "News from the hangar",
            standfirst=gate.texts(self._standfirst(), "first lines"),
            lead=shown.lead,
            sections=sections,
            explained=answer,
            number=number,
            ahead=ahead_lines,
            glossary=self._glossary(" ".join([*words, *ahead_lines]).lower(), answer),
            thanks=gate.texts(self._thanks(), "thanks"),
            withheld=gate.withheld,
        )

    def _done(self) -> Iterable[tuple[EntryRecord, FactRecord, datetime]]:
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
        return f"Off {'come' if is_plural(part, self._biggest.item, self._terms) else 'comes'} {part}"

    def _big_parts(self) -> list[Step]:
        """Return what came off that a reader has heard of, the headline's part first."""
        items = {step.item for step in self._off}
        large = [
            step for step in self._off
            if step.item in LARGE and not any(belongs_to(self._terms, step.item, one) for one in items - {step.item})
        ]  # fmt: skip
        large.sort(key=lambda step: (step is not self._biggest, LARGE.index(step.item)))
        return large[:3] or ([self._biggest] if self._biggest is not None else [])

    def _standfirst(self) -> list[str]:
        days = sorted({self._local(entry.at).date() for entry in self._entries})
        if not days or not self._steps:
            return []
        span = f"in {_span(days)}" if len(days) > 1 else f"on {weekday(days[0])} {day_and_month(days[0])}"
        big = self._big_parts()
        if not big:
            return [sentence(f"{span}, work on the aircraft went on")]
        lines = self._aim(days)
        if not lines:
            parts = parts_listed([named(step, self._terms) for step in big])
            lines = [sentence(f"{span}, we took {parts} off the aircraft")]
        people = hands(self._steps)
        if people >= _MANY:
            lines.append(sentence(f"the heaviest job took {running_number(people)} of us"))
        return lines

    def _sections(self, pictures: Sequence[tuple[Picture, ...]], number_of: str) -> tuple[Section, ...]:
        teller = Teller(self._terms, self._forms, held_by(self._entries), number_of)
        made: list[Section] = []
        left = tuple(step for chapter in self._chapters for step in teller.left_over(chapter))
        told = list(self._chapters)
        if left:
            small = next((one for one in told if one.area == "small"), Chapter("small", None, ()))
            told = [*(one for one in told if one.area != "small"), Chapter("small", None, (*left, *small.steps))]
        before: Chapter | None = None
        for index, chapter in enumerate(told):
            paragraphs = [self._gate.texts(one, chapter.area) for one in teller.paragraphs(chapter, before)]
            shown = pictures[index] if index < len(pictures) else ()
            before = chapter
            made.append(Section(chapter.heading, tuple(one for one in paragraphs if one), shown))
        return self._with_labels(made, teller)

    def _with_labels(self, made: Sequence[Section], teller: Teller) -> tuple[Section, ...]:
        """Add the sentence on labels to the last section; pictures without text join the section before."""
        kept: list[Section] = []
        for one in made:
            if one.paragraphs or not kept:
                kept.append(one)
            else:
                kept[-1] = Section(kept[-1].heading, kept[-1].paragraphs, (*kept[-1].pictures, *one.pictures))
        labels = self._gate.texts(finished([teller.labels(self._steps)], self._forms), "labels")
        if kept and labels and labels[0] != ".":
            last = kept[-1]
            end = last.paragraphs[-1] if last.paragraphs else ()
            kept[-1] = Section(last.heading, (*last.paragraphs[:-1], (*end, *labels)), last.pictures)
        return tuple(one for one in kept if one.paragraphs)

    def _aim(self, days: Sequence[date]) -> list[str]:
        """Tell what the team set out to do, from what was planned before it was done."""
        done = {step.item: step for step in self._off}
        aims: dict[str, list[str]] = {}
        for entry in self._entries:
            for fact in entry.facts:
                step = done.get(str(fact.item))
                planned = fact.status == "planned" and fact.act == "remove" and fact.item in LARGE
                if planned and step is not None and self._local(entry.at) < step.at:
                    wanted = [side for side in sides_of(fact.side) if side in step.sides]
                    aims.setdefault(str(fact.item), []).extend(wanted)
        if self._biggest is None or self._biggest.item not in aims:
            return []
        parts = [part_named(item, sorted(set(sides)), self._terms) for item, sides in aims.items()]
        end = weekday(max(done[item].day for item in aims))
        jobs = "the job was" if len(parts) == 1 else f"{'both' if len(parts) == 2 else 'all'} jobs were"
        span = weekday(days[0]) if len(days) == 1 else _span(days).replace("one weekend in", "a weekend in")
        return [
            sentence(f"the plan for {span} was to take off {parts_listed(parts)}"),
            sentence(f"by the end of {end}, {jobs} done"),
        ]

    def _explained(self, thing: tuple[str, str, list[str]] | None, picture: Picture | None) -> Explained | None:
        if thing is None:
            return None
        lines = self._gate.texts(finished(thing[2], self._forms), "one thing explained")
        return Explained(thing[1], lines, picture) if lines else None

    def _number(self) -> tuple[str, tuple[str, str] | None]:
        """Return the largest number of fasteners undone: the part that they held, and (figure, what it counts)."""
        found = [
            (most[1], most[0], step)
            for step in self._steps
            if step.act in ("undo", "drill-out", "remove") and (most := principal(step.counts))
        ]
        if not found:
            return "", None
        total, of, step = max(found, key=lambda one: one[0])
        if total < _LEAST_NUMBER:
            return "", None
        out = "drilled out of" if step.act == "drill-out" else "came out of"
        part = part_named(step.item, step.sides, self._terms)
        text = self._gate.text(f"{noun(of, self._terms)} {out} {part}", "the number")
        return step.item, ((("about " if step.about else "") + f"{total:,}", text) if text else None)

    def _ahead(self) -> list[str]:
        owed = [one for one in self._records.lists.to_do if self._first <= one.said_on <= self._last]
        return ahead((one for one in owed if not self._tells_of_a_finding(one)), self._off, self._terms)

    def _tells_of_a_finding(self, owed: ToDo) -> bool:
        """Tell whether owed work is on a part with a finding, or was told in one breath with one or its cure."""
        sides = set(sides_of(owed.side))
        for line in self._records.lists.findings:
            same_side = not sides or not line.side or bool(sides & set(sides_of(line.side)))
            if line.item == owed.item and same_side and not line.absent and line.finding != "sound":
                return owed.act != "remove"
        entry = next((one for one in self._records.entries if one.id == owed.entry), None)
        facts = entry.facts if entry is not None else ()
        said = {one for fact in facts if fact.act == owed.act and fact.item == owed.item for one in fact.utterances}
        words = [text for one in self._records.utterances if one.id in said for text in (one.read, one.heard)]
        return any(map(tells_of_a_finding, words)) or any(
            said & set(fact.utterances) and (fact.status == "seen" or fact.act in TELLS_OF_FINDINGS) for fact in facts
        )

    def _glossary(self, story: str, answer: Explained | None) -> tuple[tuple[str, str], ...]:
        """Explain the trade words that the story uses, those that come first in it where there are many."""
        items = {step.item for step in self._steps}
        items |= {one.item for one in self._records.lists.to_do if one.item}
        words = {term(self._terms, item): meaning_of(item, self._terms) for item in items} | _SIDES
        used = {name: re.search(rf"\b{re.escape(name)}", story) for name in words}
        asked = answer.question if answer is not None else ""
        found = sorted(
            (where.start(), name)
            for name, where in used.items()
            if where and words[name] and not re.search(rf"\b{re.escape(name)}\b", asked)
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


def _span(days: Sequence[date]) -> str:
    """Return "one weekend in February", "three days in February"."""
    weekend = len(days) == 2 and (days[0].weekday(), (days[1] - days[0]).days) == (5, 1)
    what = "one weekend" if weekend else f"{in_words(len(days))} {plural('day', len(days))}"
    return f"{what} in {month(days[0])}"


def _group(role: str) -> str:
    """Return a role as people: "fitter" as it is, "hydraulics" as "hydraulics team"."""
    return role if role.endswith(_PEOPLE_END_IN) else f"{role} team"
