"""Which photos the report shows: placed with high probability, spread over the story, no two taken close together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from pipeline.records import EntryRecord

LEAST_P = 0.6
MOST_PICTURES = 12
APART_S = 60.0


@dataclass(frozen=True)
class Chosen:
    """A photo and the entry that it goes with."""

    media: str
    entry: str
    at: datetime
    p: float


def choose(
    sections: Sequence[Sequence[EntryRecord]],
    taken_at: Mapping[str, datetime],
    first: str | None = None,
    most: int = MOST_PICTURES,
) -> tuple[tuple[Chosen, ...], ...]:
    """Choose photos for each section of the story.

    Every entry gives its likeliest photo before any gives a second one; photos taken within ``APART_S`` seconds of
    a chosen one are taken to show the same thing.

    Args:
        sections: the entries that each section tells of, in order.
        taken_at: when each photo was taken, by media id. A photo that is not in it is not chosen.
        first: the entry whose photo leads the report; chosen before all others.
        most: how many photos at most, over all sections.

    Returns:
        The chosen photos by section, each section's in the order in which they were taken.
    """
    rounds = [_ranked(entry, taken_at) for section in sections for entry in section]
    homes = {entry.id: index for index, section in reversed(list(enumerate(sections))) for entry in section}
    rounds.sort(key=lambda ranked: not (ranked and ranked[0].entry == first))
    picked: list[Chosen] = []
    used: set[str] = set()
    while len(picked) < most:
        before = len(picked)
        for ranked in rounds:
            one = next((photo for photo in ranked if photo.media not in used and _apart(photo, picked)), None)
            if one is not None and len(picked) < most:
                picked.append(one)
                used.add(one.media)
        if len(picked) == before:
            break
    return tuple(
        tuple(sorted((one for one in picked if homes[one.entry] == index), key=lambda one: (one.at, one.media)))
        for index in range(len(sections))
    )


def _ranked(entry: EntryRecord, taken_at: Mapping[str, datetime]) -> list[Chosen]:
    return sorted(
        (
            Chosen(link.media, entry.id, taken_at[link.media], link.p)
            for link in entry.photos
            if link.p >= LEAST_P and link.media in taken_at
        ),
        key=lambda photo: (-photo.p, photo.at, photo.media),
    )


def _apart(photo: Chosen, picked: Sequence[Chosen]) -> bool:
    return all(abs((photo.at - other.at).total_seconds()) >= APART_S for other in picked)
