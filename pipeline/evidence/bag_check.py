"""One bag checked: every file against every manifest, the manifests against the tag manifests, and nothing besides.

A bag of ours can have been written in one way only, so there even a blank at the end of a line shows. A bag from
elsewhere is held to RFC 8493. Source: RFC 8493, section 3 (complete and valid bags) and 5.1 (paths that lead out).
"""

import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from pathlib import PurePosixPath

from pipeline.evidence.bag_paths import leads_out
from pipeline.evidence.bag_reading import Bag
from pipeline.evidence.differences import Difference, Kind
from pipeline.evidence.hashing import ALGORITHMS, SILENT, Meter, hash_path
from pipeline.evidence.manifests import DECLARATION, Manifest, manifest_bytes, read_tags

CARRIED_FILE = "carried-over.json"
_ROOT_FILES = ("bagit.txt", "bag-info.txt", CARRIED_FILE)
_OF_FILE_MANAGERS = frozenset({".ds_store", "thumbs.db", "ehthumbs.db", "desktop.ini"})
_VERSION, _OXUM = re.compile(r"\d+\.\d+"), re.compile(r"(\d+)\.(\d+)")


def check_bag(bag: Bag, meter: Meter = SILENT, *, quick: bool = False) -> Iterator[Difference]:
    """Yield every difference between a bag and what its tag files say of it.

    Args:
        quick: leave out reading the payload; only its names and its size are looked at.
    """
    yield from _declaration(bag)
    if bag.ours:
        yield from _our_tag_files(bag)
    yield from _manifest_faults(bag)
    yield from _not_plain(bag)
    yield from _listed(bag)
    if not quick:
        yield from _hashes(bag, "manifest", bag.manifests, meter)
    yield from _hashes(bag, "tagmanifest", bag.tag_manifests, meter)
    yield from _oxum(bag)


def files_to_read(bag: Bag) -> int:
    """Return how many bytes a check of the bag reads."""
    return sum((bag.folder / path).stat().st_size for path in bag.found.files)


def _declaration(bag: Bag) -> Iterator[Difference]:
    if "bagit.txt" not in bag.found.files:
        yield Difference("bagit.txt", Kind.MISSING)
        return
    content = bag.content("bagit.txt")
    tags = dict(read_tags(content))
    says = (tags.get("BagIt-Version", ""), tags.get("Tag-File-Character-Encoding", "").upper())
    if bag.ours and content != DECLARATION:
        yield Difference("bagit.txt", Kind.WRITTEN_OTHERWISE)
    elif not _VERSION.fullmatch(says[0]) or says[1] != "UTF-8" or content.startswith(b"\xef\xbb\xbf"):
        yield Difference("bagit.txt", Kind.WRITTEN_OTHERWISE, why="It does not declare a bag in UTF-8.")
    if not bag.manifests:
        yield Difference("manifest-sha512.txt", Kind.MISSING, why="There is no manifest of the payload.")
    if not (bag.folder / "data").is_dir():
        yield Difference("data", Kind.MISSING)


def _our_tag_files(bag: Bag) -> Iterator[Difference]:
    """Hold the tag files of a bag of ours to the one way of writing them."""
    names = [f"{prefix}-{name}.txt" for prefix in ("manifest", "tagmanifest") for name in ALGORITHMS]
    for name in (*_ROOT_FILES, *names):
        if name not in bag.found.files and name != "bagit.txt":
            yield Difference(name, Kind.MISSING)
    for prefix, manifests in (("manifest", bag.manifests), ("tagmanifest", bag.tag_manifests)):
        for algorithm, manifest in manifests.items():
            path = f"{prefix}-{algorithm}.txt"
            if algorithm not in ALGORITHMS:
                yield Difference(path, Kind.NOT_LISTED)
            elif not manifest.faults and bag.content(path) != manifest_bytes(manifest.hashes):
                yield Difference(path, Kind.WRITTEN_OTHERWISE)


def _manifest_faults(bag: Bag) -> Iterator[Difference]:
    for prefix, manifests in (("manifest", bag.manifests), ("tagmanifest", bag.tag_manifests)):
        for algorithm, manifest in manifests.items():
            path = f"{prefix}-{algorithm}.txt"
            for number, why in manifest.faults:
                yield Difference(path, Kind.WRITTEN_OTHERWISE, why=f"Line {number}: {why}.")
            for listed in sorted(manifest.hashes):
                if leads_out(listed) or listed.startswith("data/") != (prefix == "manifest"):
                    yield Difference(path, Kind.UNSAFE, found=listed)


