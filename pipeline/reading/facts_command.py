"""The fact reader alone: lines of notes in, lines of facts out."""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from pipeline.errors import ItemFault, RunFault
from pipeline.executors import Processes, worked_with
from pipeline.json_lines import Line, read_json_lines
from pipeline.reading.fact import Fact
from pipeline.reading.note_reader import NoteReader

# So many notes are worth the seconds that it takes to begin another process; each is given so many at a time.
WORTH_A_PROCESS, SHARE = 2_000, 500


class _Note(Line):
    text: str
    pauses: tuple[int, ...] = ()


@dataclass(frozen=True)
class _Share:
    """So many of the notes, the ``at``-th such share, as a task for another process."""

    at: int
    make: partial[list[str]]


def read_lines(
    lines: Iterable[str], reader: NoteReader, name: str, explain: bool = False, jobs: int = 1
) -> Iterator[str]:
    """Yield a line {"id", "facts"} for every line {"id", "text"}; empty lines are passed over.

    Args:
        lines: JSON Lines; a note may have "pauses", the positions of the characters before which the speaker paused.
        reader: reads the notes.
        name: the file's name as the user gave it, for messages.
        explain: with the words, the rule, what was inferred, how sure it is and what to check in each fact, and
            "unlisted", the names of what seem to be parts that no list has.
        jobs: over so many processes many notes are shared out.

    Raises:
        WrongCommand: a line is not a note; the message names it. Nothing is yielded then.
        RunFault: reading some notes ends the process that reads them.
    """
    notes = list(read_json_lines(lines, _Note, name))
    if jobs < 2 or len(notes) < WORTH_A_PROCESS:
        yield from _read(notes, reader, explain)
        return
    shares = [
        _Share(at, partial(_read_here, notes[start : start + SHARE], explain))
        for at, start in enumerate(range(0, len(notes), SHARE))
    ]
    yield from _in_order(shares, Processes(jobs, (NoteReader, (reader.vocabulary,))), name)


def _in_order(shares: Sequence[_Share], processes: Processes, name: str) -> Iterator[str]:
    early: dict[int, list[str]] = {}
    wanted = 0
    for share, result in processes.results(shares):
        if isinstance(result, ItemFault):
            raise RunFault(f"{name}, notes {share.at * SHARE + 1} and on: {result.why}")
        if isinstance(result, BaseException):
            raise result
        early[share.at] = result
        while wanted in early:
            yield from early.pop(wanted)
            wanted += 1


def _read_here(notes: Sequence[_Note], explain: bool) -> list[str]:
    return list(_read(notes, worked_with(), explain))


def _read(notes: Sequence[_Note], reader: NoteReader, explain: bool) -> Iterator[str]:
    read = reader.read_notes((note.text, note.pauses) for note in notes)
    for note, found in zip(notes, read, strict=True):
        out: dict[str, object] = {
            "id": note.id,
            "facts": [_explained(fact, note.text) if explain else fact.as_marked() for fact in found.facts],
        }
        if explain:
            out["unlisted"] = [one.name for one in found.unlisted]
        yield json.dumps(out, ensure_ascii=False)


def _explained(fact: Fact, text: str) -> dict[str, object]:
    first, last = fact.words
    return {
        **fact.as_marked(),
        "words": [first, last],
        "span": text[first:last],
        "rule": fact.rule,
        "inferred": dict(fact.inferred),
        "confidence": fact.confidence,
        "check": list(fact.doubts),
    }
