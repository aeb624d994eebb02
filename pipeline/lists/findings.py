"""Every condition that was looked at, on the day that it was told."""

from collections.abc import Iterable

from pipeline.lists.logged import LoggedFact, in_order
from pipeline.records import FindingLine


def findings(facts: Iterable[LoggedFact]) -> tuple[FindingLine, ...]:
    """Return one line for each condition seen, in the order told."""
    return tuple(
        FindingLine(
            on=logged.at.date(),
            item=fact.item,
            side=fact.side,
            place=fact.place,
            finding=fact.finding,
            absent=bool(fact.absent),
            grade=fact.grade,
            measure=fact.measure,
            count=fact.count,
            of=fact.of,
            entry=logged.entry,
            photos=logged.photos,
        )
        for logged in in_order(facts)
        if (fact := logged.fact).status == "seen" and fact.finding
    )
