"""The commands. Results go to stdout; messages and progress go to stderr; every fault becomes its exit code here."""

import json
import os
import sys
import traceback
import webbrowser
from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager, nullcontext
from datetime import UTC, date, datetime, tzinfo
from functools import wraps
from pathlib import Path
from typing import Annotated, Any, ParamSpec

import typer
from rich.console import Console

import pipeline
from pipeline.book import Book, new_book, shipped_vocabulary, vocabulary_folders
from pipeline.demo import lay_out_demo
from pipeline.errors import ExitCode, RunFault, WrongCommand
from pipeline.progress import Shown
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import Records
from pipeline.search import find as find_words
from pipeline.store import Store

app = typer.Typer(
    name="saidseen",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="Turns dated photos and spoken notes into a logbook, rebuild lists and a report for supporters, offline.",
    epilog="Exit codes: 0 done; 1 a fault of the program; 2 the command was wrong; 3 done, but some files were set "
    "aside; 4 a check failed; 5 another run has the book.",
)
_messages = Console(stderr=True, highlight=False, soft_wrap=True)

_P = ParamSpec("_P")
BookFolder = Annotated[Path, typer.Argument(metavar="BOOK", help="The book's folder.", show_default=False)]
LinesFile = Annotated[Path, typer.Argument(metavar="FILE.jsonl", help='One note a line; "-" is standard input.')]


def _day_option(name: str, what: str) -> Any:
    return typer.Option(name, formats=["%Y-%m-%d"], metavar="DATE", show_default=False, help=what)


def _say(text: str) -> None:
    _messages.print(text, markup=False)


def _ends_in_exit_code(command: Callable[_P, ExitCode]) -> Callable[_P, None]:
    """Turn what a command returns or raises into the exit code: the one place that does."""

    @wraps(command)
    def wrapped(*args: _P.args, **kwargs: _P.kwargs) -> None:
        try:
            code = command(*args, **kwargs)
        except RunFault as fault:
            _say(str(fault))
            code = fault.exit_code
        except KeyboardInterrupt:
            _say("Stopped. What was done is kept: run again to go on.")
            os._exit(ExitCode.PROGRAM_FAULT)  # at once: recordings in hand would go on being heard
        except BrokenPipeError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            code = ExitCode.DONE
        except Exception:
            _say(traceback.format_exc())
            _say("This is a fault of the program, not of your files. What was done so far is kept.")
            code = ExitCode.PROGRAM_FAULT
        raise typer.Exit(int(code))

    return wrapped


