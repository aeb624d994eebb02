"""Which files still stand: those that were made from the same as now, and are as they were written.

``.made-from.json`` holds, for each file that takes work to make, the fingerprint of all that it was made from and the
SHA-256 of its bytes. Its own time is that at which the writing that left it began: a file that was last touched
before then was looked at since, and is not read again. Any other is: a hand may have changed it.
"""

import json
import os
from collections.abc import Iterator
from pathlib import Path

from pydantic import BaseModel

from pipeline.digests import digest_of
from pipeline.made_by import made_by
from pipeline.settings import Settings
from pipeline.writing.terms import Terms
from pipeline.writing.written_files import hash_of, write_file, written_hashes

_LIST = ".made-from.json"
_BEGAN = ".made-from.part"


class MadeFrom:
    """What the files under ``out/`` were made from, as the last writing left it."""

    def __init__(self, out: Path) -> None:
        """Read it, and note by the clock of the disk when this writing begins."""
        self._out = out
        self._began_ns = _time_on_disk(out)
        self._known: dict[str, str] = {}
        self._noted: dict[str, str] = {}
        self._looked_at_ns = -1
        try:
            self._looked_at_ns = (out / _LIST).stat().st_mtime_ns
            held = json.loads((out / _LIST).read_bytes())
        except (OSError, ValueError):
            return
        if isinstance(held, dict):
            self._known = {place: made for place, made in held.items() if isinstance(made, str)}

    def stands(self, place: str, made_from: str) -> bool:
        """Tell whether a file was made from what has this fingerprint, and is as it was written; never for ""."""
        known, _, digest = self._known.get(place, "").partition(" ")
        if not made_from or known != made_from:
            return False
        try:
            info = (self._out / place).stat()
        except OSError:
            return False
        untouched = max(info.st_mtime_ns, info.st_ctime_ns) < self._looked_at_ns
        return untouched or hash_of(self._out / place) == digest

    def standing(self, made_from: str) -> tuple[str, ...]:
        """Return all files that were made from what has this fingerprint, none if any of them does not stand."""
        made = [place for place, known in self._known.items() if made_from and known.startswith(f"{made_from} ")]
        return tuple(made) if all(self.stands(place, made_from) for place in made) else ()

    def note(self, place: str, made_from: str) -> None:
        """Note what a file is made from that stands, or is written before ``keep``."""
        self._noted[place] = made_from

    def keep(self) -> None:
        """Keep what was noted, of the files that are there."""
        hashes = written_hashes(self._out)
        known = ((place, one) for place, one in sorted(self._noted.items()) if one and hashes.get(place))
        made = {place: f"{one} {hashes[place]}" for place, one in known}
        if made != self._known:
            path = self._out / _LIST
            write_file(path, (json.dumps(made, indent=1, ensure_ascii=False) + "\n").encode())
            os.utime(path, ns=(self._began_ns, self._began_ns))


def _time_on_disk(out: Path) -> int:
    """Return what the disk's clock says, which may be another machine's: the times of files are compared with it."""
    out.mkdir(parents=True, exist_ok=True)
    (out / _BEGAN).write_bytes(b"")
    began_ns = (out / _BEGAN).stat().st_mtime_ns
    (out / _BEGAN).unlink()
    return began_ns


def made_with(settings: Settings, terms: Terms) -> str:
    """Return a fingerprint of all but records that pages are made from; "" where the vocabulary has none."""
    if not isinstance(terms, BaseModel):
        return ""
    return digest_of([made_by(), terms.model_dump_json(), settings.model_dump_json(include={"people", "time"})])


def pieces_of(held: BaseModel) -> Iterator[str]:
    """Yield all that a value holds as JSON, each part of its tuples by itself.

    A large book's records as one text would take hundreds of megabytes.
    """
    for name, value in held:
        if isinstance(value, BaseModel):
            yield name
            yield from pieces_of(value)
        elif isinstance(value, tuple):
            yield f"{name} {len(value)}"
            yield from (one.model_dump_json() if isinstance(one, BaseModel) else repr(one) for one in value)
        else:
            yield f"{name} {value!r}"
