"""What a part is usually joined to and held by, as the vocabulary's list of joints has it: never what was told."""

from functools import lru_cache

from pipeline.lists.part_lives import Life
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Held
from pipeline.trade.entries import Joint

_HOLDING = frozenset({"mount", "hinge", "joint", "fitting", "attachment", "bearer"})
"""Last words of the names of what a part is held by. Source: common practice, no source."""


def joints_between(item: str, vocabulary: Vocabulary) -> tuple[Joint, ...]:
    """Return the joints between a part and others that have a name of their own ("wing-joint" of "outer-wing")."""
    return tuple(one for one in vocabulary.joints if item in one.joins and one.part not in one.joins)


def is_named_for_holding(item: str) -> bool:
    """Tell whether a part is by its name where others are held: a wing joint, an engine mount; no strut, no wire."""
    return item.rpartition("-")[2] in _HOLDING


@lru_cache(maxsize=10_000)
def holds(item: str, whole: str, vocabulary: Vocabulary) -> bool:
    """Tell whether a part is by its name what holds another: the engine mount its engine, a hinge its flap."""
    part = vocabulary.part(item)
    of_its_own = part is not None and part.broader == whole and is_named_for_holding(item)
    return of_its_own or any(joint.part == item for joint in joints_between(whole, vocabulary))


def usual_joint(part: Life, vocabulary: Vocabulary) -> tuple[tuple[str, ...], tuple[Held, ...]]:
    """Return what the part is usually joined to, and the fasteners, where the list has a number for them."""
    own = tuple(one for one in vocabulary.joints if one.part == part.item)
    joints = own or joints_between(part.item, vocabulary)
    held = tuple(
        Held(
            of=joint.fasteners[0],
            count=joint.count,
            about=joint.about,
            told="usual",
            joint=joint.part if joint.part != part.item else None,
        )
        for joint in joints
        if joint.count is not None and joint.fasteners
    )
    return tuple(dict.fromkeys(one for joint in joints for one in joint.joins if one != part.item)), held
