"""What earlier reports of a book told, worked out from the records: a series does not tell a thing twice."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True)
class Past:
    """What came before a report.

    ``off`` are (day, side) of removals by part, "" for no side told; ``explained`` are parts that were explained at
    length; ``reasons`` are reasons of the trade that earlier reports of the year gave, and the last one before it;
    ``days`` are earlier days with work.
    """

    off: Mapping[str, tuple[tuple[date, str], ...]] = field(default_factory=dict)
    explained: frozenset[str] = frozenset()
    reasons: frozenset[str] = frozenset()
    days: tuple[date, ...] = ()

    def came_off(self, item: str, sides: Iterable[str]) -> date | None:
        """Return the day before this report on which a part last came off, None where nobody said so.

        A removal that was told with one of these sides counts before one of which nobody knows the side.
        """
        wanted, told = set(sides), self.off.get(item, ())
        own = [day for day, side in told if not wanted or side in wanted]
        return max(own or [day for day, side in told if not side], default=None)

    def same_came_off(self, item: str, sides: Iterable[str], *, one_only: bool) -> bool:
        """Tell whether it is certain that this very part came off before: nobody knows which one "the engine" was.

        Args:
            item: the part.
            sides: its sides, or which engine it is.
            one_only: whether an aircraft has but one of it.
        """
        wanted = set(sides)
        told = {side for _, side in self.off.get(item, ())}
        return bool(told) and (one_only or (bool(wanted) and wanted <= told))
