"""Manifests and other tag files of a bag, as text: written in one way only, and read as RFC 8493 allows.

Source: RFC 8493, sections 2.1.1 (bagit.txt), 2.1.3 (payload manifest), 2.2.1 (tag manifest), 2.2.2 (bag-info.txt).
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from pipeline.evidence.bag_paths import decoded, encoded

DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
_LINE_END = re.compile("\r\n|\n|\r")
_LINE = re.compile(r"([0-9A-Fa-f]+)[ \t]+(.+)", re.DOTALL)
_LABEL = re.compile(r"([^:\s][^:]*):[ \t]*(.*)")


@dataclass(frozen=True)
class Manifest:
    """Hashes in small letters by path, and lines that are no lines of a manifest, as (number, what is wrong)."""

    hashes: Mapping[str, str]
    faults: tuple[tuple[int, str], ...] = ()


def manifest_bytes(hashes: Mapping[str, str]) -> bytes:
    """Return a manifest: a line for each path, in order of the paths as they are written."""
    lines = sorted((encoded(path), digest) for path, digest in hashes.items())
    return "".join(f"{digest}  {path}\n" for path, digest in lines).encode("utf-8")


def read_manifest(content: bytes) -> Manifest:
    """Read a manifest; what is wrong with it is told, and the rest is read."""
    hashes: dict[str, str] = {}
    faults: list[tuple[int, str]] = []
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        return Manifest({}, ((content[: error.start].count(b"\n") + 1, "it is not UTF-8 text"),))
    for number, line in enumerate(_LINE_END.split(text), start=1):
        if not line:
            continue
        found = _LINE.fullmatch(line)
        if found is None:
            faults.append((number, "it is not a hash and a path"))
            continue
        path = decoded(found[2].removeprefix("*").removeprefix("./"))
        if path in hashes:
            faults.append((number, f"{path} is listed twice"))
            continue
        hashes[path] = found[1].lower()
    return Manifest(hashes, tuple(faults))


def tags_bytes(tags: Iterable[tuple[str, str]]) -> bytes:
    """Return labels and values as a tag file, a line for each; white space in a value becomes one space."""
    lines = (f"{label}: {' '.join(value.split())}\n" for label, value in tags)
    return "".join(lines).encode("utf-8", "backslashreplace")


def read_tags(content: bytes) -> list[tuple[str, str]]:
    """Return labels and values of a tag file; lines that begin with white space go on with the value before."""
    tags: list[tuple[str, str]] = []
    for line in _LINE_END.split(content.decode("utf-8", "replace")):
        if line[:1] in (" ", "\t") and tags:
            label, value = tags[-1]
            tags[-1] = (label, f"{value} {line.strip()}".strip())
        elif found := _LABEL.fullmatch(line):
            tags.append((found[1].rstrip(), found[2].rstrip()))
    return tags
