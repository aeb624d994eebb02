"""What is told of one service on one side, and the lines of the register of disconnections as they grow."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pipeline.lists.controls_called import same_name
from pipeline.lists.logged import LoggedFact, same_place, same_side
from pipeline.reading.fact import MarkedFact, Side
from pipeline.reading.positions import same_position
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import DisconnectionLine


@dataclass(frozen=True)
class OfOneService:
    """A fact as it is told of one service on one side, of which engine, and under which name of a control.

    ``shared``: its number is of both sides or of several controls together.
    """

    logged: LoggedFact
    side: Side | None
    position: str
    called: str
    shared: bool

    @property
    def fact(self) -> MarkedFact:
        """The fact itself."""
        return self.logged.fact

    def on_side(self, side: Side | None) -> "OfOneService":
        """Return the same, told of one side."""
        return replace(self, side=side)

    def can_be(self, line: DisconnectionLine) -> bool:
        """Tell whether nothing that was said is against its being of a line: side, place, engine, name."""
        return (
            same_side(line.side, self.side)
            and same_place(line.place, self.fact.place)
            and same_position((line.side, line.position), (self.side, self.position))
            and same_name(line.called, self.called)
        )


class ServiceLines(list[DisconnectionLine]):
    """The lines in order, to be found by their service, which never changes."""

    def __init__(self) -> None:
        """Begin with none."""
        super().__init__()
        self._of_item: dict[str | None, list[int]] = {}

    def append(self, line: DisconnectionLine) -> None:
        """Add a line."""
        self._of_item.setdefault(line.item, []).append(len(self))
        super().append(line)

    def extend(self, lines: Iterable[DisconnectionLine]) -> None:
        """Add lines, in order."""
        for line in lines:
            self.append(line)

    def of(self, item: str | None, vocabulary: Vocabulary) -> list[int]:
        """Return where the lines of a service stand, or of what is of its kind."""
        alike = [one for one in self._of_item if item and one and vocabulary.is_a(one, item)]
        return sorted(index for one in alike for index in self._of_item[one])
