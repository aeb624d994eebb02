"""What is the news of a period: the headline, the first lines, and a number worth telling."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, tzinfo

from pipeline.english import capital, listed, sentence, weekday
from pipeline.reading.fact import Side
from pipeline.records import EntryRecord
from pipeline.writing.supporters.as_told import FASTEN
from pipeline.writing.supporters.chapters import area_of, in_words, is_told_by_name
from pipeline.writing.supporters.past import Past
from pipeline.writing.supporters.sentences import ACTS, Forms, noun, parts_listed, principal
from pipeline.writing.supporters.steps import (
    LARGE,
    Step,
    are_many,
    how_many,
    is_plural,
    made_named,
    named,
    part_named,
    sides_of,
)
from pipeline.writing.supporters.story import QUIET, Number
from pipeline.writing.supporters.told import Told, told
from pipeline.writing.supporters.when import in_span, is_weekend, months, on_day, time_of_day
from pipeline.writing.terms import Terms, belongs_to
from pipeline.writing.titles import HANDLING

FEW_STEPS = 3
_LEAST_NUMBER = 10
_LEAST_PARTS = 6
_MOST_NAMED = 6  # the big part of a chapter and those that came off with it
_MOST_BIG = 3
_MOST_AREAS = 3
# that the cloth came off or went on is news of its own, after every large part
_NEWS = (*LARGE, "wing-fabric")
# Work that makes the first lines, in the order in which it is told.
_FIRST_LINES = ("remove", "fit", "test", "paint", "dope", "prime", "inspect", "clean", "make")


def went_back_on(step: Step, steps: Iterable[Step]) -> bool:
    """Tell whether what came off had gone on again by the end of the period."""
    on = [one for one in steps if (one.act, one.item) == ("fit", step.item) and one.until > step.until]
    return step.act == "remove" and any(not one.sides or step.sides <= one.sides for one in on)


def biggest_of(steps: Sequence[Step], off: Step | None, terms: Terms) -> Step | None:
    """Return the step that is the news: the largest part that came off or went on, of two alike the later.

    Without one it is what was painted, came off, was made or tested. What came off and went on again in the same
    period is no news as "off": its reader would think that it still is. ``off`` is a removal that is told well.
    """
    if off is not None and went_back_on(off, steps):
        away = [step for step in steps if step.act == "remove" and not went_back_on(step, steps)]
        off = min((step for step in away if step.item in _NEWS), key=_size, default=None)
    gone = {step.item for step in steps if step.act == "remove"}
    fits = [step for step in steps if step.act == "fit" and step.item in _NEWS and step.item not in gone]
    on = min(fits, key=lambda step: (_size(step), -step.until.timestamp()), default=None)
    if off is not None and off.item in _NEWS:
        return off if on is None or (_size(off), on.until) <= (_size(on), off.until) else on
    for act in ("fit", "paint", "dope", "remove", "prime", "make", "inspect", "test", "clean"):
        own = [step for step in steps if step.act == act and (act == "remove" or step.item in _NEWS)]
        if own:
            return off if act == "remove" and off is not None else min(own, key=_size)
    fitted = [step for step in steps if step.act == "fit"]
    return next((step for step in fitted if is_told_by_name(step.item, terms)), next(iter((*fitted, *steps)), None))


def headline(big: Step | None, steps: Sequence[Step], past: Past, terms: Terms) -> str:
    """Return the headline: what came off or went on, or where the work was."""
    if big is None:
        return QUIET
    part = named(big, terms)
    many = is_plural(part, big.item, terms)
    if big.act == "remove":
        return f"Off {'come' if many else 'comes'} {part}"
    if big.act == "fit":
        back = "back " if goes_back(big, steps, past) else ""
        return capital(f"{part} {'go' if many else 'goes'} {back}on")
    if big.act in ("paint", "dope"):
        return f"A coat of {big.act} for {part}"
    if big.act == "inspect":
        looked = areas_of([step for step in steps if step.act == "inspect"], terms)
        return f"A look over {looked[0] if len(looked) == 1 and looked[0] != 'the body' else part}"
    areas = areas_of(steps, terms)
    return capital(f"work on {areas[0]}") if areas else QUIET


def big_parts(steps: Sequence[Step], act: str, big: Step | None, terms: Terms) -> list[Step]:
    """Return the work of one kind that a reader pictures, the headline's first."""
    own = [step for step in steps if step.act == act and not went_back_on(step, steps)]
    items = {step.item for step in own}
    large = [
        step for step in own
        if (step.item in _NEWS or act == "make") and not step.by_others
        and not any(belongs_to(terms, step.item, one) for one in items - {step.item})
    ]  # fmt: skip
    large.sort(key=lambda step: (step is not big, _size(step)))
    return large[:_MOST_BIG]


