"""How to run, what a run tells while it works, and what it did in the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Protocol

from pipeline.book import Book
from pipeline.english import named_up_to
from pipeline.errors import ExitCode
from pipeline.hearing.device import Device
from pipeline.intake.captions import UNREAD
from pipeline.mistyped import to_type
from pipeline.plain_text import file_name
from pipeline.records import Records, SetAside, records_in
from pipeline.unchanged import Left
from pipeline.values import Kind
from pipeline.writing.before_the_start import told_of_days_before
from pipeline.writing.waiting_photos import photos_waiting, shows_long_past

_MOST_NAMED = 3


def told_of_away(book: Book, paths: Sequence[str]) -> tuple[str, ...]:
    """Return the line on originals that are not where they were, none where there are none."""
    if not paths:
        return ()
    many = len(paths) > 1
    begins = f"{len(paths)} originals are not where they were" if many else "An original is not where it was"
    return (
        f"{begins}: {named_up_to(paths, _MOST_NAMED)}. What was made of it stands. Put it back, or plug in the drive "
        f"that it is on; if it lies elsewhere by now: saidseen run {to_type(book.folder)} FOLDER",
    )


def told_of_unread(records: Records) -> tuple[str, ...]:
    """Return a line for each caption file of which words, or a date, were not taken in, in order of their paths."""
    told = []
    for one in sorted(records.media, key=lambda media: media.path):
        unread = [flag.removeprefix(UNREAD) for flag in one.flags if flag.startswith(UNREAD)]
        if one.kind is Kind.CAPTIONS and unread:
            more = f" And {len(unread) - 1} more of it: see its day in the logbook." if len(unread) > 1 else ""
            told.append(f"Not read in {file_name(one.path)}: {unread[0]}{more}")
    return tuple(told)


def told_of_waiting(book: Book, records: Records) -> tuple[str, ...]:
    """Return the line on days before the book starts, and one for each device whose photos wait for its clock."""
    anew, told = shows_long_past(records), list(told_of_days_before(records))
    for device, number in photos_waiting(records).items():
        own = [clock for clock in records.clocks if clock.device == device]
        waits = f"{device}: {number:,} {'photo waits' if number == 1 else 'photos wait'} for its clock, which"
        card = 'Photograph "saidseen clock" with it'
        by_hand = f"by hand: saidseen review {to_type(book.folder)}"
        if any(clock.sure for clock in own):
            told.append(f"{waits} {_known_on_other_days(device in anew, card, by_hand)}")
            continue
        why = "shows a day long past: it begins anew" if device in anew else "is not known"
        when = ", each time that it is switched on" if device in anew else ""
        or_else = f'write clock_offset_s under [devices."{device}"] in {book.settings_file}'
        if len(own) > 1:  # one offset would be for all its stretches
            or_else = f"place them {by_hand}"
        told.append(f"{waits} {why}. {card}{when}, or {or_else}")
    return tuple(told)


def _known_on_other_days(began_anew: bool, card: str, by_hand: str) -> str:
    """Return what is the matter with a clock that is known on some days, and what helps the photos of the others."""
    if began_anew:
        return (
            f"is known on other days, and had begun anew on theirs. Place these {by_hand}. Or write their day before "
            f"their names, as in 2026-02-14 IMG_1.jpg. {card} whenever it has begun anew"
        )
    return (
        "is known on other days; on theirs nothing was said, or too little, that tells whether it was right. "
        f"Place these {by_hand}. {card} on each day from now on"
    )


class Progress(Protocol):
    """What a run tells of itself while it works."""

    def begin(self, doing: str, total: float, unit: str) -> None:
        """Hear that a step begins, with so much to do."""

    def advance(self, amount: float) -> None:
        """Hear that so much of the step is done."""


class Silence:
    """Progress that nobody watches."""

    def begin(self, doing: str, total: float, unit: str) -> None:
        """Say nothing."""

    def advance(self, amount: float) -> None:
        """Say nothing."""


@dataclass
class Outcome:
    """What a run did: tasks made and found done by stage, what was set aside, and faults of the program.

    ``left`` are its numbers. ``nothing_new`` is True where all was as the last run left it. ``away`` are originals
    that are not where they were; ``changed`` are files that held an original and hold something else since this run.
    ``nothing_in`` are places that were given and that hold no file. ``redated`` says that what stood in the book
    before now stands at another time, ``replaced`` that photos stand with other words, ``rewritten`` that reports
    read otherwise, "" where nothing does.
    """

    out: Path
    left: Left | None = None
    nothing_new: bool = False
    made: dict[str, int] = field(default_factory=dict)
    already: dict[str, int] = field(default_factory=dict)
    set_aside: list[SetAside] = field(default_factory=list)
    program_faults: int = 0
    written: int = 0
    copies_missing: tuple[tuple[str, str], ...] = ()
    upgraded: str = ""
    history_changed: str = ""
    clock_back: str = ""
    redated: str = ""
    replaced: str = ""
    rewritten: str = ""
    away: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    nothing_in: tuple[str, ...] = ()

    @cached_property
    def records(self) -> Records:
        """The book's records: as this run made them, or as they lie in ``out/`` where it made nothing."""
        return records_in(self.out)

    @property
    def exit_code(self) -> ExitCode:
        """The exit code that this outcome ends in."""
        if self.program_faults:
            return ExitCode.PROGRAM_FAULT
        if self.history_changed:
            return ExitCode.CHECK_FAILED
        return ExitCode.SOME_SET_ASIDE if self.set_aside else ExitCode.DONE


@dataclass(frozen=True)
class Choices:
    """How to run: the model (the book's own if ""), recordings at a time, and whether to do everything again.

    ``cluster`` is the address of a Dask scheduler whose workers do the hearing; "" for this machine. ``device`` is
    what it is done on.
    """

    model: str = ""
    jobs: int = 2
    again: bool = False
    cluster: str = ""
    device: Device = Device.AUTO
