"""The logbook of any period, as a PDF to print: for ``saidseen logbook``."""

from datetime import date
from pathlib import Path

from pipeline.book import Book
from pipeline.errors import ItemFault, WrongCommand
from pipeline.records import Records
from pipeline.writing.logbook_pdf import FOLDER, LogbookSetter
from pipeline.writing.logbook_pdf_period import Volume
from pipeline.writing.supporters.report import period_name
from pipeline.writing.typesetting import PAPERS
from pipeline.writing.viewing_copies import CAREFUL
from pipeline.writing.written_files import write_file


def print_logbook(
    book: Book, records: Records, first: date, last: date, *, paper: str = "a4", to: Path | None = None
) -> Path:
    """Set the logbook of a period, both days included, and return the file.

    Args:
        book: an existing one, held by this run.
        records: those of the book.
        first: the first day, in the book's time zone.
        last: the last day.
        paper: "a4" or "letter".
        to: the file to write; without it, one in the book's ``out/logbook``, named for its days.

    Raises:
        WrongCommand: there is no such paper; the period cannot be set; the file cannot be written.
    """
    size = paper.lower()
    if size not in PAPERS:
        raise WrongCommand(f"--paper {paper}: there is no such paper. Use {' or '.join(PAPERS)}.")
    settings = book.settings()
    on = "" if size == "a4" else f"-{size}"
    file = to or book.out / FOLDER / f"logbook-of-{period_name(first, last)}{on}.pdf"
    setter = LogbookSetter(records, settings, book.vocabulary(settings), book.out, CAREFUL)
    try:
        write_file(file, setter.set(setter.filled(Volume(file.stem, first, last, alone=True), size)))
    except ItemFault as fault:
        raise WrongCommand(f"{file}: {fault.why} Try a shorter period with --from and --to.") from fault
    except OSError as error:
        raise WrongCommand(
            f"{file} cannot be written ({error.strerror}). Choose another file with --to-file, or free some room."
        ) from error
    return file
