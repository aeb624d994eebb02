"""The one place where ``out/`` is written: beside, then into place; only what changed; only our own removed.

``.written.json`` lists by group what was written, each with its SHA-256, or "" where that is not known yet: a run
that is killed between the list and the file leaves that.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

_LIST = ".written.json"
_PART = ".part"


@dataclass(frozen=True)
class Written:
    """What a writing did, as places in ``out/``, sorted. ``faults`` are (place, why) of copies that failed."""

    written: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    faults: tuple[tuple[str, str], ...] = ()

    def __add__(self, other: "Written") -> "Written":
        return Written(
            tuple(sorted({*self.written, *other.written})),
            tuple(sorted({*self.unchanged, *other.unchanged})),
            tuple(sorted({*self.removed, *other.removed})),
            (*self.faults, *other.faults),
        )


def write_file(path: Path, content: bytes) -> bool:
    """Write a file beside and move it into place, unless it holds these bytes already; tell if it was written."""
    if path.is_file() and path.stat().st_size == len(content) and path.read_bytes() == content:
        return False
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}{_PART}")
    try:
        beside.write_bytes(content)
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
    return True


def clear_unfinished(out: Path) -> None:
    """Remove what a run that was killed had begun to write and not moved into place."""
    for path in out.rglob(f".*{_PART}"):
        path.unlink(missing_ok=True)


def place_files(out: Path, group: str, files: Mapping[str, bytes], kept: frozenset[str] = frozenset()) -> Written:
    """Bring one group of files under ``out`` up to date.

    Args:
        group: what belongs together ("book"): a file of the group that is in neither ``files`` nor ``kept``, and that
            this function wrote on an earlier run, is removed. No other file is ever touched.
        files: the content by place, with forward slashes.
        kept: places of the group that are already right on disk.
    """
    listed = _read_list(out)
    before = listed.get(group, {})
    hashes = {place: hashlib.sha256(content).hexdigest() for place, content in files.items()}
    changing = {place: "" for place, digest in hashes.items() if before.get(place) != digest}
    # said before it is done, so that a run that is killed half-way leaves nothing that no later run knows of
    _write_list(out, {**listed, group: {**dict.fromkeys(kept, ""), **before, **changing}})
    written: list[str] = []
    unchanged = sorted(kept)
    for place in sorted(files):
        (written if write_file(out / place, files[place]) else unchanged).append(place)
    elsewhere = {place for name, places in listed.items() if name != group for place in places}
    stale = sorted(set(before) - set(files) - kept - elsewhere)
    removed = [place for place in stale if _remove(out, place)]
    now = {**listed, group: {place: before.get(place) or _hash_of(out / place) for place in kept} | hashes}
    _write_list(out, {name: places for name, places in now.items() if places})
    return Written(tuple(written), tuple(sorted(unchanged)), tuple(removed))


def note_made(out: Path, group: str, places: Iterable[str]) -> None:
    """Note the hashes of files of a group that were written one by one after the group was listed."""
    listed = _read_list(out)
    hashes = {place: _hash_of(out / place) for place in places}
    if hashes:
        _write_list(out, {**listed, group: {**listed.get(group, {}), **hashes}})


def written_before(out: Path, group: str) -> frozenset[str]:
    """Return the places of a group that an earlier run wrote and that are still there."""
    return frozenset(place for place in _read_list(out).get(group, {}) if (out / place).is_file())


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
    path = out / place
    if not path.is_file():
        return False
    path.unlink()
    folder = path.parent
    while folder != out and not any(folder.iterdir()):
        folder.rmdir()
        folder = folder.parent
    return True


def _hash_of(path: Path) -> str:
    """Return a file's SHA-256, "" where it is not there."""
    if not path.is_file():
        return ""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _read_list(out: Path) -> Mapping[str, Mapping[str, str]]:
    """Return what was written; of a list from before hashes were kept, every place without one."""
    try:
        info = (out / _LIST).stat()
    except FileNotFoundError:
        return {}
    return _list_at(out / _LIST, info.st_mtime_ns, info.st_ino, info.st_size)


@lru_cache(maxsize=2)
def _list_at(path: Path, modified_ns: int, inode: int, size: int) -> Mapping[str, Mapping[str, str]]:
    """Read the list, once for each state of its file: it is asked for again and again, and long in a large book."""
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
    text = json.dumps(listed, indent=1, ensure_ascii=False, sort_keys=True)
    write_file(out / _LIST, (text + "\n").encode())
