"""The one place where ``out/`` is written: beside, then into place; only what changed; only our own removed.

``.written.json`` lists by group what was written, each with its SHA-256, or "" where that is not known yet: a run
that is killed between the list and the file leaves that.
"""

import hashlib
import json
import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import NamedTuple

from pydantic_core import to_json

from pipeline.digests import sha256_of, sha256_of_bytes

_LIST = ".written.json"
_PART = ".part"
_BLOCK_BYTES = 1 << 20

Coming = Mapping[tuple[str, ...], Callable[[], Mapping[str, bytes]]]
"""Files that are made when their turn comes, so that few are held at a time: their places, and what makes them."""

Pieces = Callable[[], Iterable[bytes]]
"""Makes what a long file holds piece by piece, so that it is never held whole."""

_READ: dict[Path, tuple[tuple[int, int, int], Mapping[str, Mapping[str, str]]]] = {}
"""The list of the book that is written, and the state of its file."""


@dataclass(frozen=True)
class Written:
    """What a writing did, as places in ``out/``, sorted. ``faults`` are (place, why) of copies that failed.

    ``told`` are lines for whoever runs it: wishes of the editor that could not be done, files changed by hand.
    ``otherwise`` are the names of the supporters' reports that read otherwise than before.
    """

    written: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    faults: tuple[tuple[str, str], ...] = ()
    told: tuple[str, ...] = ()
    otherwise: tuple[str, ...] = ()

    def __add__(self, other: "Written") -> "Written":
        return Written(
            tuple(sorted({*self.written, *other.written})),
            tuple(sorted({*self.unchanged, *other.unchanged})),
            tuple(sorted({*self.removed, *other.removed})),
            (*self.faults, *other.faults),
            tuple(dict.fromkeys((*self.told, *other.told))),
            (*self.otherwise, *other.otherwise),
        )


def write_file(path: Path, content: bytes) -> bool:
    """Write a file beside and move it into place, unless it holds these bytes already; tell if it was written."""
    if path.is_file() and path.stat().st_size == len(content) and _holds(path, content):
        return False
    _write_beside(path, (content,))
    return _move_into_place(path)


def _holds(path: Path, content: bytes) -> bool:
    """Tell whether a file of the same length holds these bytes, block by block."""
    with path.open("rb") as file:
        return all(
            file.read(_BLOCK_BYTES) == content[start : start + _BLOCK_BYTES]
            for start in range(0, len(content), _BLOCK_BYTES)
        )


def _beside(path: Path) -> Path:
    return path.with_name(f".{path.name}{_PART}")


def _write_beside(path: Path, pieces: Iterable[bytes]) -> str:
    """Write what a file is to hold beside it, and return its SHA-256."""
    path.parent.mkdir(parents=True, exist_ok=True)
    digest = hashlib.sha256()
    try:
        with _beside(path).open("wb") as file:
            for piece in pieces:
                digest.update(piece)
                file.write(piece)
    except BaseException:
        _beside(path).unlink(missing_ok=True)
        raise
    return digest.hexdigest()


def _move_into_place(path: Path) -> bool:
    """Move what was written beside a file into its place, unless it holds the same already; tell if it was moved."""
    beside = _beside(path)
    try:
        if path.is_file() and path.stat().st_size == beside.stat().st_size and hash_of(path) == hash_of(beside):
            return False
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
    return True


def clear_unfinished(out: Path) -> None:
    """Remove what a run that was killed had begun to write and not moved into place."""
    for folder, _, names in os.walk(out):
        for name in names:
            if name.startswith(".") and name.endswith(_PART):
                Path(folder, name).unlink(missing_ok=True)


def place_files(
    out: Path,
    group: str,
    files: Mapping[str, bytes],
    kept: frozenset[str] = frozenset(),
    coming: Coming | None = None,
    long: Mapping[str, Pieces] | None = None,
) -> Written:
    """Bring one group of files under ``out`` up to date.

    Args:
        group: what belongs together ("book"): a file of the group that is in none of the others, and that this
            function wrote on an earlier run, is removed. No other file is ever touched.
        files: the content by place, with forward slashes.
        kept: places of the group that are already right on disk.
        coming: more files, made one lot after the other.
        long: what makes long files, by their places.
    """
    long = long or {}
    try:
        beside = {place: _write_beside(out / place, pieces()) for place, pieces in long.items()}
        return _place(out, group, files, kept, coming or {}, beside)
    finally:
        for place in long:
            _beside(out / place).unlink(missing_ok=True)


