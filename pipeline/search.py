"""Finding entries, speech and parts by the words in them, over an index in the book's own database."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Records
from pipeline.store import Store, fingerprint

_SCHEMA = """
DROP TABLE IF EXISTS words;
CREATE VIRTUAL TABLE words USING fts5(kind UNINDEXED, id UNINDEXED, day UNINDEXED, text, also, tokenize='porter');
CREATE TABLE IF NOT EXISTS words_of (key TEXT);
DELETE FROM words_of;
"""
_NOT_KEPT = {
    "on": "on the aircraft",
    "off": "nobody said where it is kept",
    "refitted": "refitted",
    "unknown": "nobody said where it is kept",
}


@dataclass(frozen=True)
class Hit:
    """Something found: "speech" or "part", its entry's id ("" if it is in none), its day, and its words."""

    kind: str
    entry: str
    day: str
    text: str


def index(store: Store, records: Records, vocabulary: Vocabulary) -> None:
    """Make the index anew, if anything in the records has changed since it was made."""
    key = fingerprint(records)
    db = store.connection
    known = db.execute("SELECT 1 FROM sqlite_master WHERE name='words_of'").fetchone()
    if known and db.execute("SELECT 1 FROM words_of WHERE key=?", (key,)).fetchone():
        return
    db.executescript("BEGIN;" + _SCHEMA)
    db.executemany("INSERT INTO words VALUES (?,?,?,?,?)", _rows(records, vocabulary))
    db.execute("INSERT INTO words_of VALUES (?)", (key,))
    db.execute("COMMIT")


def _rows(records: Records, vocabulary: Vocabulary) -> Iterable[tuple[str, str, str, str, str]]:
    facts_of: dict[str, list[str]] = {}
    entry_of: dict[str, str] = {}
    for entry in records.entries:
        for utterance in entry.utterances:
            entry_of[utterance] = entry.id
        for fact in entry.facts:
            names = " ".join(_names(vocabulary, notation) for notation in (fact.item, fact.of) if notation)
            for utterance in fact.utterances:
                facts_of.setdefault(utterance, []).append(f"{names} {fact.side or ''} {fact.tag or ''}")
    for one in records.utterances:
        also = " ".join([one.heard, *facts_of.get(one.id, ())])
        yield "speech", entry_of.get(one.id, ""), one.start_at.date().isoformat(), one.read, also
    for part in records.lists.parts_off:
        stowage = part.stowage.model_dump(exclude_none=True) if part.stowage else {}
        kept = ", ".join(f"{where} {which}" for where, which in stowage.items())
        name = " ".join(word for word in (part.side, vocabulary.preferred(part.item)) if word)
        said = f"{name}{f' ({part.tag})' if part.tag else ''}: {kept or _NOT_KEPT[part.state]}"
        last = part.life[-1]
        tags = " ".join(part.former_tags)
        yield "part", last.entry, last.on.isoformat(), said, f"{_names(vocabulary, part.item)} {tags}"


def _names(vocabulary: Vocabulary, notation: str) -> str:
    part = vocabulary.part(notation)
    return notation if part is None else " ".join((part.preferred, *part.alternatives))


def find(store: Store, words: Sequence[str], most: int = 50) -> list[Hit]:
    """Return what holds all the words, best first, parts before speech.

    A part is found by any of its names. Words are matched by their stems, so "bolt" finds "bolts".
    """
    known = store.connection.execute("SELECT 1 FROM sqlite_master WHERE name='words'").fetchone()
    asked = [token for word in words for token in re.findall(r"\w+", word)]
    if not known or not asked:
        return []
    query = " ".join(f'"{token}"' for token in asked)
    rows = store.connection.execute(
        "SELECT kind, id, day, text FROM words WHERE words MATCH ? ORDER BY kind, rank, day, id LIMIT ?",
        (query, most),
    )
    return [Hit(*row) for row in rows]
