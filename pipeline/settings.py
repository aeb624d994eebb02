"""``book.toml``: the aircraft, its time zone, the team, its devices, and what stays private."""

import re
import tomllib
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, Literal, TypeVar
from zoneinfo import ZoneInfo, available_timezones

from pydantic import BaseModel, Field, ValidationError, field_validator

from pipeline.errors import WrongCommand, reason_of
from pipeline.mistyped import near, not_utf8, to_type, unreadable, with_a_blank, wrong_setting
from pipeline.values import Value

FIRST_NAME: Literal["first name"] = "first name"
_OF_A_REPORT = re.compile(r"\d{4}(?:-\d{2}(?:-\d{2}(?:-to-\d{4}-\d{2}-\d{2})?)?)?")
_M = TypeVar("_M", bound=BaseModel)


def known_zone(name: str) -> ZoneInfo:
    """Return the zone of an IANA name; raises ValueError, in words for whoever typed it, where there is none."""
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError) as error:
        meant = _zone_meant(name)
        right = f"did you mean {meant}?" if meant else 'write one like "Europe/London" or "America/Toronto"'
        raise ValueError(f"'{name}' is not a time zone name; {right}") from error


def _zone_meant(name: str) -> str:
    """Return the zone that somebody may have meant, "" for none: a town alone is enough, in any letters."""
    zones = available_timezones()
    towns = {zone.rpartition("/")[2]: zone for zone in sorted(zones)}
    return near(name, zones) or towns.get(near(name.replace(" ", "_"), towns), "")


class Aircraft(Value):
    """The aircraft that the book is about. ``type_pack`` names a folder of the vocabulary, "" for none."""

    name: str = "Our aircraft"
    type_pack: str = ""


class TimeSettings(Value):
    """``zone`` is an IANA name; nothing dated before ``book_starts`` is believed."""

    zone: str = "Europe/London"
    book_starts: date

    @field_validator("zone")
    @classmethod
    def _zone_is_known(cls, zone: str) -> str:
        known_zone(zone)
        return zone


class Person(Value):
    """Someone of the team.

    ``also`` are nicknames and other ways the name is said; ``consent`` is whether they have agreed to be named
    outside the team, "first name" for that alone; ``may_sign`` says for what they sign, in the team's own words;
    ``key`` is the public half of the key that they sign with, as ``saidseen sign --new-key`` prints it, "" for none;
    ``may_release`` is whether they may let findings, names and quotations out to supporters.
    """

    name: str
    also: tuple[str, ...] = ()
    role: str = "volunteer"
    consent: bool | Literal["first name"] = False
    may_sign: tuple[str, ...] = ()
    key: str = ""
    may_release: bool = False

    @field_validator("consent", mode="before")
    @classmethod
    def _consent_as_meant(cls, consent: object) -> object:
        """Read "First name only" and the like as what a person means by it."""
        said = " ".join(re.split(r"[\s_-]+", consent.lower())) if isinstance(consent, str) else consent
        return FIRST_NAME if said in (FIRST_NAME, f"{FIRST_NAME} only", f"{FIRST_NAME}s only") else consent

    @property
    def public_name(self) -> str:
        """What they may be called outside the team: their name, their first name, or "" for nothing."""
        if self.consent == FIRST_NAME:
            return next(iter(self.name.split()), "")
        return self.name if self.consent else ""


class Device(Value):
    """A camera or recorder. ``clock_offset_s`` pins what its clock shows less the true time, in seconds."""

    clock_offset_s: float | None = None


class Withhold(Value):
    """What never leaves the team: place names, and words or phrases of any kind."""

    places: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


class Answer(Value):
    """What a person says to a caution: it stays in the logbook, with the answer beside it.

    ``rule`` is the rule's notation; ``item`` and ``side`` are of the part that the caution is about, left out for
    every caution of the rule; ``entry`` is one of the entries that it comes from, left out for any.
    """

    rule: str
    item: str = ""
    side: Literal["port", "starboard", "both", ""] = ""
    entry: str = ""
    reason: str
    who: str


class Released(Value):
    """A finding that supporters may be told of: of which part, and who let it out. Without any, none is told.

    ``item`` and ``finding`` are notations of the vocabulary; ``side`` and ``finding`` left out stand for any; ``on``
    is the day on which it was let out; ``who`` is a name of the team.
    """

    item: str
    finding: str = ""
    side: Literal["port", "starboard", "both", ""] = ""
    who: str
    on: date | None = None


class Quoted(Value):
    """Words that supporters may be told, letter for letter, as long as they are read so.

    ``by`` is who said them, a name of the team, "" for one of the team; ``who`` let them out.
    """

    utterance: str
    words: str
    by: str = ""
    who: str


class SupportersSettings(Value):
    """What the supporters' report is called, and the line that it ends with."""

    title: str = "Progress report"
    closing: str = ""


class PictureEdit(Value):
    """What the editor wants of one picture, wherever it is shown: an own caption, or that it is not shown at all.

    ``photo`` is the name of its original's file, with as much of its folders as it takes to tell it from others.
    ``let_out``: it may be shown whatever was said with it, for ``who`` has looked at it.
    """

    photo: str
    caption: str = ""
    leave_out: bool = False
    let_out: bool = False
    who: str = ""


