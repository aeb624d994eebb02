"""Invented days on which clocks went wrong in every way: what the timeline must make plain. Built, not recorded."""

from datetime import UTC, datetime, timedelta

from pipeline.records import (
    BookRecord,
    EntryRecord,
    MediaRecord,
    NotUnderstood,
    PhotoLink,
    Records,
    UnplacedPhoto,
    UnplacedSpeech,
    UtteranceRecord,
)
from pipeline.values import Clock, Kind, TimeSource
from tests.writing.a_weekend import media_id, medium

# the night before the clocks go back in London: 01:30 comes twice
SATURDAY = datetime(2026, 10, 24, 9, 0, tzinfo=UTC)
CARD, NAMED, HOURS, MINUTES = "card.jpg", "IMG_20261024_101530.jpg", "set-1.jpg", "set-2.jpg"
DRIFT_A_DAY_S = 12.0
_SINCE, _NOON, _UNTIL = (SATURDAY + timedelta(hours=hours) for hours in (-2, 3, 40))


def odd_days() -> Records:
    """Return the records."""
    media = [
        medium("notes.m4a", SATURDAY, Kind.RECORDING, "audio/mp4", duration_s=900.0),
        medium("late.wav", _at(14 * 60 + 50), Kind.RECORDING, "audio/wav", device="recorder", duration_s=4 * 3600.0),
        medium("film.mp4", _at(13), Kind.FILM, "video/mp4", duration_s=60.0, moved_s=125.0, shown_at=_at(10.9)),
        _photo("film.mp4", 13.2, 125.0, id=media_id("still"), still_of=media_id("film.mp4"), still_at_s=12.0,
               time_source=TimeSource.FILM, device="phone"),
        _photo(HOURS, 1, -7200.0, device="set camera"),
        _photo("set-1b.jpg", 1.1, -7200.0, device="set camera"),
        _photo(MINUTES, 200, 40.0, device="set camera"),
        _photo("set-2b.jpg", 202, 40.0, device="set camera"),
        _photo(CARD, 3, 172_800.0, time_source=TimeSource.CARD, device="day camera",
               flags=("It shows a clock card, whose time it has.",)),
        _photo("reset.jpg", 4, 530_000_000.0, device="day camera", time_source=TimeSource.NAME,
               flags=("Its camera's time, 2010-01-01 00:00:09, is where a clock starts that has lost its power; "
                      "it was not believed.",)),
        _photo("drift-1.jpg", 5, -60.0 + DRIFT_A_DAY_S / 4, device="drifter"),
        _photo("drift-2.jpg", 6 * 60, -60.0, device="drifter"),
        _photo("drift-3.jpg", 11 * 60, -60.0 - DRIFT_A_DAY_S / 5, device="drifter"),
        _photo("night-1.jpg", 15 * 60 + 30, 0.0),
        _photo("night-2.jpg", 16 * 60 + 30, 0.0),
        _photo("perhaps.jpg", 60, 0.0, time_error_s=40_000.0, time_source=TimeSource.NAME),
        _photo("nobody.jpg", -90 * 24 * 60, 0.0, time_error_s=3e8, time_source=TimeSource.FILE,
               flags=("No date that it gives is possible: set the clock of its device.",)),
        *[_photo(f"burst-{turn:02d}.jpg", 7 + turn / 60, 0.0) for turn in range(14)],
    ]  # fmt: skip
    said = [
        _said("notes.m4a", 30, "Here you can see the lock on the port leg."),
        _said("notes.m4a", 36, "It's off."),
        _said("notes.m4a", 420, "Fourteen of these, all different."),
        _said("notes.m4a", 800, "Tea."),
        _said("late.wav", 3600.0, "It is past one in the morning and we are nearly done."),
        _said("late.wav", 7200.0, "And it is past one again."),
    ]
    photos = [one for one in media if one.kind == Kind.PHOTO]
    alone = ("nobody.jpg", "perhaps.jpg", "set-2b.jpg")
    return Records(
        book=BookRecord(
            title="Odd days",
            aircraft="Crew Trainer",
            zone="Europe/London",
            program="saidseen 0.1.0",
            model="",
            vocabulary="",
        ),
        media=tuple(sorted(media, key=lambda one: (one.taken_at, one.id))),
        clocks=_clocks(),
        utterances=tuple(said),
        entries=(
            _entry(said[0:2], [(one, 0.97) for one in photos if one.taken_at < _at(7)], alone),
            _entry(said[2:3], [(one, 0.61) for one in photos if "burst" in one.path or "film" in one.path], alone),
            _entry(said[4:5], [(one, 0.9) for one in photos if one.taken_at > _at(100)], alone),
        ),
        unplaced_speech=tuple(UnplacedSpeech(utterance=one.id, why="no fact was read") for one in (said[3], said[5])),
        not_understood=(
            NotUnderstood(media=media_id("notes.m4a"), start_s=600.0, end_s=640.0, why="voice without words"),
        ),
        unplaced_photos=tuple(
            UnplacedPhoto(media=media_id(name), why=f"no words near {name.removesuffix('.jpg')}") for name in alone
        ),
    )


