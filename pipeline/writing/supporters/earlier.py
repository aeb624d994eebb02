"""What the reports before this one told, worked out from the records month by month."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from pipeline.records import EntryRecord, Records
from pipeline.settings import Settings
from pipeline.writing.supporters.as_told import as_told
from pipeline.writing.supporters.believed import believed, told_again, told_by
from pipeline.writing.supporters.chapters import biggest, tellable
from pipeline.writing.supporters.explaining import explained
from pipeline.writing.supporters.news import biggest_of
from pipeline.writing.supporters.past import Past
from pipeline.writing.supporters.privacy import keep_fact
from pipeline.writing.supporters.reasons import reasons_given
from pipeline.writing.supporters.steps import steps
from pipeline.writing.supporters.taking_back import Spoken
from pipeline.writing.terms import Terms


@dataclass(frozen=True)
class _Month:
    """What the report of one month told: (part, day, side) of removals, the part explained, the reasons given."""

    name: str
    off: Sequence[tuple[str, date, str]]
    explained: frozenset[str]
    reasons: frozenset[str]
    days: Sequence[date]


class Earlier:
    """Knows what came before a report; each month is worked out once, for all the reports of a run."""

    def __init__(self, records: Records, settings: Settings, terms: Terms) -> None:
        """Take the book: nothing is worked out before it is asked for.

        Args:
            records: everything that the book holds.
            settings: for the time zone.
            terms: the vocabulary.
        """
        self._records, self._zone, self._terms = records, settings.zone, terms
        self._whole: list[_Month] = []  # from the first on

    def before(self, first: date) -> Past:
        """Return what came before the first day of the report that is being written."""
        months = list(self._before(first))
        of_year = sum(month.name >= f"{first:%Y}" for month in months)
        recent = months[max(0, len(months) - of_year - 1) :]  # a reason of December is not given again in January
        off: dict[str, list[tuple[date, str]]] = {}
        for item, day, side in (one for month in months for one in month.off):
            off.setdefault(item, []).append((day, side))
        return Past(
            off={item: tuple(days) for item, days in off.items()},
            explained=_all_explained(months),
            reasons=frozenset(one for month in recent for one in month.reasons),
            days=tuple(day for month in months for day in month.days),
        )

    def _before(self, first: date) -> Iterator[_Month]:
        """Yield the months before a day, the last one as far as that day."""
        of_first = f"{first:%Y-%m}"
        for index, (name, days) in enumerate(self._days.items()):
            if name >= of_first:
                own = {day: entries for day, entries in days.items() if day < first}
                if name == of_first and own:
                    yield self._month(name, own, self._whole[:index])
                return
            if index == len(self._whole):
                self._whole.append(self._month(name, days, self._whole))
            yield self._whole[index]

    @cached_property
    def _spoken(self) -> Spoken:
        return Spoken.of(self._records)

    @cached_property
    def _again(self) -> frozenset[tuple[str, str]]:
        return told_again(self._records)

    @cached_property
    def _days(self) -> dict[str, dict[date, list[EntryRecord]]]:
        """The entries that nobody rejected by month and day, in order."""
        months: dict[str, dict[date, list[EntryRecord]]] = {}
        for entry in sorted(self._records.entries, key=lambda one: (one.at, one.id)):
            if entry.review != "rejected":
                day = entry.at.astimezone(self._zone).date()
                months.setdefault(f"{day:%Y-%m}", {}).setdefault(day, []).append(entry)
        return dict(sorted(months.items()))

    def _month(self, name: str, days: dict[date, list[EntryRecord]], before: Iterable[_Month]) -> _Month:
        entries = [as_told(one, self._spoken) for own in days.values() for one in own]
        done = [
            (one, fact, one.at.astimezone(self._zone))
            for one in entries
            for each in one.facts
            if (fact := believed(one, each)) is not None and fact.status == "done" and not keep_fact(fact)
        ]
        of_month = tellable(steps(done, self._terms), frozenset(), self._terms, self._again)
        gone = [step for step in of_month if step.act == "remove"]
        parts = [*gone, *(step for step in of_month if step not in gone)]
        big = biggest_of(of_month, biggest(of_month, self._terms), self._terms)
        thing = explained(parts, list(map(told_by, entries)), self._terms, big, _all_explained(before))
        return _Month(
            name,
            off=[(step.item, step.day, side) for step in gone for side in (step.in_turn or ("",))],
            explained=frozenset((thing[0],)) if thing else frozenset(),
            reasons=frozenset(reasons_given(of_month)),
            days=sorted(days),
        )


def _all_explained(months: Iterable[_Month]) -> frozenset[str]:
    return frozenset(one for month in months for one in month.explained)
