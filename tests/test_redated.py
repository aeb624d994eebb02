"""What a run dated anew is said in one line."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from typer.testing import CliRunner

from pipeline.book import Book
from pipeline.command_line import app
from pipeline.history.events import Act
from pipeline.records import EntryRecord, MediaRecord, Records
from pipeline.redated import told_of_redated, told_of_replaced
from pipeline.values import Kind, TimeSource
from tests.small_media import make_captions, make_photo

AT = datetime(2026, 2, 14, 10, tzinfo=UTC)
PAGE = Path("book/out/timeline.html")


def _id(number: int) -> str:
    return f"sha256:{number:064x}"


def _media(number: int, kind: Kind, at: datetime = AT) -> MediaRecord:
    return MediaRecord(
        id=_id(number), path=f"{number}", kind=kind, content_type="x/y", taken_at=at, time_source=TimeSource.EXIF,
        time_error_s=1, shown_at=at, moved_s=0, device="Tarnbeck Two",
    )  # fmt: skip


def _before(**earlier_s: float) -> dict[str, datetime]:
    return {_id(int(name[1:])): AT - timedelta(seconds=by_s) for name, by_s in earlier_s.items()}


def _entry(number: int, media: int) -> EntryRecord:
    return EntryRecord(id=f"e-{number}", at=AT, media=_id(media), start_s=0, end_s=1, utterances=())


MEDIA = [_media(1, Kind.RECORDING), _media(2, Kind.RECORDING), _media(3, Kind.PHOTO), _media(4, Kind.PHOTO)]
ENTRIES = [_entry(1, 1), _entry(2, 1), _entry(3, 2)]


def test_entries_and_photos_that_stood_an_hour_away_are_counted_in_one_line() -> None:
    before = _before(n1=3598.5, n2=0, n3=-120)
    line = told_of_redated(before, MEDIA, ENTRIES, PAGE)
    assert line == (
        "Dated anew: 2 entries and 1 photo stood at another time before, by up to 59 min 58 s. Which clock, and why: "
        f"{PAGE}."
    )


def test_seconds_are_not_worth_a_line_and_what_is_new_stood_nowhere_before() -> None:
    assert told_of_redated(_before(n1=59, n3=2), MEDIA, ENTRIES, PAGE) == ""
    assert told_of_redated({}, MEDIA, ENTRIES, PAGE) == ""


def test_recording_without_an_entry_is_told_too() -> None:
    line = told_of_redated(_before(n2=3600), MEDIA, ENTRIES[:2], PAGE)
    assert line.startswith("Dated anew: 1 recording stood at another time before, by up to 1 h.")


def _read(entry: str, at: datetime, before: Sequence[int], now: Sequence[int]) -> Act:
    held = [{"id": entry, "at": at.isoformat(), "photos": [{"media": _id(n)} for n in of]} for of in (before, now)]
    return Act("saidseen", "read", entry, *held)


def test_photo_that_went_to_words_of_another_day_or_to_none_is_named_with_both_times() -> None:
    later = AT + timedelta(days=49, hours=3)
    made = [_read("e-1", AT, [3, 4], []), _read("e-2", later, [], [3])]
    assert told_of_replaced(made, MEDIA, UTC) == (
        "Placed anew: 2 photos stand with other words than before, or with none: 3 (before: 14 February 2026, 10:00; "
        "now: 4 April 2026, 13:00), 4 (before: 14 February 2026, 10:00; now: nowhere)."
    )


def test_photo_that_came_in_or_went_to_the_words_beside_is_not_worth_a_line() -> None:
    beside = AT + timedelta(seconds=40)
    assert told_of_replaced([_read("e-1", AT, [3], []), _read("e-2", beside, [], [3])], MEDIA, UTC) == ""
    assert told_of_replaced([_read("e-1", AT, [], [3])], MEDIA, UTC) == ""


def _said(*words: object) -> str:
    result = CliRunner().invoke(app, [str(word) for word in words])
    assert result.exit_code == 0
    return result.stderr


def test_run_that_puts_photos_an_hour_away_from_where_they_stood_says_so_once(tmp_path: Path) -> None:
    folder, media = tmp_path / "winter", tmp_path / "media"
    make_captions(media / "note.vtt", AT)
    make_photo(media / "IMG_1.jpg", AT + timedelta(seconds=6))
    _said("new", folder)
    assert "Dated anew" not in _said("run", folder, media)
    book = Book(folder)
    (device,) = {one.device for one in _records(book).media if one.kind is Kind.PHOTO}
    pinned = f'\n[devices."{device}"]\nclock_offset_s = 3600\n'
    book.settings_file.write_text(book.settings_file.read_text(encoding="utf-8") + pinned, encoding="utf-8")
    line = "Dated anew: 1 photo stood at another time before, by up to 1 h. "
    assert line in _said("run", folder)
    assert "Dated anew" not in _said("run", folder)


def _records(book: Book) -> Records:
    return Records.model_validate_json((book.out / "records.json").read_bytes())
