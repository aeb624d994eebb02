"""What may be typed and what is told on stderr: the one module that knows the engine of the command line."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any

from rich.console import Console
from typer import Argument, Exit, Option, Typer

from pipeline.writing.plain_text import visible

__all__ = ["Argument", "BookFolder", "Exit", "Option", "Typer", "day_option", "messages", "now", "say", "show"]

messages = Console(stderr=True, highlight=False, soft_wrap=True)
BookFolder = Annotated[Path, Argument(metavar="BOOK", help="The book's folder.", show_default=False)]


def day_option(name: str, what: str) -> Any:
    """Return an option that takes a day."""
    return Option(name, formats=["%Y-%m-%d"], metavar="DATE", show_default=False, help=what)


def say(text: str) -> None:
    """Tell something on stderr, foreign words in it made visible: results alone go to stdout."""
    messages.print(visible(text), markup=False)


def show(text: str) -> None:
    """Print a result that people read, foreign words in it made visible."""
    print(visible(text))


def now() -> datetime:
    """Return the present instant: the one place where the clock is read."""
    return datetime.now(UTC)
