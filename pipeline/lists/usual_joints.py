"""What a part is usually joined to and held by, as the vocabulary's list of joints has it: never what was told."""

from pipeline.lists.part_lives import Life
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Held
from pipeline.trade.entries import Joint


def joints_between(item: str, vocabulary: Vocabulary) -> tuple[Joint, ...]:
    """Return the joints between a part and others that have a name of their own ("wing-joint" of "outer-wing")."""
    return tuple(one for one in vocabulary.joints if item in one.joins and one.part not in one.joins)


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
