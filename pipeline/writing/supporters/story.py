"""The planner: from a period's facts to a report with a beginning, a middle and an end.

It decides what is told, in which order and under which heading; how a sentence is put is in ``sentences``, and what
may not be told is in ``privacy``. Nothing is told that no fact says, but for the plain reasons in ``_WHY``, which are
true of any aircraft of this kind (common practice, no source).
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from pipeline.records import EntryRecord, FactRecord, Records
from pipeline.settings import Settings
from pipeline.values import Kind
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
from pipeline.writing.supporters.choosing import Chosen, choose
from pipeline.writing.supporters.privacy import Gate, Withheld, inner_keys, keep_fact
from pipeline.writing.supporters.sentences import Forms, doing, fasteners, parts_listed, to_do, told
from pipeline.writing.supporters.steps import Area, Step, areas, named, part_named, steps
from pipeline.writing.terms import Terms, gloss, kind_and_zone, term
from pipeline.writing.wording import counted, fact_text

_HEADINGS = {
    "wing": "The wing",
    "gear": "The undercarriage",
    "tail": "The tail",
    "engines": "The engines",
    "services": "Pipes, cables and wires",
    "body": "The body",
    "other": "Around the aircraft",
}
_AREA_WORDS = {
    "wing": "the wing",
    "gear": "the undercarriage",
    "tail": "the tail",
    "engines": "the engines",
    "services": "the pipes, cables and wires",
    "body": "the body",
    "other": "the rest of the aircraft",
}
# For each area: the acts and parts that the reason goes with (no parts: any), and the reason.
_WHY: dict[str, tuple[frozenset[str], frozenset[str], str]] = {
    "wing": (
        frozenset({"remove"}),
        frozenset({"outer-wing", "mainplane"}),
        "With the wing off, the joint that carries it can be reached from all sides and cleaned.",
    ),
    "gear": (
        frozenset({"remove"}),
        frozenset({"main-undercarriage", "main-oleo"}),
        "The legs take the whole weight on every landing, so they come out to be stripped on the bench.",
    ),
    "tail": (
        frozenset({"remove"}),
        frozenset(),
        "A tail is full of hinges, and each one is easier to work on off the aircraft.",
    ),
    "engines": (
        frozenset({"remove"}),
        frozenset({"engine"}),
        "With an engine out of the way, what lies behind it can be reached.",
    ),
    "services": (
        frozenset({"disconnect"}),
        frozenset(),
        "Pipes, cables and wires must be free before a large part can move, or they would be torn.",
    ),
}
_PEOPLE_END_IN = (
    "er",
    "or",
    "ist",
    "man",
    "woman",
    "ian",
    "ice",
    "ant",
    "ent",
    "ee",
    "hand",
    "head",
    "chief",
    "lead",
)
# the largest first; common practice, no source
_LARGE = (
    "rear-fuselage", "front-fuselage", "centre-section", "mainplane", "outer-wing", "engine", "tailplane",
    "main-undercarriage", "fin", "gun-turret", "canopy", "rudder", "propeller", "elevator", "flap", "aileron",
    "fuel-tank",
)  # fmt: skip
_MANY = 4  # people, from which a lift is worth a headline
_MOST_PLANS = 4
_SIDES = {
    "port": "the left side, as you sit in the cockpit and look ahead",
    "starboard": "the right side, as you sit in the cockpit and look ahead",
}


@dataclass(frozen=True)
class Picture:
    """A picture of the report: the photo, its file's name in the folder, and what is said of it."""

    media: str
    file: str
    caption: str
    alt: str


