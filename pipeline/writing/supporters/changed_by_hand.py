"""Reports that a person has changed by hand: their file is kept beside before the report is made anew."""

from collections.abc import Mapping
from pathlib import Path, PurePosixPath

from pipeline.writing.written_files import groups, hash_of, write_file, written_in


def kept_beside(out: Path, folder: str, coming: Mapping[str, bytes]) -> tuple[str, ...]:
    """Keep each file of a folder that is no longer as it was written, as "report-edited.md", and tell of it.

    Args:
        out: the book's ``out`` folder.
        folder: the report's folder in it.
        coming: what is about to be written, by place; a file that is not among them is about to go.

    Returns:
        A line for each, for whoever changed it.
    """
    written: dict[str, set[str]] = {}
    for group in groups(out):
        if group.partition(" ")[0] == folder:
            for place, digest in written_in(out, group).items():
                written.setdefault(place, set()).add(digest)
    told = []
    for place, digests in sorted(written.items()):
        found = hash_of(out / place)
        if not found or "" in digests or found in digests:  # "": a run was killed, and nobody knows
            continue
        content = (out / place).read_bytes()
        if content == coming.get(place):
            continue
        beside = _beside(out / place, content)
        write_file(beside, content)
        told.append(
            f"{out / place} was changed by hand: it is kept as {beside.name}, and the report is made anew without "
            "the change. What you write into edits.toml stays."
        )
    return tuple(told)


def _beside(path: Path, content: bytes) -> Path:
    """Return where a changed file is kept: at the first such name that is free, or holds the same already."""
    name, number = PurePosixPath(path.name), 1
    while True:
        ending = "" if number == 1 else f"-{number}"
        beside = path.with_name(f"{name.stem}-edited{ending}{name.suffix}")
        if not beside.exists() or beside.read_bytes() == content:
            return beside
        number += 1
