"""Which photos the report shows: placed with high probability, spread over the story, not taken close together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

LEAST_P = 0.6
MOST_PICTURES = 12
ENOUGH_PICTURES = 9
APART_S = 60.0
BURST_S = 8.0


@dataclass(frozen=True)
class Group:
    """Photos that tell of one thing: (media id, probability that it belongs there)."""

    name: str
    photos: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Chosen:
    """A photo, and the group that it was chosen from."""

    media: str
    group: str
    at: datetime
    p: float


def choose(
    sections: Sequence[Sequence[Group]],
    taken_at: Mapping[str, datetime],
    first: str | None = None,
    most: int = MOST_PICTURES,
) -> tuple[tuple[Chosen, ...], ...]:
    """Choose photos for each section of the story.

    Every group gives its likeliest photo before any gives a second one. Photos taken within ``APART_S`` seconds of a
    chosen one are taken to show the same thing; where that leaves fewer than ``ENOUGH_PICTURES``, those taken within
    ``BURST_S`` are.

    Args:
        sections: the groups that each section tells of, in order.
        taken_at: when each photo was taken, by media id. A photo that is not in it is not chosen.
        first: the group whose photo leads the report; chosen before all others.
        most: how many photos at most, over all sections.

    Returns:
        The chosen photos by section, each section's in the order in which they were taken.
    """
    ranked = [_ranked(group, taken_at) for section in sections for group in section]
    ranked.sort(key=lambda photos: not (photos and photos[0].group == first))
    homes = {group.name: index for index, section in enumerate(sections) for group in section}
    picked: list[Chosen] = []
    _fill(picked, ranked, APART_S, most)
    _fill(picked, ranked, BURST_S, min(most, ENOUGH_PICTURES))
    return tuple(
        tuple(sorted((one for one in picked if homes[one.group] == index), key=lambda one: (one.at, one.media)))
        for index in range(len(sections))
    )


def _fill(picked: list[Chosen], ranked: Sequence[Sequence[Chosen]], apart_s: float, most: int) -> None:
    """Add a photo of each group in turn, until there are enough or none is left that is apart from the others."""
    before = -1
    while len(picked) < most and len(picked) != before:
        before = len(picked)
        for photos in ranked:
            one = next((photo for photo in photos if _apart(photo, picked, apart_s)), None)
            if one is not None and len(picked) < most:
                picked.append(one)


def _ranked(group: Group, taken_at: Mapping[str, datetime]) -> list[Chosen]:
    return sorted(
        (
            Chosen(media, group.name, taken_at[media], p)
            for media, p in group.photos
            if p >= LEAST_P and media in taken_at
        ),
        key=lambda photo: (-photo.p, photo.at, photo.media),
    )


def _apart(photo: Chosen, picked: Sequence[Chosen], apart_s: float) -> bool:
    return all(
        photo.media != other.media and abs((photo.at - other.at).total_seconds()) >= apart_s for other in picked
    )
