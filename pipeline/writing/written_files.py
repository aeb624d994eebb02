"""The one place where ``out/`` is written: beside, then into place; only what changed; only our own removed."""

import json
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

_LIST = ".written.json"


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
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        beside.write_bytes(content)
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
    return True


def place_files(out: Path, group: str, files: Mapping[str, bytes], kept: frozenset[str] = frozenset()) -> Written:
    """Bring one group of files under ``out`` up to date.

    Args:
        group: what belongs together ("book"): a file of the group that is in neither ``files`` nor ``kept``, and that
            this function wrote on an earlier run, is removed. No other file is ever touched.
        files: the content by place, with forward slashes.
        kept: places of the group that are already right on disk.
    """
    listed = _read_list(out)
    before = set(listed.get(group, []))
    # said before it is done, so that a run that is killed half-way leaves nothing that no later run knows of
    _write_list(out, {**listed, group: sorted(before | set(files) | kept)})
    written: list[str] = []
    unchanged = sorted(kept)
    for place in sorted(files):
        (written if write_file(out / place, files[place]) else unchanged).append(place)
    elsewhere = {place for name, places in listed.items() if name != group for place in places}
    stale = sorted(before - set(files) - kept - elsewhere)
    removed = [place for place in stale if _remove(out, place)]
    now = {**listed, group: sorted(set(files) | kept)}
    _write_list(out, {name: places for name, places in now.items() if places})
    return Written(tuple(written), tuple(sorted(unchanged)), tuple(removed))


def written_before(out: Path, group: str) -> frozenset[str]:
    """Return the places of a group that an earlier run wrote and that are still there."""
    return frozenset(place for place in _read_list(out).get(group, []) if (out / place).is_file())


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


def _read_list(out: Path) -> dict[str, list[str]]:
    try:
        held = json.loads((out / _LIST).read_text(encoding="utf-8"))
    except (FileNotFoundError, ValueError):
        return {}
    if not isinstance(held, dict):
        return {}
    return {
        str(group): [place for place in places if isinstance(place, str) and _stays_inside(place)]
        for group, places in held.items()
        if isinstance(places, list)
    }


def _stays_inside(place: str) -> bool:
    """Refuse a place that leads out of ``out/``: the list is a file that anybody can change."""
    return bool(place) and not place.startswith("/") and ".." not in place.split("/") and ":" not in place


def _write_list(out: Path, listed: Mapping[str, list[str]]) -> None:
    text = json.dumps({group: listed[group] for group in sorted(listed)}, indent=1, ensure_ascii=False)
    write_file(out / _LIST, (text + "\n").encode())
