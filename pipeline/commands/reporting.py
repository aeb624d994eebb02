"""The commands that write about a period: report, report-check, logbook."""

from calendar import monthrange
from datetime import date, datetime, tzinfo
from pathlib import Path
from typing import Annotated

from pipeline.book import Book
from pipeline.commands.opened import records_of
from pipeline.commands.typed import BookFolder, Option, day_option, file_option, say
from pipeline.errors import ExitCode, WrongCommand
from pipeline.mistyped import first_run
from pipeline.records import Records

AYear = Annotated[
    int | None, Option("--year", min=1900, max=2999, show_default=False, help="A year's summary instead.")
]


def report(
    book: BookFolder,
    first: Annotated[datetime | None, day_option("--from", "The first day to report.")] = None,
    last: Annotated[datetime | None, day_option("--to", "The last day to report.")] = None,
    year: AYear = None,
) -> ExitCode:
    """Write the supporters' report for a period; without dates, for the whole book; or a year's summary."""
    from pipeline.history.releasing import settings_for_supporters
    from pipeline.writing.write import write_report, write_year

    made = Book(book)
    settings = settings_for_supporters(made)
    records = records_of(made)
    if year is not None:
        _whole_year(book, records, settings.zone, year, asked_for_days=bool(first or last))
        with made.locked():
            print(write_year(records, settings, made.vocabulary(settings), made.out, year, tell=say))
        return ExitCode.DONE
    period = _months_whole(*_period(book, records, settings.zone, first, last), asked=bool(first or last))
    with made.locked():
        made.offer_edits()
        print(write_report(records, settings, made.vocabulary(settings), made.out, *period, tell=say))
    return ExitCode.DONE


def report_check(
    book: BookFolder,
    first: Annotated[datetime | None, day_option("--from", "The first day.")] = None,
    last: Annotated[datetime | None, day_option("--to", "The last day.")] = None,
    year: AYear = None,
) -> ExitCode:
    """List what a supporters' report leaves out and why, without dates the newest: for the editor alone."""
    from pipeline.columns import show_columns
    from pipeline.history.releasing import settings_for_supporters
    from pipeline.writing.supporters.report_check import check_lines
    from pipeline.writing.supporters.report_check import report_check as check
    from pipeline.writing.viewing_copies import CAREFUL

    made = Book(book)
    settings = settings_for_supporters(made)
    records = records_of(made)
    days = _period(book, records, settings.zone, first, last)
    if year is not None:
        days = _whole_year(book, records, settings.zone, year, asked_for_days=bool(first or last))
    elif not (first or last):
        days = _months_whole(days[1], days[1], asked=False)
    checked = check(records, settings, made.vocabulary(settings), made.out, *days, CAREFUL, year=year is not None)
    show_columns(("reason", "left out", "where"), check_lines(checked))
    if checked.pictures:
        show_columns(("picture in the report", "its photo", "caption"), checked.pictures)
    say(f"This list of report {checked.name} is for the editor alone: it names what must not go out.")
    if not (first or last or year):
        say("Of an earlier report: --from DATE --to DATE; of a year's summary: --year YEAR.")
    say(f'To change the report, write into {made.edits_file} what you want of report = "{checked.name}".')
    for line in checked.told:
        say(line)
    if checked.fault:
        say(checked.fault)
    return ExitCode.CHECK_FAILED if checked.fault else ExitCode.DONE


def logbook(
    book: BookFolder,
    first: Annotated[datetime | None, day_option("--from", "The first day.")] = None,
    last: Annotated[datetime | None, day_option("--to", "The last day.")] = None,
    paper: Annotated[str, Option(help="a4 or letter.")] = "a4",
    to_file: Annotated[
        Path | None, file_option("--to-file", ".pdf", "The file to write.", "in the book's out/")
    ] = None,
) -> ExitCode:
    """Set the logbook of a period as a PDF to print, bind and keep; without dates, of the whole book."""
    from pipeline.writing.logbook_pdf_print import print_logbook

    made = Book(book)
    records = records_of(made)
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
        raise WrongCommand(f"{book} has no entries to report yet. First: {first_run(book)}")
    period = (first.date() if first else days[0], last.date() if last else days[-1])
    if period[0] > period[1]:
        raise WrongCommand(f"--from {period[0]} is after --to {period[1]}. Give the earlier day first.")
    if not any(period[0] <= day <= period[1] for day in days):
        raise WrongCommand(f"{book} has no entries from {period[0]} to {period[1]}. It has {days[0]} to {days[-1]}.")
    return period


def _whole_year(book: Path, records: Records, zone: tzinfo, year: int, *, asked_for_days: bool) -> tuple[date, date]:
    """Return the first and the last day of a year of which the book has entries."""
    if asked_for_days:
        raise WrongCommand("--year is for a whole year. Leave it out, or leave --from and --to out.")
    return _period(book, records, zone, datetime(year, 1, 1), datetime(year, 12, 31))  # noqa: DTZ001


def _months_whole(first: date, last: date, *, asked: bool) -> tuple[date, date]:
    """Return the whole month, where nobody asked for days and the book has those of one month alone."""
    if asked or (first.year, first.month) != (last.year, last.month):
        return first, last
    return first.replace(day=1), first.replace(day=monthrange(first.year, first.month)[1])
