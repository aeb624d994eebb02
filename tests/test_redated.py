"""What a run dated anew is said in one line."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from typer.testing import CliRunner

from pipeline.book import Book
from pipeline.command_line import app
from pipeline.records import EntryRecord, MediaRecord, Records
from pipeline.redated import told_of_redated
from pipeline.values import Dated, Kind, TimeSource
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


def _before(number: int, earlier_s: float) -> Dated:
    at = AT - timedelta(seconds=earlier_s)
    return Dated(media=_id(number), at=at, source=TimeSource.EXIF, error_s=1.0, shown_at=at)


def _entry(number: int, media: int) -> EntryRecord:
    return EntryRecord(id=f"e-{number}", at=AT, media=_id(media), start_s=0, end_s=1, utterances=())


MEDIA = [_media(1, Kind.RECORDING), _media(2, Kind.RECORDING), _media(3, Kind.PHOTO), _media(4, Kind.PHOTO)]
ENTRIES = [_entry(1, 1), _entry(2, 1), _entry(3, 2)]


def test_entries_and_photos_that_stood_an_hour_away_are_counted_in_one_line() -> None:
    before = [_before(1, 3598.5), _before(2, 0), _before(3, -120)]
    line = told_of_redated(before, MEDIA, ENTRIES, PAGE)
    assert line == (
        "Dated anew: 2 entries and 1 photo stood at another time before, by up to 59 min 58 s. Which clock, and why: "
        f"{PAGE}."
    )


def test_seconds_are_not_worth_a_line_and_what_is_new_stood_nowhere_before() -> None:
    assert told_of_redated([_before(1, 59), _before(3, 2)], MEDIA, ENTRIES, PAGE) == ""
    assert told_of_redated([], MEDIA, ENTRIES, PAGE) == ""


def test_recording_without_an_entry_is_told_too() -> None:
    line = told_of_redated([_before(2, 3600)], MEDIA, ENTRIES[:2], PAGE)
    assert line.startswith("Dated anew: 1 recording stood at another time before, by up to 1 h.")


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