def _place(
    out: Path,
    group: str,
    files: Mapping[str, bytes],
    kept: frozenset[str],
    coming: Coming,
    beside: Mapping[str, str],
) -> Written:
    """Do the work of ``place_files``; ``beside`` are the hashes of what was written beside its place already."""
    listed = _read_list(out)
    before = listed.get(group, {})
    hashes = {**{place: sha256_of_bytes(content) for place, content in files.items()}, **beside}
    changing = {place: "" for place, digest in hashes.items() if before.get(place) != digest}
    changing |= {place: "" for places in coming for place in places}
    # said before it is done, so that a run that is killed half-way leaves nothing that no later run knows of
    _write_list(out, {**listed, group: {**dict.fromkeys(kept, ""), **before, **changing}})
    written = [place for place in sorted(beside) if _move_into_place(out / place)]
    unchanged = sorted({*kept, *beside}.difference(written))
    for lot in chain([files], (make() for make in coming.values())):  # of a large book only one is held at a time
        for place in sorted(lot):
            (written if write_file(out / place, lot[place]) else unchanged).append(place)
            hashes[place] = hashes.get(place) or sha256_of_bytes(lot[place])
    elsewhere = {place for name, places in listed.items() if name != group for place in places}
    stale = sorted(set(before) - set(hashes) - kept - elsewhere)
    removed = [place for place in stale if _remove(out, place)]
    now = {**listed, group: {place: before.get(place) or hash_of(out / place) for place in kept} | hashes}
    _write_list(out, {name: places for name, places in now.items() if places})
    return Written(tuple(sorted(written)), tuple(sorted(unchanged)), tuple(removed))


def note_made(out: Path, group: str, places: Iterable[str]) -> None:
    """Note the hashes of files of a group that were written one by one after the group was listed."""
    listed = _read_list(out)
    hashes = {place: hash_of(out / place) for place in places}
    if hashes:
        _write_list(out, {**listed, group: {**listed.get(group, {}), **hashes}})


def written_before(out: Path, group: str) -> frozenset[str]:
    """Return the places of a group that an earlier run wrote and that are still there."""
    places = _read_list(out).get(group, {})
    there = {folder: files_in(out, folder) for folder in {place.rpartition("/")[0] for place in places}}
    return frozenset(one for one in places if one.rpartition("/")[2] in there[one.rpartition("/")[0]])


class OnDisk(NamedTuple):
    """A file of ``out/``: its size in bytes, and when it was changed, in nanoseconds since 1970."""

    size: int
    changed_ns: int


def files_in(out: Path, folder: str) -> dict[str, OnDisk]:
    """Return the files of a folder of ``out/``, by their names."""
    try:
        with os.scandir(out / folder) as found:
            return {one.name: _on_disk(one.stat()) for one in found if one.is_file()}
    except (FileNotFoundError, NotADirectoryError):
        return {}


def _on_disk(info: os.stat_result) -> OnDisk:
    return OnDisk(info.st_size, info.st_mtime_ns)


def hash_of(path: Path) -> str:
    """Return a file's SHA-256, "" where it is not there."""
    if not path.is_file():
        return ""
    return sha256_of(path)


def written_in(out: Path, group: str) -> Mapping[str, str]:
    """Return the places of a group with the SHA-256 of what was written there, "" where it is not known."""
    return _read_list(out).get(group, {})


def written_hashes(out: Path) -> dict[str, str]:
    """Return the SHA-256 of everything that was written, by place; "" where it is not known."""
    return {place: digest for places in _read_list(out).values() for place, digest in places.items()}


def groups(out: Path) -> tuple[str, ...]:
    """Return the names of the groups that were written under ``out``, sorted."""
    return tuple(sorted(_read_list(out)))


def _remove(out: Path, place: str) -> bool:
    """Remove a file, and the folders that are empty then or were left so by a killed run; tell if it was there."""
    path = out / place
    there = path.is_file()
    if there:
        path.unlink()
    for folder in path.parents:
        if folder == out or (folder.is_dir() and any(folder.iterdir())):
            break
        if folder.is_dir():
            folder.rmdir()
    return there


def _read_list(out: Path) -> Mapping[str, Mapping[str, str]]:
    """Return what was written; of a list from before hashes were kept, every place without one.

    It is asked for again and again, and long in a large book: it is read once for each state of its file.
    """
    state = _state_of(out / _LIST)
    if state is None:
        return {}
    if _READ.get(out, (None, {}))[0] != state:
        _READ.clear()
        _READ[out] = state, _list_in(out / _LIST)
    return _READ[out][1]


def _state_of(path: Path) -> tuple[int, int, int] | None:
    try:
        info = path.stat()
    except FileNotFoundError:
        return None
    return info.st_mtime_ns, info.st_ino, info.st_size


def _list_in(path: Path) -> Mapping[str, Mapping[str, str]]:
    try:
        held = json.loads(path.read_text(encoding="utf-8"))
    except (FileNotFoundError, ValueError):
        return {}
    if not isinstance(held, dict):
        return {}
    return {
        str(group): {
            place: str(places[place]) if isinstance(places, dict) else ""
            for place in places
            if isinstance(place, str) and _stays_inside(place)
        }
        for group, places in held.items()
        if isinstance(places, list | dict)
    }


def _stays_inside(place: str) -> bool:
    """Refuse a place that leads out of ``out/``: the list is a file that anybody can change."""
    return bool(place) and not place.startswith("/") and ".." not in place.split("/") and ":" not in place


def _write_list(out: Path, listed: Mapping[str, Mapping[str, str]]) -> None:
    if listed == _read_list(out):
        return
    ordered = {group: dict(sorted(places.items())) for group, places in sorted(listed.items())}
    write_file(out / _LIST, to_json(ordered, indent=1) + b"\n")
    state = _state_of(out / _LIST)
    if state is not None:
        _READ[out] = state, ordered
