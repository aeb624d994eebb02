"""Lines of the registers' page for fasteners, disconnections, findings and owed work."""

from collections.abc import Sequence
from typing import NamedTuple

from pipeline.english import capital, short_date
from pipeline.records import DisconnectionLine, FastenerLine, FindingLine, ToDo
from pipeline.writing import standing_wording as words
from pipeline.writing.measures import measure_text
from pipeline.writing.terms import Terms
from pipeline.writing.wording import part_text

FASTENERS = ("Joint", "Held by", "Expected", "Undone", "Drilled out", "Bagged", "Back in", "Faulty", "Difference")
DISCONNECTIONS = ("Service", "At", "Parted on", "Blanked", "Label", "Connected", "Second inspection")
FINDINGS = ("Part", "Seen on", "Finding", "Size", "Before", "Followed up")
TO_DO = ("Work", "Said on", "Age", "Waits for", "In the speaker\u2019s words")

_MOST_BEFORE = 12  # tellings of one condition that its line shows; the records hold them all
NOTES = {
    "fasteners": "Numbers are as they were told. The aircraft\u2019s manuals say how many there should be.",
    "disconnections": "\u201cSecond inspection\u201d marks flight and engine controls, for which it is common "
    "practice. This page does not say that one was made: the manuals, the local rules and the people authorised "
    "under them say what must be inspected, and by whom.",
    "findings": "The worst come first in each zone and place. That is an order to read in, not a verdict: what may "
    "stay, and how it is mended, is for the manuals and for authorised people.",
}
"""What a reader should know before relying on a list."""


class Section(NamedTuple):
    """One line: its cells, what is to be asked, the ids of its entries, and the heading that it stands under."""

    cells: tuple[str, ...]
    questions: tuple[str, ...]
    entries: tuple[str, ...]
    group: str = ""


def fastener_line(line: FastenerLine, terms: Terms) -> Section:
    """Return one joint and kind of fastener."""
    kind = words.fasteners_text(line, terms)
    numbers = f" ({', '.join(line.part_numbers)})" if line.part_numbers else ""
    back = [
        (words.number_text(line, name), word) for name, word in (("fitted", "fitted"), ("tightened", "tightened"))
    ]
    faulty = [(words.number_text(line, name), name) for name in ("missing", "broken")]
    return Section(
        (
            words.joint_text(line, terms),
            kind + numbers,
            words.expected_text(line),
            words.number_text(line, "undone"),
            words.number_text(line, "drilled_out"),
            words.bagged_text(line),
            ", ".join(f"{number} {word}" for number, word in back if number),
            ", ".join(f"{number} {word}" for number, word in faulty if number),
            words.difference_text(line),
        ),
        tuple(words.fasteners_question(one, line, terms) for one in line.questions),
        words.entries_of(line.moves),
    )


def disconnection_line(line: DisconnectionLine, terms: Terms) -> Section:
    """Return one service or control that was parted."""
    tag = line.tag or ("labelled" if line.tagged_on else "")
    return Section(
        (
            words.service_text(line, terms),
            words.parted_at_text(line, terms),
            short_date(line.disconnected_on),
            words.blank_text(line, short_date(line.blanked_on)),
            tag,
            short_date(line.connected_on),
            words.second_inspection_text(line),
        ),
        tuple(words.question_text(one) for one in line.questions),
        words.entries_of(line.moves),
    )


def finding_line(line: FindingLine, found: str, terms: Terms) -> Section:
    """Return one condition: as last seen, with the last tellings before and how many more, and what was done since.

    Args:
        line: the condition.
        found: its name as the register has it, without the words that lead on to the part.
        terms: the vocabulary.
    """
    before = [words.observation_text(one, line.finding, short_date(one.on)) for one in line.seen[:-1]]
    if (more := len(before) - _MOST_BEFORE) > 0:
        before = [f"{more} earlier", *before[more:]]
    last = line.seen[-1].on if line.seen else line.on
    published = words.published_grade(line).partition(":")[0]
    differs = published and published != line.grade
    return Section(
        (
            capital(
                part_text(
                    line.item, line.side, line.place, terms, article=False, position=line.position, called=line.called
                )
            )
            or "(part not named)",
            short_date(last),
            f"{found} (published guidance says \u201c{published}\u201d)" if differs else found,
            ", ".join(measure_text(each) for each in line.measure or ()),
            "; ".join(before),
            words.follow_up_text(line, [short_date(move.on) for move in line.done], terms),
        ),
        tuple(words.question_text(one) for one in line.questions),
        words.entries_of_finding(line),
        words.group_text(line),
    )


def _left_undone(line: ToDo) -> str:
    if line.owed_since:
        return f" (left undone on {short_date(line.owed_since)})"
    return " (left undone)" if line.status == "not-done" else ""


def to_do_line(line: ToDo, terms: Terms) -> Section:
    """Return one piece of work that is still owed."""
    return Section(
        (
            words.work_text(line, terms) + _left_undone(line),
            short_date(line.said_on),
            words.age_text(line.age_days),
            "; ".join(words.waits_text(one, terms) for one in line.waits_for),
            f"\u201c{line.words}\u201d",
        ),
        (),
        tuple(dict.fromkeys((line.entry, *(one.entry for one in line.waits_for)))),
    )


def grouped(lines: Sequence[Section]) -> list[Section]:
    """Leave headings out where all lines stand under one: it would tell nothing."""
    return [line._replace(group="") for line in lines] if len({line.group for line in lines}) < 2 else list(lines)
