"""What ``saidseen check`` does: a book, a bag, or a folder of bags that go on from each other."""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.evidence.bag_check import check_bag, files_to_read, worst_first
from pipeline.evidence.bag_reading import Bag, bags_in, looks_like_a_bag
from pipeline.evidence.bag_writing import SEALED_FILE
from pipeline.evidence.book_check import check_book, check_history
from pipeline.evidence.carried import check_carried, in_order, place_of, whole
from pipeline.evidence.described import described
from pipeline.evidence.differences import Checked, Difference, Kind
from pipeline.evidence.hashing import SILENT, Meter
from pipeline.evidence.originals import media_paths
from pipeline.evidence.payload import HISTORY_FILE, ORIGINALS_FILE, RECORDS_FILE

_SEAL_FIGURES = 64
_NOT_FIGURES = re.compile(r"[\s:.,-]+")


def check(place: Path, expect: str = "", meter: Meter = SILENT) -> Checked:
    """Check a book, a bag with the bags that it goes on from, or all bags in a folder.

    Args:
        expect: the seal that was copied down when the (last) bag was sealed; blanks in it do not matter.

    Raises:
        WrongCommand: there is nothing of the kind, or ``expect`` is no seal or is given for a book.
    """
    wanted = seal_of(expect) if expect else ""
    if not place.is_dir():
        raise WrongCommand(f"There is no folder '{place}': name a book, a bag, or a folder of bags.")
    if not looks_like_a_bag(place) and (place / "book.toml").is_file():
        if wanted:
            raise WrongCommand("--expect is for a bag: a book has no seal until it is sealed.")
        checked = check_book(Book(place), meter)
        return replace(checked, differences=worst_first(checked.differences))
    bags = bags_at(place)
    if not bags:
        raise WrongCommand(
            f"{place} is neither a book nor a bag, and holds no bag: it has no book.toml, no bagit.txt."
        )
    return _check_bags(bags, bags[-1], wanted, meter)


def bags_at(place: Path) -> list[Bag]:
    """Return a bag behind those beside it that it goes on from, or all bags in a folder, first to last."""
    if not looks_like_a_bag(place):
        return in_order(bags_in(place))
    asked = Bag(place)
    beside = [bag for bag in bags_in(place.absolute().parent) if bag.folder.absolute() != place.absolute()]
    return [*_before(asked, beside), asked]


def seal_of(text: str) -> str:
    """Return a seal that a person typed: groups and capitals do not matter; raises WrongCommand."""
    figures = _NOT_FIGURES.sub("", text.lower().removeprefix("sha256"))
    if not re.fullmatch("[0-9a-f]*", figures):
        wrong = next(letter for letter in figures if letter not in "0123456789abcdef")
        raise WrongCommand(
            f"--expect: '{wrong}' is in no seal. A seal has the figures 0 to 9 and the letters a to f."
        )
    if len(figures) != _SEAL_FIGURES:
        raise WrongCommand(
            f"--expect: a seal has {_SEAL_FIGURES} letters and figures in 16 groups of four; this has {len(figures)}."
        )
    return figures


def _before(bag: Bag, beside: Sequence[Bag]) -> list[Bag]:
    """Return those of the bags beside one that it goes on from, by seal or by name."""
    told = whole(bag).carried.bags
    seals, names = {one.seal for one in told}, {one.name for one in told}
    return in_order(other for other in beside if other.seal in seals or other.name in names)


def _check_bags(bags: Sequence[Bag], last: Bag, wanted: str, meter: Meter) -> Checked:
    here = {bag.seal: bag for bag in bags if bag.seal}
    meter.begin("Reading the bag" if len(bags) == 1 else "Reading the bags", sum(map(files_to_read, bags)))
    differences: list[Difference] = []
    for bag in bags:
        found = [*check_bag(bag, meter), *check_carried(bag, here), *check_contents(bag, here)]
        found = described(found, _media_at(bag), place_of(RECORDS_FILE, bag, here))
        within = bag.name if len(bags) > 1 else ""
        differences += [replace(one, within=within) for one in worst_first(found)]
    differences += _two_from_one(bags)
    if wanted and last.seal != wanted:
        differences.append(_other_seal(bags, last, wanted))
    seals = tuple((bag.name, bag.seal) for bag in bags)
    return Checked(tuple(differences), sum(len(bag.found.files) for bag in bags), seals)


def _other_seal(bags: Sequence[Bag], last: Bag, wanted: str) -> Difference:
    why = ""
    for bag in bags:
        if bag.seal == wanted:
            why = f"This is the seal of {bag.name}; {last.name} was sealed after it, and has another."
    return Difference(SEALED_FILE, Kind.SEAL, "sha256", wanted, last.seal, why, last.name)


def _two_from_one(bags: Sequence[Bag]) -> Iterator[Difference]:
    """Yield bags that go on from the same bag: one of them does not belong here."""
    follows: dict[str, str] = {}
    for bag in bags:
        told = whole(bag).carried.bags
        before = told[-1].seal if told else ""
        if before and before in follows:
            why = f"It goes on from the same bag as {follows[before]}."
            yield Difference(bag.name, Kind.SEAL, why=why)
        follows.setdefault(before, bag.name)


def check_contents(bag: Bag, here: Mapping[str, Bag]) -> Iterator[Difference]:
    """Yield what does not agree inside a bag of ours: originals and their ids, records and originals, the history.

    Args:
        here: bags by seal, for what lies in an earlier one.
    """
    if not bag.ours:
        return
    stands_for = whole(bag).hashes
    known = set()
    for held in originals_in(bag.content(ORIGINALS_FILE)):
        digest, place = str(held.get("id", "")).removeprefix("sha256:"), str(held.get("place", ""))
        known.add(f"sha256:{digest}")
        if place and stands_for.get(place, "") != digest:
            yield Difference(place, Kind.CHANGED, "sha256", digest, stands_for.get(place, ""))
        elif not place:
            why = f"It was not here when the book was sealed ({held.get('lacking') or 'no reason given'})."
            path = " or ".join(map(str, held.get("paths", [])))
            yield Difference(path or f"sha256:{digest}", Kind.AWAY, "sha256", digest, why=why)
    if RECORDS_FILE in bag.found.files:
        try:
            of_records = set(media_paths(bag.content(RECORDS_FILE)))
        except ValueError:
            of_records = set()
        for media in sorted(of_records - known):
            yield Difference(RECORDS_FILE, Kind.LISTED_OTHERWISE, "sha256", media.removeprefix("sha256:"))
    if HISTORY_FILE in bag.found.files:
        records, settings = (place_of(path, bag, here) for path in (RECORDS_FILE, "data/book.toml"))
        for one in check_history(bag.folder / HISTORY_FILE, records, settings):
            yield replace(one, path=f"data/{one.path}")


def _media_at(bag: Bag) -> dict[str, str]:
    return {str(one.get("place", "")): str(one.get("id", "")) for one in originals_in(bag.content(ORIGINALS_FILE))}


def originals_in(content: bytes) -> list[dict[str, Any]]:
    """Return what an ``originals.json`` says of each original: its id, its place, and every path that held it."""
    try:
        held = json.loads(content or b"{}")
        return [one for one in held.get("originals", []) if isinstance(one, dict)]
    except (ValueError, AttributeError):
        return []
