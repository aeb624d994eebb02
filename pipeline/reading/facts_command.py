"""The fact reader alone: lines of notes in, lines of facts out."""

import json
from collections.abc import Iterable, Iterator

from pipeline.json_lines import Line, read_json_lines
from pipeline.reading.fact import Fact
from pipeline.reading.reader import Reader


class _Note(Line):
    text: str
    pauses: tuple[int, ...] = ()


def read_lines(lines: Iterable[str], reader: Reader, name: str, explain: bool = False) -> Iterator[str]:
    """Yield a line {"id", "facts"} for every line {"id", "text"}; empty lines are passed over.

    Args:
        lines: JSON Lines; a note may have "pauses", the positions of the characters before which the speaker paused.
        reader: reads the notes.
        name: the file's name as the user gave it, for messages.
        explain: with the words, the rule, what was inferred, how sure it is and what to check in each fact.

    Raises:
        WrongCommand: a line is not a note; the message names it. Nothing is yielded then.
    """
    notes = list(read_json_lines(lines, _Note, name))
    plain = not any(note.pauses for note in notes)
    read = (
        reader.read_many(note.text for note in notes)
        if plain
        else (reader.read(note.text, note.pauses) for note in notes)
    )
    for note, facts in zip(notes, read, strict=True):
        marked = [_explained(fact, note.text) if explain else fact.as_marked() for fact in facts]
        yield json.dumps({"id": note.id, "facts": marked}, ensure_ascii=False)


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
