"""Which facts tell of fasteners, what kind they are of, and whether a joint's two sides are two joints."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pipeline.lists.known_parts import ENGINES
from pipeline.lists.logged import OTHER_SIDE, LoggedFact
from pipeline.lists.services import is_service
from pipeline.reading.fact import MarkedFact, Side
from pipeline.reading.vocabulary import Vocabulary

ON_FASTENERS = frozenset({"undo", "drill-out", "tighten", "lock"})
"""Acts that are done to fasteners, also where nobody names them."""

TAKEN_WITH = frozenset({"remove", "open", "separate", "disconnect"})
"""Acts told with what held the part: "the spinner is off, eight screws"."""

_PUT_BACK = frozenset({"fit", "tighten", "lock"})
_WORK = ON_FASTENERS | TAKEN_WITH | _PUT_BACK


@dataclass(frozen=True)
class Fastened:
    """What a fact tells of the fasteners of one joint: ``count`` None where they were not counted."""

    item: str | None
    of: str
    side: Side | None
    count: int | None


def is_fastener(notation: str | None, vocabulary: Vocabulary) -> bool:
    """Tell whether a notation is a bolt, a nut, a pin or the like: a part of that kind, or counted as one."""
    part = vocabulary.part(notation or "")
    if part is not None:
        return part.kind == "fastener"
    return any(one.notation == notation and one.extra.get("fastener") == "yes" for one in vocabulary.counted)


def kinds_agree(one: str, other: str, vocabulary: Vocabulary) -> bool:
    """Tell whether two names of fasteners can mean the same ones: "nut" those that "nut-and-bolt" counted."""
    if one == other or not one or not other:
        return True
    if "nut-and-bolt" in (one, other):
        return bool({one, other} & {"nut", "bolt"})
    if "pin" in (one, other):
        return one.endswith("pin") and other.endswith("pin")
    return vocabulary.is_a(one, other) or vocabulary.is_a(other, one)


def expected_of(item: str | None, vocabulary: Vocabulary) -> tuple[str, int, bool] | None:
    """Return kind, number and "about" of what holds a part, where a list gives a number.

    Where a list names several kinds, its number is of the first.
    """
    joint = next((one for one in vocabulary.joints if one.part == item), None)
    if joint is None or joint.count is None or not joint.fasteners:
        return None
    return joint.fasteners[0], joint.count, joint.about


class Sides:
    """Which parts have a joint on each side, judged by the vocabulary and by how people spoke of them."""

    def __init__(self, facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> None:
        """Look at all facts once.

        A part of which an aircraft has two or more is one joint a side. Of others, the sides are apart where every
        fact names one: "four in the middle and two a side" is one joint.
        """
        self._vocabulary = vocabulary
        named: dict[str, set[Side | None]] = {}
        taken_off: dict[str, set[Side | None]] = {}
        for logged in facts:
            fact = logged.fact
            if fact.item and (fact.act in _WORK or fact.act == "held-by") and fact.status in ("done", "explained"):
                named.setdefault(fact.item, set()).add(fact.side)
                if fact.act not in _PUT_BACK:
                    taken_off.setdefault(fact.item, set()).add(fact.side)
        self._named = named
        self._only = {item: only for item in taken_off if (only := self._only_side(item, named, taken_off))}

    def _only_side(
        self, item: str, named: dict[str, set[Side | None]], taken_off: dict[str, set[Side | None]]
    ) -> Side | None:
        """Return the side on which alone one of a pair came off, where no other is ever named of it.

        Of what an engine has, it is also what was taken off without a side: people say once which engine they are at.
        """
        part = self._vocabulary.part(item)
        told = named[item] - {None}
        if part is None or not part.symmetrical or len(told) != 1 or not told & taken_off[item]:
            return None
        (side,) = told
        alone = None not in taken_off[item] or part.zone == ENGINES
        return side if alone and side in OTHER_SIDE else None

    def at_the_only_side(self, logged: LoggedFact) -> LoggedFact:
        """Return work without a side as of the side on which alone its part came off; other facts as they are."""
        fact = logged.fact
        only = self._only.get(str(fact.item)) if fact.act in _PUT_BACK and fact.side is None else None
        return logged.told_as(side=only) if only else logged

    def are_apart(self, item: str) -> bool:
        """Tell whether port and starboard are two joints."""
        if item in self._only:
            return True
        part = self._vocabulary.part(item)
        if part is not None and not part.symmetrical:
            return False
        if part is not None and (part.per_aircraft or 0) >= 2:
            return True
        said = self._named.get(item, set())
        # of a part that has two sides, "both" alone is two of them; of what no list knows, it may be one joint
        one_a_side = said if part is not None else said & {"port", "starboard"}
        return bool(one_a_side) and None not in said

    def spread(
        self, item: str | None, side: Side | None, count: int | None
    ) -> Sequence[tuple[Side | None, int | None]]:
        """Return the side and the number for each joint that is meant: "both" is half a side where it divides."""
        if item is not None and not self.are_apart(item):
            return ((None, count),)
        if side != "both":
            return ((side or self._only.get(str(item)), count),)
        if count is None or count % 2 == 0:
            half = None if count is None else count // 2
            return (("port", half), ("starboard", half))
        return (("both", count),)


def fastened(fact: MarkedFact, vocabulary: Vocabulary, sides: Sides, usual: str) -> tuple[Fastened, ...]:
    """Return what a work fact tells of fasteners, joint by joint; nothing where it tells of none.

    Args:
        fact: work that was done.
        vocabulary: tells fasteners from parts.
        sides: tells where port and starboard are two joints.
        usual: the kind that holds the part, for work on fasteners that nobody named.
    """
    if fact.act not in _WORK:
        return ()
    item = None if is_fastener(fact.item, vocabulary) else fact.item
    of = fact.of if is_fastener(fact.of, vocabulary) else None
    count = fact.count if of else None
    if of is None and fact.of not in (None, "person", fact.item):
        return ()  # holes, or parts that come in numbers
    if of is None and item is None and fact.item:
        of, count = fact.item, fact.count if fact.of in (None, fact.item) else None
    if of is None and (fact.act not in ON_FASTENERS or item is None or is_service(item, vocabulary)):
        return ()  # a cable that was slackened, or a pipe's union, is held by none that anybody counts
    return tuple(
        Fastened(item=item, of=of or usual, side=side, count=number)
        for side, number in sides.spread(item, fact.side, count)
    )
