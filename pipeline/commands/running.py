"""The commands that make a book and fill it: demo, new, run."""

import json
import os
import re
import sys
from collections.abc import Iterable
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from pipeline.book import Book, new_book, vocabulary_folders
from pipeline.commands.told_of_run import came_to, set_aside_before, start_here, summary_of, what_to_see_to
from pipeline.commands.typed import Argument, BookFolder, Option, messages, now, say
from pipeline.demo import lay_out_demo
from pipeline.errors import ExitCode, WrongCommand
from pipeline.hearing.device import Device
from pipeline.hearing.models import refuse_unknown_model
from pipeline.mistyped import first_run
from pipeline.progress import Shown
from pipeline.settings import known_zone

if TYPE_CHECKING:  # it takes a while to import
    from pipeline.outcome import Choices

_PLACE = re.compile("[A-Z][A-Za-z]+/(?!GMT)[A-Z]")
"""A zone that is called by where it is; "GMT" and "Etc/GMT+1" put no clock forward."""


def demo(
    folder: Annotated[Path, Argument(help="A folder to make; it will hold the media and the book.")] = Path(
        "saidseen-demo"
    ),
    model: Annotated[str, Option(help="The speech model.", show_default="the book's")] = "",
    quiet: Annotated[bool, Option("--quiet", help="No progress and no summary.")] = False,
) -> ExitCode:
    """Do the whole job on the sample media, and say where to look."""
    from pipeline.outcome import Choices

    book, media = lay_out_demo(folder)
    code = _run(book, [media], Choices(model=model, jobs=_cores()), quiet=quiet, leads=False)
    print("Look at:")
    for what, path in _where_to_look(book):
        print(f"  {what:<26}{path}")
    return ExitCode.DONE if code is ExitCode.SOME_SET_ASIDE else code


def _where_to_look(book: Book) -> Iterable[tuple[str, Path]]:
    yield "the logbook", book.out / "logbook" / "index.html"
    for printed in sorted((book.out / "logbook").glob("logbook*.pdf")):
        yield "the logbook, to print", printed
    for report in sorted((book.out / "supporters").glob("*/report.html")):
        yield "the supporters' report", report
    yield "what is to be settled", book.out / "to-settle.html"
    yield "the registers", book.out / "registers"
    yield "everything, as data", book.out / "records.json"


def new(
    book: BookFolder,
    aircraft: Annotated[str, Option(help="What the team calls the aircraft.")] = "Our aircraft",
    zone: Annotated[
        str, Option(help="Where the hangar is, as an IANA time zone name.", show_default="Europe/London")
    ] = "",
    type_pack: Annotated[str, Option(help="A vocabulary folder that knows this aircraft's type.")] = "",
) -> ExitCode:
    """Make a book: a folder with its settings."""
    asked, zone = bool(zone), zone or "Europe/London"
    try:
        known_zone(zone)
    except ValueError as error:
        raise WrongCommand(f"--zone: {error}.") from error
    vocabulary_folders(type_pack, "--type-pack")
    made = new_book(book, now().date(), aircraft=aircraft, zone=zone, type_pack=type_pack)
    made.vocabulary(made.settings())
    print(f"Made {made.settings_file}: read it and change what you need.")
    if not asked or not _PLACE.match(zone):
        say(
            f"Its time zone is {zone}: cameras are read by the clocks there, with summer time as they have it. If "
            f'the hangar is elsewhere, write zone = "America/Toronto", or what it is, into {made.settings_file}.'
        )
    print(f"Then: {first_run(book)}")
    return ExitCode.DONE


def run(
    book: BookFolder,
    media: Annotated[list[Path] | None, Argument(metavar="MEDIA", help="Files and folders.")] = None,
    model: Annotated[str, Option(help="base, tiny.en, or a model's folder.", show_default="the book's")] = "",
    jobs: Annotated[int | None, Option(min=1, help="Recordings heard at a time.", show_default="cores")] = None,
    device: Annotated[Device, Option(help="Where speech is heard; auto: a GPU, if there is one.")] = Device.AUTO,
    force_again: Annotated[bool, Option("--force-again", help="Do everything anew.")] = False,
    cluster: Annotated[
        str,
        Option(
            metavar="ADDRESS",
            help="A Dask scheduler (tcp://host:8786): its workers hear the recordings, which leave this machine for "
            "it, unencrypted unless you set up TLS. For a network that you trust. Nothing else is connected to.",
            show_default="this machine alone",
        ),
    ] = "",
    quiet: Annotated[bool, Option("--quiet", help="No progress and no summary.")] = False,
    as_json: Annotated[bool, Option("--json", help="A summary as JSON on standard output.")] = False,
) -> ExitCode:
    """Take in what is new, do what is not yet done, and write the book's out/ folder."""
    from pipeline.outcome import Choices

    choices = Choices(model=model, jobs=jobs or _cores(), again=force_again, cluster=cluster, device=device)
    return _run(Book(book), media or [], choices, quiet=quiet, as_json=as_json)


def _cores() -> int:
    return os.cpu_count() or 1


def _run(
    book: Book,
    media: list[Path],
    choices: "Choices",
    *,
    quiet: bool,
    as_json: bool = False,
    leads: bool = True,
) -> ExitCode:
    """Run a book and tell what came of it; ``leads`` says where to start reading."""
    from pipeline.outcome import Silence
    from pipeline.runner import run as run_book

    if choices.model:
        refuse_unknown_model(choices.model)
    watched = not quiet and sys.stderr.isatty()
    before = set_aside_before(book)
    with Shown(messages) if watched else nullcontext() as shown:
        outcome = run_book(book, media, now(), choices, shown or Silence())
    if outcome.upgraded:
        say(outcome.upgraded)
    left = outcome.left
    if left is None:
        return outcome.exit_code
    if as_json:
        print(json.dumps(summary_of(book, outcome, left), indent=2, ensure_ascii=False))
    elif not quiet:
        say(came_to(book, left))
    if not quiet:
        for line in what_to_see_to(book, outcome, left, before):
            say(line)
    if leads and left.media and not quiet and not as_json:
        for line in start_here(book):
            say(line)
    for warning in filter(None, (outcome.clock_back, outcome.history_changed)):
        say(warning)
    return outcome.exit_code