def _not_plain(bag: Bag) -> Iterator[Difference]:
    for path in sorted(bag.found.others):
        yield Difference(
            path, Kind.NOT_LISTED, why="It is neither a file nor a folder that can be read; it was not followed."
        )
    lost = {place.as_posix() for path in _listed_paths(bag) for place in PurePosixPath(path).parents}
    for path in sorted(bag.found.empty - lost) if bag.ours else []:  # a lost file is told of, not its folder too
        yield Difference(path, Kind.NOT_LISTED, why="It is an empty folder.")


def _listed_paths(bag: Bag) -> Iterator[str]:
    for manifest in bag.manifests.values():
        yield from manifest.hashes


def _listed(bag: Bag) -> Iterator[Difference]:
    """Compare what is listed with what is there: every payload file in every manifest, every tag file in ours."""
    payload = {path for path in bag.found.files if path.startswith("data/")}
    tags = {path for path in bag.found.files if not path.startswith(("data/", "tagmanifest-"))}
    fetched = _fetched(bag)
    for prefix, manifests, there in (
        ("manifest", bag.manifests, payload),
        ("tagmanifest", bag.tag_manifests, tags),
    ):
        for algorithm, manifest in manifests.items():
            listed = {path for path in manifest.hashes if not leads_out(path)}
            for path in sorted(listed - bag.found.files):
                if path in fetched:
                    yield Difference(path, Kind.AWAY, algorithm, why="It is to be fetched, and was not.")
                else:
                    yield Difference(path, Kind.MISSING, algorithm, expected=manifest.hashes[path])
            if prefix == "manifest" or bag.ours:
                lost = {manifest.hashes[path]: path for path in listed - bag.found.files}
                for path in sorted(there - listed):
                    yield Difference(
                        path, Kind.NOT_LISTED, algorithm, why=_what_was_added(bag, path, algorithm, lost)
                    )


def _what_was_added(bag: Bag, path: str, algorithm: str, lost: Mapping[str, str]) -> str:
    """Say what a file that is not listed is, "" where that is not known.

    Args:
        lost: listed files that are not here, by their hash of this algorithm.
    """
    name = path.rpartition("/")[2]
    if name.lower() in _OF_FILE_MANAGERS or name.startswith("._"):
        return "A file manager leaves such a file by itself: delete it."
    if lost and algorithm in hashlib.algorithms_available:
        with suppress(OSError):  # one that cannot be read is told of as it is
            if was := lost.get(hash_path(bag.folder / path, (algorithm,))[algorithm]):
                return f"It holds what {was} held: give it that name again."
    return ""


def _fetched(bag: Bag) -> frozenset[str]:
    """Return the paths that fetch.txt of a bag from elsewhere lists. Source: RFC 8493, section 2.2.3."""
    if bag.ours:
        return frozenset()
    lines = bag.content("fetch.txt").decode("utf-8", "replace").splitlines()
    return frozenset(parts[2] for parts in (line.split(None, 2) for line in lines) if len(parts) == 3)


def _hashes(bag: Bag, prefix: str, manifests: Mapping[str, Manifest], meter: Meter) -> Iterator[Difference]:
    """Read every listed file once, and compare all its hashes."""
    known = [name for name in manifests if name in hashlib.algorithms_available]
    for name in sorted(set(manifests) - set(known)):
        yield Difference(f"{prefix}-{name}.txt", Kind.NOT_KNOWN, why="This program does not know this kind of hash.")
    listed = {path for name in known for path in manifests[name].hashes}
    for path in sorted(listed & bag.found.files):
        expected = {name: manifests[name].hashes[path] for name in known if path in manifests[name].hashes}
        try:
            found = hash_path(bag.folder / path, tuple(expected), meter)
        except OSError as error:
            yield Difference(path, Kind.CHANGED, found="", why=f"It cannot be read ({error.strerror}).")
            continue
        for name in expected:
            if found[name] != expected[name]:
                yield Difference(path, Kind.CHANGED, name, expected[name], found[name])


def _oxum(bag: Bag) -> Iterator[Difference]:
    said = bag.info.get("Payload-Oxum", "")
    if not said:
        return
    payload = [path for path in bag.found.files if path.startswith("data/")]
    octets = sum((bag.folder / path).stat().st_size for path in payload)
    found = f"{octets}.{len(payload)}"
    if not _OXUM.fullmatch(said) or said != found:
        yield Difference("bag-info.txt", Kind.LISTED_OTHERWISE, "Payload-Oxum", said, found)


def worst_first(differences: Iterable[Difference]) -> tuple[Difference, ...]:
    """Put differences in order of place, each once."""
    return tuple(sorted(set(differences), key=lambda one: (one.within, one.path, one.kind, one.algorithm, one.why)))
