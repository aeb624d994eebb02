"""One printing of labels for a book: which numbers come next, the sheet, and the numbers remembered."""

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from pipeline.book import Book
from pipeline.cards.labels import highest_number, label_number, label_sheet
from pipeline.errors import WrongCommand
from pipeline.mistyped import to_type
from pipeline.records import records_in
from pipeline.writing.typesetting import PAPERS
from pipeline.writing.written_files import write_file

_MOST = 99_999  # a tag is read from speech with five figures at most


@dataclass(frozen=True)
class Printing:
    """What was set: the numbers in order, the file, and whether some of them may have been printed before."""

    numbers: tuple[str, ...]
    file: Path
    again: bool


def print_labels(
    book: Book, count: int, *, first: int | None = None, prefix: str = "", paper: str = "a4", to: Path | None = None
) -> Printing:
    """Set labels as a PDF file and remember their numbers, so that none comes twice.

    Args:
        book: an existing one, held by this run.
        count: how many labels.
        first: the first number; without it, the one after the highest that was printed before or is tagged in the
            book.
        prefix: one or two letters, also with the hyphen that follows them on a label; "" for those that all labels
            of the book have, else P.
        paper: "a4" or "letter".
        to: the file to write; without it, one in the book's ``out/labels``, named for its numbers.

    Raises:
        WrongCommand: the prefix, the paper or the numbers cannot be; the file cannot be written.
    """
    printed, tags = _read_printed(book.labels_file), tuple(_tags(book))
    prefix, size = (prefix or _prefix_of(printed, tags)).upper().removesuffix("-"), paper.lower()
    if not re.fullmatch("[A-Z]{1,2}", prefix):
        raise WrongCommand(f"--prefix {prefix}: a label's number begins with one or two letters, A to Z.")
    if size not in PAPERS:
        raise WrongCommand(f"--paper {paper}: there is no such paper. Use {' or '.join(PAPERS)}.")
    before = printed.get(prefix, 0)
    start = first or max(before, highest_number(tags, prefix)) + 1
    last = start + count - 1
    if last > _MOST:
        raise WrongCommand(
            f"{label_number(prefix, last)} is too high: a number has five figures at most. Use --from."
        )
    numbers = tuple(label_number(prefix, number) for number in range(start, last + 1))
    name = numbers[0] if count == 1 else f"{numbers[0]}-to-{numbers[-1]}"
    file = to or book.out / "labels" / f"{name}.pdf"
    sheet = label_sheet(numbers, size, book.settings().aircraft.name)
    try:
        # Remembered first: a number that was never printed does no harm, and one that is printed twice does.
        _keep_printed(book.labels_file, {**printed, prefix: max(before, last)})
        write_file(file, sheet)
    except OSError as error:
        raise WrongCommand(
            f"{file} cannot be written ({error.strerror}). Choose another file with --to, or free some room."
        ) from error
    return Printing(numbers, file, start <= before)


def _prefix_of(printed: Iterable[str], tags: Iterable[str]) -> str:
    """Return the letters that all printed labels have, or else all tags that were read out; P for neither."""
    letters = set(printed) or {one.partition("-")[0] for one in tags if re.fullmatch("[A-Z]{1,2}-[0-9]+", one)}
    return letters.pop() if len(letters) == 1 else "P"


def _tags(book: Book) -> Iterable[str]:
    """Yield the tags that the book's facts tell of; none where nothing has been run yet."""
    try:
        records = records_in(book.out)
    except FileNotFoundError:
        return
    except ValidationError as error:
        raise WrongCommand(
            f"{book.out / 'records.json'} is damaged or of another version of saidseen. "
            f"First: saidseen run {to_type(book.folder)}"
        ) from error
    for entry in records.entries:
        yield from (fact.tag for fact in entry.facts if fact.tag)


def _read_printed(file: Path) -> dict[str, int]:
    """Return the highest number that was printed, by prefix."""
    try:
        held = json.loads(file.read_text(encoding="utf-8"))
        return {str(prefix): int(number) for prefix, number in held["highest"].items()}
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, TypeError, KeyError, AttributeError) as error:
        raise WrongCommand(
            f'{file} cannot be read. It holds the highest number printed: {{"highest": {{"P": 143}}}}. '
            "Write that, or delete the file and give --from."
        ) from error


def _keep_printed(file: Path, highest: Mapping[str, int]) -> None:
    write_file(file, (json.dumps({"highest": highest}, indent=1, sort_keys=True) + "\n").encode())
