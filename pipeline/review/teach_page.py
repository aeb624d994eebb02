"""A word to be taught, as a page shows it: first what else it would change, then the teaching itself."""

from collections.abc import Mapping
from dataclasses import dataclass

from pipeline.history.decisions import withdrawn
from pipeline.history.past import Past
from pipeline.reading.vocabulary import Vocabulary
from pipeline.review.fact_form import notation_of
from pipeline.trade.lessons import Lesson, lesson_of
from pipeline.writing.terms import term


@dataclass(frozen=True)
class TaughtWord:
    """One word that the book was taught, and the number of the act."""

    number: int
    who: str
    heard: str
    means: str


def lesson_in(fields: Mapping[str, str], vocabulary: Vocabulary) -> Lesson:
    """Return what a form teaches; its part is a name of one. Raises WrongCommand as ``lesson_of``."""
    name = fields.get("part", "").strip()
    part = notation_of(name, vocabulary) if name else ""
    return lesson_of(vocabulary, fields.get("heard", ""), fields.get("means", ""), part)


def part_name(lesson: Lesson, vocabulary: Vocabulary) -> str:
    """Return the name of a lesson's part as a form shows it, "" for none."""
    return term(vocabulary, lesson.part) if lesson.part else ""


def taught_words(past: Past) -> tuple[TaughtWord, ...]:
    """Return what people taught the book, and nobody took back, the newest first."""
    gone = withdrawn(past.acts)
    return tuple(
        TaughtWord(act.n, act.who, str(act.after["heard"]), str(act.after["means"]))
        for act in reversed(past.acts)
        if act.act == "teach" and act.n not in gone
    )
