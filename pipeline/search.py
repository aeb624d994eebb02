"""Finding entries, speech and parts by the words in them, over an index in the book's own database."""

import hashlib
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from pipeline.made_by import made_by
from pipeline.reading.fact import Stowage
from pipeline.reading.numbers import find_numbers
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Records
from pipeline.store import Store

_SCHEMA = """
DROP TABLE IF EXISTS words;
DROP TABLE IF EXISTS words_of;
CREATE VIRTUAL TABLE words USING fts5(
    made_from UNINDEXED, kind UNINDEXED, id UNINDEXED, day UNINDEXED, at UNINDEXED, text, also, tokenize='porter');
"""
_Row = tuple[str, str, str, str, str, str]
_NOT_KEPT = {
    "on": "on the aircraft",
    "off": "nobody said where it is kept",
    "refitted": "refitted",
    "replaced": "replaced by another one",
    "unknown": "nobody said where it is kept",
}


@dataclass(frozen=True)
class SearchHit:
    """Something found: "speech" or "part", its entry's id ("" if it is in none), its day, and its words."""

    kind: str
    entry: str
    day: str
    text: str


def index(store: Store, records: Records, vocabulary: Vocabulary) -> None:
    """Bring the index up to date: what is in it already stays, what is new comes in, what is no more goes."""
    db, program = store.connection, made_by()
    if not db.execute("SELECT 1 FROM pragma_table_info('words') WHERE name='made_from'").fetchone():
        db.executescript(f"BEGIN;{_SCHEMA}COMMIT;")
    held: dict[str, list[int]] = {}
    for number, made_from in db.execute("SELECT rowid, made_from FROM words"):
        held.setdefault(made_from, []).append(number)

    def new() -> Iterator[tuple[str, ...]]:
        for row in _rows(records, vocabulary):
            made_from = _mark((program, *row))
            there = held.get(made_from)
            if there:
                there.pop()
            else:
                yield (made_from, *_with_figures(row))

    with db:
        db.execute("BEGIN")
        db.executemany("INSERT INTO words VALUES (?,?,?,?,?,?,?)", new())  # a large book's are never all held at once
        db.executemany("DELETE FROM words WHERE rowid=?", ((one,) for ones in held.values() for one in ones))


def _mark(parts: Iterable[str]) -> str:
    """Return what stands for a row and the program that made it: a book has hundreds of thousands."""
    return hashlib.blake2b("\0".join(parts).encode("utf-8", "surrogatepass"), digest_size=16).hexdigest()


def _rows(records: Records, vocabulary: Vocabulary) -> Iterator[_Row]:
    """Yield the rows without the figures that speech tells in words, which are long to find and come from the row."""
    facts_of: dict[str, list[str]] = {}
    entry_of: dict[str, str] = {}
    for entry in records.entries:
        for utterance in entry.utterances:
            entry_of[utterance] = entry.id
        for fact in entry.facts:
            names = " ".join(_names(vocabulary, notation) for notation in (fact.item, fact.of) if notation)
            for utterance in fact.utterances:
                told = (names, fact.side or "", fact.tag or "", _kept(fact.stowage))
                facts_of.setdefault(utterance, []).append(" ".join(told))
    for one in records.utterances:
        also = " ".join([one.heard, *facts_of.get(one.id, ())])
        at = f"{one.start_at.isoformat()} {one.id}"
        yield "speech", entry_of.get(one.id, ""), one.start_at.date().isoformat(), at, one.read, also
    for part in records.lists.parts_off:
        kept = _kept(part.stowage)
        words = f"\u201c{part.kept_in_words}\u201d" if part.kept_in_words else ""
        name = " ".join(word for word in (part.side, part.position, vocabulary.preferred(part.item)) if word)
        said = f"{name}{f' ({part.tag})' if part.tag else ''}: {kept or words or _NOT_KEPT[part.state]}"
        last = part.life[-1]
        tags = " ".join(part.former_tags)
        yield "part", last.entry, last.on.isoformat(), "", said, f"{_names(vocabulary, part.item)} {tags}"


def _with_figures(row: _Row) -> _Row:
    """Return a row with the numbers that speech tells in words, in figures too: "bay two" is found by "bay 2"."""
    kind, entry, day, at, text, also = row
    numbers = find_numbers(text) if kind == "speech" else ()
    figures = (one.digits for one in numbers if one.digits and not text[one.start : one.end].isdigit())
    return kind, entry, day, at, text, " ".join((also, *figures))


def _kept(stowage: Stowage | None) -> str:
    """Return where something is kept as it is searched for: "rack 3, shelf top"."""
    held = stowage.model_dump(exclude_none=True) if stowage else {}
    return ", ".join(f"{where} {which}" for where, which in held.items())


def _names(vocabulary: Vocabulary, notation: str) -> str:
    part = vocabulary.part(notation)
    return notation if part is None else " ".join((part.preferred, *part.alternatives))


def find(store: Store, words: Sequence[str], most: int = 50) -> list[SearchHit]:
    """Return what holds all the words, best first, parts before speech.

    A part is found by any of its names. Words are matched by their stems, so "bolt" finds "bolts". A number is found
    in words and in figures.
    """
    known = store.connection.execute("SELECT 1 FROM sqlite_master WHERE name='words'").fetchone()
    query = _query(" ".join(words))
    if not known or not query:
        return []
    rows = store.connection.execute(
        "SELECT kind, id, day, text FROM words WHERE words MATCH ? ORDER BY kind, rank, day, id, at, text LIMIT ?",
        (query, most),
    )
    return [SearchHit(*row) for row in rows]


def _query(asked: str) -> str:
    """Return what is asked for in the words of the index: all of its words, numbers also as figures."""
    found, at = [], 0
    for number in find_numbers(asked):
        told = asked[number.start : number.end]
        if number.digits and not told.isdigit():
            found += [_all_of(asked[at : number.start]), f'("{number.digits}" OR ({_all_of(told)}))']
            at = number.end
    return " AND ".join(one for one in (*found, _all_of(asked[at:])) if one)


def _all_of(text: str) -> str:
    return " AND ".join(f'"{token}"' for token in re.findall(r"\w+", text))
