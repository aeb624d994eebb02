"""What of a book belongs to the evidence, and where it lies in a bag: the bag's data/ is laid out as the book is.

The supporters' reports stay out: they are made from the records for the public, and say nothing that these and an
editor's wishes do not. The database stays out: it is made anew from the originals. Everything else of the book goes
in.
"""

import json
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.metadata import distributions
from pathlib import Path, PurePosixPath

import pipeline
from pipeline.book import Book
from pipeline.evidence.bag_paths import kept_apart, plain_name, utf8_name, windows_refuses
from pipeline.evidence.bag_writing import FromDisk
from pipeline.evidence.originals import Settled
from pipeline.evidence.relinked import relinked
from pipeline.settings import Settings
from pipeline.trade.skos import to_turtle

DATA = "data/"
ORIGINALS_FILE = "data/originals.json"
CRATE_FILE = "data/ro-crate-metadata.json"
HISTORY_FILE = "data/history.jsonl"
RECORDS_FILE = "data/out/records.json"
_HASH_FIGURES = 16
OWN_FILES = ("book.toml", "edits.toml", "history.jsonl", "history.head", "labels.json")
"""What lies in the book's folder itself and cannot be made again from the originals."""
_LEFT_OUT = ("supporters",)


@dataclass(frozen=True)
class Packed:
    """One original: its hash, the path in the bag ("" if it is in none), and every path that held it.

    ``lacking`` says why it is in no bag: "away", "missing" or "changed"; "" if it is.
    """

    sha256: str
    place: str
    size: int
    paths: tuple[str, ...]
    lacking: str = ""


@dataclass(frozen=True)
class Gathered:
    """What goes into a bag: files to copy and bytes to write, by path in the bag, and the originals among them."""

    copies: Mapping[str, FromDisk]
    written: Mapping[str, bytes]
    originals: tuple[Packed, ...]
    renamed: Mapping[str, str]


def gather(book: Book, settings: Settings, settled: Sequence[Settled], records: bytes, *, plain: bool) -> Gathered:
    """Gather what of a book goes into a bag.

    Args:
        settled: its originals, with where they are.
        records: its ``out/records.json``.
        plain: give files whose names Windows cannot hold a plain name.
    """
    files = dict(_own_files(book))
    places = kept_apart({path: _plainly(path) if plain else utf8_path(path) for path in files})
    copies = {DATA + places[path]: FromDisk(source, source.stat().st_size) for path, source in files.items()}
    originals = tuple(_packed(book, one, plain=plain) for one in settled)
    for one, found in zip(originals, settled, strict=True):
        if found.at is not None:
            copies[one.place] = FromDisk(found.at, one.size, one.sha256)
    written = {**_led_to_originals(book, files, places, originals), **dict(_vocabulary(book, settings))}
    copies = {path: copy for path, copy in copies.items() if path not in written}
    written["data/made-with.json"] = _made_with(records)
    written[ORIGINALS_FILE] = _originals_list(originals)
    renamed = {path: place for path, place in places.items() if path != place}
    return Gathered(copies, written, originals, renamed)


def _led_to_originals(
    book: Book, files: Mapping[str, Path], places: Mapping[str, str], originals: Sequence[Packed]
) -> dict[str, bytes]:
    """Return the pages that link to originals, by path in the bag, with links that lead to them there."""
    lie: dict[str, str] = {}
    for one in originals:
        for path in one.paths if one.place else ():
            at = Path(os.path.normpath(book.folder.absolute() / path))
            lie |= {str(at): one.place, at.as_uri(): one.place}
    made: dict[str, bytes] = {}
    for path, source in files.items():
        if path.startswith("out/") and path.endswith((".html", ".svg")):
            page = source.read_bytes()
            led = relinked(page, source.absolute().parent, DATA + places[path], lie)
            made |= {DATA + places[path]: led} if led != page else {}
    return made


def _own_files(book: Book) -> Iterator[tuple[str, Path]]:
    for name in OWN_FILES:
        if (book.folder / name).is_file():
            yield name, book.folder / name
    for folder in (book.vocabulary_folder, book.out):
        for path in sorted(folder.rglob("*")):
            inside = path.relative_to(folder).parts
            if not path.is_file() or any(part.startswith(".") for part in inside):
                continue
            if folder == book.out and inside[0] in _LEFT_OUT:
                continue
            yield path.relative_to(book.folder).as_posix(), path


def utf8_path(path: str) -> str:
    """Return a path every name of which can be written as UTF-8."""
    return "/".join(utf8_name(part) for part in path.split("/"))


def _plainly(path: str) -> str:
    return "/".join(plain_name(part) for part in path.split("/"))


def _packed(book: Book, settled: Settled, *, plain: bool) -> Packed:
    """Give an original a folder of its own, named by its hash: so its name is kept, and cannot meet another's."""
    original = settled.original
    paths = tuple(sorted(_from_book(book, place.path) for place in original.places))
    if settled.at is None:
        return Packed(original.sha256, "", 0, paths, str(settled.differences[0].kind) if settled.differences else "")
    name = plain_name(settled.at.name) if plain else utf8_name(settled.at.name)
    place = f"data/originals/{original.sha256[:_HASH_FIGURES]}/{name}"
    return Packed(original.sha256, place, settled.at.stat().st_size, paths)


def _from_book(book: Book, path: Path) -> str:
    try:
        return Path(os.path.relpath(path, book.folder.absolute())).as_posix()
    except ValueError:  # another drive
        return path.as_posix()


def _originals_list(originals: Sequence[Packed]) -> bytes:
    held = [
        {"id": f"sha256:{one.sha256}", "place": one.place, "bytes": one.size, "paths": one.paths}
        | ({"lacking": one.lacking} if one.lacking else {})
        for one in originals
    ]
    return _json({"schema": "saidseen/originals/1", "originals": held})


def _vocabulary(book: Book, settings: Settings) -> Iterator[tuple[str, bytes]]:
    """Yield the whole vocabulary that the book is read with: as SKOS, and the lists that it was put together from."""
    title = f"{settings.aircraft.name} vocabulary"
    yield "data/vocabulary/vocabulary.ttl", to_turtle(book.vocabulary(settings), title).encode()
    for folder in book.vocabulary_folders(settings):
        if folder != book.vocabulary_folder:
            for path in sorted(folder.glob("*.csv")):
                yield f"data/vocabulary/{folder.name}/{path.name}", path.read_bytes()


def _made_with(records: bytes) -> bytes:
    """Return which programs made the records and the bag, with the version of every package that is installed."""
    told = json.loads(records).get("book", {})
    installed = {str(one.metadata["Name"]).lower(): one.version for one in distributions() if one.metadata["Name"]}
    return _json(
        {
            "schema": "saidseen/made-with/1",
            "records_made_with": {key: told.get(key, "") for key in ("program", "model", "vocabulary")},
            "sealed_with": {"program": f"saidseen {pipeline.__version__}", "python": sys.version.split()[0]},
            "packages": dict(sorted(installed.items())),
        }
    )


def _json(held: object) -> bytes:
    return (json.dumps(held, indent=1, sort_keys=True) + "\n").encode()


def windows_warnings(paths: Sequence[str]) -> list[tuple[str, str]]:
    """Return which of the paths Windows cannot hold, each with why, in order."""
    told = ((str(PurePosixPath(path)), windows_refuses(path)) for path in sorted(paths))
    return [(path, why) for path, why in told if why]
