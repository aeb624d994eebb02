"""Which photos the report shows: likely, sharp and well lit, spread over the story, no two of them alike."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from pipeline.writing.supporters.looks import Look

LEAST_P = 0.6
MOST_PICTURES = 12
ENOUGH_PICTURES = 9
MOST_IN_ONE = 6
MOST_PLAIN = 2
APART_S = 60.0
BURST_S = 8.0
# so many of a group's likeliest photos are looked at: one of a month's thousand is as good as the next
MOST_LOOKED_AT = 12

Looks = Callable[[str], Look | None]
"""Takes a photo's id; gives how it looks, None where that is not known."""


def unseen(media: str) -> Look | None:
    """Know nothing of how any photo looks."""
    return None


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
    look: Look | None = None


def choose(
    sections: Sequence[Sequence[Group]],
    taken_at: Mapping[str, datetime],
    first: Sequence[str] = (),
    most: int = MOST_PICTURES,
    looks: Looks = unseen,
    named: Collection[str] = (),
) -> tuple[tuple[Chosen, ...], ...]:
    """Choose photos for each section of the story.

    Every group gives its best photo before any gives a second one, and no section has more than ``MOST_IN_ONE``
    at first. Photos of one group taken within ``APART_S`` seconds are taken to show the same; of two groups, within
    ``BURST_S``. Where there are fewer than ``ENOUGH_PICTURES``, photos that nobody told of fill the gaps.

    Args:
        sections: the groups that each section tells of, in order.
        taken_at: when each photo was taken, by media id. A photo that is not in it is not chosen.
        first: photos that the report cannot do without (its lead), taken before all others if they are likely.
        most: how many photos at most, over all sections.
        looks: how photos look. One that is blurred, lost in the dark or burnt out is shown only where its group has
            no other; one that looks like a photo that is shown already is not shown.
        named: those of ``first`` that a person named: they are taken however they look, and however likely they are.

    Returns:
        The chosen photos by section, each section's in the order in which they were taken.
    """
    homes = {group.name: index for index, section in enumerate(sections) for group in section}
    told = [_ranked(group, taken_at, looks) for section in sections for group in section if not group.plain]
    plain = [_ranked(group, taken_at, looks) for section in sections for group in section if group.plain]
    picked: list[Chosen] = []
    for media in first:
        if any(media == other.media for other in picked) or len(picked) >= most:
            continue
        if media in named:
            picked += _as_named(media, sections, taken_at)
            continue
        one = next((photo for photos in (*told, *plain) for photo in photos if photo.media == media), None)
        if one is not None and _apart(one, picked, BURST_S):
            picked.append(one)
    _fill(picked, told, APART_S, most, homes, MOST_IN_ONE)
    _fill(picked, plain, APART_S, min(most, ENOUGH_PICTURES, len(picked) + MOST_PLAIN), homes, MOST_IN_ONE)
    _fill(picked, told, BURST_S, min(most, ENOUGH_PICTURES), homes, most)
    return tuple(
        tuple(sorted((one for one in picked if homes[one.group] == index), key=lambda one: (one.at, one.media)))
        for index in range(len(sections))
    )


def _as_named(
    media: str, sections: Sequence[Sequence[Group]], taken_at: Mapping[str, datetime]
) -> tuple[Chosen, ...]:
    """Return a photo that a person named, in the first group that has it."""
    groups = (group for section in sections for group in section)
    found = (
        Chosen(media, group.name, taken_at[media], p) for group in groups for one, p in group.photos if one == media
    )
    return tuple(found)[:1] if media in taken_at else ()


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


def _ranked(group: Group, taken_at: Mapping[str, datetime], looks: Looks) -> list[Chosen]:
    """Return a group's photos, the best first; those that are fit to be shown, where any of them is."""
    likely = sorted(
        (
            Chosen(media, group.name, taken_at[media], p)
            for media, p in group.photos
            if p >= LEAST_P and media in taken_at
        ),
        key=lambda photo: (-photo.p, photo.at, photo.media),
    )
    seen = [Chosen(one.media, one.group, one.at, one.p, looks(one.media)) for one in likely[:MOST_LOOKED_AT]]
    good = [one for one in seen if one.look is None or one.look.good]
    return sorted(good or seen[:1], key=lambda one: (-_worth(one), one.at, one.media))


def _worth(one: Chosen) -> float:
    """Return how likely and how good a photo is: a much sharper one outdoes one that is a little likelier."""
    return one.p if one.look is None else one.p + 0.5 * one.look.worth


def _apart(photo: Chosen, picked: Sequence[Chosen], apart_s: float) -> bool:
    return all(
        photo.media != other.media
        and abs((photo.at - other.at).total_seconds()) >= (apart_s if photo.group == other.group else BURST_S)
        and not (photo.look is not None and other.look is not None and photo.look.alike(other.look))
        for other in picked
    )
