"""Progress of a run on a terminal."""

from types import TracebackType
from typing import Self

from rich.console import Console
from rich.progress import BarColumn, Progress, TaskID, TextColumn, TimeRemainingColumn


class Shown:
    """Shows one bar for each step that has something to do. Use it as a context manager."""

    def __init__(self, console: Console) -> None:
        self._bars = Progress(
            TextColumn("{task.description:<26}"),
            BarColumn(),
            TextColumn("{task.completed:.0f} of {task.total:.0f} {task.fields[unit]}"),
            TimeRemainingColumn(),
            console=console,
        )
        self._bar: TaskID | None = None

    def __enter__(self) -> Self:
        self._bars.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._bars.stop()

    def begin(self, doing: str, total: float, unit: str) -> None:
        """Show a bar for a step with so much to do; none for a step that has nothing."""
        self._bar = self._bars.add_task(doing, total=total, unit=unit) if total else None

    def advance(self, amount: float) -> None:
        """Show that so much of the step is done."""
        if self._bar is not None:
            self._bars.advance(self._bar, amount)
