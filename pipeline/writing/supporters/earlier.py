"""What the reports before this one told, worked out from the records month by month."""

from datetime import date

from pipeline.records import EntryRecord, Records
from pipeline.settings import Settings
from pipeline.writing.supporters.as_told import as_told
from pipeline.writing.supporters.believed import believed, told_by
from pipeline.writing.supporters.chapters import biggest, tellable
from pipeline.writing.supporters.explaining import explained
from pipeline.writing.supporters.news import biggest_of
from pipeline.writing.supporters.past import Past
from pipeline.writing.supporters.privacy import keep_fact
from pipeline.writing.supporters.reasons import reasons_given
from pipeline.writing.supporters.steps import steps
from pipeline.writing.supporters.taking_back import Spoken
from pipeline.writing.terms import Terms


def past_of(records: Records, settings: Settings, terms: Terms, first: date) -> Past:
    """Return what came before a day.

    Args:
        records: everything that the book holds.
        settings: for the time zone.
        terms: the vocabulary.
        first: the first day of the report that is being written.
    """
    zone = settings.zone
    spoken = Spoken.of(records)
    before: dict[date, list[EntryRecord]] = {}
    for entry in sorted(records.entries, key=lambda one: (one.at, one.id)):
        day = entry.at.astimezone(zone).date()
        if day < first and entry.review != "rejected":
            before.setdefault(day, []).append(as_told(entry, spoken))
    off: dict[str, list[tuple[date, str]]] = {}
    given: frozenset[str] = frozenset()
    told: set[str] = set()
    for name in sorted({f"{day:%Y-%m}" for day in before}):
        entries = [one for day, own in before.items() if f"{day:%Y-%m}" == name for one in own]
        done = [
            (one, fact, one.at.astimezone(zone))
            for one in entries
            for each in one.facts
            if (fact := believed(one, each)) is not None and fact.status == "done" and not keep_fact(fact)
        ]
        of_month = tellable(steps(done, terms), frozenset())
        gone = [step for step in of_month if step.act == "remove"]
        for step in gone:
            off.setdefault(step.item, []).extend((step.day, side) for side in (step.in_turn or ("",)))
        parts = [*gone, *(step for step in of_month if step not in gone)]
        thing = explained(
            parts, list(map(told_by, entries)), terms, biggest_of(of_month, biggest(of_month)), frozenset(told)
        )
        given = (given if name[:4] == f"{first:%Y}" else frozenset()) | reasons_given(of_month)
        told |= {thing[0]} if thing else set()
    return Past(
        off={item: tuple(days) for item, days in off.items()},
        explained=frozenset(told),
        reasons=given,
        days=tuple(sorted(before)),
    )