def first_lines(
    steps: Sequence[Step],
    big: Step | None,
    days: Sequence[date],
    terms: Terms,
    aims: Sequence[Told],
    past: Past,
    at_work: Sequence[datetime],
) -> list[Told]:
    """Return the lines under the headline: what the team set out to do, or what came of the days.

    Args:
        steps: all work that is told.
        big: the headline's step.
        days: the days with work, in order.
        terms: the vocabulary.
        aims: what had been planned and was done, as ``aims_met`` gives it.
        past: what had come off before.
        at_work: when work was told of, that which is left out of the report too, in the local time.
    """
    if not days or not steps:
        return []
    if aims:
        others = [step for step in big_parts(steps, "remove", big, terms) if named(step, terms) not in aims[0].text]
        names = parts_listed([named(step, terms) for step in others])
        return [*aims, *([told(sentence(f"{names} came off as well"), *others)] if others else [])]
    span = in_span(days)
    if {step.act for step in steps} <= {"inspect", "test"}:
        looking = f"{span}, we took the time to look things over"
        return [told(sentence(looking), *steps)]
    groups = _news_groups(steps, big, terms)
    if groups and len(steps) > FEW_STEPS:
        clauses = [said(act, parts, terms, past, steps) for act, parts in groups[:3]]
        # "on three days we took the engine off" would be three times
        when = span if len(days) == 1 or is_weekend(days) else f"in {months(days)}"
        text = f"{when}, we {listed(clauses)}"
        return [told(sentence(text), *(step for _, parts in groups[:3] for step in parts))]
    areas = areas_of(steps, terms)
    parts_of_day = {time_of_day(at) for at in at_work}
    if len(days) == 1 and len(parts_of_day) == 1:
        (when,) = parts_of_day
        span = f"on the {when} of {weekday(days[0])} {days[0].day} {months(days)}"
    if not areas:
        jobs = "there was a small job" if len(steps) == 1 else "there were small jobs"
        return [told(sentence(f"{span}, {jobs} to see to"), *steps)]
    return [told(sentence(f"{span}, we were at work on {areas_listed(areas)}"), *steps)]


def _news_groups(steps: Sequence[Step], big: Step | None, terms: Terms) -> list[tuple[str, list[Step]]]:
    """Return the groups of big parts that are news, that of the headline's step among them, however small it is."""
    groups = big_groups(steps, big, terms)
    # a bush that was made is no news beside a wing
    groups = [(act, parts) for act, parts in groups if any(step.item in _NEWS for step in parts)] or groups
    if groups and big is not None and big.act in ("remove", "fit") and all(big not in parts for _, parts in groups):
        groups.insert(0, (big.act, [big]))
    return groups


def at_work_alone(entries: Sequence[EntryRecord], zone: tzinfo) -> list[Told]:
    """Return the one line of a report of which nothing else may be told: that there was work, and when.

    Args:
        entries: those that tell of work.
        zone: the book's time zone.
    """
    if not entries:
        return []
    days = sorted({one.at.astimezone(zone).date() for one in entries})
    text = f"{in_span(days)}, we were at work: what we did is in the logbook"
    return [Told(sentence(text), tuple(one.id for one in entries))]


def aims_met(
    plans: Iterable[tuple[datetime, str, Side | None, str]],
    off: Sequence[Step],
    big: Step | None,
    days: Sequence[date],
    terms: Terms,
) -> list[Told]:
    """Tell what the team set out to take off, from what was planned before it was done.

    Args:
        plans: (when it was said, the part, the side, the entry) of each planned removal.
        off: the removals.
        big: the headline's step; without a plan for it, nothing is told.
        days: the days with work.
        terms: the vocabulary.
    """
    done = {step.item: step for step in off}
    aims: dict[str, list[str]] = {}
    behind: list[str] = []
    unmet = False
    for at, item, side, entry in plans:
        step = done.get(item)
        wanted = set(sides_of(side))
        if item not in _NEWS or (step is not None and at >= step.at):
            continue
        if step is None or (step.sides and not wanted <= step.sides):
            unmet = True
            continue
        aims.setdefault(item, []).extend(sorted(wanted))
        behind.append(entry)
    if big is None or big.item not in aims or not days:
        return []
    parts = [part_named(item, sorted(set(sides)), terms) for item, sides in aims.items()]
    last = max(done[item].day for item in aims)
    jobs = "the job was" if len(parts) == 1 else f"{'both' if len(parts) == 2 else 'all'} jobs were"
    span = "the weekend" if is_weekend(days) else weekday(days[0]) if len(days) == 1 else months(days)
    by = on_day(last, days)
    ends = told("", *(done[item] for item in aims)).behind
    return [
        Told(
            sentence(f"{'part of ' if unmet else ''}the plan for {span} was to take off {parts_listed(parts)}"),
            tuple(dict.fromkeys(behind)),
        ),
        Told(sentence(f"by the end of {by}, {jobs} done"), ends),
    ]


