"""The commands that work without a book: facts and correct, line by line; schema."""

import json
import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Annotated, TextIO

from pipeline.book import Book
from pipeline.commands.opened import vocabulary_of
from pipeline.commands.typed import Argument, Option
from pipeline.errors import ExitCode, WrongCommand
from pipeline.records import records_schema

LinesFile = Annotated[Path, Argument(metavar="FILE.jsonl", help='One note a line; "-" is standard input.')]


def facts(
    file: LinesFile,
    explain: Annotated[bool, Option("--explain", help="Tell the words and the rule behind each fact.")] = False,
    book: Annotated[Path | None, Option(metavar="BOOK", help="Read with this book's vocabulary.")] = None,
) -> ExitCode:
    """Read facts from notes: {"id", "text"} a line in, {"id", "facts"} a line out."""

    def read(lines: Iterable[str]) -> Iterable[str]:
        from pipeline.reading.facts_command import read_lines
        from pipeline.reading.note_reader import NoteReader

        reader = NoteReader(vocabulary_of(book))
        return read_lines(lines, reader, _name(file), explain, os.cpu_count() or 1)

    return _lines(file, read)


def correct(
    file: LinesFile,
    book: Annotated[Path | None, Option(metavar="BOOK", help="Repair with this book's vocabulary.")] = None,
) -> ExitCode:
    """Repair words that were heard wrong: {"id", "heard"} a line in, {"id", "read", "corrections"} a line out."""

    def repaired(lines: Iterable[str]) -> Iterable[str]:
        from pipeline.hearing.corrected import correct_lines, repairer_of
        from pipeline.history.team import ways_called

        team = tuple(map(ways_called, Book(book).settings().people)) if book else ()
        return correct_lines(lines, repairer_of(vocabulary_of(book), team), _name(file))

    return _lines(file, repaired)


def schema() -> ExitCode:
    """Print the JSON Schema of out/records.json."""
    print(json.dumps(records_schema(), indent=2))
    return ExitCode.DONE


def _name(file: Path) -> str:
    return "standard input" if str(file) == "-" else str(file)


def _lines(file: Path, work: Callable[[Iterable[str]], Iterable[str]]) -> ExitCode:
    """Do some work on the lines of a file, which is opened before the work loads what takes seconds."""
    with _opened(file) as lines:
        try:
            for line in work(lines):
                print(line)
        except UnicodeDecodeError as error:
            raise WrongCommand(f"{_name(file)} is no text in UTF-8. Save it so, one note a line.") from error
    return ExitCode.DONE


def _opened(file: Path) -> TextIO:
    if str(file) == "-":
        return sys.stdin
    try:
        return file.open(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise WrongCommand(f"There is no file '{file}': check how it is spelled.") from error
    except OSError as error:
        raise WrongCommand(f"{file} cannot be read ({error.strerror}). Name a file of notes, one a line.") from error
