"""The supporters' report as files: a page, a text for the editor, its pictures."""

import re
from base64 import b64encode
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import NamedTuple

from pipeline.errors import ItemFault
from pipeline.intake.decoding import grey_pixels
from pipeline.plain_text import visible
from pipeline.records import Records
from pipeline.settings import Settings
from pipeline.writing.pages import page
from pipeline.writing.supporters.changed_by_hand import kept_beside
from pipeline.writing.supporters.choosing import Looks
from pipeline.writing.supporters.earlier import Earlier
from pipeline.writing.supporters.edits import Editor, each_picture
from pipeline.writing.supporters.jpeg import carries_tags, jpeg_size
from pipeline.writing.supporters.looks import LOOKED_AT_PX, Look, look_at
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.privacy import Withheld
from pipeline.writing.supporters.public_files import let_out
from pipeline.writing.supporters.story import Picture, Section, Story
from pipeline.writing.supporters.told import words
from pipeline.writing.supporters.withheld import Watch
from pipeline.writing.supporters.year import plan_year
from pipeline.writing.terms import Terms
from pipeline.writing.viewing_copies import LONGEST_PX, Makers, picture_copy
from pipeline.writing.written_files import Written, place_files

_MARKDOWN = re.compile(r"([\\`*_{}\[\]<>#|~])")


def period_name(first: date, last: date) -> str:
    """Return the name of a period's folder: "2026-02-14" for a day, "2026-02-14-to-2026-02-15" for more."""
    return first.isoformat() if first == last else f"{first.isoformat()}-to-{last.isoformat()}"


def report_name(first: date, last: date) -> str:
    """Return the name of the folder of a report: of a whole calendar month "2026-02", else its period's."""
    whole = (
        first.day == 1
        and (last + timedelta(days=1)).day == 1
        and (first.year, first.month) == (last.year, last.month)
    )
    return f"{first:%Y-%m}" if whole else period_name(first, last)


class ReportSources(NamedTuple):
    """What reports are made from, and where they go.

    Args:
        records: everything that the book holds.
        settings: the team, what to withhold, and what the report is called.
        terms: the vocabulary, with explanations.
        out: the book's ``out`` folder.
        makers: make resized JPEGs without any tag, where the logbook has no viewing copy yet. One that carries a
            tag all the same is left out.
        earlier: knows what the reports before told, where that is worked out for several reports at once.
    """

    records: Records
    settings: Settings
    terms: Terms
    out: Path
    makers: Makers
    earlier: Earlier | None = None


def make_report(book: ReportSources, first: date, last: date, name: str, key: str = "") -> tuple[Written, str]:
    """Bring ``out/supporters/<name>/`` up to date with a period's facts.

    Args:
        book: what it is made from.
        first: the first day, in the book's time zone.
        last: the last day.
        name: the folder's name.
        key: goes into the name of the group that the files are in, unless the report has a fault or leans on the
            whole book; "" for none.

    Returns:
        What was done, and that group's name.
    """
    editor = Editor(book.settings, book.records, name, first, last)
    return _place(plan(editor.asked(book.terms, looks_of_copies(book.out), book.earlier)), editor, book, key)


def bring_year(book: ReportSources, year: int, key: str = "") -> tuple[Written, str]:
    """Bring ``out/supporters/<year>/`` up to date with a summary of a calendar year; as ``make_report``."""
    editor = Editor(book.settings, book.records, f"{year}", date(year, 1, 1), date(year, 12, 31))
    return _place(plan_year(editor.asked(book.terms, looks_of_copies(book.out), book.earlier)), editor, book, key)


def looks_of_copies(out: Path) -> Looks:
    """Return what tells how a photo looks by its viewing copy under ``out``: nothing where there is none."""

    @cache
    def look(media: str) -> Look | None:
        copy = out / picture_copy(media)
        try:
            return look_at(grey_pixels(copy, LOOKED_AT_PX)) if copy.is_file() else None
        except ItemFault:
            return None

    return look


def _place(story: Story, editor: Editor, book: ReportSources, key: str) -> tuple[Written, str]:
    """Write a report that the last look at every file has passed; else none, and none of before stays."""
    folder = f"supporters/{editor.name}"
    watch = Watch(book.settings, book.terms, book.records)
    story, told = editor.edited(story, watch.reasons)
    files, faults, _ = report_files(story, book.records, book.out, book.makers)
    public = let_out(files, watch)
    unwritten = ((f"{folder}/report.html", public.fault),) if public.fault else ()
    again = bool(faults or unwritten or told or story.leans_on_the_book or watch.leans_on_the_book)
    group = f"{folder} {key}" if key and not again else folder
    placed = {f"{folder}/{place}": content for place, content in public.files.items()}
    by_hand = kept_beside(book.out, folder, placed)
    done = place_files(book.out, group, placed)
    return Written(done.written, done.unchanged, done.removed, (*faults, *unwritten), (*told, *by_hand)), group


