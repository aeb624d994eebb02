"""Whether a history is what was written, its signatures are good, and the records say what it says."""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from pipeline.history.chain import Break, read
from pipeline.history.events import DECISIONS, Event, touched
from pipeline.history.past import Past, past_of
from pipeline.history.signing import proof_of
from pipeline.history.versions import ReadEntry, WordsRead, version_of
from pipeline.records import EntryRecord, Records, UtteranceRecord
from pipeline.settings import Person

_CHANGES = DECISIONS | {"withdraw"}


def check_history(path: Path, records: Records | None = None, people: Sequence[Person] = ()) -> list[Break]:
    """Return every difference that is found; none for a book that is as it was written.

    Args:
        path: the history's file.
        records: those of the book, to be held against it; None to look at the history alone.
        people: the team, with the keys that they sign with.
    """
    chain = read(path)
    past = past_of(chain.events)
    return [
        *chain.breaks,
        *check_signatures(past.acts, people),
        *(check_records(past, records) if records is not None else ()),
    ]


def check_signatures(acts: Iterable[Event], people: Sequence[Person]) -> Iterator[Break]:
    """Yield every signature by a key that is not good; a typed name claims nothing that could be proved."""
    for act in acts:
        if act.act != "sign":
            continue
        proof, key = proof_of(act, people), str(act.after.get("key", ""))
        if proof == "not-valid":
            what = f"the signature of {act.who} on {act.on} is not made by this key over what it names"
            yield Break(f"line {act.n}", what, "a signature that fits", f"one that does not, key {key}")
        elif proof == "key-not-listed":
            listed = next((one.key for one in people if one.name == act.who), "") or "no key"
            what = f"{act.who} signed {act.on} with a key that book.toml does not list"
            yield Break(f"line {act.n}", what, listed, key)


def check_records(past: Past, records: Records) -> Iterator[Break]:
    """Yield every entry of the records that does not say what its version or the history says.

    An entry that somebody has decided on since the records were written is passed over: the next run brings it up to
    date.
    """
    said = {one.id: one for one in records.utterances}
    stands = past.stands()
    for entry in records.entries:
        found = version_of(ReadEntry(entry=entry, words=tuple(_words(entry, said))))
        if entry.version and found != entry.version:
            yield Break(f"entry {entry.id}", "it says something else than its version", entry.version, found)
            continue
        last = max((one.number for one in entry.decided), default=0)
        if any(act.n > last and act.act in _CHANGES and entry.id in touched(act) for act in past.acts):
            continue
        now = stands.get(entry.id)
        if now is None or now.version != entry.version:
            expected = "no such entry" if now is None else now.version
            yield Break(f"entry {entry.id}", "the history says something else", expected, found)


def _words(entry: EntryRecord, said: dict[str, UtteranceRecord]) -> Iterator[WordsRead]:
    for one in entry.utterances:
        if one in said:
            held = said[one]
            yield WordsRead(id=held.id, start_s=held.start_s, end_s=held.end_s, heard=held.heard, read=held.read)
