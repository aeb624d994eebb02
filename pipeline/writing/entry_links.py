"""Links, and those to entries: each shows the day and the time at which its entry begins."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, tzinfo

from pipeline.records import Records

UNPLACED = "unplaced-speech"
"""Where a day's page shows what was said and stands in no entry."""


@dataclass(frozen=True)
class Link:
    """A link: where to, and its text."""

    href: str
    text: str


def entry_links(records: Records, zone: tzinfo, folder: str = "") -> dict[str, Link]:
    """Return the link to each entry by its id, and to each utterance that tells no fact: a list may rest on it too.

    Args:
        records: those whose entries are linked.
        zone: the book's time zone.
        folder: from the page that is written to the days' pages, with "/" at its end; "" from beside them.
    """
    entry_of = {said: one for one in records.entries for said in one.utterances}
    places = {one.id: (one.id, one.at.astimezone(zone)) for one in records.entries}
    several = several_years(at for _, at in places.values())
    for said in records.utterances:
        entry = entry_of.get(said.id)
        if entry is None:
            places[said.id] = (UNPLACED, said.start_at.astimezone(zone))
        elif not entry.facts:
            places[said.id] = places[entry.id]
    return {
        one: Link(f"{folder}{at.date()}.html#{anchor}", moment_text(at, several))
        for one, (anchor, at) in places.items()
    }


def several_years(begins: Iterable[datetime]) -> bool:
    """Tell whether entries that begin at these moments are of more than one year."""
    return len({at.year for at in begins}) > 1


def moment_text(at: datetime, with_year: bool) -> str:
    """Return "18/1 10:05", or "18/1/25 10:05" where entries of another year stand beside it."""
    return f"{at.day}/{at.month}{f'/{at:%y}' if with_year else ''} {at:%H:%M}"
