"""A book brought back from its bags: its own files, and the originals under every name and in the folders they had.

Names and folders are evidence too: a name may hold the only date, captions lie beside their recording, and the
recordings of one folder are of one recorder. In a bag each original has a folder of its own.
"""

import os
import shutil
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from pipeline.english import listed
from pipeline.errors import ExitCode, RunFault, WrongCommand
from pipeline.evidence.bag_paths import kept_apart, plain_name, utf8_name
from pipeline.evidence.bag_reading import Bag
from pipeline.evidence.carried import whole
from pipeline.evidence.check import bags_at, check, originals_in
from pipeline.evidence.hashing import SILENT, Meter, copy_hashed
from pipeline.evidence.payload import DATA, ORIGINALS_FILE, OWN_FILES
from pipeline.mistyped import to_type

_ORIGINALS = "originals"
_VOCABULARY = f"{DATA}vocab/"
_BOOK = "Bag-Group-Identifier"  # what a bag's information calls the book that it is of


class NotUnsealed(RunFault):
    """The bags are not what was sealed, or not all here, so that no book was made of them."""

    exit_code = ExitCode.CHECK_FAILED


@dataclass(frozen=True)
class Unsealed:
    """The folders of the book and of its originals, how many files are in both, and paths of originals in no bag."""

    book: Path
    originals: Path
    files: int
    lacking: tuple[str, ...]


def unseal(place: Path, to: Path, meter: Meter = SILENT) -> Unsealed:
    """Lay out a book and its originals from a bag with those before it, or from all bags in a folder.

    Args:
        place: a bag of this program's, or a folder of such bags.
        to: a folder to make.

    Raises:
        WrongCommand: there is no such bag, or something is in ``to`` already.
        NotUnsealed: the bags fail their check, or one of them is not here.
        RunFault: a file cannot be read or written.
    """
    if to.exists() and (not to.is_dir() or any(to.iterdir())):
        raise WrongCommand(f"{to} is there already. Name a folder that is to be made.")
    bags = _bags_of_one_book(place)
    if check(place, meter=meter).failed:
        raise NotUnsealed(
            f"{place} fails its check, so no book was made of it. Take what differs from another copy of the bag "
            f"first. What that is: saidseen check {to_type(place)}"
        )
    name = plain_name(bags[-1].info.get(_BOOK) or "book")
    lies = _where_it_lies(bags)
    originals = _originals(lies[ORIGINALS_FILE])
    lacking = tuple(laid for laid, inside in sorted(originals.items()) if not inside)
    files = {laid: lies[inside] for laid, inside in (*_own_files(name, lies), *originals.items()) if inside}
    meter.begin("Copying out of the bag", sum(source.stat().st_size for source in files.values()))
    _lay_out(to, files, meter)
    return Unsealed(to / name, to / _ORIGINALS, len(files), lacking)


def _bags_of_one_book(place: Path) -> Sequence[Bag]:
    """Return the bags at a place, first to last; raises WrongCommand for others than saidseen made of one book."""
    bags = bags_at(place) if place.is_dir() else []
    if not bags or not bags[-1].ours:
        raise WrongCommand(f"{place} is no bag of saidseen and holds none. Name what saidseen seal made.")
    groups = sorted({bag.info.get(_BOOK, bag.name) for bag in bags})
    if len(groups) > 1:
        raise WrongCommand(
            f"{place} holds bags of several books ({listed(groups)}). Name the last bag of one of them."
        )
    return bags


def _own_files(book: str, inside: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Yield what the book's folder held, as (path to lay out, path in the bags)."""
    for path in inside:
        if path.removeprefix(DATA) in OWN_FILES or path.startswith(_VOCABULARY):
            yield f"{book}/{path.removeprefix(DATA)}", path


def _originals(list_of_them: Path) -> dict[str, str]:
    """Return the path in the bags of each place that held an original, "" for none, by where it is laid out."""
    told = originals_in(list_of_them.read_bytes())
    held = {str(path): str(one.get("place", "")) for one in told for path in one.get("paths", ())}
    laid = kept_apart({path: _below_originals(path) for path in held})
    return {laid[path]: inside for path, inside in held.items()}


def _below_originals(path: str) -> str:
    """Return where an original is laid out that lay at a path from the book's folder, or at one of its own."""
    name = plain_name if os.name == "nt" else utf8_name
    parts = [name(part) for part in PurePosixPath(path).parts if part not in ("/", "//", "..")]
    return "/".join((_ORIGINALS, *parts))


def _where_it_lies(bags: Sequence[Bag]) -> Mapping[str, Path]:
    """Return where each file lies that the last bag stands for; raises NotUnsealed where its bag is not here."""
    last, here = bags[-1], {bag.seal: bag for bag in bags}
    carried = whole(last).carried
    needed = {file.bag for file in carried.files}
    if away := [one.name for one in carried.bags if one.seal in needed and one.seal not in here]:
        raise NotUnsealed(
            f"{last.folder} goes on from {listed(away)}, which {'are' if away[1:] else 'is'} not here. Put all bags "
            "of the book into one folder first."
        )
    lies = {file.path: here[file.bag].folder / file.at for file in carried.files}
    return lies | {path: last.folder / path for path in last.found.files}


def _lay_out(to: Path, files: Mapping[str, Path], meter: Meter) -> None:
    """Copy files beside, each with its time, and put the whole into place."""
    beside = to.with_name(f".{to.name}.part")
    shutil.rmtree(beside, ignore_errors=True)  # what was stopped before left it
    try:
        for laid, source in files.items():
            (beside / laid).parent.mkdir(parents=True, exist_ok=True)
            copy_hashed(source, beside / laid, meter)
        if to.exists():
            to.rmdir()
        beside.rename(to)
    except OSError as error:
        shutil.rmtree(beside, ignore_errors=True)
        raise RunFault(
            f"{to}: it cannot be written to ({error.strerror}). Free some room, or name another folder. Nothing was "
            "made."
        ) from error
    except BaseException:
        shutil.rmtree(beside, ignore_errors=True)
        raise
