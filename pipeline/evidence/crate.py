"""What a bag holds, told as RO-Crate 1.1: files, the people by role, the programs, and what was made from what.

Source: RO-Crate Metadata Specification 1.1 (researchobject.org): 2 (structure), 4 (root and descriptor), 5 (data
entities, with paths as URIs), 7.2 (people), 10.2 (software as instrument); the crate is the data/ folder, as its
appendix on BagIt has it. From memory, and read back by another program in the tests.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from urllib.parse import quote

from pipeline.evidence.payload import DATA, RECORDS_FILE, Packed
from pipeline.settings import Person, Settings

_CONTEXT = "https://w3id.org/ro/crate/1.1/context"
_PROFILE = "https://w3id.org/ro/crate/1.1"
_FORMATS = {
    ".csv": "text/csv",
    ".html": "text/html",
    ".json": "application/json",
    ".jsonl": "application/jsonl",
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".toml": "application/toml",
    ".ttl": "text/turtle",
    ".vtt": "text/vtt",
}
_ABOUT = {
    "out/records.json": "Everything that was read from the originals, as data",
    "out/logbook/index.html": "The logbook: start here",
    "out/way-back.html": "The order of putting together again",
    "book.toml": "The settings of the book",
    "history.jsonl": "Every act of people and program on the book, each line bound to the one before",
    "originals.json": "Every original: its hash, its place in the bag, and the paths at which it was found",
    "made-with.json": "The programs, their versions and the speech model",
    "vocabulary/vocabulary.ttl": "The vocabulary that the speech was read with, as SKOS",
}
Entity = dict[str, Any]


def crate_json(
    settings: Settings,
    hashes: Mapping[str, tuple[str, int]],
    originals: Sequence[Packed],
    media: Mapping[str, Mapping[str, Any]],
    program: str,
    made: Mapping[str, str],
) -> bytes:
    """Return ``ro-crate-metadata.json``.

    Args:
        settings: the book's; of its people only those who have consented are named, the others told by role.
        hashes: SHA-256 and size in bytes of the files in this bag, by path in the bag.
        originals: the book's originals.
        media: the records' media by id.
        program: name and version of this program.
        made: ``published`` (RFC 3339), ``first`` and ``last`` day (ISO 8601), ``name`` of the bag, ``before`` it.
    """
    people = list(_people(settings.people))
    of_media = {one.place: media.get(f"sha256:{one.sha256}", {}) for one in originals}
    files = [_file(path, *hashes[path], of_media.get(path, {})) for path in sorted(hashes)]
    root = _root(settings, made, [_ref(file) for file in files], [_ref(person) for person in people])
    software = {
        "@id": "#saidseen",
        "@type": "SoftwareApplication",
        "name": program.split(" ")[0],
        "softwareVersion": program.partition(" ")[2],
    }
    rights = {"@id": "#rights", "@type": "CreativeWork", "name": "Rights", "description": "No licence was given."}
    graph = [_descriptor(), root, *files, *people, software, rights]
    if made["before"]:
        graph.append({"@id": "#bag-before", "@type": "CreativeWork", "name": made["before"]})
    if RECORDS_FILE in hashes:
        graph.append(_making(hashes, originals))
    return (json.dumps({"@context": _CONTEXT, "@graph": graph}, indent=1, sort_keys=True) + "\n").encode()


def _descriptor() -> Entity:
    return {
        "@id": "ro-crate-metadata.json",
        "@type": "CreativeWork",
        "conformsTo": {"@id": _PROFILE},
        "about": {"@id": "./"},
    }


def _root(settings: Settings, made: Mapping[str, str], parts: list[Entity], people: list[Entity]) -> Entity:
    root: Entity = {
        "@id": "./",
        "@type": "Dataset",
        "name": f"{settings.aircraft.name}: record of work, {made['name']}",
        "description": "What was said and seen while an aircraft was taken apart and put together: the photos, sound "
        "and film, and the working record made from them. It certifies nothing.",
        "identifier": made["name"],
        "datePublished": made["published"],
        "license": {"@id": "#rights"},
        "hasPart": parts,
    }
    if people:
        root["contributor"] = people
    if made["first"]:
        root["temporalCoverage"] = f"{made['first']}/{made['last']}"
    if made["before"]:
        root["isBasedOn"] = {"@id": "#bag-before"}
    return root


def _people(people: Sequence[Person]) -> Iterator[Entity]:
    for number, person in enumerate(people, start=1):
        yield {
            "@id": f"#person-{number}",
            "@type": "Person",
            "name": person.public_name or person.role,
            "jobTitle": person.role,
        }


def _file(path: str, sha256: str, size: int, media: Mapping[str, Any]) -> Entity:
    inside = path.removeprefix(DATA)
    ending = "." + inside.rpartition(".")[2].lower()
    file: Entity = {
        "@id": file_id(path),
        "@type": "File",
        "name": _ABOUT.get(inside, inside.rpartition("/")[2]),
        "contentSize": str(size),
        "sha256": sha256,
        "encodingFormat": media.get("content_type") or _FORMATS.get(ending, "application/octet-stream"),
    }
    if media.get("taken_at"):
        file["dateCreated"] = media["taken_at"]
    return file


def file_id(path: str) -> str:
    """Return the URI of a file of the bag, from the crate's root; whatever a URI cannot hold is encoded."""
    return quote(path.removeprefix(DATA), safe="/-._~")


def _making(hashes: Mapping[str, tuple[str, int]], originals: Sequence[Packed]) -> Entity:
    return {
        "@id": "#reading",
        "@type": "CreateAction",
        "name": "The originals were heard, read and matched",
        "instrument": {"@id": "#saidseen"},
        "object": [{"@id": file_id(one.place)} for one in originals if one.place in hashes],
        "result": {"@id": file_id(RECORDS_FILE)},
    }


def _ref(entity: Entity) -> Entity:
    return {"@id": entity["@id"]}
