"""Supports in words: what is held, by what, until when, and what should be asked about it."""

from collections.abc import Callable
from datetime import date

from pipeline.english import capital, listed, plural
from pipeline.records import SupportLine, SupportQuestion
from pipeline.writing.terms import Terms, term
from pipeline.writing.wording import act_words, part_text, place_text

_QUESTIONS: dict[SupportQuestion, str] = {
    "may-be-gone": "The words may tell that it was taken away: listen, and check what stands there.",
    "moved-on": "It was moved: nobody said what it stands on since.",
    "came-off": "It came off since, and nobody said what it stands on now.",
    "gear-moved": "Gear like this was taken away or moved, and nobody said from where: check what stands there.",
    "fitted-since": "It was fitted since, and nobody said that it no longer hangs there: check what holds it.",
    "never-told": "It was said to be taken away, and nobody had said that it was put there: check what stands there.",
}


def supported_text(line: SupportLine, terms: Terms) -> str:
    """Return what is held up, with its side and place: "Rear fuselage at frame 12"."""
    part = (
        part_text(line.item, line.side, line.place, terms, article=False, position=line.position)
        if line.item
        else place_text(line.place)
    )
    return capital(part) or "(part not named)"


def gear_text(line: SupportLine, terms: Terms) -> str:
    """Return the lifting gear that was named: "trestles and straps", "" where none was."""
    return listed([plural(term(terms, one)) for one in line.by])


def ended_text(line: SupportLine, day: Callable[[date | None], str]) -> str:
    """Return the day on which it ended and how: "15 Feb 2026, lowered"; "" while it stands."""
    if line.until is None:
        return ""
    how = "" if "may-be-gone" in line.questions else f", {act_words(line.ended_by).past}"
    return f"{day(line.until.date())}{how}"


def question_text(question: SupportQuestion) -> str:
    """Return what should be asked about a support."""
    return _QUESTIONS[question]
