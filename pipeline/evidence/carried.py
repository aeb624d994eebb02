"""What a bag does not hold because an earlier bag of the same place holds it: a list that names bag, path and hash.

A bag is named by its seal, the SHA-256 of its tagmanifest-sha256.txt, so that no other can take its place.
"""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from pipeline.evidence.bag_check import CARRIED_FILE
from pipeline.evidence.bag_reading import Bag
from pipeline.evidence.differences import Difference, Kind
from pipeline.values import Value

_NO_HASHES: Mapping[str, str] = {}


class Named(Value):
    """A bag, by its name and its seal."""

    name: str
    seal: str


class CarriedFile(Value):
    """A file of this bag's whole that lies in the earlier bag with this seal, at the path ``at``."""

    path: str
    sha256: str
    bag: str
    at: str


class CarriedOver(Value):
    """The whole list. ``bags`` are all bags before this one, first to last; the last is the one before it."""

    schema_name: str = "saidseen/carried-over/1"
    bags: tuple[Named, ...] = ()
    files: tuple[CarriedFile, ...] = ()


@dataclass(frozen=True)
class Whole:
    """A bag with what it carries over: hash by path of everything that it stands for."""

    bag: Bag
    carried: CarriedOver
    hashes: Mapping[str, str]


def carried_bytes(carried: CarriedOver) -> bytes:
    """Return the list as JSON, the same for the same list."""
    held = carried.model_dump(mode="json")
    return (json.dumps(held, indent=1, sort_keys=True) + "\n").encode()


def whole(bag: Bag) -> Whole:
    """Return a bag with what it carries over; a list that cannot be read carries nothing (a check tells of it)."""
    try:
        carried = CarriedOver.model_validate_json(bag.content(CARRIED_FILE) or b"{}")
    except ValidationError:
        carried = CarriedOver()
    manifest = bag.manifests.get("sha256")
    own = manifest.hashes if manifest else _NO_HASHES
    return Whole(bag, carried, {**{file.path: file.sha256 for file in carried.files}, **own})


def place_of(path: str, bag: Bag, here: Mapping[str, Bag]) -> Path | None:
    """Return where a file that a bag stands for lies, in it or in an earlier bag that is here; None if in neither."""
    if path in bag.found.files:
        return bag.folder / path
    for file in whole(bag).carried.files:
        held_by = here.get(file.bag)
        if file.path == path and held_by is not None and file.at in held_by.found.files:
            return held_by.folder / file.at
    return None


def where_it_lies(earlier: Sequence[Bag]) -> dict[str, tuple[str, str]]:
    """Return (seal, path) of every content that earlier bags hold, by SHA-256: the first bag that has it."""
    lies: dict[str, tuple[str, str]] = {}
    for bag in earlier:
        manifest = bag.manifests.get("sha256")
        for path, sha256 in sorted(manifest.hashes.items()) if manifest else ():
            lies.setdefault(sha256, (bag.seal, path))
    return lies


def in_order(bags: Iterable[Bag]) -> list[Bag]:
    """Put the bags of a place in the order in which they go on from each other."""
    return sorted(bags, key=lambda bag: (len(whole(bag).carried.bags), bag.name))


def check_carried(bag: Bag, here: Mapping[str, Bag]) -> Iterator[Difference]:
    """Yield every difference between what a bag says of earlier bags and those that are here.

    Args:
        here: bags by seal.
    """
    told = whole(bag).carried
    names = {one.name: one.seal for one in told.bags}
    for other in here.values():
        if names.get(other.name, other.seal) != other.seal:
            yield Difference(other.name, Kind.SEAL, "sha256", names[other.name], other.seal)
    by_name = {other.name for other in here.values()}
    for one in told.bags:
        if one.seal not in here and one.name not in by_name:
            count = sum(file.bag == one.seal for file in told.files)
            if count:
                why = f"It holds {count} of the files that {bag.name} stands for."
                yield Difference(one.name, Kind.AWAY, "sha256", one.seal, why=why)
    known = {one.seal for one in told.bags}
    for file in told.files:
        if file.bag not in known:
            yield Difference(file.path, Kind.LISTED_OTHERWISE, "sha256", file.sha256, why="No bag is named for it.")
        elif file.bag in here:
            manifest = here[file.bag].manifests.get("sha256")
            found = manifest.hashes.get(file.at, "") if manifest else ""
            if found != file.sha256:
                yield Difference(file.path, Kind.LISTED_OTHERWISE, "sha256", file.sha256, found)
