"""The supporters' report as files: a page, a text for the editor, its pictures, and the editor's check list."""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

from pipeline.errors import ItemFault
from pipeline.records import Records
from pipeline.settings import Settings
from pipeline.writing.pages import page
from pipeline.writing.plain_text import visible
from pipeline.writing.registers import table
from pipeline.writing.supporters.jpeg import carries_tags, jpeg_size
from pipeline.writing.supporters.planner import plan
from pipeline.writing.supporters.privacy import Withheld
from pipeline.writing.supporters.story import Picture, Section, Story
from pipeline.writing.terms import Terms
from pipeline.writing.viewing_copies import LONGEST_PX, Makers, picture_copy
from pipeline.writing.written_files import Written, place_files

_MARKDOWN = re.compile(r"([\\`*_{}\[\]<>#|~])")


def period_name(first: date, last: date) -> str:
    """Return the name of a period's folder: "2026-02-14" for a day, "2026-02-14-to-2026-02-15" for more."""
    return first.isoformat() if first == last else f"{first.isoformat()}-to-{last.isoformat()}"


def bring_report(
    records: Records,
    settings: Settings,
    vocabulary: Terms,
    out: Path,
    first: date,
    last: date,
    makers: Makers,
    name: str,
) -> Written:
    """Bring ``out/supporters/<name>/`` up to date with a period's facts, and beside it ``<name>-check.csv``.

    Args:
        records: everything that the book holds.
        settings: the team, what to withhold, and what the report is called.
        vocabulary: terms and their explanations.
        out: the book's ``out`` folder.
        first: the first day, in the book's time zone.
        last: the last day.
        makers: make resized JPEGs without any tag, where the logbook has no viewing copy yet. One that carries a
            tag all the same is left out.
        name: the folder's name.
    """
    folder = f"supporters/{name}"
    story = plan(records, settings, vocabulary, first, last)
    made, faults, kept_back = _picture_files(story, records, out, makers)
    story = _with_pictures(story, made)
    files: dict[str, bytes] = {f"{folder}/pictures/{file}": content for file, content in made.items()}
    files[f"{folder}/report.html"] = report_html(story).encode()
    files[f"{folder}/report.md"] = report_markdown(story).encode()
    files[f"{folder}-check.csv"] = check_list((*story.withheld, *kept_back))
    done = place_files(out, folder, files)
    return Written(done.written, done.unchanged, done.removed, faults)


def report_html(story: Story) -> str:
    """Return the report as one page; its pictures are in the folder ``pictures`` beside it."""
    return page("supporters/report.html", story=story)


def report_markdown(story: Story) -> str:
    """Return the report as Markdown (CommonMark) for an editor to rewrite."""
    lines = [f"# {_md(story.headline)}", f"*{_md(', '.join(_named_once(story)))}*"]
    lines.append(_md(" ".join(story.standfirst)))
    if story.lead is not None:
        lines += _md_picture(story.lead)
    for section in story.sections:
        lines.append(f"## {_md(section.heading)}")
        lines += [_md(" ".join(one)) for one in section.paragraphs]
        lines += [line for picture in section.pictures for line in _md_picture(picture)]
    if story.number is not None:
        lines.append(f"> **{_md(story.number[0])}** {_md(story.number[1])}")
    if story.explained is not None:
        lines += [f"## {_md(story.explained.question)}", _md(" ".join(story.explained.lines))]
        lines += _md_picture(story.explained.picture) if story.explained.picture is not None else []
    if story.ahead:
        lines += ["## What comes next", _md(" ".join(story.ahead))]
    if story.glossary:
        lines += [
            "## Words of the trade",
            "\n".join(f"- **{_md(word)}**: {_md(text)}" for word, text in story.glossary),
        ]
    if story.thanks:
        lines += ["## Thank you", _md(" ".join(story.thanks))]
    return "\n\n".join(line for line in lines if line) + "\n"


def check_list(withheld: tuple[Withheld, ...]) -> bytes:
    """Return what was kept back and why, as CSV for the editor alone."""
    return table(("kept back", "because it is", "where"), ((one.what, one.why, one.where) for one in withheld))


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

    def sized(picture: Picture | None) -> Picture | None:
        if picture is None or picture.file not in files:
            return None
        width, height = jpeg_size(files[picture.file])
        return replace(picture, width=width, height=height)

    def there(pictures: tuple[Picture, ...]) -> tuple[Picture, ...]:
        return tuple(one for picture in pictures if (one := sized(picture)) is not None)

    sections = tuple(Section(one.heading, one.paragraphs, there(one.pictures)) for one in story.sections)
    answer = None if story.explained is None else replace(story.explained, picture=sized(story.explained.picture))
    return replace(story, lead=sized(story.lead), sections=sections, explained=answer)


def _named_once(story: Story) -> list[str]:
    aircraft = [] if story.aircraft.lower() in story.title.lower() else [story.aircraft]
    return [story.title, *aircraft, story.period]


def _md(text: str) -> str:
    return _MARKDOWN.sub(r"\\\1", visible(" ".join(text.split())))


def _md_picture(picture: Picture) -> list[str]:
    return [f"![{_md(picture.alt)}](pictures/{picture.file})", f"*{_md(picture.caption)}*"]
