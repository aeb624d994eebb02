"""What a supporters' report leaves out and why: for the editor alone, and never a file among those that go out."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

from pipeline.records import Records
from pipeline.settings import Settings
from pipeline.writing.supporters.days_known import of_known_days
from pipeline.writing.supporters.edits import Editor, Photos
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.public_files import let_out
from pipeline.writing.supporters.report import looks_of_copies, report_files, report_name
from pipeline.writing.supporters.withheld import STRANGER, Watch, Withheld
from pipeline.writing.supporters.year import plan_year
from pipeline.writing.terms import Terms
from pipeline.writing.viewing_copies import Makers

_SAID = "said, and not told"


class Checked(NamedTuple):
    """What a report leaves out, in order; why it is not written at all, "" where it is; and what stands in it.

    ``pictures`` are (file in the report, the photo's name, caption), by number; ``told`` is what came of the
    editor's wishes.
    """

    withheld: tuple[Withheld, ...]
    fault: str
    name: str = ""
    pictures: tuple[tuple[str, str, str], ...] = ()
    told: tuple[str, ...] = ()


def report_check(
    records: Records,
    settings: Settings,
    vocabulary: Terms,
    out: Path,
    first: date,
    last: date,
    makers: Makers,
    *,
    year: bool = False,
) -> Checked:
    """Return what the report of a period leaves out and why, without writing anything.

    First what the plan left out, then what the last look took out of the pages, what remains in spite of it, and what
    was said in the period that could not be told.

    Args:
        records: everything that the book holds.
        settings: the team, what to withhold, what has been released.
        vocabulary: terms and their explanations.
        out: the book's ``out`` folder.
        first: the first day, in the book's time zone.
        last: the last day.
        makers: make the pictures that have no viewing copy yet.
        year: the report is the summary of the year that the days are.
    """
    name = f"{first.year}" if year else report_name(first, last)
    editor = Editor(settings, of_known_days(records), name, first, last)
    asked = editor.asked(vocabulary, looks_of_copies(out))
    story = plan_year(asked) if year else plan(asked)
    watch = Watch(settings, vocabulary, records)
    story, told = editor.edited(story, watch.reasons)
    files, _, kept_back = report_files(story, records, out, makers)
    public = let_out(files, watch)
    said = _said(records, settings, watch, first, last)
    found = (*story.withheld, *kept_back, *public.withheld, *public.remains, *said)
    photos = Photos(records)
    pictures = tuple(sorted((one.file, photos.name_of(one.media), one.caption) for one in story.pictures))
    return Checked(tuple(dict.fromkeys(found)), public.fault, editor.name, pictures, told)


def check_lines(checked: Checked) -> Sequence[tuple[str, str, str]]:
    """Return the lines of the list as (why, what, where), what is alike together, the most frequent reason last."""
    lines = [(one.why, " ".join(one.what.split()), one.where) for one in _names_together(checked.withheld)]
    number = Counter(why for why, _, _ in lines)
    return sorted(lines, key=lambda line: (number[line[0]], line[0]))


def _names_together(withheld: Sequence[Withheld]) -> Iterator[Withheld]:
    """Yield what was withheld, the strangers of one text as one: "St Bridget's" is two words, and one name."""
    names: dict[tuple[str, str], list[str]] = {}
    for one in withheld:
        if one.why.startswith(STRANGER):
            names.setdefault((one.what, one.where), []).append(one.why.removeprefix(STRANGER))
    for one in withheld:
        if not one.why.startswith(STRANGER):
            yield one
        elif own := names.pop((one.what, one.where), None):
            yield Withheld(one.what, f"{STRANGER}{', '.join(own)}", one.where)


def _said(records: Records, settings: Settings, watch: Watch, first: date, last: date) -> list[Withheld]:
    heard_in = {one: entry.id for entry in records.entries for one in entry.utterances}
    days = {one.id for one in records.utterances if first <= one.start_at.astimezone(settings.zone).date() <= last}
    said = [one for one in records.utterances if one.id in days]
    watch.look_ahead(one.read for one in said)
    return [
        Withheld(one.read, why, f"{_SAID}, {heard_in.get(one.id, one.id)}")
        for one in said
        for why in watch.reasons(one.read)
    ]
