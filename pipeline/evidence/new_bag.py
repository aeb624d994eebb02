"""The bag that a sealing is to write: what is new in it, what stays in earlier ones, and what it says of itself."""

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from datetime import UTC, datetime
from hashlib import sha256
from typing import Any

import pipeline
from pipeline.evidence.bag_check import CARRIED_FILE
from pipeline.evidence.bag_reading import Bag
from pipeline.evidence.bag_writing import BagContents, FromDisk
from pipeline.evidence.carried import CarriedFile, CarriedOver, Named, carried_bytes, where_it_lies, whole
from pipeline.evidence.crate import crate_json
from pipeline.evidence.hashing import hash_bytes, hash_path
from pipeline.evidence.payload import CRATE_FILE, HISTORY_FILE, ORIGINALS_FILE, Gathered
from pipeline.evidence.readme import README_FILE, readme
from pipeline.settings import Settings

_AT_EVERY_SEAL = frozenset({CRATE_FILE, ORIGINALS_FILE, HISTORY_FILE, "data/history.head"})


def _before(earlier: Sequence[Bag]) -> tuple[Named, ...]:
    """Return all bags that come before the next one, also those that were put away elsewhere."""
    if not earlier:
        return ()
    last = earlier[-1]
    return (*whole(last).carried.bags, Named(name=last.name, seal=last.seal))


class NewBag:
    """The bag to be: what is new in it, what stays in earlier ones, and what it says of itself."""

    def __init__(
        self,
        group: str,
        settings: Settings,
        gathered: Gathered,
        earlier: Sequence[Bag],
        now: datetime,
        records: bytes,
    ) -> None:
        self.settings, self.gathered, self.earlier, self.now = settings, gathered, earlier, now
        self.records: dict[str, Any] = json.loads(records)
        self.group = group
        self.before = _before(earlier)
        self.number = len(self.before) + 1
        self.name = f"{self.group}-{self.number:03d}-{now.astimezone(settings.zone).date()}"
        self.hashes = dict(self._hashes())
        self.carried = self._carried()

    def _hashes(self) -> Iterator[tuple[str, tuple[str, int]]]:
        for path, copy in self.gathered.copies.items():
            yield path, (copy.sha256 or hash_path(copy.source)["sha256"], copy.size)
        for path, content in self.gathered.written.items():
            yield path, (hash_bytes(content), len(content))

    def _carried(self) -> CarriedOver:
        lies = where_it_lies(self.earlier)
        files = [
            CarriedFile(path=path, sha256=digest, bag=lies[digest][0], at=lies[digest][1])
            for path, (digest, _) in sorted(self.hashes.items())
            if digest in lies and path not in _AT_EVERY_SEAL
        ]
        return CarriedOver(bags=self.before, files=tuple(files))

    def nothing_new(self) -> Bag | None:
        """Return the last bag if it stands for all that this one would, acts of sealing left out; else None."""
        if not self.earlier:
            return None
        last = whole(self.earlier[-1])
        now = {path: digest for path, (digest, _) in self.hashes.items() if path not in _AT_EVERY_SEAL}
        before = {path: digest for path, digest in last.hashes.items() if path not in _AT_EVERY_SEAL}
        if now != before or not self._only_sealed_since(last.hashes.get(HISTORY_FILE, "")):
            return None
        same = self.hashes.get(ORIGINALS_FILE, ("", 0))[0] == last.hashes.get(ORIGINALS_FILE)
        return last.bag if same else None

    def _only_sealed_since(self, before: str) -> bool:
        """Tell whether the history holds, after what the last bag holds of it, only that the book was sealed."""
        history = self.gathered.copies.get(HISTORY_FILE)
        if history is None:
            return not before
        so_far, known = sha256(), not before
        with history.source.open("rb") as lines:
            for line in lines:
                if known:
                    with suppress(ValueError):
                        if json.loads(line).get("act") == "seal":
                            continue
                    return False
                so_far.update(line)
                known = so_far.hexdigest() == before
        return known

    def contents(self) -> BagContents:
        """Return what is to be written."""
        stay = {file.path for file in self.carried.files}
        copies = {
            path: FromDisk(copy.source, copy.size, self.hashes[path][0])
            for path, copy in self.gathered.copies.items()
            if path not in stay
        }
        written = {path: content for path, content in self.gathered.written.items() if path not in stay}
        written[CRATE_FILE] = self._crate({*copies, *written})
        tags = {CARRIED_FILE: carried_bytes(self.carried), README_FILE: self._readme({*copies, *written})}
        return BagContents(copies, written, tuple(self._info()), tags)

    def _readme(self, here: set[str]) -> bytes:
        names = {one.seal: one.name for one in self.before}
        where = dict.fromkeys(here, "") | {file.path: names.get(file.bag, file.bag) for file in self.carried.files}
        sealed = f"{self.now.astimezone(self.settings.zone):%Y-%m-%d} by saidseen {pipeline.__version__}"
        aircraft = self.settings.aircraft.name
        return readme(self.name, aircraft, sealed, where, [one.name for one in self.before])

    def _crate(self, paths: set[str]) -> bytes:
        first, last = self._days()
        made = {
            "name": self.name,
            "published": self.now.astimezone(UTC).isoformat(timespec="seconds"),
            "first": first,
            "last": last,
            "before": self.earlier[-1].name if self.earlier else "",
        }
        media = {str(one.get("id")): one for one in self.records.get("media", [])}
        hashes: Mapping[str, tuple[str, int]] = {path: self.hashes[path] for path in paths}
        program = f"saidseen {pipeline.__version__}"
        return crate_json(self.settings, hashes, self.gathered.originals, media, program, made)

    def _days(self) -> tuple[str, str]:
        days = sorted(str(one.get("at", ""))[:10] for one in self.records.get("entries", []))
        return (days[0], days[-1]) if days else ("", "")

    def _info(self) -> Iterator[tuple[str, str]]:
        """Yield the labels of bag-info.txt; those not of RFC 8493 are Dublin Core terms, or our own."""
        first, last = self._days()
        yield "Bag-Software-Agent", f"saidseen {pipeline.__version__}"
        yield "Bagging-Date", self.now.astimezone(self.settings.zone).date().isoformat()
        yield "Bag-Group-Identifier", self.group
        yield "Bag-Count", f"{self.number} of ?"
        yield "External-Identifier", self.name
        yield (
            "External-Description",
            f"Photos, sound and film of work on {self.settings.aircraft.name}, "
            "and the working record made from them. It certifies nothing.",
        )
        yield "DCTERMS-Title", f"{self.settings.aircraft.name}: record of work"
        yield "DCTERMS-Created", self.now.astimezone(UTC).isoformat(timespec="seconds")
        yield "DCTERMS-Language", "en"
        if first:
            yield "DCTERMS-Temporal", f"{first}/{last}"
        if self.earlier:
            before = self.earlier[-1]
            yield "DCTERMS-Relation", f"goes on from {before.name}, whose seal is {before.seal}"
        lacking = sum(bool(one.lacking) for one in self.gathered.originals)
        if lacking:
            yield "Originals-Lacking", f"{lacking}: see {ORIGINALS_FILE}"