def report_files(
    story: Story, records: Records, out: Path, makers: Makers
) -> tuple[dict[str, bytes], tuple[tuple[str, str], ...], tuple[Withheld, ...]]:
    """Return a report's files by place in its folder, the pictures that could not be made, and those kept back."""
    made, faults, kept_back = _picture_files(story, records, out, makers)
    story = _with_pictures(story, made)
    files: dict[str, bytes] = {f"pictures/{file}": content for file, content in made.items()}
    files["report.html"] = report_html(story).encode()
    files["report-in-one.html"] = report_html(_in_one(story, made)).encode()
    files["report.md"] = report_markdown(story).encode()
    return files, faults, kept_back


def report_html(story: Story) -> str:
    """Return the report as one page; its pictures are in the folder ``pictures`` beside it, or in the page itself."""
    return page("supporters/report.html", story=story)


def report_markdown(story: Story) -> str:
    """Return the report as Markdown (CommonMark) for an editor to rewrite."""
    lines = [f"# {_md(story.headline)}", f"*{_md(', '.join(_named_once(story)))}*", _md(words(story.standfirst))]
    if story.lead is not None:
        lines += _md_picture(story.lead)
    for plot in story.plots:
        lines += [f"## {_md(plot.title)}", _md(words(plot.lines))]
    for section in story.sections:
        lines += _md_section(section)
    if story.explained is not None:
        lines += [f"## {_md(story.explained.question)}", _md(words(story.explained.lines))]
        lines += _md_picture(story.explained.picture) if story.explained.picture is not None else []
    if story.ahead:
        lines += ["## What comes next", _md(words(story.ahead))]
    if story.glossary:
        lines += [
            "## Words of the trade",
            "\n".join(f"- **{_md(word)}**: {_md(text)}" for word, text in story.glossary),
        ]
    if story.thanks:
        lines += ["## Thank you", _md(words(story.thanks))]
    return "\n\n".join(line for line in lines if line) + "\n"


def _md_section(section: Section) -> list[str]:
    lines = [f"## {_md(section.heading)}"]
    for one in section.paragraphs:
        lines.append(_md(one.text))
        lines += [line for picture in one.pictures for line in _md_picture(picture)]
    if section.number is not None:
        lines.append(f"> **{_md(section.number.figure)}** {_md(section.number.text)}")
    lines += [f"> “{_md(one.text)}”\n>\n> {_md(one.by)}" for one in section.quotes]
    return lines


def _picture_files(
    story: Story, records: Records, out: Path, makers: Makers
) -> tuple[Mapping[str, bytes], tuple[tuple[str, str], ...], tuple[Withheld, ...]]:
    media = {one.id: one for one in records.media}
    made: dict[str, bytes] = {}
    faults: list[tuple[str, str]] = []
    kept_back: list[Withheld] = []
    for picture in story.pictures:
        path = media[picture.media].path
        try:
            copy = out / picture_copy(picture.media)
            if copy.is_file():
                content = copy.read_bytes()
            else:
                content = makers.photo(media[picture.media], media, out.parent, LONGEST_PX)
        except ItemFault as fault:
            faults.append((path, fault.why))
            continue
        if carries_tags(content):
            kept_back.append(Withheld(path, "a picture whose tags could not be taken out", picture.file))
            continue
        made[picture.file] = content
    return made, tuple(faults), tuple(kept_back)


def _with_pictures(story: Story, files: Mapping[str, bytes]) -> Story:
    """Return the story with the pictures whose files were made, each with its size."""

    def sized(picture: Picture) -> Picture | None:
        if picture.file not in files:
            return None
        width, height = jpeg_size(files[picture.file])
        return replace(picture, width=width, height=height)

    return each_picture(story, sized)


def _in_one(story: Story, files: Mapping[str, bytes]) -> Story:
    """Return the story with its pictures held by the page itself, so that it is one file."""

    def held(picture: Picture) -> Picture:
        return replace(picture, source=f"data:image/jpeg;base64,{b64encode(files[picture.file]).decode()}")

    return each_picture(story, held)


def _named_once(story: Story) -> list[str]:
    aircraft = [] if story.aircraft.lower() in story.title.lower() else [story.aircraft]
    return [story.title, *aircraft, story.period]


def _md(text: str) -> str:
    return _MARKDOWN.sub(r"\\\1", visible(" ".join(text.split())))


def _md_picture(picture: Picture) -> list[str]:
    return [f"![{_md(picture.alt)}](pictures/{picture.file})", f"*{_md(picture.caption)}*"]
