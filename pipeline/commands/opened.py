"""The book that a command names, as the command needs it: its records, its vocabulary; upgraded if it is older."""

import os
from pathlib import Path

from pipeline.book import Book, vocabulary_folders
from pipeline.commands.typed import now, say
from pipeline.errors import WrongCommand
from pipeline.mistyped import first_run
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.records import Records, records_in


def from_here(path: str, book: Book) -> str:
    """Return a path of the records, which they tell from the book's folder, as it is from the working folder."""
    whole = Path(os.path.normpath(book.folder.absolute() / path))
    here = Path.cwd()
    return str(whole.relative_to(here) if whole.is_relative_to(here) else whole)


def records_of(book: Book) -> Records:
    """Return what the last run wrote into the book; raises WrongCommand if there was none."""
    try:
        return records_in(book.out)
    except FileNotFoundError as error:
        raise WrongCommand(f"{book.folder} has no records yet. First: {first_run(book.folder)}") from error


def vocabulary_of(book: Path | None) -> Vocabulary:
    """Return a book's vocabulary; without a book, what the program comes with."""
    if book is None:
        return load_vocabulary(vocabulary_folders(""))
    made = Book(book)
    return made.vocabulary(made.settings())


def upgrade_if_older(book: Book) -> None:
    """Upgrade a book that an older version made, and say so."""
    from pipeline.evidence.upgrading import bring_up_to_date, is_older

    if is_older(book):
        with book.locked():
            say(bring_up_to_date(book, now()))
