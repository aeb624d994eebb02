"""The commands that seal a book, prove it and bring it back: seal, check, unseal."""

import os
import re
import sys
from collections.abc import Iterable
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import Annotated

from pipeline.book import Book
from pipeline.commands.opened import upgrade_if_older
from pipeline.commands.typed import Argument, BookFolder, Option, messages, now, say
from pipeline.errors import ExitCode, WrongCommand
from pipeline.mistyped import to_type
from pipeline.progress import Shown

_DRIVE = re.compile(r"[A-Za-z]:(?:[\\/]|$)")


def seal(
    book: BookFolder,
    to: Annotated[Path, Argument(metavar="TO", help="A folder for bags, best on another drive.")],
    who: Annotated[str, Option(help="Who seals, for the book's history.", show_default="the program")] = "",
    without_missing: Annotated[
        bool, Option("--without-missing", help="Seal though some originals are away, lost or changed.")
    ] = False,
    plain_names: Annotated[
        bool, Option("--plain-names", help="No file name in the bag that Windows cannot hold.")
    ] = False,
) -> ExitCode:
    """Pack the originals and the record as a bag that shows any later change, and print its seal."""
    from pipeline.evidence.seal_command import seal_and_tell

    refuse_drive_letter(to)
    upgrade_if_older(Book(book))
    with _progress() as shown:
        told = seal_and_tell(
            Book(book), to, now(), who=who, without_missing=without_missing, plain_names=plain_names, progress=shown
        )
    code = _tell(told.results, told.messages, told.exit_code)
    if to.is_dir() and to.stat().st_dev == book.stat().st_dev:
        say(f"{to} is on the same drive as the book and is lost with it: copy it to another one.")
    return code


def refuse_drive_letter(to: Path, *, on_windows: bool = os.name == "nt") -> None:
    """Raise WrongCommand for a drive as Windows names it where it would become a folder of that name."""
    if not on_windows and _DRIVE.match(str(to)):
        raise WrongCommand(
            f"{to} is how Windows names a drive. Name the folder that the drive has here, like /Volumes/STICK/sealed "
            "or /media/STICK/sealed."
        )


def check(
    place: Annotated[Path, Argument(metavar="BOOK_OR_BAG", help="A book, a bag, or a folder of bags.")],
    expect: Annotated[
        str, Option(metavar="SEAL", show_default=False, help="The seal that was copied down: is it this bag?")
    ] = "",
    as_json: Annotated[bool, Option("--json", help="Every difference, as JSON on standard output.")] = False,
) -> ExitCode:
    """Prove that nothing has changed in a book or a bag, or tell every difference."""
    from pipeline.evidence.seal_command import check_and_tell

    with _progress() as shown:
        told = check_and_tell(place, expect, as_json=as_json, progress=shown)
    return _tell(told.results, told.messages, told.exit_code)


def unseal(
    place: Annotated[
        Path, Argument(metavar="BAGS", help="A folder of bags, or a bag with those before it beside it.")
    ],
    to: Annotated[Path, Argument(metavar="TO", help="A folder to make; it will hold the book and the originals.")],
) -> ExitCode:
    """Bring a book back from its bags: its own files, and the originals with the names and folders they had."""
    from pipeline.evidence.hashing import Meter
    from pipeline.evidence.unsealing import unseal as bring_back

    refuse_drive_letter(to)
    with _progress() as shown:
        made = bring_back(place, to, Meter(shown))
    print(made.book)
    for path in made.lacking:
        say(f"Not in the bags: {path}")
    say(f"{made.files:,} files were laid out. Nothing is heard and read of them yet; what people decided is there.")
    say(f"Then: saidseen run {to_type(made.book)} {to_type(made.originals)}")
    return ExitCode.SOME_SET_ASIDE if made.lacking else ExitCode.DONE


def _progress() -> AbstractContextManager[Shown | None]:
    return Shown(messages) if sys.stderr.isatty() else nullcontext()


def _tell(results: Iterable[str], messages: Iterable[str], code: ExitCode) -> ExitCode:
    for line in results:
        print(line)
    for line in messages:
        say(line)
    return code
