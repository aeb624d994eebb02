"""What a run tells of devices that it could not set."""

from datetime import UTC, datetime
from pathlib import Path
from typing import cast

from pipeline.book import Book
from pipeline.intake.captions import UNREAD
from pipeline.outcome import told_of_unread, told_of_waiting
from pipeline.records import BookRecord, MediaRecord, Records, UnplacedPhoto
from pipeline.values import Clock, Kind, TimeSource

AT = datetime(2026, 2, 14, 10, tzinfo=UTC)


def _photo(number: int, device: str, source: TimeSource = TimeSource.EXIF) -> MediaRecord:
    return MediaRecord(
        id=f"sha256:{number:064x}", path=f"{number}", kind=Kind.PHOTO, content_type="x/y", taken_at=AT,
        time_source=source, time_error_s=1, shown_at=AT, moved_s=0, device=device,
    )  # fmt: skip


def test_device_whose_clock_is_not_known_is_named_with_its_photos_and_what_to_do() -> None:
    slow, right, phone = "Tarnbeck Two", "Ollenby C7", "Wexcombe One"
    media = [_photo(1, slow), _photo(2, slow), _photo(3, right), _photo(4, phone, TimeSource.EXIF_OFFSET)]
    records = Records.model_construct(
        media=tuple(media),
        unplaced_photos=tuple(UnplacedPhoto(media=one.id, why="nothing was said") for one in media),
        clocks=tuple(Clock(device=name, offset_s=0, sure=name == right) for name in (slow, right, phone)),
    )
    book = Book(Path("winter"))
    assert told_of_waiting(book, records) == (
        'Tarnbeck Two: 2 photos wait for its clock, which is not known. Photograph "saidseen clock" with it, or '
        f'write clock_offset_s under [devices."Tarnbeck Two"] in {book.settings_file}',
    )
    twice = records.model_copy(update={"clocks": (*records.clocks, Clock(device=slow, offset_s=3600))})
    (line,) = told_of_waiting(book, cast(Records, twice))
    assert line.endswith("or place them by hand: saidseen review winter")
    placed = cast(Records, records.model_copy(update={"unplaced_photos": ()}))
    assert told_of_waiting(book, placed) == ()


def test_caption_file_of_which_words_were_not_read_is_named_with_what_to_write() -> None:
    note = _photo(1, "").model_copy(
        update={
            "kind": Kind.CAPTIONS,
            "path": "../Hangar photos/note.vtt",
            "flags": ("Only the day is known.", f"{UNREAD}'The fin is off.' has no usable time.", f"{UNREAD}more"),
        }
    )
    whole = note.model_copy(update={"id": "x", "flags": ("Only the day is known.",)})
    (line,) = told_of_unread(Records.model_construct(media=(note, whole)))
    assert line == (
        "Not read in note.vtt: 'The fin is off.' has no usable time. And 1 more of it: see its day in the logbook."
    )


def test_of_a_clock_that_begins_anew_it_is_told_that_one_card_is_not_enough() -> None:
    old = _photo(1, "Quellmark Slate", TimeSource.FILE).model_copy(
        update={"shown_at": datetime(2012, 1, 1, tzinfo=UTC), "moved_s": 445_600_000}
    )
    records = Records.model_construct(
        media=(old,),
        unplaced_photos=(UnplacedPhoto(media=old.id, why="its time is too uncertain"),),
        clocks=(Clock(device=old.device, offset_s=0),),
    )
    (line,) = told_of_waiting(Book(Path("winter")), records)
    assert "which shows a day long past: it begins anew. " in line
    assert 'Photograph "saidseen clock" with it, each time that it is switched on, or write' in line


def test_of_a_clock_that_is_known_on_other_days_it_is_told_what_is_missing_on_theirs() -> None:
    device = "Quellmark Slate"
    silent = _photo(1, device)
    anew = _photo(2, device, TimeSource.FILE).model_copy(
        update={"shown_at": datetime(2015, 1, 1, tzinfo=UTC), "moved_s": 350_000_000}
    )
    known = Clock(device=device, offset_s=3, sure=True, since=AT.replace(month=1), until=AT.replace(month=1, day=20))
    for photo, said in ((silent, "on theirs nothing was said, or too little"), (anew, "had begun anew on theirs")):
        at = photo.shown_at
        records = Records.model_construct(
            media=(photo,),
            unplaced_photos=(UnplacedPhoto(media=photo.id, why="nothing was said"),),
            clocks=(known, Clock(device=device, offset_s=0, since=at, until=at)),
        )
        (line,) = told_of_waiting(Book(Path("winter")), records)
        assert line.startswith(f"{device}: 1 photo waits for its clock, which is known on other days")
        assert said in line
        assert "Place these by hand: saidseen review winter. " in line
        assert "clock_offset_s" not in line
        assert ("write their day before their names, as in 2026-02-14 IMG_1.jpg" in line) == (photo is anew)


def test_files_of_days_before_the_book_starts_on_which_devices_agree_are_told_of_and_their_clocks_are_not() -> None:
    days = {"Ollenby C7": (20, 21), "Tarnbeck Two": (21, 22), "Quellmark Slate": (25,)}
    early = [
        _photo(device_no * 10 + day, device).model_copy(
            update={
                "shown_at": datetime(2023, 10, day, 10, tzinfo=UTC),
                "flags": ("Its camera's time, 2023-10-21 11:00:00, is before the book starts; it was not believed.",),
            }
        )
        for device_no, (device, own) in enumerate(days.items())
        for day in own
    ]
    records = Records.model_construct(
        book=BookRecord.model_construct(zone="Europe/London"),
        media=tuple(early),
        unplaced_photos=tuple(UnplacedPhoto(media=one.id, why="its time is too uncertain") for one in early),
        clocks=tuple(Clock(device=device, offset_s=0) for device in days),
    )
    agreed, alone = told_of_waiting(Book(Path("winter")), records)
    assert agreed.startswith("4 files show days before the book starts, 20 to 22 October 2023, and several devices")
    assert "write book_starts = 2023-10-20 into book.toml" in agreed
    assert alone.startswith("Quellmark Slate: 1 photo waits")


def test_clocks_that_begin_anew_on_the_same_first_of_january_do_not_agree_on_a_day() -> None:
    lost = [
        _photo(number, device).model_copy(
            update={
                "shown_at": datetime(2015, 1, 1, 1, tzinfo=UTC),
                "flags": ("Its camera's time, 2015-01-01 01:00:00, is before the book starts; it was not believed.",),
            }
        )
        for number, device in enumerate(("Ollenby C7", "Tarnbeck Two"))
    ]
    records = Records.model_construct(
        book=BookRecord.model_construct(zone="Europe/London"), media=tuple(lost), unplaced_photos=(), clocks=()
    )
    assert told_of_waiting(Book(Path("winter")), records) == ()
