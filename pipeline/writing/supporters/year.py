"""A year's summary: how many days, what came off and went on, month by month, with drawings."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from pipeline.english import capital, day_and_month, in_words, listed, month, plural, running_number, sentence
from pipeline.records import FindingLine, Records
from pipeline.writing.supporters.asked import Asked
from pipeline.writing.supporters.chapters import is_told_by_name
from pipeline.writing.supporters.choosing import MOST_PICTURES
from pipeline.writing.supporters.illustrating import Illustrator
from pipeline.writing.supporters.news import areas_listed, areas_of, big_groups, number_worth_telling, said
from pipeline.writing.supporters.placing import with_pictures
from pipeline.writing.supporters.planner import Planner
from pipeline.writing.supporters.sentences import ACTS, finished, parts_listed
from pipeline.writing.supporters.steps import Step, how_many, named
from pipeline.writing.supporters.story import Number, Picture, Plot, Section, Story
from pipeline.writing.supporters.told import Told, passed, told
from pipeline.writing.supporters.year_plots import Bars, months_drawn
from pipeline.writing.terms import Terms

Closed = tuple[date, str]
"""The day on which something was no longer amiss, and the entry that tells of it."""


def plan_year(asked: Asked) -> Story:
    """Plan the summary of the calendar year of ``asked``; one without entries gives a page that says so."""
    year, records, terms, settings = asked.first.year, asked.records, asked.terms, asked.settings
    whole = Planner(asked)
    by_month: list[tuple[int, Planner]] = []
    for number in sorted({day.month for day in (*whole.days, *whole.days_at_work)}):
        last = date(year, number + 1, 1) if number < 12 else date(year + 1, 1, 1)
        of_month = replace(asked, first=date(year, number, 1), last=date.fromordinal(last.toordinal() - 1))
        by_month.append((number, Planner(of_month)))
    gate = whole.gate
    sections, pictures = _months(whole, by_month, asked)
    standfirst = passed(gate, _first_lines(whole, by_month, terms, year), "first lines")
    story = Story(
        title=gate.text(settings.supporters.title, "title") or "Progress report",
        aircraft=gate.text(settings.aircraft.name, "aircraft") or "our aircraft",
        period=f"the year {year}{_as_far_as(whole, records)}",
        headline=f"Our {year}, month by month",
        standfirst=standfirst,
        lead=pictures,
        sections=sections,
        explained=None,
        ahead=(),
        glossary=(),
        thanks=passed(gate, whole.thanks(), "thanks"),
        withheld=gate.withheld,
        leans_on_the_book=gate.leans_on_the_book,
        plots=_plots(whole, by_month, put_right(records, year), asked) if by_month else (),
    )
    return whole.with_glossary(story)


def parts_counted(steps: Sequence[Step], act: str, terms: Terms) -> int:
    """Return how many parts came off or went on, small bits left out; both sides count as two."""
    own = [step for step in steps if step.act == act and is_told_by_name(step.item, terms)]
    return sum(map(how_many, own))


def _first_lines(whole: Planner, by_month: Sequence[tuple[int, Planner]], terms: Terms, year: int) -> list[Told]:
    if not by_month or not whole.steps:
        return []
    days, at_work = len(whole.days_at_work), len({day.month for day in whole.days_at_work})
    spread = f", spread over {in_words(at_work)} months" if at_work > 1 else f" in {month(whole.days[0])}"
    lines = [
        told(
            sentence(f"in {year} we were at work on {running_number(days)} {plural('day', days)}{spread}"),
            *whole.steps,
        )
    ]
    off = sum(parts_counted(own.steps, "remove", terms) for _, own in by_month)
    on = sum(parts_counted(own.steps, "fit", terms) for _, own in by_month)
    gone = f"{running_number(off)} {plural('part', off)} came off" if off else ""
    more = "" if off else f" {plural('part', on)}"
    more = more if whole.tells_all else ""
    gone = gone if whole.tells_all or not off else f"{running_number(off)} came off"
    back = f"{running_number(on)}{more} went on"
    clauses = [one for one in (gone, back if on else "") if one]
    if clauses:
        # what is not told may have come off too: then the numbers are of what these pages tell
        which = "" if whole.tells_all else "of the parts that these pages tell of, "
        lines.append(
            told(sentence(which + listed(clauses)), *(one for one in whole.steps if one.act in ("remove", "fit")))
        )
    return list(finished(lines))


def _months(
    whole: Planner,
    by_month: Sequence[tuple[int, Planner]],
    asked: Asked,
) -> tuple[tuple[Section, ...], Picture | None]:
    """Return a section for each month, and the picture to begin with."""
    terms, settings = asked.terms, asked.settings
    made: list[Section] = []
    lead: Picture | None = None
    number = 1
    each = max(1, MOST_PICTURES // max(1, len(by_month)))
    for _, own in by_month:
        clauses, figure = _month_told(own, terms, whole)
        kept = passed(whole.gate, finished(clauses), "month")
        if not kept:
            continue
        illustrator = Illustrator(
            asked.records, terms, whole.gate, settings.zone, asked.looks, whole.days, settings.released, asked.let_out
        )
        shown = illustrator.pictures(own.entries, own.chapters, own.biggest, "", min(each, 3), number)
        number += len([one for part in shown.by_chapter for one in part]) + (shown.lead is not None)
        own_lead = shown.lead
        if lead is None and own_lead is not None:
            lead, own_lead = own_lead, None
        of_month = [one for part in shown.by_chapter for one in part]
        paragraphs = with_pictures([kept], of_month, terms, own_lead)
        made.append(Section(month(own.days[0]), paragraphs, figure))
    return tuple(made), lead


def _month_told(own: Planner, terms: Terms, whole: Planner) -> tuple[list[Told], Number | None]:
    """Tell a month in a sentence or two; how many days it had stands with the drawing of them."""
    clauses = big_groups(own.steps, own.biggest, terms)
    name = month(own.days[0]) if own.days else ""
    if not own.steps:
        return [], None
    if not clauses:
        where = areas_listed(areas_of(own.steps, terms))
        forms = (f"in {name} there was work on {where}", f"in {name} we saw to {where}")
        if not where:
            forms = (f"in {name} we saw to smaller jobs", f"in {name} there were smaller jobs to do")
        return [told(whole.forms.next("quiet month", *forms), *own.steps)], None
    done = listed([said(act, parts, terms, own.past, own.steps) for act, parts in clauses[:2]])
    steps = [step for _, parts in clauses[:2] for step in parts]
    made = [told(whole.forms.next("month", f"in {name} we {done}", f"we {done}"), *steps)]
    for act, parts in clauses[2:4]:
        made.append(
            told(f"we {said(act, parts, terms, own.past, own.steps)}", *parts, other=_passive(act, parts, terms))
        )
    step, figure = number_worth_telling(own.steps, terms, whole.forms)
    if step is not None and figure is not None:
        return [*made, told(f"{figure.figure} {figure.text}", step)], None
    return made, None


def _passive(act: str, parts: Sequence[Step], terms: Terms) -> str:
    names = parts_listed([named(step, terms) for step in parts])
    many = len(parts) > 1 or names.startswith("both ") or parts[0].number > 1
    return f"{names} {'were' if many else 'was'} {ACTS[act].done} too"


def put_right(records: Records, year: int) -> tuple[Closed, ...]:
    """Return what was found amiss and was, after work on it, looked for in vain in this year, each thing once.

    What merely was not there any more, with no work told, is not among them. Nothing that was told in a later year
    counts: a summary stays what it was.
    """
    known = {one.id for one in records.entries}
    closed = (_closed(line, year) for line in records.lists.findings)
    return tuple(sorted(one for one in closed if one is not None and one[1] in known))


def _closed(line: FindingLine, year: int) -> Closed | None:
    seen = [one for one in line.seen if one.on.year <= year]
    amiss = [index for index, one in enumerate(seen) if not one.absent]
    gone = seen[amiss[-1] + 1 :] if amiss else []
    if not gone or gone[0].on.year != year or not any(move.on <= gone[0].on for move in line.done):
        return None
    return gone[0].on, gone[0].entry


def _year_so_far(whole: Planner, records: Records) -> int:
    """Return the last month that the year has come to, as far as the book tells: the last of all, if more follows."""
    last = max(whole.days)
    followed = any(entry.at.year > last.year for entry in records.entries)
    return 12 if followed else last.month


def _as_far_as(whole: Planner, records: Records) -> str:
    """Return ", up to 28 February" for a year that the book has not seen the end of, as far as it tells."""
    over = not whole.entries or _year_so_far(whole, records) == 12
    return "" if over else f", up to {day_and_month(max(whole.days))}"


def _plots(
    whole: Planner, by_month: Sequence[tuple[int, Planner]], closed: Sequence[Closed], asked: Asked
) -> tuple[Plot, ...]:
    terms, span = asked.terms, _months_so_far(whole, asked.records)
    entries = {number: tuple(one.id for one in own.entries) for number, own in by_month}
    days = {number: len(own.days_at_work) for number, own in by_month if own.days_at_work}
    off = {number: parts_counted(own.steps, "remove", terms) for number, own in by_month}
    on = {number: parts_counted(own.steps, "fit", terms) for number, own in by_month}
    made = (
        _days_drawn(days, entries, span, compared=whole.tells_all),
        _parts_drawn(off, on, entries, span, compared=whole.tells_all),
        _put_right_drawn(closed, span),
    )
    return tuple(one for one in made if one is not None)


def _months_so_far(whole: Planner, records: Records) -> tuple[int, int]:
    """Return the first month of the year that the book tells of, from its beginning, and the last so far."""
    began = any(entry.at.year < max(whole.days).year for entry in records.entries)
    return 1 if began else min(whole.days).month, _year_so_far(whole, records)


def _days_drawn(
    days: Mapping[int, int], entries: Mapping[int, tuple[str, ...]], span: tuple[int, int], *, compared: bool
) -> Plot | None:
    """Draw the days at work; no month is called the busiest unless each of them is told."""
    if not days:
        return None
    most, busiest = _most(days), _busiest(days)
    how_many = f"{running_number(days[most])} {plural('day', days[most])}"
    text = f"the busiest time was in {_month(most)}, with {how_many} at work"
    if len(days) == 1:
        text = f"all of the work was in {_month(most)}"
    elif len(busiest) == len(days):
        text = f"in each of {listed(busiest)} there {'was' if days[most] == 1 else 'were'} {how_many} of work"
    elif len(busiest) > 1:
        text = f"the busiest times were in {listed(busiest)}, with {how_many} each"
    if not compared and len(busiest) < len(days):
        text = f"we were at work on {_each_month(days, 'day')}"
    drawn = months_drawn("Days at work in each month", [Bars("days", days)], *span)
    return Plot("Days at work", drawn, (Told(sentence(text), entries[most]),))


def _parts_drawn(
    off: Mapping[int, int],
    on: Mapping[int, int],
    entries: Mapping[int, tuple[str, ...]],
    span: tuple[int, int],
    *,
    compared: bool,
) -> Plot | None:
    """Draw how many parts came off and went on; months are compared only where nothing was left out of the count."""
    bars = [Bars(name, count) for name, count in (("off", off), ("on", on)) if sum(count.values())]
    lines = []
    for count, way in ((off, "came off"), (on, "went on")):
        most = _most(count)
        if count[most]:
            busiest = _busiest(count)
            where = f"in {busiest[0]}" if len(busiest) == 1 else f"in each of {listed(busiest)}"
            others = ", more than in any other month" if len(busiest) < sum(map(bool, count.values())) else ""
            text = f"{running_number(count[most])} {plural('part', count[most])} {way} {where}{others}"
            if not compared:
                text = _each_month(count, "part", f" {way}")
            if compared and sum(count.values()) == count[most]:
                every = {1: "one part", 2: "both parts"}.get(count[most], f"all {running_number(count[most])} parts")
                text = f"{every} that {way} did so in {_month(most)}"
            lines.append(Told(sentence(text), entries[most]))
    drawn = months_drawn("Parts off and on in each month", bars, *span)
    return Plot("Parts off and on", drawn, tuple(lines)) if bars else None


def _each_month(count: Mapping[int, int], what: str, way: str = "") -> str:
    """Return "three parts came off in November and four in December", "two days in May"."""
    first, *rest = [number for number in sorted(count) if count[number]]
    begun = f"{running_number(count[first])} {plural(what, count[first])}{way} in {_month(first)}"
    return listed([begun, *(f"{running_number(count[number])} in {_month(number)}" for number in rest)])


def _put_right_drawn(closed: Sequence[Closed], span: tuple[int, int]) -> Plot | None:
    """Draw how many things were put right in each month: the bare number, since the things may be nobody's news."""
    if not closed:
        return None
    count = Counter(day.month for day, _ in closed)
    most, number = _most(count), len(closed)
    were = "was" if number == 1 else "were"
    text = f"{running_number(number)} {plural('thing', number)} that {were} amiss {were} put right"
    text += f", {running_number(count[most])} of them in {_month(most)}" if len(count) > 1 else f" in {_month(most)}"
    drawn = months_drawn("Things put right in each month", [Bars("put right", count)], *span)
    behind = tuple(dict.fromkeys(entry for _, entry in closed))
    return Plot("Things put right", drawn, (Told(sentence(text), behind),))


def _busiest(count: Mapping[int, int]) -> list[str]:
    """Return the names of the months that share the highest number."""
    return [_month(number) for number in sorted(count) if count[number] == count[_most(count)]]


def _most(count: Mapping[int, int]) -> int:
    return max(count, key=lambda number: (count[number], -number))


def _month(number: int) -> str:
    return capital(month(date(2000, number, 1)))