@dataclass(frozen=True)
class Section:
    """A heading with paragraphs (each a tuple of sentences) and pictures."""

    heading: str
    paragraphs: tuple[tuple[str, ...], ...]
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True)
class Story:
    """The whole report, passed by the gate."""

    title: str
    aircraft: str
    period: str
    headline: str
    standfirst: tuple[str, ...]
    lead: Picture | None
    sections: tuple[Section, ...]
    explained: tuple[str, tuple[str, ...]] | None
    number: tuple[str, str] | None
    ahead: tuple[str, ...]
    glossary: tuple[tuple[str, str], ...]
    thanks: tuple[str, ...]
    withheld: tuple[Withheld, ...]

    @property
    def pictures(self) -> tuple[Picture, ...]:
        """Every picture, the lead first."""
        return (
            *(() if self.lead is None else (self.lead,)),
            *(one for part in self.sections for one in part.pictures),
        )


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
        self._areas = _told_areas(areas(self._steps))
        self._biggest = _biggest(self._steps, terms)
        self._forms = Forms()

    def story(self) -> Story:
        gate, settings = self._gate, self._settings
        pictures, lead = self._pictures()
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
        why = _why(area)
        if why:
            paragraphs[-1 if paragraphs[-1] else 0].append(why)
        where = _HEADINGS[area.name]
        kept = (self._gate.texts(one, where) for one in paragraphs)
        return Section(where, tuple(one for one in kept if one), tuple(chosen))

    def _opener(self, area: Area, index: int) -> str:
        day, words = weekday(area.steps[0].day), _AREA_WORDS[area.name]
        if area.name == "other":
            return "there were smaller jobs too"
        if index == 0:
            return f"{day} began with {words}"
        if area.steps[0].day > self._areas[index - 1].steps[0].day:
            return f"on {day} we turned to {words}"
        return self._forms.next(
            "opener", f"there was work to do on {words} as well", f"{words} had our attention too"
        )

    def _pictures(self) -> tuple[list[tuple[Picture, ...]], Picture | None]:
        """Choose and caption the pictures, by area; the first of the biggest job leads the report."""
        showing = {one.id for one in self._entries if any(_is_a_fault(fact) for fact in one.facts)}
        for entry in self._entries:
            if entry.id in showing and entry.photos:
                what = f"{len(entry.photos)} {plural('photo', len(entry.photos))}"
                self._gate.keep_back(what, "may show a finding that has not been released", entry.id)
        sections: list[list[EntryRecord]] = [[] for _ in self._areas]
        for entry in self._entries:
            main = self._main_step(entry.id)
            if main is not None and entry.id not in showing:
                home = next(index for index, area in enumerate(self._areas) if main in area.steps)
                sections[home].append(entry)
        first = next((one for one in self._biggest.entries if one not in showing), None) if self._biggest else None
        photos = {media.id: media.taken_at for media in self._records.media if media.kind == Kind.PHOTO}
        chosen = choose(sections, photos, first)
        flat = [one for section in chosen for one in section]
        leading = next((one for one in flat if one.entry == first), flat[0] if flat else None)
        made = self._captioned(([leading] if leading else []) + [one for one in flat if one is not leading])
        by_area = [tuple(made[one.media] for one in section if one.media in made and one is not leading)
                   for section in chosen]  # fmt: skip
        return by_area, made.get(leading.media) if leading else None

    def _main_step(self, entry: str) -> Step | None:
        """Return the step that an entry's pictures are named for: a removal before any other work, handling last."""
        of_entry = [step for step in self._steps if entry in step.entries]
        return min(
            of_entry, key=lambda step: (step.act != "remove", step.act in ("tag", "bag", "store")), default=None
        )

    def _captioned(self, chosen: Sequence[Chosen]) -> dict[str, Picture]:
        made: dict[str, Picture] = {}
        seen: Counter[str] = Counter()
        for one in chosen:
            step = self._main_step(one.entry)
            if step is None:
                continue
            about = doing(step.act, named(step, self._terms))
            seen[about] += 1
            caption = _caption(about, weekday(self._local(one.at).date()), seen[about], len(made))
            alt = sentence(f"photograph taken while {about}" + (f", view {seen[about]}" if seen[about] > 1 else ""))
            if not (self._gate.text(caption, "caption") and self._gate.text(alt, "text for a picture")):
                continue
            slug = "-".join(named(step, self._terms, article=False).split())
            made[one.media] = Picture(one.media, f"{len(made) + 1:02d}-{_file_letters(slug)}.jpg", caption, alt)
        return made

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
        """Return what is next: what is still in place, and what is planned and has not been done since."""
        owed = [one for one in self._records.lists.to_do if self._first <= one.said_on <= self._last and one.item]
        owed = [
            one for one in owed if one.act not in ("inspect", "measure", "test", "treat", "repair", "strip-finish")
        ]
        left: dict[str, set[str]] = {}
        planned: dict[tuple[str, frozenset[str]], list[str]] = {}
        for one in owed:
            sides = {"both": frozenset({"port", "starboard"}), None: frozenset[str]()}.get(
                one.side, frozenset({str(one.side)})
            )
            if one.status == "not-done" and one.act == "remove":
                left.setdefault(str(one.item), set()).update(sides)
            elif one.status == "planned" and one.act not in planned.setdefault((str(one.item), sides), []):
                planned[str(one.item), sides].append(one.act)
        return [*self._still_in_place(left), *self._planned(planned)]

    def _still_in_place(self, left: Mapping[str, set[str]]) -> list[str]:
        parts = [part_named(item, sides, self._terms) for item, sides in left.items()]
        if not parts:
            return []
        many = len(parts) > 1 or parts[0].startswith("both ")
        return [sentence(f"not everything came away: {parts_listed(parts)} {'are' if many else 'is'} still in place")]

    def _planned(self, planned: Mapping[tuple[str, frozenset[str]], list[str]]) -> list[str]:
        """Tell of the largest piece of work first, then of a few others together."""
        by_acts: dict[tuple[str, ...], list[str]] = {}
        for (item, sides), acts in planned.items():
            by_acts.setdefault(tuple(acts), []).append(part_named(item, sides, self._terms))
        clauses = [(acts, to_do(acts, parts)) for acts, parts in by_acts.items()]
        clauses = sorted((one for one in clauses if one[1]), key=lambda one: "remove" not in one[0])
        told_first, others = [one for _, one in clauses[:1]], [one for _, one in clauses[1:_MOST_PLANS]]
        lines = [sentence(f"next, we plan to {one}") for one in told_first]
        if others:
            lines.append(sentence(f"we also mean to {listed(others)}"))
        return lines

    def _glossary(self, story: str, explained: str) -> tuple[tuple[str, str], ...]:
        items = {step.item for step in self._steps}
        items |= {one.item for one in self._records.lists.to_do if one.item}
        words = {term(self._terms, item): gloss(self._terms, item) for item in items}
        found = {
            name: meaning
            for name, meaning in words.items()
            if name in story and not _says_nothing(meaning, name) and not explained.endswith(f" {name}?")
        }
        found.update({side: meaning for side, meaning in _SIDES.items() if f"{side} " in story})
        return tuple(
            (capital(name), capital(meaning.rstrip(".")) + ".")
            for name, meaning in sorted(found.items())
            if self._gate.text(f"{name}: {meaning}", "glossary")
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
            who = listed([f"{person.name}, {person.role}" for person in named_people])
            lines.append(sentence(f"among them {'is' if len(named_people) == 1 else 'are'} {who}"))
        if self._settings.supporters.closing:
            lines.append(sentence(self._settings.supporters.closing))
        return lines

    def _local(self, at: datetime) -> datetime:
        return at.astimezone(self._zone)


def _is_a_fault(fact: FactRecord) -> bool:
    return fact.status == "seen" and not fact.absent and fact.finding != "sound"


def _told_areas(found: Sequence[Area]) -> tuple[Area, ...]:
    """Give an area with a single small job no section of its own: such jobs are told together, last."""
    large = [area for area in found if len(area.steps) > 1 or area.steps[0].act == "remove" or area.steps[0].counts]
    small = [step for area in found if area not in large for step in area.steps]
    own = [area for area in large if area.name != "other"]
    small += [step for area in large if area.name == "other" for step in area.steps]
    if not small:
        return tuple(own)
    return (*own, Area("other", tuple(sorted(small, key=lambda step: step.at))))


def _why(area: Area) -> str:
    """Return the reason that goes with an area's work, "" where its part or act is not among the steps."""
    acts, items, reason = _WHY.get(area.name, (frozenset(), frozenset(), ""))
    told_of = any(step.act in acts and (not items or step.item in items) for step in area.steps)
    return reason if told_of else ""


def _biggest(all_steps: Sequence[Step], terms: Terms) -> Step | None:
    """Return the removal that took many people, else that of the largest part, else of structure, else the first."""
    off = [step for step in all_steps if step.act == "remove"]
    if not off:
        return None

    def size(step: Step) -> tuple[int, int, bool]:
        large = len(_LARGE) - _LARGE.index(step.item) if step.item in _LARGE else 0
        return (step.people if step.people >= _MANY else 0), large, kind_and_zone(terms, step.item)[0] == "structure"

    return max(off, key=size)


def _caption(about: str, day: str, turn: int, number: int) -> str:
    if turn > 1:
        return sentence(f"another view from {about}" if turn == 2 else f"one more from {about}")
    return (sentence(f"{day}: {about}"), sentence(f"{about}, on {day}"), sentence(about))[number % 3]


def _says_nothing(meaning: str, name: str) -> bool:
    bare = meaning.lower().rstrip(".").removeprefix("a ").removeprefix("an ").removeprefix("the ")
    return not meaning or bare == name


def _group(role: str) -> str:
    """Return a role as people: "fitter" as it is, "hydraulics" as "hydraulics team"."""
    return role if role.endswith(_PEOPLE_END_IN) else f"{role} team"


def _lower_first(text: str) -> str:
    return text[:1].lower() + text[1:]


def _file_letters(text: str) -> str:
    return "".join(letter for letter in text.lower() if letter.isascii() and (letter.isalnum() or letter == "-"))
