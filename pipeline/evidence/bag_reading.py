"""A bag as it lies on a disk: what its tag files say, and what is really there. Nothing is followed out of it."""

import os
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from pipeline.evidence.bag_writing import SEALED_FILE
from pipeline.evidence.hashing import hash_bytes
from pipeline.evidence.manifests import Manifest, read_manifest, read_tags

OUR_AGENT = "saidseen"
_MOST_BYTES = 1 << 30  # a manifest of ten million files; anything longer is no tag file


@dataclass(frozen=True)
class Found:
    """What lies in a folder, by path from its top: plain files, folders with nothing in them, and what is neither."""

    files: frozenset[str]
    empty: frozenset[str]
    others: frozenset[str]


@dataclass(frozen=True)
class Bag:
    """A folder that is, or was, a bag."""

    folder: Path

    @property
    def name(self) -> str:
        """What its folder is called."""
        return self.folder.absolute().name

    @cached_property
    def found(self) -> Found:
        """What is really there."""
        return _found(self.folder)

    def content(self, path: str) -> bytes:
        """Return the bytes of a tag file, none where it is not there."""
        place = self.folder / path
        if path not in self.found.files or place.stat().st_size > _MOST_BYTES:
            return b""
        return place.read_bytes()

    @cached_property
    def info(self) -> dict[str, str]:
        """The labels of bag-info.txt with their values, the first of each."""
        return dict(reversed(read_tags(self.content("bag-info.txt"))))

    @property
    def ours(self) -> bool:
        """Whether this program wrote it, so that there is only one way in which it can have been written."""
        return self.info.get("Bag-Software-Agent", "").startswith(OUR_AGENT)

    @cached_property
    def manifests(self) -> Mapping[str, Manifest]:
        """The payload manifests by algorithm."""
        return self._read("manifest-")

    @cached_property
    def tag_manifests(self) -> Mapping[str, Manifest]:
        """The tag manifests by algorithm."""
        return self._read("tagmanifest-")

    def _read(self, prefix: str) -> dict[str, Manifest]:
        names = [name for name in self.found.files if name.startswith(prefix) and name.endswith(".txt")]
        return {
            name.removeprefix(prefix).removesuffix(".txt").lower(): read_manifest(self.content(name))
            for name in sorted(names)
            if "/" not in name
        }

    @property
    def seal(self) -> str:
        """The SHA-256 of its tagmanifest-sha256.txt, "" where there is none."""
        content = self.content(SEALED_FILE)
        return hash_bytes(content) if content else ""


def looks_like_a_bag(folder: Path) -> bool:
    """Tell whether a folder is a bag, or what is left of one."""
    if not folder.is_dir():
        return False
    if (folder / "bagit.txt").exists():
        return True
    left = [*folder.glob("manifest-*.txt"), *folder.glob("tagmanifest-*.txt"), *folder.glob("bag-info.txt")]
    return bool(left)


def bags_in(place: Path) -> list[Bag]:
    """Return the bags that lie in a folder, in order of their names; what a stopped seal left is none."""
    try:
        inside = sorted(place.iterdir())
    except OSError:
        return []
    return [Bag(folder) for folder in inside if not folder.name.startswith(".") and looks_like_a_bag(folder)]


def _found(top: Path) -> Found:
    files: set[str] = set()
    empty: set[str] = set()
    others: set[str] = set()
    waiting = [""]
    while waiting:
        folder = waiting.pop()
        try:
            inside = sorted(_inside(top, folder))
        except OSError:
            others.add(folder)
            continue
        if not inside:
            empty.add(folder)
        for name, mode in inside:
            path = f"{folder}/{name}" if folder else name
            if stat.S_ISDIR(mode):
                waiting.append(path)
            else:
                (files if stat.S_ISREG(mode) else others).add(path)
    return Found(frozenset(files), frozenset(empty - {""}), frozenset(others))


def _inside(top: Path, folder: str) -> Iterator[tuple[str, int]]:
    with os.scandir(top / folder) as entries:
        for entry in entries:
            yield entry.name, entry.stat(follow_symlinks=False).st_mode
