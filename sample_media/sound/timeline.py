"""When every phrase is said and every photo is taken, from the scenario and the lengths of the spoken phrases."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

Scenario = dict[str, Any]


@dataclass(frozen=True)
class Said:
    """One phrase: its words and the seconds of its recording between which it is said."""

    text: str
    from_s: float
    to_s: float


def times(scenario: Scenario, said: Mapping[str, Sequence[Said]], lengths_s: Mapping[str, float]) -> dict[str, Any]:
    """Work out what times.json holds.

    Arguments: the scenario; the phrases of each recording and caption file; each recording's length in seconds.
    Result: `recordings` by id and `photos` by file name; instants are RFC 3339 in UTC, `shown` is what the device's
    own clock shows (local time without an offset).
    Raises ValueError when a device's photos are not in order of time.
    """
    spoken = [*scenario["recording"], *scenario["caption_file"]]
    starts = {item["id"]: datetime.fromisoformat(item["starts_at"]) for item in spoken}
    zone = ZoneInfo(scenario["weekend"]["zone"])
    clocks = {device["id"]: device["clock_error_s"] for device in scenario["device"]}
    photos = {}
    for photo in scenario["photo"]:
        taken = _taken_at(photo, starts, said)
        shown = (taken + timedelta(seconds=clocks[photo["device"]])).astimezone(zone).replace(tzinfo=None)
        photos[photo["file"]] = {
            "taken_at": _utc(taken),
            "shown": shown.isoformat(timespec="milliseconds"),
            "gps_at": _utc(taken.replace(microsecond=0)) if photo["gps"] else None,
        }
    _check_order(scenario, photos)
    return {
        "recordings": {
            item["id"]: {
                "file": item["file"],
                "starts_at": _utc(starts[item["id"]]),
                "length_s": round(lengths_s.get(item["id"], 0.0), 3),
                "phrases": [
                    {
                        "from_s": phrase.from_s,
                        "to_s": phrase.to_s,
                        "at": _utc(starts[item["id"]] + timedelta(seconds=phrase.from_s)),
                        "text": phrase.text,
                    }
                    for phrase in said[item["id"]]
                ],
            }
            for item in spoken
        },
        "photos": photos,
    }


def _taken_at(photo: dict[str, Any], starts: Mapping[str, datetime], said: Mapping[str, Sequence[Said]]) -> datetime:
    if photo.get("stray"):
        return datetime.fromisoformat(photo["at"])
    recording, number = photo["with"]
    phrase = said[recording][number]
    since_s = phrase.to_s if photo.get("lag_from") == "end" else phrase.from_s
    # A shutter does not fall on a whole second: a part of one comes from the file's own number.
    part_s = int(photo["file"].rsplit(".", 1)[0][-4:]) * 137 % 1000 / 1000 - 0.5
    return starts[recording] + timedelta(seconds=round(since_s + photo["lag_s"] + part_s, 3))


def _check_order(scenario: Scenario, photos: Mapping[str, Mapping[str, str]]) -> None:
    for device in scenario["device"]:
        files = [photo["file"] for photo in scenario["photo"] if photo["device"] == device["id"]]
        by_time = sorted(files, key=lambda file: photos[file]["taken_at"])
        by_name = sorted(files, key=lambda file: file.rsplit(".", 1)[0])
        if by_time != by_name:
            wrong = next(b for a, b in zip(by_time, by_name, strict=True) if a != b)
            raise ValueError(f"scenario.toml: {wrong} is not in the order in which {device['id']} took its photos")


def _utc(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="milliseconds")