class ReportEdit(Value):
    """What the editor wants of one report, by its folder's name ("2026-02"); "" and nothing: as the program has it.

    ``lead`` is a photo as in ``PictureEdit``; ``leave_out`` are sentences as they stand in the report.
    """

    report: str
    headline: str = ""
    opening: str = ""
    lead: str = ""
    leave_out: tuple[str, ...] = ()

    @field_validator("report")
    @classmethod
    def _report_is_a_name(cls, report: str) -> str:
        if not _OF_A_REPORT.fullmatch(report):
            raise ValueError(f'report = "{report}": write the name of the report\'s folder, like "2026-02"')
        return report


def _refuse_twice(blocks: str, names: Sequence[str]) -> None:
    """Raise ValueError where two blocks of a kind have one name."""
    if twice := next((one for one in names if names.count(one) > 1), ""):
        raise ValueError(f"two [[{blocks}]] blocks are of {twice}. Put what is under both under one")


class Edits(Value):
    """The whole of ``edits.toml``."""

    pictures: tuple[PictureEdit, ...] = ()
    reports: tuple[ReportEdit, ...] = ()

    @field_validator("reports")
    @classmethod
    def _each_report_once(cls, reports: tuple[ReportEdit, ...]) -> tuple[ReportEdit, ...]:
        _refuse_twice("reports", [one.report for one in reports])
        return reports


class Hearing(Value):
    """``model`` is "base", "tiny.en", or a folder that holds a model."""

    model: str = "base"


class Settings(Value):
    """The whole of ``book.toml``; and ``edits``, which stands in a file of its own and is no part of its JSON."""

    aircraft: Aircraft = Aircraft()
    time: TimeSettings
    hearing: Hearing = Hearing()
    people: tuple[Person, ...] = ()
    devices: Mapping[str, Device] = Field(default_factory=dict)
    answers: tuple[Answer, ...] = ()
    withhold: Withhold = Withhold()
    released: tuple[Released, ...] = ()
    quoted: tuple[Quoted, ...] = ()
    supporters: SupportersSettings = SupportersSettings()
    edits: Edits = Field(default=Edits(), exclude=True)

    @field_validator("people")
    @classmethod
    def _each_person_once(cls, people: tuple[Person, ...]) -> tuple[Person, ...]:
        _refuse_twice("people", [one.name for one in people])
        return people

    @property
    def names_said(self) -> tuple[str, ...]:
        """What people and the aircraft may be called as somebody speaks: their whole names, and each word of them."""
        whole = (self.aircraft.name, *(name for one in self.people for name in (one.name, *one.also)))
        return tuple(sorted({*whole, *(word for name in whole for word in name.split())} - {""}))

    @property
    def zone(self) -> ZoneInfo:
        """The book's time zone."""
        return ZoneInfo(self.time.zone)

    @property
    def pinned_clocks(self) -> dict[str, float]:
        """Seconds by which each pinned device's clock is out, by device name."""
        return {
            name: device.clock_offset_s for name, device in self.devices.items() if device.clock_offset_s is not None
        }


def read_settings(path: Path, edits: Path | None = None) -> Settings:
    """Read a book's settings, and what the editor wants of its reports, if there is such a file.

    Raises:
        WrongCommand: a file is missing, is not TOML, or has a setting that cannot be; says which and what to do.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (FileNotFoundError, NotADirectoryError) as error:
        raise WrongCommand(_no_book(path.parent)) from error
    except (OSError, UnicodeDecodeError) as error:
        raise _not_read(path, error) from error
    settings = _checked(path, text, Settings)
    if edits is None:
        return settings
    try:
        wanted = edits.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        return settings
    except (OSError, UnicodeDecodeError) as error:
        raise _not_read(edits, error) from error
    return settings.model_copy(update={"edits": _checked(edits, wanted, Edits)})


def _no_book(folder: Path) -> str:
    """Say that a folder is no book: beginners give the folder of their photos where the book belongs."""
    if folder.is_file():
        return f"{folder} is a file, and a book is a folder."
    told = f"{folder} is not a book: it has no book.toml."
    if meant := with_a_blank(folder):
        return f"{told} Put quotation marks around a name with a blank in it: {to_type(meant)}"
    if not folder.exists() and (book := _book_meant(folder)):
        return f"{told} Did you mean {to_type(book)}?"
    if folder.is_dir() and next(folder.iterdir(), None) is not None:
        return (
            f"{told} If it holds your photos and recordings, make a book beside it, and give the folder to that: "
            f"saidseen new BOOK, then: saidseen run BOOK {to_type(folder)}"
        )
    return f"{told} Make one with: saidseen new {to_type(folder)}"


def _book_meant(folder: Path) -> Path | None:
    """Return the book beside a folder that is none, by whose name it may have been meant."""
    try:
        beside = {one.parent.name: one.parent for one in folder.parent.glob("*/book.toml")}
    except OSError:
        return None
    return beside.get(near(folder.name, beside))


def _not_read(path: Path, error: OSError | UnicodeDecodeError) -> WrongCommand:
    if isinstance(error, OSError):
        return WrongCommand(f"{path}: cannot be read ({reason_of(error)}). Check that you may open it.")
    return WrongCommand(not_utf8(path, error.object, error.start))


def _checked(path: Path, text: str, model: type[_M]) -> _M:
    try:
        data: dict[str, Any] = tomllib.loads(text)
        if model is Settings and "edits" in data:
            raise WrongCommand(f"{path}: there is no setting edits. What an editor wants stands in edits.toml.")
        return model.model_validate(data)
    except tomllib.TOMLDecodeError as error:
        raise WrongCommand(unreadable(path, text, error)) from error
    except ValidationError as error:
        raise WrongCommand(wrong_setting(path, text, model, error)) from error
