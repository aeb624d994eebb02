"""Which photos the report shows: placed with high probability, spread over the story, not taken close together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

LEAST_P = 0.6
MOST_PICTURES = 12
ENOUGH_PICTURES = 9
MOST_IN_ONE = 6
MOST_PLAIN = 2
APART_S = 60.0
BURST_S = 8.0


@dataclass(frozen=True)
class Group:
    """Photos that show one thing: (media id, probability that it belongs there). ``plain``: nobody said what."""

    name: str
    photos: tuple[tuple[str, float], ...]
    plain: bool = False


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
    first: Sequence[str] = (),
    most: int = MOST_PICTURES,
) -> tuple[tuple[Chosen, ...], ...]:
    """Choose photos for each section of the story.

    Every group gives its likeliest photo before any gives a second one, and no section has more than ``MOST_IN_ONE``
    at first. Photos of one group taken within ``APART_S`` seconds are taken to show the same; of two groups, within
    ``BURST_S``. Where there are fewer than ``ENOUGH_PICTURES``, photos that nobody told of fill the gaps.

    Args:
        sections: the groups that each section tells of, in order.
        taken_at: when each photo was taken, by media id. A photo that is not in it is not chosen.
        first: photos that the report cannot do without (its lead), taken before all others if they are likely.
        most: how many photos at most, over all sections.

    Returns:
        The chosen photos by section, each section's in the order in which they were taken.
    """
    homes = {group.name: index for index, section in enumerate(sections) for group in section}
    told = [_ranked(group, taken_at) for section in sections for group in section if not group.plain]
    plain = [_ranked(group, taken_at) for section in sections for group in section if group.plain]
    picked: list[Chosen] = []
    for media in first:
        one = next((photo for photos in (*told, *plain) for photo in photos if photo.media == media), None)
        if one is not None and len(picked) < most and _apart(one, picked, BURST_S):
            picked.append(one)
    _fill(picked, told, APART_S, most, homes, MOST_IN_ONE)
    _fill(picked, plain, APART_S, min(most, ENOUGH_PICTURES, len(picked) + MOST_PLAIN), homes, MOST_IN_ONE)
    _fill(picked, told, BURST_S, min(most, ENOUGH_PICTURES), homes, most)
    return tuple(
        tuple(sorted((one for one in picked if homes[one.group] == index), key=lambda one: (one.at, one.media)))
        for index in range(len(sections))
    )


def _fill(
    picked: list[Chosen],
    ranked: Sequence[Sequence[Chosen]],
    apart_s: float,
    most: int,
    homes: Mapping[str, int],
    most_in_one: int,
) -> None:
    """Add a photo of each group in turn, until there are enough or none is left that is apart from the others."""
    before = -1
    while len(picked) < most and len(picked) != before:
        before = len(picked)
        for photos in ranked:
            one = next((photo for photo in photos if _apart(photo, picked, apart_s)), None)
            if one is None or len(picked) >= most:
                continue
            if sum(homes[other.group] == homes[one.group] for other in picked) < most_in_one:
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
        photo.media != other.media
        and abs((photo.at - other.at).total_seconds()) >= (apart_s if photo.group == other.group else BURST_S)
        for other in picked
    )
