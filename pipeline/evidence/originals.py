"""A book's originals: which there are, where they should lie, and whether they are what they were. Only ever read."""

import json
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from pipeline.book import Book
from pipeline.errors import RunFault
from pipeline.evidence.differences import Difference, Kind
from pipeline.evidence.hashing import SILENT, Meter, hash_path
from pipeline.history.chain import read
from pipeline.history.events import Event
from pipeline.store import Store
from pipeline.values import FileSeen

_ID = "sha256:"
_MAY_BE_ELSEWHERE = "Where it was only renamed or moved, a run of the book finds it again."


@dataclass(frozen=True)
class Place:
    """A file that held an original when it was last read: its size in bytes and its time, None where not noted.

    ``top`` is the file or folder that was given to a run, by which a drive that is away is told from a file that is
    gone.
    """

    path: Path
    top: Path
    size: int | None = None
    modified_ns: int | None = None


@dataclass(frozen=True)
class Original:
    """A piece of media by its content's SHA-256 in hexadecimal, with every place that is known to hold it.

    ``held`` says that one of them held it when it was last read; ``recorded`` that it was taken in. What was set
    aside was not: nobody misses it, and people are told to leave it out, or to copy it anew.
    """

    sha256: str
    places: tuple[Place, ...]
    held: bool = True
    recorded: bool = True


@dataclass(frozen=True)
class Settled:
    """Where an original really is (None: nowhere), and the differences that tell why."""

    original: Original
    at: Path | None
    differences: tuple[Difference, ...] = ()


def originals_of(book: Book, paths: Mapping[str, Sequence[str]] | None) -> list[Original]:
    """Return a book's originals in order of their hashes.

    Args:
        paths: paths by media id as ``out/records.json`` has them, None where it cannot be read. They are also used
            where the book's database is not to be had.

    What the history tells to have been taken in is one too where a database that was made anew does not know it.
    """
    tops, files = _as_noted_in(book)
    taken_in = {} if paths is None else _taken_in(book.history_file)
    current = {media for media, _, is_current in files if is_current}
    places: dict[str, list[Place]] = {}
    for media, file, is_current in files:
        if is_current or media not in current:
            path = Path(file.path)
            places.setdefault(media, []).append(Place(path, _top(path, tops), file.size, file.modified_ns))
    for media, of_one in (paths or {}).items() if not files else ():
        places[media] = [_alone(_from(book, path)) for path in of_one]
    for media in taken_in.keys() - places.keys():
        path = _from(book, taken_in[media])
        places[media] = [Place(path, _top(path, tops))]
    recorded = places.keys() if paths is None else paths.keys() | taken_in.keys()
    return [
        Original(media.removeprefix(_ID), tuple(places[media]), not files or media in current, media in recorded)
        for media in sorted(places)
    ]


def _taken_in(history: Path) -> dict[str, str]:
    """Return the path of each piece of media that the history tells to have been taken in, by id."""
    found: dict[str, str] = {}

    def note(event: Event, start: int) -> None:
        if event.act == "took-in" and isinstance(event.after, dict):
            found[event.on] = str(event.after.get("path", ""))

    read(history, note)
    return found


def _from(book: Book, path: str) -> Path:
    """Return where a path lies that is told from the book's folder."""
    return Path(os.path.normpath(book.folder.absolute() / path))


def _as_noted_in(book: Book) -> tuple[list[Path], list[tuple[str, FileSeen, bool]]]:
    """Return what was given to runs, and the files of the book's database; nothing where it cannot be read."""
    try:
        with Store(book.store_file, read_only=True) as store:
            return [Path(folder) for folder in store.folders()], list(store.files())
    except RunFault:  # the database is no evidence: it is made anew from the originals
        return [], []


def folders_given(book: Book) -> list[Path]:
    """Return the folders of media that were given to runs of the book; none where its database cannot be read."""
    try:
        with Store(book.store_file, read_only=True) as store:
            return [folder for folder in map(Path, store.folders()) if folder.is_dir()]
    except RunFault:
        return []


def _alone(path: Path) -> Place:
    return Place(path, path.parent)


def _top(path: Path, tops: Sequence[Path]) -> Path:
    above = [top for top in tops if path.is_relative_to(top) and top != path]
    return min(above, key=lambda top: len(top.parts), default=path.parent)


def settle_all(
    originals: Sequence[Original], meter: Meter = SILENT, *, trust_times: bool = False
) -> Iterator[Settled]:
    """Yield each original as ``settle`` finds it, without what is gone and was never in the record."""
    for original in originals:
        settled = settle(original, meter, trust_times=trust_times)
        if settled.at is not None or original.recorded:
            yield settled


def settle(original: Original, meter: Meter = SILENT, *, trust_times: bool = False) -> Settled:
    """Find a file that holds the original still, and tell what is wrong where none does.

    Args:
        trust_times: take a file of the size and time that it had for what it was, without reading it.
    """
    differences: list[Difference] = []
    for place in original.places:
        if not place.path.is_file():
            continue
        if trust_times and original.held and _as_noted(place):
            return Settled(original, place.path)
        try:
            found = hash_path(place.path, meter=meter)["sha256"]
        except OSError as error:
            why = f"It cannot be read ({error.strerror})."
            differences.append(Difference(str(place.path), Kind.AWAY, "sha256", original.sha256, why=why))
            continue
        if found == original.sha256:
            return Settled(original, place.path)
        differences.append(Difference(str(place.path), Kind.CHANGED, "sha256", original.sha256, found))
    for place in original.places if not differences else ():
        kind = Kind.AWAY if _is_away(place.top) else Kind.MISSING
        why = _MAY_BE_ELSEWHERE if kind == Kind.MISSING else ""
        differences.append(Difference(str(place.path), kind, "sha256", original.sha256, why=why))
    return Settled(original, None, tuple(differences))


def _as_noted(place: Place) -> bool:
    seen = place.path.stat()
    return (seen.st_size, seen.st_mtime_ns) == (place.size, place.modified_ns)


def _is_away(top: Path) -> bool:
    """Tell whether what was given to a run is not here: the place where a drive was is gone, or empty."""
    return not top.exists() or (top.is_dir() and not any(top.iterdir()))


def bytes_to_read(originals: Sequence[Original]) -> int:
    """Return how many bytes there are to read, as far as files are here."""
    return sum(next(_sizes(original), 0) for original in originals)


def _sizes(original: Original) -> Iterator[int]:
    for place in original.places:
        if place.path.is_file():
            yield place.path.stat().st_size


def media_paths(records: bytes) -> dict[str, list[str]]:
    """Return the paths of every piece of media in ``records.json`` by its id; a still has none of its own.

    Raises:
        ValueError: it is no such file.
    """
    held = json.loads(records)
    if not isinstance(held, dict) or not isinstance(held.get("media"), list):
        raise ValueError("no records")
    return {
        str(one["id"]): [str(one["path"]), *map(str, one.get("other_paths", []))]
        for one in held["media"]
        if isinstance(one, dict) and not one.get("still_of") and str(one.get("id", "")).startswith(_ID)
    }
