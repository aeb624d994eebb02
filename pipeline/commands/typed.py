"""What may be typed and what is told on stderr: the one module that knows the engine of the command line."""

import sys
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Annotated, Any

from rich.console import Console
from typer import Argument, BadParameter, Exit, Option, Typer
from typer.core import TyperGroup

from pipeline.mistyped import day_typed, wrong_option
from pipeline.plain_text import visible

__all__ = [
    "Argument", "BookFolder", "Commands", "Exit", "Option", "Typer", "day_option", "file_option", "messages", "now",
    "say", "show",
]  # fmt: skip

_PROGRAM = "saidseen"
_KINDS_SHOWN = {"int": "NUMBER", "str": "TEXT", "Path": "PATH", "path": "PATH"}
# The class of all that can be typed wrong, to which the engine gives no name of its own.
_WrongUse: type[Exception] = BadParameter.__mro__[1]

messages = Console(stderr=True, highlight=False, soft_wrap=True)
BookFolder = Annotated[Path, Argument(metavar="BOOK", help="The book's folder.", show_default=False)]


def day_option(name: str, what: str) -> Any:
    """Return an option that takes a day."""
    return Option(name, parser=day_typed, metavar="DATE", show_default=False, help=what)


def file_option(name: str, ending: str, what: str, default: str | bool = False) -> Any:
    """Return an option that takes the file to write, which must end so: else a photo could be written over."""

    def typed(text: str) -> Path:
        if not text.lower().endswith(ending):
            raise ValueError(f"'{text}' does not end in {ending}. Write a file's name that does: that file is made.")
        return Path(text)

    return Option(name, parser=typed, metavar=f"FILE{ending}", show_default=default, help=what)


class Commands(TyperGroup):
    """The commands: of one name, however the program was begun, which say in its words what was typed wrong."""

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """Return a command by its name; its help tells what may be typed, not in which type of value it is kept."""
        found: Any = super().get_command(ctx, cmd_name)
        _in_plain_kinds(found.get_params(ctx) if found is not None else ())
        return found

    def get_params(self, ctx: Any) -> list[Any]:
        """Return what may be typed before a command, as ``get_command`` shows what may be typed after it."""
        own = super().get_params(ctx)
        _in_plain_kinds(own)
        return own

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        windows_expand_args: bool = True,
        **extra: Any,
    ) -> Any:
        """Do what was typed, and end the program with its exit code."""
        typed = list(sys.argv[1:] if args is None else args)
        if typed and typed[0].lower() == "help":
            typed = [*typed[1:], "--help"]
        elif typed and typed[0].lower() == "-v":
            typed = ["--version"]
        try:
            code = super().main(typed, _PROGRAM, complete_var, False, windows_expand_args, **extra)
        except _WrongUse as fault:
            if not standalone_mode:
                raise
            _tell_wrong_use(fault, self, typed)
            sys.exit(getattr(fault, "exit_code", 2))
        if not standalone_mode:
            return code
        sys.exit(code if isinstance(code, int) else 0)


def _in_plain_kinds(params: Iterable[Any]) -> None:
    for param in params:
        param.display_type_rich = partial(_kind_shown, param)
        param._get_number_range_help_str = lambda: None


def _kind_shown(param: Any, ctx: Any) -> str:
    """Return the word that stands for a value in the help: "" for an argument, which is named there, and a switch."""
    if not param.opts[0].startswith("-") or getattr(param, "is_flag", False):
        return ""
    if param.metavar:
        return str(param.metavar)
    shown = str(param.display_type(ctx)).strip("<>").removeprefix("list[").removesuffix("]")
    return _KINDS_SHOWN.get(shown.split()[0], shown)


def _asked_for(group: Any, typed: Sequence[str]) -> str:
    """Return the command that was typed, as far as there is one: "saidseen vocab add"."""
    path = [_PROGRAM]
    for word in typed:
        group = getattr(group, "commands", {}).get(word)
        if group is None:
            break
        path.append(word)
    return " ".join(path)


def _tell_wrong_use(fault: Any, group: Any, typed: Sequence[str]) -> None:
    if type(fault).__name__ == "NoArgsIsHelpError":
        print(fault.format_message())
        return
    place = fault.ctx.command if fault.ctx is not None else None
    param = getattr(fault, "param", None)
    known = [
        *getattr(place, "commands", ()),
        *(one for each in getattr(place, "params", ()) for one in each.opts if one[0] == "-"),
    ]
    say(
        wrong_option(
            fault.ctx.command_path if fault.ctx is not None else _asked_for(group, typed),
            fault.message,
            name="" if param is None else (param.opts[0] if param.opts[0].startswith("-") else param.metavar or ""),
            help_=getattr(param, "help", None) or "",
            known=known,
        )
    )


def say(text: str) -> None:
    """Tell something on stderr, foreign words in it made visible: results alone go to stdout."""
    messages.print(visible(text), markup=False)


def show(text: str) -> None:
    """Print a result that people read, foreign words in it made visible."""
    print(visible(text))


def now() -> datetime:
    """Return the present instant: the one place where the clock is read."""
    return datetime.now(UTC)