def number_worth_telling(steps: Sequence[Step], terms: Terms, forms: Forms) -> tuple[Step | None, Number | None]:
    """Return a number, and the step that it is of: most fasteners undone or fitted, else how many parts came off."""
    found = [
        (most[1], most[0], step)
        for step in steps
        if step.act in ("undo", "drill-out", "remove", "fit", FASTEN, "tighten") and (most := principal(step.counts))
    ]
    if found:
        total, of, step = max(found, key=lambda one: one[0])
        if total >= _LEAST_NUMBER:
            part = part_named(step.item, step.sides, terms, many=are_many(step.item, steps))
            verb = {"drill-out": "drilled out of", "tighten": "were done up on"} | dict.fromkeys(
                ("fit", FASTEN), "went into"
            )
            text = f"{noun(of, terms)} {verb.get(step.act, 'came out of')} {part}"
            return step, Number(("about " if step.about else "") + f"{total:,}", text, step.entries)
    off = [step for step in steps if step.act == "remove" and is_told_by_name(step.item, terms)]
    total = sum(map(how_many, off))
    # "and two more" leaves open how many of each, "the flying wires" how many there are, and of one part the headline
    # tells already: a number that nobody can count up in the text, or has read, is not told
    countable = len(off) <= _MOST_NAMED or all(how_many(step) == 1 for step in off)
    countable = countable and len(off) > 1 and not any(step.several and not step.number for step in off)
    if total >= _LEAST_PARTS and countable:
        text = forms.next("number", "parts came off in all", "parts off the aircraft in all")
        return None, Number(f"{total}", text, told("", *off).behind)
    return None, None


def entries_planned(
    entries: Sequence[EntryRecord], at: dict[str, datetime]
) -> list[tuple[datetime, str, Side | None, str]]:
    """Return each planned removal: when it was said, of what, on which side, in which entry."""
    return [
        (at[entry.id], str(fact.item), fact.side, entry.id)
        for entry in entries
        for fact in entry.facts
        if fact.status == "planned" and fact.act == "remove" and fact.item
    ]


def big_groups(steps: Sequence[Step], big: Step | None, terms: Terms) -> list[tuple[str, list[Step]]]:
    """Return the large work by kind, each part once: under the first thing that is told of it."""
    groups: list[tuple[str, list[Step]]] = []
    told_of: set[str] = set()
    first = big.act if big is not None else ""
    for act in sorted(_FIRST_LINES, key=lambda one: one != first):
        parts = [step for step in big_parts(steps, act, big, terms) if step.item not in told_of]
        told_of |= {step.item for step in parts}
        if parts:
            groups.append((act, parts))
    return groups


def said(act: str, parts: Sequence[Step], terms: Terms, past: Past, steps: Sequence[Step] = ()) -> str:
    """Return "took the fin off the aircraft", "put the rudder back on", "painted the fin"."""
    names = parts_listed([named(step, terms) for step in parts])
    if act == "make":
        return f"made {listed([made_named(step, terms) for step in parts])}"
    if act == "remove":
        return f"took {names} off the aircraft"
    if act == "fit":
        back = all(goes_back(step, steps, past) for step in parts)
        return f"put {names} back on" if back else f"fitted {names}"
    return ACTS[act].past.format(names)


def goes_back(step: Step, steps: Iterable[Step], past: Past) -> bool:
    """Tell whether a part that was fitted is one that had come off before, in this period or earlier."""
    if step.new or step.back:
        return not step.new
    now = any((one.act, one.item) == ("remove", step.item) and one.at < step.at for one in steps)
    return now or past.came_off(step.item, step.sides) is not None


def areas_of(steps: Sequence[Step], terms: Terms) -> list[str]:
    """Return where the work was, in words, most of it first.

    What is nowhere in particular is left out, and so is what was merely labelled, bagged, put away or photographed.
    """
    # labelling a cowling that lies in store is no work on the engine
    found = [area_of(step.item, terms) for step in steps if step.act not in HANDLING]
    areas = sorted(set(found) - {"small"}, key=lambda area: (-found.count(area), found.index(area)))
    return [in_words(area, steps) for area in areas]


def areas_listed(areas: Sequence[str]) -> str:
    """Return the first areas in words, the two of one name last: "the tail as well as the systems and controls"."""
    found = sorted(areas[:_MOST_AREAS], key=lambda area: " and " in area)
    if len(found) > 1 and " and " in found[-1]:
        return f"{listed(found[:-1])} as well as {found[-1]}"
    return listed(found)


def _size(step: Step) -> int:
    return _NEWS.index(step.item) if step.item in _NEWS else len(_NEWS)
