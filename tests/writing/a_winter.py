"""An invented winter, as large as wanted: three cameras, two recorders, clocks that were out. Built, not recorded.

``python -m tests.writing.a_winter`` tells how long its timeline takes and how large its pages are.
"""

import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from zoneinfo import ZoneInfo

from pipeline.records import (
    BookRecord,
    EntryRecord,
    MediaRecord,
    PhotoLink,
    Records,
    UnplacedPhoto,
    UnplacedSpeech,
    UtteranceRecord,
)
from pipeline.values import Clock, Kind
from pipeline.writing.viewing_copies import Links, wanted_copies
from tests.writing.a_weekend import media_id, medium
from tests.writing.all_pages import timeline_pages

FIRST = datetime(2025, 10, 4, 8, 30, tzinfo=UTC)
_SAID = (
    "Right, here you can see the lower bolt of the front spar joint, and it comes out with a soft drift.",
    "That's off.",
    "Put it in bag fourteen with the washers, and write the number on it.",
    "There's light corrosion by rib nine, nothing that goes through.",
    "Photo of this, please.",
)
_CAMERAS = (("pocket camera", 0.0), ("bridge camera", 3604.0), ("old compact", -247.0))


def winter(days: int, photos: int, utterances: int) -> Records:
    """Return the records of so many days with so many photos and utterances in all."""
    draw = Random(7)
    media: list[MediaRecord] = []
    said: list[UtteranceRecord] = []
    entries: list[EntryRecord] = []
    loose: list[UnplacedPhoto] = []
    unsaid: list[UnplacedSpeech] = []
    for day in range(days):
        starts = FIRST + timedelta(days=2 * day)
        of_day: list[EntryRecord] = []
        own = utterances // days + (day < utterances % days)
        for recorder, name in enumerate(("phone", "recorder")):
            made = _speech(draw, f"day-{day:03d}-{name}.m4a", name, starts, own // 2 + recorder * (own % 2))
            media.append(made[0])
            said += made[1]
            of_day += made[2]
            unsaid += [UnplacedSpeech(utterance=one.id, why="no fact was read from it") for one in made[3]]
        for turn in range(photos // days + (day < photos % days)):
            photo, entry = _photo(draw, f"photo-{day:03d}-{turn:04d}.jpg", of_day, starts)
            media.append(photo)
            if entry is None:
                loose.append(UnplacedPhoto(media=photo.id, why="nothing was said within 15 minutes of it"))
            else:
                link = PhotoLink(media=photo.id, p=round(draw.uniform(0.55, 0.999), 3), why=("taken as it was said",))
                of_day[entry] = of_day[entry].model_copy(update={"photos": (*of_day[entry].photos, link)})
        entries += of_day
    return Records(
        book=BookRecord(
            title="A long winter",
            aircraft="Crew Trainer",
            zone="Europe/London",
            program="saidseen 0.1.0",
            model="",
            vocabulary="",
        ),
        media=tuple(sorted(media, key=lambda one: (one.taken_at, one.id))),
        clocks=tuple(
            Clock(device=name, offset_s=-moved_s, anchors=9, spread_s=0.8, sure=True, why="9 of 9 GPS times agree.")
            for name, moved_s in sorted(_CAMERAS)
        ),
        utterances=tuple(sorted(said, key=lambda one: (one.start_at, one.id))),
        entries=tuple(sorted(entries, key=lambda one: (one.at, one.id))),
        unplaced_photos=tuple(loose),
        unplaced_speech=tuple(unsaid),
    )


def _speech(
    draw: Random, name: str, device: str, starts: datetime, count: int
) -> tuple[MediaRecord, list[UtteranceRecord], list[EntryRecord], list[UtteranceRecord]]:
    at_s = draw.uniform(2, 400)
    said, entries, unsaid = [], [], []
    group: list[UtteranceRecord] = []
    for turn in range(count):
        text = draw.choice(_SAID)
        length_s = 0.36 * len(text.split())
        one = UtteranceRecord(
            id=f"u-{media_id(name)[7:15]}-{int(at_s * 1000)}",
            media=media_id(name),
            start_s=at_s,
            end_s=at_s + length_s,
            start_at=starts + timedelta(seconds=at_s),
            end_at=starts + timedelta(seconds=at_s + length_s),
            heard=text,
            read=text,
        )
        said.append(one)
        group.append(one)
        at_s += length_s + draw.expovariate(1 / 4)
        if len(group) == 4 or turn == count - 1:
            if draw.random() < 0.15:
                unsaid += group
            else:
                entries.append(
                    EntryRecord(
                        id=f"e-{group[0].id}",
                        at=group[0].start_at,
                        media=group[0].media,
                        start_s=group[0].start_s,
                        end_s=group[-1].end_s,
                        utterances=tuple(each.id for each in group),
                    )
                )
            group = []
            at_s += draw.expovariate(1 / 120) if draw.random() < 0.2 else 0
    recording = medium(name, starts, Kind.RECORDING, "audio/mp4", device=device, duration_s=at_s + 5)
    return recording, said, entries, unsaid


def _photo(draw: Random, name: str, entries: list[EntryRecord], starts: datetime) -> tuple[MediaRecord, int | None]:
    device, moved_s = draw.choice(_CAMERAS)
    entry = None if not entries or draw.random() < 0.08 else draw.randrange(len(entries))
    at = starts + timedelta(seconds=draw.uniform(3600, 30000))
    if entry is not None:
        at = entries[entry].at + timedelta(seconds=draw.uniform(0, 20))
    shown_at = at - timedelta(seconds=moved_s)
    photo = medium(
        name, at, Kind.PHOTO, "image/jpeg", device=device, moved_s=moved_s, shown_at=shown_at, time_error_s=1.0
    )
    return photo, entry


def _measure(days: int, photos: int, utterances: int) -> None:
    records = winter(days, photos, utterances)
    links = Links.for_records(records, Path("/books/trainer/out"), wanted_copies(records))
    begin = time.perf_counter()
    files = timeline_pages(records, links, ZoneInfo(records.book.zone))
    took_s = time.perf_counter() - begin
    sizes = sorted((len(text.encode()), place) for place, text in files.items())
    size, place = sizes[-1]
    print(
        f"{days} days, {photos:,} photos, {utterances:,} utterances: {took_s:.1f} s, {len(files)} files, "
        f"{sum(one for one, _ in sizes) / 1e6:.1f} MB, "
        f"timeline.html {len(files['timeline.html'].encode()) / 1e3:.0f} kB, "
        f"timeline.svg {len(files['timeline.svg'].encode()) / 1e3:.0f} kB, the largest {place} {size / 1e3:.0f} kB"
    )


if __name__ == "__main__":
    _measure(5, 500, 1000)
    _measure(100, 10_000, 20_000)
    _measure(3, 10_000, 20_000)
    _measure(1000, 10_000, 20_000)
