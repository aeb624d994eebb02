"""A bag written: BagIt 1.0, by copies, beside and then put into place, so that no half bag looks like a whole one.

Source: RFC 8493, section 2 (structure), 2.2.2 (reserved names of bag-info.txt).
"""

import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from pipeline.errors import RunFault
from pipeline.evidence.hashing import ALGORITHMS, SILENT, Meter, copy_hashed, hash_bytes, sync_folder, write_synced
from pipeline.evidence.manifests import DECLARATION, manifest_bytes, tags_bytes

SEALED_FILE = "tagmanifest-sha256.txt"
"""Its SHA-256 is the seal: it stands for every byte in the bag."""
_SPARE_BYTES = 10_000_000


@dataclass(frozen=True)
class FromDisk:
    """A file to copy into the bag. ``sha256`` is what it must hash to, "" where nothing is known of it."""

    source: Path
    size: int
    sha256: str = ""


@dataclass(frozen=True)
class BagContents:
    """What goes into a bag: copies and bytes by path under the bag, labels of bag-info.txt, and other tag files."""

    copies: Mapping[str, FromDisk]
    written: Mapping[str, bytes] = field(default_factory=dict)
    info: Sequence[tuple[str, str]] = ()
    tag_files: Mapping[str, bytes] = field(default_factory=dict)


def write_bag(bag: Path, contents: BagContents, meter: Meter = SILENT) -> str:
    """Write a new bag and return its seal.

    It is built in a hidden folder beside, whose bagit.txt comes last, and renamed when everything is on the disk.

    Raises:
        RunFault: there is no room, a file cannot be read or its name cannot be written here, or a file is not what it
            was when it was taken in. Nothing is left in place.
    """
    beside = bag.with_name(f".{bag.name}.part")
    try:
        bag.parent.mkdir(parents=True, exist_ok=True)
        _there_is_room(bag.parent, contents)
        beside.mkdir()
        seal = _fill(beside, contents, meter)
        beside.rename(bag)
        sync_folder(bag.parent)
    except OSError as error:
        shutil.rmtree(beside, ignore_errors=True)
        raise RunFault(
            f"{bag.parent}: it cannot be written to ({error.strerror}). Free some room, let yourself write there, or "
            "seal to another drive. Nothing was sealed."
        ) from error
    except BaseException:
        shutil.rmtree(beside, ignore_errors=True)
        raise
    return seal


def _there_is_room(folder: Path, contents: BagContents) -> None:
    needed = sum(copy.size for copy in contents.copies.values()) + sum(map(len, contents.written.values()))
    free = shutil.disk_usage(folder).free
    if free < needed + _SPARE_BYTES:
        raise RunFault(
            f"{folder}: the bag needs {size_words(needed)} and there is room for {size_words(free)}. "
            "Free some room, or seal to another drive."
        )


def _fill(beside: Path, contents: BagContents, meter: Meter) -> str:
    payload: dict[str, dict[str, str]] = {}
    octets = 0
    for path in sorted({*contents.copies, *contents.written}):
        place = _folder_for(beside, path)
        if path in contents.copies:
            payload[path], size = _copied(contents.copies[path], place, meter)
        else:
            write_synced(place, contents.written[path])
            size = len(contents.written[path])
            payload[path] = {name: hash_bytes(contents.written[path], name) for name in ALGORITHMS}
        octets += size
    info = [*contents.info, ("Bag-Size", size_words(octets)), ("Payload-Oxum", f"{octets}.{len(payload)}")]
    tags = {"bagit.txt": DECLARATION, "bag-info.txt": tags_bytes(sorted(info)), **contents.tag_files}
    for name in ALGORITHMS:
        tags[f"manifest-{name}.txt"] = manifest_bytes({path: sums[name] for path, sums in payload.items()})
    listed = {name: {path: hash_bytes(tags[path], name) for path in tags} for name in ALGORITHMS}
    for name in ALGORITHMS:
        tags[f"tagmanifest-{name}.txt"] = manifest_bytes(listed[name])
    for path in sorted(tags, key=lambda path: (path == "bagit.txt", path)):
        write_synced(_folder_for(beside, path), tags[path])
    for folder in (beside, *(path for path in sorted(beside.rglob("*")) if path.is_dir())):
        sync_folder(folder)
    return hash_bytes(tags[SEALED_FILE])


def _folder_for(beside: Path, path: str) -> Path:
    place = beside / path
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _unwritable(path, error) from error
    return place


def _copied(copy: FromDisk, place: Path, meter: Meter) -> tuple[dict[str, str], int]:
    try:
        copy.source.open("rb").close()
    except OSError as error:
        raise RunFault(f"{copy.source}: it cannot be read ({error.strerror}). Nothing was sealed.") from error
    try:
        sums, size = copy_hashed(copy.source, place, meter)
    except OSError as error:
        raise _unwritable(str(copy.source), error) from error
    if copy.sha256 and sums["sha256"] != copy.sha256:
        raise RunFault(f"{copy.source}: it is not what it was: its SHA-256 is {sums['sha256']}. Nothing was sealed.")
    return sums, size


def _unwritable(path: str, error: OSError) -> RunFault:
    return RunFault(
        f"{path}: it cannot be copied to where the bag is to be ({error.strerror}). If that drive cannot hold such a "
        "name, use --plain-names: the bag then tells what each file was called. Nothing was sealed."
    )


def size_words(octets: int) -> str:
    """Return a size in bytes as people say it: "512 bytes", "12.3 MB"."""
    size, unit = float(octets), "bytes"
    for larger in ("kB", "MB", "GB", "TB"):
        if size < 1000:
            break
        size, unit = size / 1000, larger
    return f"{octets} byte{'' if octets == 1 else 's'}" if unit == "bytes" else f"{size:.1f} {unit}"