def _at(minutes: float) -> datetime:
    return SATURDAY + timedelta(minutes=minutes)


def _photo(name: str, minutes: float, moved_s: float, **more: object) -> MediaRecord:
    at = _at(minutes)
    made = {"moved_s": moved_s, "shown_at": at - timedelta(seconds=moved_s), **more}
    return medium(name, at, Kind.PHOTO, "image/jpeg", **made)


def _said(name: str, start_s: float, text: str) -> UtteranceRecord:
    starts = _at(14 * 60 + 50) if name == "late.wav" else SATURDAY
    return UtteranceRecord(
        id=f"u-{media_id(name)[7:15]}-{int(start_s * 1000)}",
        media=media_id(name),
        start_s=start_s,
        end_s=start_s + 4,
        start_at=starts + timedelta(seconds=start_s),
        end_at=starts + timedelta(seconds=start_s + 4),
        heard=text,
        read=text,
    )


def _entry(
    said: list[UtteranceRecord], photos: list[tuple[MediaRecord, float]], alone: tuple[str, ...]
) -> EntryRecord:
    ids = {media_id(name) for name in alone}
    return EntryRecord(
        id=f"e-{said[0].id}",
        at=said[0].start_at,
        media=said[0].media,
        start_s=said[0].start_s,
        end_s=said[-1].end_s,
        utterances=tuple(one.id for one in said),
        photos=tuple(PhotoLink(media=one.id, p=p, why=("made up",)) for one, p in photos if one.id not in ids),
    )


def _clocks() -> tuple[Clock, ...]:
    return (
        Clock(device="drifter", offset_s=60.0, drift_s_per_day=DRIFT_A_DAY_S, anchors=5, spread_s=0.7, sure=True,
              since=_at(5) + timedelta(seconds=60), until=_at(11 * 60) + timedelta(seconds=60),
              why="5 of 5 GPS times agree with it."),
        Clock(device="phone", offset_s=-125.0, anchors=4, spread_s=1.1, sure=True, stamps="end",
              why="4 of 4 spoken times agree with it."),
        Clock(device="pocket camera", offset_s=31.0, anchors=2,
              why="2 of 40 photos come just after words that point. That is not enough to be sure."),
        Clock(device="set camera", offset_s=7200.0, anchors=6, spread_s=0.4, sure=True, since=_SINCE, until=_NOON,
              why="6 of 6 clock cards agree with it."),
        Clock(device="set camera", offset_s=-40.0, anchors=8, spread_s=0.9, sure=True, since=_NOON, until=_UNTIL,
              why="8 of 9 spoken times agree with it."),
    )  # fmt: skip
