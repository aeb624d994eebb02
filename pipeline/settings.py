"""``book.toml``: the aircraft, its time zone, the team, its devices, and what stays private."""

import tomllib
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Literal
from zoneinfo import ZoneInfo

from pydantic import Field, ValidationError, field_validator

from pipeline.errors import WrongCommand
from pipeline.values import Value


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
        try:
            ZoneInfo(zone)
        except (KeyError, ValueError, OSError) as error:
            raise ValueError(
                f'\'{zone}\' is not a time zone name; write one like "Europe/London" or "America/Toronto"'
            ) from error
        return zone


class Person(Value):
    """Someone of the team.

    ``also`` are nicknames and other ways the name is said; ``consent`` is whether they have agreed to be named
    outside the team; ``may_sign`` says for what they sign, in the team's own words; ``key`` is the public half of the
    key that they sign with, as ``saidseen sign --new-key`` prints it, "" for none; ``may_release`` is whether they
    may let findings, names and quotations out to supporters.
    """

    name: str
    also: tuple[str, ...] = ()
    role: str = "volunteer"
    consent: bool = False
    may_sign: tuple[str, ...] = ()
    key: str = ""
    may_release: bool = False


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


class Hearing(Value):
    """``model`` is "base", "tiny.en", another model's name, or a folder that holds one."""

    model: str = "base"


class Settings(Value):
    """The whole of ``book.toml``."""

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


def read_settings(path: Path) -> Settings:
    """Read a book's settings.

    Raises:
        WrongCommand: the file is missing, is not TOML, or has a setting that cannot be; says which and what to do.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise WrongCommand(
            f"{path.parent} is not a book: it has no {path.name}. Make one with: saidseen new {path.parent}"
        ) from error
    except (OSError, UnicodeDecodeError) as error:
        raise WrongCommand(f"{path}: cannot be read ({error}). Save it as UTF-8 text.") from error
    try:
        return Settings.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise WrongCommand(f"{path}: {error}. Put text in quotes, and one setting on a line.") from error
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"]) or "the file"
        raise WrongCommand(f"{path}: setting '{where}': {first['msg'].removeprefix('Value error, ')}.") from error
