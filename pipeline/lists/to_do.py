"""What was said to be planned, or not to have been done, and has not been done since."""

from collections.abc import Iterable

from pipeline.lists.logged import LoggedFact, in_order, same_place, same_side
from pipeline.reading.fact import Fact
from pipeline.records import ToDo


def to_do(facts: Iterable[LoggedFact]) -> tuple[ToDo, ...]:
    """Return one line for each piece of work that is still owed, in the order first said.

    Work is owed from when it was said to be planned or not done until a later fact says that it is done. Said twice,
    it is one line, under the day on which it was first said.
    """
    owed: list[LoggedFact] = []
    for logged in in_order(facts):
        fact = logged.fact
        if fact.act is None:
            continue
        if fact.status == "done":
            owed = [earlier for earlier in owed if not _same_work(earlier.fact, fact)]
        elif fact.status in ("planned", "not-done") and not any(_same_work(earlier.fact, fact) for earlier in owed):
            owed.append(logged)
    return tuple(_line(logged) for logged in owed)


def _same_work(owed: Fact, fact: Fact) -> bool:
    return (
        owed.act == fact.act
        and owed.item is not None
        and owed.item == fact.item
        and same_side(owed.side, fact.side)
        and same_place(owed.place, fact.place)
    )


def _line(logged: LoggedFact) -> ToDo:
    fact = logged.fact
    return ToDo(
        said_on=logged.at.date(),
        status="planned" if fact.status == "planned" else "not-done",
        act=str(fact.act),
        item=fact.item,
        side=fact.side,
        place=fact.place,
        words=logged.said,
        entry=logged.entry,
    )
