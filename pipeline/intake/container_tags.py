"""What the tags of a container mean: device, place, and when it was made. No engine is needed: tags come as text."""

import re
from collections.abc import Mapping

from pipeline.values import TimeClue, TimeSource, Value

_HALF_DAY_S = 43_200.0
_TIME = re.compile(
    r"\s*(?P<date>\d{4}-\d{2}-\d{2})"
    r"(?:[T ](?P<time>\d{2}:\d{2}(?::\d{2}(?:\.\d{1,9})?)?)\s*(?P<offset>Z|UTC|[+-]\d{2}:?\d{2})?)?\s*"
)
_SAYS_TOO_LITTLE = re.compile(r"\d{4}|\d{4}-\d{2}|\d{2}:\d{2}:\d{2}")  # a year, a month, a time of day: no fault
_PLACE = re.compile(r"\s*([+-]\d{1,2}(?:\.\d+)?)([+-]\d{1,3}(?:\.\d+)?)(?:[+-]\d+(?:\.\d+)?)?(?:CRS\S*)?/?\s*")


class Tags(Value):
    """What a container's tags say."""

    device: str = ""
    clues: tuple[TimeClue, ...] = ()
    gps_deg: tuple[float, float] | None = None
    remarks: tuple[str, ...] = ()


def read_tags(*tags: Mapping[str, str]) -> Tags:
    """Read the tags of a container and of its streams, the container's first.

    The creation date with an offset that phones write comes first: it marks the moment at which recording started.
    ``creation_time`` is UTC by the standard, and marks the start or the end as the writer pleases: the end where the
    tags show the writer of the phone platform that stamps it on closing the file.

    Source: ISO/IEC 14496-12, 8.2.2 (creation_time, UTC); ISO 6709 Annex H (place); the rest from memory of files.
    """
    named: dict[str, str] = {}
    for some in tags:
        for key, text in some.items():
            named.setdefault(key.lower(), text.replace("\x00", " ").strip())
    clues: list[TimeClue] = []
    remarks: list[str] = []
    stamped_on_closing = any(key.startswith("com.android.") for key in named)
    for key, marks_end in (
        ("creationdate", False),
        ("creation_time", stamped_on_closing),
        ("date_recorded", False),
        ("recording_date", False),
        ("date", False),
    ):
        text = _ending_in(named, key)
        clue = time_tag(text, marks_end) if text else None
        if clue is not None:
            clues.append(clue)
        elif text and not _SAYS_TOO_LITTLE.fullmatch(text):
            remarks.append(f"Its tag {key} says '{text[:40]}', which is no date that can be read.")
    return Tags(device=_device(named), clues=tuple(clues), gps_deg=_place(named), remarks=tuple(remarks))


def time_tag(text: str, marks_end: bool = False) -> TimeClue | None:
    """Read an ISO 8601 date, or date and time; a date alone is taken as its midday, half a day unsure."""
    match = _TIME.fullmatch(text)
    if match is None:
        return None
    if match["time"] is None:
        wall, error_s = f"{match['date']}T12:00:00", _HALF_DAY_S
    else:
        seconds = match["time"].count(":") == 2
        wall, error_s = f"{match['date']}T{match['time']}{'' if seconds else ':00'}", 0.5 if seconds else 60.0
    return TimeClue(
        source=TimeSource.CONTAINER, wall=wall, offset=_offset(match["offset"]), error_s=error_s, marks_end=marks_end
    )


def _offset(text: str | None) -> str | None:
    if text is None:
        return None
    if text in ("Z", "UTC"):
        return "+00:00"
    return f"{text[:3]}:{text[-2:]}"


def _ending_in(named: Mapping[str, str], name: str) -> str:
    """Return the tag called ``name``, or whose dotted name ends in it."""
    if name in named:
        return named[name]
    return next((text for key, text in sorted(named.items()) if key.endswith(f".{name}")), "")


def _device(named: Mapping[str, str]) -> str:
    make = _ending_in(named, "make") or _ending_in(named, "manufacturer")
    return device_name(make, _ending_in(named, "model"))


def device_name(make: str, model: str) -> str:
    """Join make and model into one name, without saying the make twice and without odd spaces."""
    make, model = (" ".join("".join(c if c.isprintable() else " " for c in text).split()) for text in (make, model))
    if not make or model.lower().startswith(make.lower()):
        return model
    return f"{make} {model}".strip()


def _place(named: Mapping[str, str]) -> tuple[float, float] | None:
    text = _ending_in(named, "iso6709") or named.get("location", "")
    match = _PLACE.fullmatch(text)
    if match is None:
        return None
    north, east = float(match[1]), float(match[2])
    return (north, east) if abs(north) <= 90 and abs(east) <= 180 else None
