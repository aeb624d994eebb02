"""The fact reader alone: lines of notes in, lines of facts out."""

import json
from collections.abc import Iterable, Iterator
from typing import Any

from pipeline.errors import WrongCommand
from pipeline.reading.fact import Fact
from pipeline.reading.reader import Reader


def read_lines(lines: Iterable[str], reader: Reader, name: str, explain: bool = False) -> Iterator[str]:
    """Yield a line {"id", "facts"} for every line {"id", "text"}; empty lines are passed over.

    Args:
        lines: JSON Lines; a note may have "pauses", the positions of the characters before which the speaker paused.
        reader: reads the notes.
        name: the file's name as the user gave it, for messages.
        explain: with the words, the rule and what was inferred in each fact.

    Raises:
        WrongCommand: a line is not a note; the message names it. Nothing is yielded then.
    """
    notes = [_note(line, f"{name}, line {number}") for number, line in enumerate(lines, start=1) if line.strip()]
    plain = all("pauses" not in note for note in notes)
    read = reader.read_many(note["text"] for note in notes) if plain else (_read(reader, note) for note in notes)
    for note, facts in zip(notes, read, strict=True):
        marked = [_explained(fact, note["text"]) if explain else fact.as_marked() for fact in facts]
        yield json.dumps({"id": note["id"], "facts": marked}, ensure_ascii=False)


def _read(reader: Reader, note: dict[str, Any]) -> tuple[Fact, ...]:
    return reader.read(note["text"], note.get("pauses", ()))


def _note(line: str, where: str) -> dict[str, Any]:
    try:
        note = json.loads(line)
    except json.JSONDecodeError as bad:
        raise WrongCommand(f"{where}: is not JSON ({bad.msg} at character {bad.colno}); one note a line") from bad
    if not isinstance(note, dict):
        raise WrongCommand(f'{where}: is not an object; write {{"id": "…", "text": "…"}}')
    for key in ("id", "text"):
        if not isinstance(note.get(key), str):
            raise WrongCommand(f'{where}: has no text in "{key}"; write {{"id": "…", "text": "…"}}')
    pauses = note.get("pauses", [])
    if not isinstance(pauses, list) or not all(type(pause) is int for pause in pauses):
        raise WrongCommand(f'{where}: "pauses" is not a list of whole numbers')
    return note


def _explained(fact: Fact, text: str) -> dict[str, object]:
    first, last = fact.words
    return {
        **fact.as_marked(),
        "words": [first, last],
        "said": text[first:last],
        "rule": fact.rule,
        "inferred": dict(fact.inferred),
    }
