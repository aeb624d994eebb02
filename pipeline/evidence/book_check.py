"""A book checked: originals against their ids, outputs against what was written, the history and its signatures."""

from collections.abc import Iterator
from pathlib import Path

from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.evidence.described import described
from pipeline.evidence.differences import Checked, Difference, Kind
from pipeline.evidence.hashing import SILENT, Meter, hash_path
from pipeline.evidence.originals import bytes_to_read, media_paths, originals_of, settle_all
from pipeline.history.chain import Break, breaks
from pipeline.history.check import check_history as check_whole_history
from pipeline.records import Records
from pipeline.settings import Person, read_settings
from pipeline.writing.written_files import written_hashes

_NO_KEY = "no key"
"""What the history expects of a signature's key where nobody is listed."""


def check_book(book: Book, meter: Meter = SILENT) -> Checked:
    """Check a book. Originals are only read; one that is away is told apart from one that has changed."""
    records = book.out / "records.json"
    differences = [*check_settings(book.settings_file), *check_written(book)]
    try:
        paths = media_paths(records.read_bytes())
    except (OSError, ValueError):
        paths = None
    originals = originals_of(book, paths)
    meter.begin("Reading the originals", bytes_to_read(originals))
    found = {one.original.sha256: one.differences for one in settle_all(originals, meter)}
    media = {one.path: f"sha256:{digest}" for digest, ones in found.items() for one in ones}
    differences += described((one for ones in found.values() for one in ones), media, records)
    return Checked(tuple(differences), len(found) + len(written_hashes(book.out)))


def check_settings(settings: Path) -> Iterator[Difference]:
    """Yield what keeps the settings from being read: then nobody's keys can be looked up in them."""
    try:
        read_settings(settings)
    except WrongCommand as fault:
        why = str(fault).removeprefix(str(settings)).lstrip(",: ")
        yield Difference(settings.name, Kind.NOT_READ, why=f"{why[:1].upper()}{why[1:]}")


def check_outputs(book: Book) -> Iterator[Difference]:
    """Yield every file under ``out/`` that is not as this program wrote it.

    Where none is listed although there is a history, nobody can say what ``out/`` was.
    """
    written = written_hashes(book.out)
    if not written and book.history_file.is_file():
        yield Difference(
            "out", Kind.NOT_KNOWN, why="The list of what was written in it is gone; a run writes it anew."
        )
    for place, expected in sorted(written.items()):
        path = book.out / place
        shown = f"out/{place}"
        if not path.is_file():
            yield Difference(shown, Kind.MISSING, "sha256" if expected else "", expected)
        elif not expected:
            yield Difference(shown, Kind.NOT_KNOWN, why="Its hash was not noted when it was written; a run notes it.")
        elif (found := hash_path(path)["sha256"]) != expected:
            yield Difference(shown, Kind.CHANGED, "sha256", expected, found)


def check_written(book: Book) -> Iterator[Difference]:
    """Yield what is wrong with the outputs and the history, which is not blamed for records that were changed."""
    records, outputs = book.out / "records.json", tuple(check_outputs(book))
    yield from outputs
    as_written = all(one.path != f"out/{records.name}" for one in outputs)
    yield from check_history(book.history_file, records if as_written else None, book.settings_file)


def check_history(history: Path, records: Path | None, settings: Path | None) -> Iterator[Difference]:
    """Yield every break in a history's chain, signatures that are not good, and entries that do not agree with it.

    What a stopped run explains is no change. A book that has no history yet has none to check.

    Args:
        records: ``records.json``; without it, the history is looked at alone.
        settings: ``book.toml``, which lists the keys that people sign with; where it is not here or cannot be read,
            any key will do.
    """
    found = [*breaks(history)]
    if not any(not one.torn for one in found) and history.is_file():
        try:
            people = _people(settings)
            found = check_whole_history(history, _records(records), people or ())
            found = [one for one in found if people is not None or one.expected != _NO_KEY]
        except (AttributeError, KeyError, TypeError, ValueError) as fault:
            found.append(Break("the whole", "its events cannot be played again", "events", type(fault).__name__))
    for one in found:
        what = Kind.SIGNATURE if "sign" in one.what else Kind.HISTORY
        kind = Kind.NOT_KNOWN if one.torn else what
        yield Difference(f"{history.name}, {one.where}", kind, "", one.expected, one.found, f"{one.what}.")


def _records(path: Path | None) -> Records | None:
    try:
        return None if path is None else Records.model_validate_json(path.read_bytes())
    except (OSError, ValueError):  # a check of the outputs tells of it
        return None


def _people(path: Path | None) -> tuple[Person, ...] | None:
    try:
        return None if path is None else read_settings(path).people
    except WrongCommand:  # a check of the settings tells of it
        return None