@app.command()
@_ends_in_exit_code
def demo(
    folder: Annotated[Path, typer.Argument(help="A folder to make; it will hold the media and the book.")] = Path(
        "saidseen-demo"
    ),
    model: Annotated[str, typer.Option(help="The speech model.", show_default="the book's")] = "",
    quiet: Annotated[bool, typer.Option("--quiet", help="No progress and no summary.")] = False,
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


@app.command()
@_ends_in_exit_code
def new(
    book: BookFolder,
    aircraft: Annotated[str, typer.Option(help="What the team calls the aircraft.")] = "Our aircraft",
    zone: Annotated[str, typer.Option(help="Where the hangar is, as an IANA time zone name.")] = "Europe/London",
    type_pack: Annotated[str, typer.Option(help="A vocabulary folder that knows this aircraft's type.")] = "",
) -> ExitCode:
    """Make a book: a folder with its settings."""
    made = new_book(book, _now().date(), aircraft=aircraft, zone=zone, type_pack=type_pack)
    made.vocabulary(made.settings())
    print(f"Made {made.settings_file}: read it and change what you need. Then: saidseen run {book} YOUR-MEDIA-FOLDER")
    return ExitCode.DONE


@app.command()
@_ends_in_exit_code
def run(
    book: BookFolder,
    media: Annotated[list[Path] | None, typer.Argument(metavar="[MEDIA]...", help="Files and folders.")] = None,
    model: Annotated[
        str, typer.Option(help="Model name, or a folder that holds one.", show_default="the book's")
    ] = "",
    jobs: Annotated[int | None, typer.Option(min=1, help="Recordings heard at a time.", show_default="cores")] = None,
    force_again: Annotated[bool, typer.Option("--force-again", help="Do everything anew.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="No progress and no summary.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="A summary as JSON on standard output.")] = False,
) -> ExitCode:
    """Take in what is new, do what is not yet done, and write the book's out/ folder."""
    return _run(Book(book), media or [], model=model, jobs=jobs, again=force_again, quiet=quiet, as_json=as_json)


def _run(
    book: Book,
    media: list[Path],
    *,
    model: str = "",
    jobs: int | None = None,
    again: bool = False,
    quiet: bool = False,
    as_json: bool = False,
) -> ExitCode:
    from pipeline.runner import Choices, Silence
    from pipeline.runner import run as run_book

    watched = not quiet and sys.stderr.isatty()
    choices = Choices(model=model, jobs=jobs or os.cpu_count() or 1, again=again)
    with Shown(_messages) if watched else nullcontext() as shown:
        outcome = run_book(book, media, _now(), choices, shown or Silence())
    if outcome.upgraded:
        _say(outcome.upgraded)
    records = outcome.records
    if records is None:
        return outcome.exit_code
    summary = {
        "media": len(records.media),
        "utterances": len(records.utterances),
        "entries": len(records.entries),
        "facts": sum(len(entry.facts) for entry in records.entries),
        "photos_placed": sum(len(entry.photos) for entry in records.entries),
        "photos_not_placed": len(records.unplaced_photos),
        "set_aside": len(records.set_aside),
        "done": outcome.made,
        "done_before": outcome.already,
        "out": str(book.out),
    }
    if as_json:
        print(json.dumps(summary, indent=2, ensure_ascii=False))
    elif not quiet and not records.media:
        _say(f"{book.folder} holds no photo and no recording yet. Give it some: saidseen run {book.folder} FOLDER")
    elif not quiet:
        _say(
            f"{summary['media']} photos and recordings, {summary['entries']} logbook entries, "
            f"{summary['facts']} facts, "
            f"{summary['photos_placed']} photos placed and {summary['photos_not_placed']} not. Written to {book.out}."
        )
    if not quiet:
        for aside in records.set_aside:
            _say(f"Set aside: {aside.path}: {aside.why}")
        for path, why in outcome.copies_missing:
            _say(f"Could not be copied for the pages: {path}: {why}")
    if outcome.history_changed:
        _say(outcome.history_changed)
    return outcome.exit_code


@app.command()
@_ends_in_exit_code
def find(
    book: BookFolder,
    words: Annotated[list[str], typer.Argument(metavar="WORDS...", help="All of them must be there.")],
) -> ExitCode:
    """Search what was said, and the parts that are off."""
    made = Book(book)
    made.settings()
    if not made.store_file.exists():
        raise WrongCommand(f"{book} has nothing in it yet. First: saidseen run {book} YOUR-MEDIA-FOLDER")
    _bring_up_to_date(made)
    with Store(made.store_file) as store:
        hits = find_words(store, words)
    for hit in hits:
        where = made.out / "logbook" / f"{hit.day}.html"
        print(f"{hit.day}  {hit.text}\n            {where}{f'#{hit.entry}' if hit.entry else ''}")
    if not hits:
        _say(f"Nothing in {book} has {' and '.join(words)} in it.")
    return ExitCode.DONE


@app.command()
@_ends_in_exit_code
def where(
    book: BookFolder,
    words: Annotated[list[str], typer.Argument(metavar="WORDS...", help="A part, a tag, or a rack, box or bag.")],
) -> ExitCode:
    """Tell where a part is kept, and what is kept in a rack, a box or a bag."""
    from pipeline.where import where as find_where

    made = Book(book)
    settings = made.settings()
    answer = find_where(_records(made), made.vocabulary(settings), settings.zone, words)
    for line in answer.lines:
        print(line)
    if answer.advice:
        _say(answer.advice)
    return ExitCode.DONE


@app.command()
@_ends_in_exit_code
def report(
    book: BookFolder,
    first: Annotated[datetime | None, _day_option("--from", "The first day to report.")] = None,
    last: Annotated[datetime | None, _day_option("--to", "The last day to report.")] = None,
    year: Annotated[
        int | None, typer.Option("--year", min=1900, max=2999, show_default=False, help="A year's summary instead.")
    ] = None,
) -> ExitCode:
    """Write the supporters' report for a period; without dates, for the whole book; or a year's summary."""
    from pipeline.writing.write import write_report, write_year

    made = Book(book)
    settings = made.settings()
    records = _records(made)
    if year is not None:
        if first or last:
            raise WrongCommand("--year is for a whole year. Leave it out, or leave --from and --to out.")
        _period(book, records, settings.zone, datetime(year, 1, 1), datetime(year, 12, 31))  # noqa: DTZ001
        with made.locked():
            print(write_year(records, settings, made.vocabulary(settings), made.out, year))
        return ExitCode.DONE
    period = _period(book, records, settings.zone, first, last)
    with made.locked():
        print(write_report(records, settings, made.vocabulary(settings), made.out, *period))
    return ExitCode.DONE


@app.command("report-check")
@_ends_in_exit_code
def report_check(
    book: BookFolder,
    first: Annotated[datetime | None, _day_option("--from", "The first day.")] = None,
    last: Annotated[datetime | None, _day_option("--to", "The last day.")] = None,
) -> ExitCode:
    """List what the supporters' report of a period leaves out and why: for the editor alone."""
    from pipeline.columns import show_columns
    from pipeline.writing.supporters.report_check import check_lines
    from pipeline.writing.supporters.report_check import report_check as check
    from pipeline.writing.viewing_copies import Makers

    made = Book(book)
    settings = made.settings()
    records = _records(made)
    period = _period(book, records, settings.zone, first, last)
    checked = check(records, settings, made.vocabulary(settings), made.out, *period, Makers())
    show_columns(("because it is", "left out", "where"), check_lines(checked))
    _say("This list is for the editor alone: it names what must not go out.")
    if checked.fault:
        _say(checked.fault)
    return ExitCode.CHECK_FAILED if checked.fault else ExitCode.DONE


@app.command()
@_ends_in_exit_code
def logbook(
    book: BookFolder,
    first: Annotated[datetime | None, _day_option("--from", "The first day.")] = None,
    last: Annotated[datetime | None, _day_option("--to", "The last day.")] = None,
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    to_file: Annotated[
        Path | None, typer.Option(metavar="FILE", help="PDF.", show_default="in the book's out/")
    ] = None,
) -> ExitCode:
    """Set the logbook of a period as a PDF to print, bind and keep; without dates, of the whole book."""
    from pipeline.writing.logbook_pdf_print import print_logbook

    made = Book(book)
    records = _records(made)
    period = _period(book, records, made.settings().zone, first, last)
    with made.locked():
        print(print_logbook(made, records, *period, paper=paper, to=to_file))
    return ExitCode.DONE


def _period(
    book: Path, records: Records, zone: tzinfo, first: datetime | None, last: datetime | None
) -> tuple[date, date]:
    """Return the first and the last day that are wanted: those of the book, where none is given."""
    days = sorted(entry.at.astimezone(zone).date() for entry in records.entries)
    if not days:
        raise WrongCommand(f"{book} has no entries to report yet. First: saidseen run {book} YOUR-MEDIA-FOLDER")
    period = (first.date() if first else days[0], last.date() if last else days[-1])
    if period[0] > period[1]:
        raise WrongCommand(f"--from {period[0]} is after --to {period[1]}. Give the earlier day first.")
    if not any(period[0] <= day <= period[1] for day in days):
        raise WrongCommand(f"{book} has no entries from {period[0]} to {period[1]}. It has {days[0]} to {days[-1]}.")
    return period


def _records(book: Book) -> Records:
    try:
        return Records.model_validate_json((book.out / "records.json").read_bytes())
    except FileNotFoundError as error:
        raise WrongCommand(
            f"{book.folder} has no records yet. First: saidseen run {book.folder} YOUR-MEDIA-FOLDER"
        ) from error


EntryId = Annotated[str, typer.Argument(metavar="ENTRY", help="An entry's id, or how it begins.", show_default=False)]
Who = Annotated[str, typer.Option("--who", metavar="NAME", help="Your name, as book.toml has it.")]
Why = Annotated[str, typer.Option("--why", metavar="TEXT", help="Why: it stays in the history.")]


@app.command()
@_ends_in_exit_code
def decide(
    book: BookFolder,
    entry: EntryId,
    who: Who,
    accept: Annotated[bool, typer.Option("--accept", help="It is right as it stands.")] = False,
    reject: Annotated[bool, typer.Option("--reject", help="It was read wrong: it counts in no list.")] = False,
    back: Annotated[int | None, typer.Option("--withdraw", metavar="N", help="Take back your act number N.")] = None,
    why: Why = "",
    version: Annotated[str, typer.Option(help="The version that you saw.", show_default="that of the pages")] = "",
) -> ExitCode:
    """Accept or reject an entry, or take back what you decided; nothing is ever overwritten."""
    from pipeline.history_commands import decided

    made = Book(book)
    made.settings()
    number = decided(
        made,
        _records(made),
        entry,
        who,
        _now(),
        accept=accept,
        reject=reject,
        back=back,
        why=why,
        version=version,
    )
    return _noted(book, number)


@app.command()
@_ends_in_exit_code
def amend(
    book: BookFolder,
    entry: EntryId,
    who: Who,
    why: Why,
    facts_file: Annotated[
        Path | None, typer.Option("--facts", metavar="FILE.json", help="All its facts, as in records.json.")
    ] = None,
    words: Annotated[
        list[str] | None, typer.Option(metavar="UTTERANCE=TEXT", help="What is to be read there; may be given again.")
    ] = None,
    photo: Annotated[list[str] | None, typer.Option(metavar="ID", help="A photo of it; give all that are.")] = None,
    no_photos: Annotated[bool, typer.Option("--no-photos", help="No photo belongs to it.")] = False,
    as_read: Annotated[bool, typer.Option("--as-read", help="As the program reads it by now.")] = False,
) -> ExitCode:
    """Put an entry's facts, words or photos right; what it said before stays in the history."""
    from pipeline.history_commands import amended

    made = Book(book)
    made.settings()
    photos = () if no_photos else photo or None
    number = amended(
        made,
        _records(made),
        entry,
        who,
        _now(),
        why=why,
        facts_file=facts_file,
        words=words or (),
        photos=photos,
        as_read=as_read,
    )
    return _noted(book, number)


@app.command()
@_ends_in_exit_code
def sign(
    book: BookFolder,
    entries: Annotated[list[str] | None, typer.Argument(metavar="[ENTRY]...", help="Ids, or how they begin.")] = None,
    who: Annotated[str, typer.Option("--who", metavar="NAME", help="Your name, as book.toml has it.")] = "",
    reason: Annotated[str, typer.Option("--for", metavar="TEXT", help="For what: one of your may_sign.")] = "",
    key: Annotated[Path | None, typer.Option(metavar="FILE", help="Your key.", show_default="a typed name")] = None,
    new_key: Annotated[Path | None, typer.Option("--new-key", metavar="FILE", help="Make a key, and stop.")] = None,
) -> ExitCode:
    """Put your name to entries as they stand, for what book.toml lists: it certifies and releases nothing."""
    from pipeline.history.signing import new_key as make_key
    from pipeline.history_commands import signed

    made = Book(book)
    made.settings()
    if new_key is not None:
        print(f'key = "{make_key(new_key)}"')
        _say(
            f"Put this line under your name in {made.settings_file}. Keep {new_key}: whoever has it can sign as you."
        )
        return ExitCode.DONE
    numbers = signed(made, _records(made), entries or [], who, reason, _now(), key)
    how = "with your key" if key else "as a typed name, which proves no more than that somebody typed it"
    _say(f"Signed {how}. It stands for “{reason}” and no more: it is no release to service.")
    return _noted(book, *numbers)


def _noted(book: Path, *numbers: int) -> ExitCode:
    print(f"Noted in the history as number {', '.join(map(str, numbers))}.")
    _say(f"To bring the pages and lists up to date: saidseen run {book}")
    return ExitCode.DONE


@app.command()
@_ends_in_exit_code
def history(
    book: BookFolder,
    entry: Annotated[str, typer.Option("--entry", metavar="ID", help="Of this entry alone.")] = "",
    on: Annotated[datetime | None, _day_option("--on", "The entries as they stood at the end of that day.")] = None,
    first_made: Annotated[bool, typer.Option("--first-made", help="The entries as they were first made.")] = False,
) -> ExitCode:
    """Tell what happened to the book or one entry, or how the entries stood on a day or when they were first made."""
    from pipeline.history_commands import told

    made = Book(book)
    lines, breaks = told(made, entry, on.date() if on else None, first_made)
    for line in lines:
        print(line)
    for one in breaks:
        _say(f"{made.history_file}, {one.where}: {one.what}")
    return ExitCode.CHECK_FAILED if any(not one.torn for one in breaks) else ExitCode.DONE


@app.command()
@_ends_in_exit_code
def trace(
    book: BookFolder,
    entry: EntryId,
    page: Annotated[Path | None, typer.Option("--page", metavar="FILE.html", help="Write it as a page.")] = None,
) -> ExitCode:
    """Follow an entry back: from what is printed to its words, its second of sound, its photos and their hashes."""
    from pipeline.history_commands import traced

    made = Book(book)
    made.settings()
    for line in traced(made, _records(made), entry, page):
        print(line)
    return ExitCode.DONE


@app.command("way-back")
@_ends_in_exit_code
def way_back(
    book: BookFolder,
    item: Annotated[list[str], typer.Argument(metavar="ITEM...", help="A part, by any of its names.")],
    side: Annotated[str, typer.Option(help="port or starboard.", show_default="both")] = "",
) -> ExitCode:
    """Tell what stands between now and a part going back on: steps, hold points, and where the parts are kept."""
    from pipeline.writing.way_back_answer import answer_text, side_called, way_back_answer

    made = Book(book)
    settings = made.settings()
    way = _records(made).lists.way_back
    print(answer_text(way_back_answer(way, made.vocabulary(settings), " ".join(item), side_called(side))))
    return ExitCode.DONE


@app.command()
@_ends_in_exit_code
def labels(
    book: BookFolder,
    count: Annotated[int, typer.Argument(metavar="N", min=1, max=1000, help="How many.", show_default=False)],
    first: Annotated[int | None, typer.Option("--from", min=1, help="First number.", show_default="the next")] = None,
    prefix: Annotated[str, typer.Option(help="One or two letters that each number begins with.")] = "P",
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    to: Annotated[Path | None, typer.Option(metavar="FILE", help="PDF.", show_default="in the book's out/")] = None,
) -> ExitCode:
    """Write tag labels to print: each a number that the book has not had, with its code, for parts and bags."""
    from pipeline.cards.printing import print_labels

    made = Book(book)
    made.settings()
    with made.locked():
        done = print_labels(made, count, first=first, prefix=prefix, paper=paper, to=to)
    print(done.file)
    _say(f"Labels up to {done.numbers[-1]}. Print them at full size, not fitted to the page.")
    if done.again:
        _say("Some of these numbers were made before. Throw the old labels away: two parts must not share a number.")
    return ExitCode.DONE


@app.command()
@_ends_in_exit_code
def clock(
    port: Annotated[int, typer.Option(min=0, max=65535, help="On which port.", show_default="any free one")] = 0,
    zone: Annotated[str, typer.Option(help="An IANA time zone name.", show_default="this machine's")] = "",
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Print the address, and open nothing.")] = False,
) -> ExitCode:
    """Show the clock card: photograph it with every camera, and read it aloud to every recorder. Ctrl-C ends it."""
    from pipeline.cards.clock_page import ClockServer, zone_called

    with ClockServer(_now, zone_called(zone), port) as server:
        print(server.address, flush=True)
        if not no_browser:
            webbrowser.open(server.address)
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            _say("The clock card is closed.")
    return ExitCode.DONE


@app.command()
@_ends_in_exit_code
def review(
    book: BookFolder,
    port: Annotated[int, typer.Option(min=0, max=65535, help="On which port.", show_default="any free one")] = 0,
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Print the address, and open nothing.")] = False,
    who: Annotated[str, typer.Option("--who", metavar="NAME", help="Who is checking.", show_default="asked")] = "",
) -> ExitCode:
    """Check the record on a page: hear, look, put right, accept, reject. On this machine alone; Ctrl-C ends it."""
    from pipeline.review.open_book import OpenBook
    from pipeline.review.review_command import serve

    def ready(address: str) -> None:
        print(address, flush=True)
        if not no_browser:
            webbrowser.open(address)

    opened = OpenBook(Book(book), _now)
    serve(opened, port, who, ready)
    left = f" To write {opened.unwritten} acts into the pages: saidseen run {book}" if opened.unwritten else ""
    _say(f"The page is closed.{left}")
    return ExitCode.DONE


@app.command()
@_ends_in_exit_code
def facts(
    file: LinesFile,
    explain: Annotated[bool, typer.Option("--explain", help="Tell the words and the rule behind each fact.")] = False,
    book: Annotated[Path | None, typer.Option(metavar="BOOK", help="Read with this book's vocabulary.")] = None,
) -> ExitCode:
    """Read facts from notes: {"id", "text"} a line in, {"id", "facts"} a line out."""
    from pipeline.reading.facts_command import read_lines
    from pipeline.reading.note_reader import NoteReader

    reader = NoteReader(_vocabulary(book))
    return _lines(file, lambda lines: read_lines(lines, reader, _name(file), explain, os.cpu_count() or 1))


@app.command()
@_ends_in_exit_code
def correct(
    file: LinesFile,
    book: Annotated[Path | None, typer.Option(metavar="BOOK", help="Repair with this book's vocabulary.")] = None,
) -> ExitCode:
    """Repair words that were heard wrong: {"id", "heard"} a line in, {"id", "read", "corrections"} a line out."""
    from pipeline.hearing.corrected import correct_lines, repairer_of

    repairer = repairer_of(_vocabulary(book))
    return _lines(file, lambda lines: correct_lines(lines, repairer, _name(file)))


@app.command()
@_ends_in_exit_code
def seal(
    book: BookFolder,
    to: Annotated[Path, typer.Argument(metavar="TO", help="A folder for bags, best on another drive.")],
    who: Annotated[str, typer.Option(help="Who seals, for the book's history.", show_default="the program")] = "",
    without_missing: Annotated[
        bool, typer.Option("--without-missing", help="Seal though some originals are away, lost or changed.")
    ] = False,
    plain_names: Annotated[
        bool, typer.Option("--plain-names", help="No file name in the bag that Windows cannot hold.")
    ] = False,
) -> ExitCode:
    """Pack the originals and the record as a bag that shows any later change, and print its seal."""
    from pipeline.evidence.seal_command import seal_and_tell

    _bring_up_to_date(Book(book))
    with _progress() as shown:
        told = seal_and_tell(
            Book(book), to, _now(), who=who, without_missing=without_missing, plain_names=plain_names, progress=shown
        )
    return _tell(told.results, told.messages, told.exit_code)


@app.command()
@_ends_in_exit_code
def check(
    place: Annotated[Path, typer.Argument(metavar="BOOK_OR_BAG", help="A book, a bag, or a folder of bags.")],
    expect: Annotated[
        str, typer.Option(metavar="SEAL", show_default=False, help="The seal that was copied down: is it this bag?")
    ] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Every difference, as JSON on standard output.")] = False,
) -> ExitCode:
    """Prove that nothing has changed in a book or a bag, or tell every difference."""
    from pipeline.evidence.seal_command import check_and_tell

    with _progress() as shown:
        told = check_and_tell(place, expect, as_json=as_json, progress=shown)
    return _tell(told.results, told.messages, told.exit_code)


def _bring_up_to_date(book: Book) -> None:
    from pipeline.evidence.upgrading import bring_up_to_date, is_older

    if is_older(book):
        with book.locked():
            _say(bring_up_to_date(book, _now()))


def _progress() -> AbstractContextManager[Shown | None]:
    return Shown(_messages) if sys.stderr.isatty() else nullcontext()


def _tell(results: Iterable[str], messages: Iterable[str], code: ExitCode) -> ExitCode:
    for line in results:
        print(line)
    for line in messages:
        _say(line)
    return code


vocab = typer.Typer(no_args_is_help=True, help="Check, add to and export the words of the trade.")
app.add_typer(vocab, name="vocab")
OwnOrShipped = Annotated[
    Path | None, typer.Argument(metavar="[BOOK]", help="The book's folder; without it, what the program comes with.")
]


@vocab.command("check")
@_ends_in_exit_code
def vocab_check(book: OwnOrShipped = None) -> ExitCode:
    """Tell everything that is wrong in the vocabulary, with file and line; names that sound alike are warnings."""
    from pipeline.trade.check import check_vocabulary

    checked = check_vocabulary(_vocabulary_folders(book))
    for fault in checked.faults:
        print(fault)
    for warning in checked.warnings:
        print(f"warning: {warning}")
    _say(f"{len(checked.faults)} faults and {len(checked.warnings)} warnings in the vocabulary.")
    return ExitCode.CHECK_FAILED if checked.faults else ExitCode.DONE


@vocab.command("add")
@_ends_in_exit_code
def vocab_add(
    book: BookFolder,
    name: Annotated[str, typer.Argument(metavar="NAME", help="What the logbook will call the part.")],
    broader: Annotated[str, typer.Option(help="The notation of the part that it belongs to.")] = "",
    also: Annotated[list[str] | None, typer.Option(help="Another name; may be given again.")] = None,
    gloss: Annotated[str, typer.Option(help="What it is, in one plain sentence for supporters.")] = "",
    kind: Annotated[str, typer.Option(help="Its kind.", show_default="the broader part's")] = "",
    zone: Annotated[str, typer.Option(help="Where it is.", show_default="the broader part's")] = "",
    chapter: Annotated[str, typer.Option(help="Its system chapter.", show_default="the broader part's")] = "",
    paired: Annotated[bool, typer.Option("--paired", help="There is a port and a starboard one.")] = False,
) -> ExitCode:
    """Add a part to the book's own vocabulary; the next run reads everything again with it."""
    from pipeline.trade.adding import NewPart, add_part

    made = Book(book)
    known = made.vocabulary(made.settings())
    new = NewPart(name, broader, tuple(also or ()), gloss, kind, zone, chapter, paired)
    with made.locked():
        file, line, notation = add_part(made.vocabulary_folder, known, new)
    print(f"Added '{notation}' to {file}, line {line}. To read everything again with it: saidseen run {book}")
    return ExitCode.DONE


@vocab.command("export")
@_ends_in_exit_code
def vocab_export(book: OwnOrShipped = None) -> ExitCode:
    """Print the vocabulary as SKOS (Turtle): for archives and other programs."""
    from pipeline.trade.skos import to_turtle

    aircraft = Book(book).settings().aircraft.name if book else "saidseen"
    print(to_turtle(load_vocabulary(_vocabulary_folders(book)), f"{aircraft} vocabulary"), end="")
    return ExitCode.DONE


def _vocabulary_folders(book: Path | None) -> list[Path]:
    if book is None:
        return shipped_vocabulary()
    made = Book(book)
    return made.vocabulary_folders(made.settings())


def _vocabulary(book: Path | None) -> Vocabulary:
    if book is None:
        return load_vocabulary(vocabulary_folders(""))
    made = Book(book)
    return made.vocabulary(made.settings())


def _name(file: Path) -> str:
    return "standard input" if str(file) == "-" else str(file)


def _lines(file: Path, work: Callable[[Iterable[str]], Iterable[str]]) -> ExitCode:
    try:
        with sys.stdin if str(file) == "-" else file.open(encoding="utf-8-sig") as lines:
            for line in work(lines):
                print(line)
    except FileNotFoundError as error:
        raise WrongCommand(f"There is no file '{file}': check how it is spelled.") from error
    except (OSError, UnicodeDecodeError) as error:
        raise WrongCommand(f"{file}: cannot be read ({error}). Save it as UTF-8 text, one note a line.") from error
    return ExitCode.DONE


@app.command()
@_ends_in_exit_code
def schema() -> ExitCode:
    """Print the JSON Schema of out/records.json."""
    print(json.dumps(Records.model_json_schema(by_alias=True, mode="serialization"), indent=2))
    return ExitCode.DONE


def _version(asked: bool) -> None:
    if asked:
        print(f"saidseen {pipeline.__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version and stop.")
    ] = False,
) -> None:
    pass


def _now() -> datetime:
    """Return the present instant: the one place where the clock is read."""
    return datetime.now(UTC)


def main() -> None:
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    app()
