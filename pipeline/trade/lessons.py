"""Words that people teach a book: what is meant where something was heard, and names of the team's own for parts."""

import csv
import io
import re
from pathlib import Path
from typing import NamedTuple

from pipeline.errors import WrongCommand
from pipeline.hearing.evidence import NUMBERS, SMALL_WORDS
from pipeline.hearing.heard_text import name_words
from pipeline.reading.vocabulary import Vocabulary
from pipeline.trade.entries import Taught
from pipeline.trade.lists import LISTS, said_as

_HEAD = (
    "# What this team taught: whenever the first is heard, the second is read; part: the notation of the part that\n"
    "# it is a name of, empty where it is a name already. Delete a line to take it back.\n"
)
_MOST_WORDS = 6
_PLAIN = re.compile(r"[^\W_][\w '\u2019./-]*")


class Lesson(NamedTuple):
    """What is taught: where ``heard`` is heard, ``means`` is read; a new name of ``part``, "" where it is known."""

    heard: str
    means: str
    part: str = ""


def lesson_of(vocabulary: Vocabulary, heard: str, means: str, part: str = "") -> Lesson:
    """Return a lesson that the vocabulary can take.

    Args:
        vocabulary: everything that is known already.
        heard: the words that the recogniser heard.
        means: the words that were said.
        part: the notation of the part that these are a name of, "" where they are known or are no part.

    Raises:
        WrongCommand: it is taught already, it would take another name's place, or there is nothing to teach.
    """
    heard, means = _plain(heard).lower(), _plain(means)
    if any(name_words(heard) == name_words(one.heard) for one in vocabulary.taught):
        raise WrongCommand(f"“{heard}” was taught already. It is in the book's vocab/taught.csv.")
    owners = {said_as(one.text): one.notation for one in vocabulary.names()}
    if part and vocabulary.part(part) is None:
        raise WrongCommand(f"There is no part '{part}'. Pick one from the list.")
    owner = owners.get(said_as(means), "")
    if part and owner and owner != part:
        raise WrongCommand(f"“{means}” is a name of “{vocabulary.preferred(owner)}” already. Teach another name.")
    part = "" if owner else part
    if name_words(heard) == name_words(means):
        if not part:
            raise WrongCommand("What was heard and what is meant are the same: there is nothing to teach.")
    elif said_as(heard) in owners:
        named = vocabulary.preferred(owners[said_as(heard)])
        raise WrongCommand(f"“{heard}” is a name of “{named}”, and would no longer be read as that. Take more words.")
    elif all(word in SMALL_WORDS or word in NUMBERS or word.isdigit() for word in name_words(heard)):
        raise WrongCommand(f"“{heard}” is said too often to be taught as something else. Take more words with it.")
    return Lesson(heard, means, part)


def with_lesson(vocabulary: Vocabulary, lesson: Lesson) -> Vocabulary:
    """Return a vocabulary as it would be with a lesson, without any file."""
    held = {name: getattr(vocabulary, name) for name in Vocabulary.model_fields}
    name = lesson.means.lower()
    held["taught"] = tuple(sorted((*vocabulary.taught, Taught(**lesson._asdict())), key=lambda one: one.heard))
    held["parts"] = tuple(
        one.model_copy(update={"alternatives": tuple(dict.fromkeys((*one.alternatives, name)))})
        if one.notation == lesson.part
        else one
        for one in vocabulary.parts
    )
    return Vocabulary(**held)


def add_lesson(folder: Path, vocabulary: Vocabulary, lesson: Lesson) -> tuple[Path, int]:
    """Add a lesson to the list of them in a folder; the list is made where there is none.

    Args:
        folder: the book's own vocabulary.
        vocabulary: everything that is known already, the folder's own lists included.
        lesson: what is taught.

    Returns:
        The file, and the line of the new row.

    Raises:
        WrongCommand: as ``lesson_of``.
    """
    lesson = lesson_of(vocabulary, *lesson)
    file = folder / "taught.csv"
    columns = LISTS["taught"]
    text = file.read_text(encoding="utf-8-sig") if file.exists() else _HEAD + ",".join(columns) + "\n"
    text += "" if text.endswith("\n") else "\n"
    if ",".join(columns) not in text.replace(" ", "").lower().splitlines():
        raise WrongCommand(f"{file}: its columns must be {', '.join(columns)}, in this order, for a lesson to go in.")
    line = io.StringIO()
    csv.writer(line, lineterminator="\n").writerow(lesson)
    folder.mkdir(parents=True, exist_ok=True)
    beside = file.with_name("taught.csv.new")
    beside.write_text(text + line.getvalue(), encoding="utf-8")
    beside.replace(file)
    return file, len((text + line.getvalue()).splitlines())


def drop_lesson(folder: Path, heard: str) -> None:
    """Take what was taught of some words out of the list in a folder; nothing where it is not there any more."""
    file = folder / "taught.csv"
    if not file.exists():
        return
    lines = file.read_text(encoding="utf-8-sig").splitlines()
    kept = [line for line in lines if next(csv.reader([line]), [])[:1] != [heard]]
    beside = file.with_name("taught.csv.new")
    beside.write_text("".join(f"{line}\n" for line in kept), encoding="utf-8")
    beside.replace(file)


def _plain(text: str) -> str:
    plain = " ".join(text.split())
    words = name_words(plain)
    if not words or not _PLAIN.fullmatch(plain):
        raise WrongCommand(f"“{plain}” cannot be taught: write plain words, as they are said.")
    if len(words) > _MOST_WORDS:
        raise WrongCommand(f"“{plain}” is more than {_MOST_WORDS} words: teach the words that matter.")
    return plain
