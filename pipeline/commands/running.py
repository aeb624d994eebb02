"""The commands that make a book and fill it: demo, new, run."""

import json
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from pipeline.book import Book, new_book
from pipeline.commands.typed import Argument, BookFolder, Option, messages, now, say
from pipeline.demo import lay_out_demo
from pipeline.errors import ExitCode
from pipeline.hearing.device import Device
from pipeline.progress import Shown

if TYPE_CHECKING:  # they take a while to import
    from pipeline.outcome import Outcome
    from pipeline.unchanged import Left


def demo(
    folder: Annotated[Path, Argument(help="A folder to make; it will hold the media and the book.")] = Path(
        "saidseen-demo"
    ),
    model: Annotated[str, Option(help="The speech model.", show_default="the book's")] = "",
    quiet: Annotated[bool, Option("--quiet", help="No progress and no summary.")] = False,
) -> ExitCode:
    """Do the whole job on the sample media, and say where to look."""
    book, media = lay_out_demo(folder)
    code = _run(book, [media], model=model, quiet=quiet)
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
    zone: Annotated[str, Option(help="Where the hangar is, as an IANA time zone name.")] = "Europe/London",
    type_pack: Annotated[str, Option(help="A vocabulary folder that knows this aircraft's type.")] = "",
) -> ExitCode:
    """Make a book: a folder with its settings."""
    made = new_book(book, now().date(), aircraft=aircraft, zone=zone, type_pack=type_pack)
    made.vocabulary(made.settings())
    print(f"Made {made.settings_file}: read it and change what you need. Then: saidseen run {book} YOUR-MEDIA-FOLDER")
    return ExitCode.DONE


def run(
    book: BookFolder,
    media: Annotated[list[Path] | None, Argument(metavar="[MEDIA]...", help="Files and folders.")] = None,
    model: Annotated[str, Option(help="Model name, or a folder that holds one.", show_default="the book's")] = "",
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
    return _run(
        Book(book),
        media or [],
        model=model,
        jobs=jobs,
        again=force_again,
        cluster=cluster,
        device=device,
        quiet=quiet,
        as_json=as_json,
    )


def _run(
    book: Book,
    media: list[Path],
    *,
    model: str = "",
    jobs: int | None = None,
    again: bool = False,
    cluster: str = "",
    device: Device = Device.AUTO,
    quiet: bool = False,
    as_json: bool = False,
) -> ExitCode:
    from pipeline.runner import Choices, Silence
    from pipeline.runner import run as run_book

    watched = not quiet and sys.stderr.isatty()
    choices = Choices(model=model, jobs=jobs or os.cpu_count() or 1, again=again, cluster=cluster, device=device)
    with Shown(messages) if watched else nullcontext() as shown:
        outcome = run_book(book, media, now(), choices, shown or Silence())
    if outcome.upgraded:
        say(outcome.upgraded)
    left = outcome.left
    if left is None:
        return outcome.exit_code
    summary = {
        "media": left.media,
        "utterances": left.utterances,
        "entries": left.entries,
        "facts": left.facts,
        "photos_placed": left.photos_placed,
        "photos_not_placed": left.photos_not_placed,
        "set_aside": len(left.told),
        "done": outcome.made,
        "done_before": outcome.already,
        "out": str(book.out),
    }
    if as_json:
        print(json.dumps(summary, indent=2, ensure_ascii=False))
    elif not quiet and not left.media:
        say(f"{book.folder} holds no photo and no recording yet. Give it some: saidseen run {book.folder} FOLDER")
    elif not quiet:
        say(
            f"{summary['media']} photos and recordings, {summary['entries']} logbook entries, "
            f"{summary['facts']} facts, "
            f"{summary['photos_placed']} photos placed and {summary['photos_not_placed']} not. Written to {book.out}."
        )
    if not quiet and outcome.redated:
        say(outcome.redated)
    if not quiet:
        for line in _what_to_see_to(outcome, left):
            say(line)
    for warning in (outcome.clock_back, outcome.history_changed):
        if warning:
            say(warning)
    return outcome.exit_code


def _what_to_see_to(outcome: "Outcome", left: "Left") -> Iterator[str]:
    for place in outcome.nothing_in:
        yield f"There is nothing to take in in {place}: no photo, no sound, no film. Is it the right folder?"
    yield from left.to_say
    for aside in left.told:
        yield f"Set aside: {aside.path}: {aside.why}"
    for path, why in outcome.copies_missing:
        yield f"Could not be copied for the pages: {path}: {why}"
