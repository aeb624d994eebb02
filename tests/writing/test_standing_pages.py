"""A page that was not worked out again holds what it would hold if it had been: whatever has changed since."""

import json
import os
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given
from hypothesis import settings as effort
from hypothesis import strategies as st

from pipeline.errors import ItemFault
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import Caution, Records
from pipeline.settings import Person, Settings
from pipeline.writing import made_from, timeline_places, write
from pipeline.writing.day_files import DayFiles
from pipeline.writing.logbook_pdf import LogbookSetter
from pipeline.writing.viewing_copies import Makers
from pipeline.writing.written_files import Written
from tests.writing.a_weekend import drawn_picture, records, settings, vocabulary
from tests.writing.a_winter import winter

Made = tuple[Records, Settings, Vocabulary]
ID = frozenset({"id", "media", "still_of", "utterance", "utterances", "version"})


def _picture(*of: object) -> bytes:
    return drawn_picture(Path("any"), 80)


def _sound(path: Path, content_type: str, to: Path) -> None:
    to.write_bytes(b"sound")


ALIKE = Makers(_picture, _picture, _sound)
"""Copies that are the same for every original: one is not made again where only its name or its type has changed."""
LISTS = (
    "media",
    "clocks",
    "utterances",
    "entries",
    "unplaced_speech",
    "not_understood",
    "unplaced_photos",
    "cautions",
)


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave the supporters out, which have tests of their own, and keep what a PDF would be set from as its bytes."""
    monkeypatch.setattr(write, "bring_reports", lambda *_: Written())
    monkeypatch.setattr(LogbookSetter, "set", lambda self, filled: self.key(filled).encode())


@pytest.fixture(params=["on one page", "a page a day"])
def many_pages(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    if request.param == "a page a day":
        monkeypatch.setattr(timeline_places, "MOST_ON_ONE_PAGE", 0)
    return str(request.param)


def _write(out: Path, book: Records, own: Settings | None = None, terms: Vocabulary | None = None) -> Written:
    return write.write_book(book, own or settings(), terms or vocabulary(), out, ALIKE)


def _contents(out: Path) -> dict[str, bytes]:
    return {f"{one.relative_to(out)}": one.read_bytes() for one in sorted(out.rglob("*")) if one.is_file()}


def _made_days(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Return a list that the days are added to whose files are worked out."""
    made: list[str] = []
    honest = DayFiles.make
    monkeypatch.setattr(DayFiles, "make", lambda self, day: made.append(str(day)) or honest(self, day))
    return made


def _changed(value: Any, draw: Random) -> Any:
    """Return another value of the same kind, as JSON has it."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, float):
        return value / 2 + 0.25
    if isinstance(value, str):
        try:
            at = datetime.fromisoformat(value)
        except ValueError:
            return f"{value} too"
        return (at + timedelta(seconds=draw.choice([1, 90, 86_400]))).isoformat()
    if isinstance(value, list) and value:
        more = [*value, "more"] if isinstance(value[0], str) else [*value[:-1], _with_one_changed(value[-1], draw)]
        return draw.choice([value[:-1], more])
    return value


def _with_one_changed(held: Any, draw: Random) -> Any:
    """Return a record, as JSON has it, with one of its fields changed, but for those by which others name it."""
    if not isinstance(held, dict):
        return held
    name = draw.choice(sorted(set(held) - ID))
    return {**held, name: _changed(held[name], draw)}


def _with_another(book: Records, draw: Random) -> Records:
    """Return a book with one record changed; the same where the change makes no record."""
    name = draw.choice([one for one in LISTS if getattr(book, one)])
    held = getattr(book, name)
    at = draw.randrange(len(held))
    new = _with_one_changed(held[at].model_dump(mode="json", by_alias=True), draw)
    try:
        one = type(held[at]).model_validate_json(json.dumps(new))
    except ValueError:  # of a few words only, and this is none of them
        return book
    return book.model_copy(update={name: (*held[:at], one, *held[at + 1 :])})


@effort(
    max_examples=8,
    deadline=None,
    phases=(Phase.generate,),  # a book is not made simpler in a test's time
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(draw=st.randoms(use_true_random=False))
def test_a_book_that_is_written_again_and_again_holds_what_one_holds_that_is_written_once(
    tmp_path_factory: pytest.TempPathFactory, many_pages: str, draw: Random
) -> None:
    home, book = tmp_path_factory.mktemp("book"), draw.choice([records(), winter(3, 12, 24)])
    for _ in range(4):
        _write(home / "grown" / "out", book)
        book = _with_another(book, draw)
    _write(home / "grown" / "out", book)
    _write(home / "at once" / "out", book)
    assert _contents(home / "grown" / "out") == _contents(home / "at once" / "out")


def _person() -> Made:
    return records(), settings().model_copy(update={"people": (Person(name="Port Wing"),)}), vocabulary()


def _zone() -> Made:
    time = settings().time.model_copy(update={"zone": "Pacific/Auckland"})
    return records(), settings().model_copy(update={"time": time}), vocabulary()


def _term() -> Made:
    parts = tuple(one.model_copy(update={"preferred": f"{one.preferred} thing"}) for one in vocabulary().parts)
    return records(), settings(), vocabulary().model_copy(update={"parts": parts})


def _aircraft() -> Made:
    book = records()
    named = book.book.model_copy(update={"aircraft": "Another Trainer"})
    return book.model_copy(update={"book": named}), settings(), vocabulary()


def _advice_before() -> Made:
    book = records()
    new = Caution(rule="any", text="Mind the step.", entries=(book.entries[-1].id,))
    return book.model_copy(update={"cautions": (new, *book.cautions)}), settings(), vocabulary()


def _photo_elsewhere() -> Made:
    book = records()
    photos = [link for one in book.entries for link in one.photos]
    without = [one.model_copy(update={"photos": ()}) for one in book.entries]
    entries = (without[0].model_copy(update={"photos": tuple(photos)}), *without[1:])
    return book.model_copy(update={"entries": entries}), settings(), vocabulary()


def _day_gone() -> Made:
    book = records()
    first = book.entries[0].at.date()
    kept: dict[str, Any] = {
        "entries": tuple(one for one in book.entries if one.at.date() != first),
        "unplaced_speech": (),
        "not_understood": (),
        "unplaced_photos": (),
        "media": tuple(one for one in book.media if one.taken_at.date() != first),
        "utterances": tuple(one for one in book.utterances if one.start_at.date() != first),
    }
    return book.model_copy(update=kept), settings(), vocabulary()


@pytest.mark.parametrize(
    "changed",
    [_person, _zone, _term, _aircraft, _advice_before, _photo_elsewhere, _day_gone],
    ids=lambda one: one.__name__,
)
def test_what_a_day_depends_on_makes_its_pages_anew_there_and_back(
    tmp_path: Path, many_pages: str, changed: Callable[[], Made]
) -> None:
    out, fresh, before = tmp_path / "grown" / "out", tmp_path / "new" / "out", tmp_path / "old" / "out"
    _write(out, records())
    _write(out, *changed())
    _write(fresh, *changed())
    assert _contents(out) == _contents(fresh)
    _write(out, records())
    _write(before, records())
    assert _contents(out) == _contents(before)


def test_only_the_day_that_something_happened_on_is_worked_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, many_pages: str
) -> None:
    made = _made_days(monkeypatch)
    book = winter(3, 12, 24)
    _write(tmp_path / "out", book)
    assert made == ["2025-10-04", "2025-10-06", "2025-10-08"]
    made.clear()
    _write(tmp_path / "out", book)
    assert made == []
    last = book.entries[-1].model_copy(update={"review": "accepted"})
    _write(tmp_path / "out", book.model_copy(update={"entries": (*book.entries[:-1], last)}))
    assert made == ["2025-10-08"]


def test_another_program_works_every_page_out_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = _made_days(monkeypatch)
    _write(tmp_path / "out", records())
    every = [*made]
    monkeypatch.setattr(made_from, "made_by", lambda: "another program")
    _write(tmp_path / "out", records())
    assert made == [*every, *every]


@pytest.mark.parametrize("place", ["logbook/2026-02-14.html", "logbook/logbook.pdf", "captions"])
def test_a_file_that_a_hand_has_changed_or_deleted_is_made_again(tmp_path: Path, place: str) -> None:
    out = tmp_path / "out"
    _write(out, records())
    whole = _contents(out)
    path = sorted((out / place).iterdir())[0] if place == "captions" else out / place
    info = path.stat()
    path.write_bytes(path.read_bytes()[::-1])
    os.utime(path, ns=(info.st_atime_ns, info.st_mtime_ns))  # as if nothing had happened
    _write(out, records())
    assert _contents(out) == whole
    path.unlink()
    _write(out, records())
    assert _contents(out) == whole


def test_a_file_that_was_touched_and_is_the_same_stands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "out"
    _write(out, records())
    for path in out.rglob("*.html"):
        path.touch()
    made = _made_days(monkeypatch)
    _write(out, records())
    assert made == []


def test_a_file_that_was_changed_while_the_book_was_written_is_not_taken_for_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out, page = tmp_path / "out", tmp_path / "out" / "logbook" / "2026-02-14.html"
    _write(out, records())
    whole = page.read_bytes()
    last = records().entries[-1].model_copy(update={"review": "accepted"})
    other = records().model_copy(update={"entries": (*records().entries[:-1], last)})
    honest = write.place_files

    def meddled_with(*given: Any) -> Written:
        done = honest(*given)
        page.write_bytes(b"meddled with")
        return done

    with monkeypatch.context() as patch:
        patch.setattr(write, "place_files", meddled_with)
        _write(out, other)
    _write(out, other)
    assert page.read_bytes() == whole


def test_a_list_that_is_no_list_makes_everything_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "out"
    _write(out, records())
    whole = _contents(out)
    for held in ("", "[]", json.dumps({"logbook/2026-02-14.html": 3})):
        (out / ".made-from.json").write_text(held)
        made = _made_days(monkeypatch)
        _write(out, records())
        assert made
        assert _contents(out) == whole


def test_a_copy_that_could_be_made_at_last_comes_onto_the_pages(tmp_path: Path) -> None:
    def fails(path: Path, longest_px: int) -> bytes:
        if path.name == "photo-01.jpg":
            raise ItemFault("The picture is cut short.")
        return ALIKE.picture(path, longest_px)

    out, fresh = tmp_path / "out", tmp_path / "fresh" / "out"
    makers = Makers(fails, ALIKE.still, ALIKE.sound)
    write.write_book(records(), settings(), vocabulary(), out, makers)
    _write(out, records())
    _write(fresh, records())
    assert _contents(out) == _contents(fresh)


@pytest.mark.parametrize("at", [2, 4, 6, 9])
def test_a_writing_that_was_killed_and_went_on_holds_what_one_holds_that_nobody_killed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    out, fresh = tmp_path / "out", tmp_path / "fresh" / "out"
    _write(out, records())
    honest, count = DayFiles.make, iter(range(1, 100))
    changed = _term()

    def dies(self: DayFiles, day: Any) -> dict[str, bytes]:
        if next(count) * 2 >= at:
            raise KeyboardInterrupt
        return honest(self, day)

    with monkeypatch.context() as patch:
        patch.setattr(DayFiles, "make", dies)
        if at <= 4:
            with pytest.raises(KeyboardInterrupt):
                _write(out, *changed)
    _write(out, records())
    _write(fresh, records())
    assert _contents(out) == _contents(fresh)


def test_what_pages_are_made_from_is_told_piece_by_piece_and_any_change_of_it_shows() -> None:
    book = records()
    pieces = list(made_from.pieces_of(book))
    assert max(map(len, pieces)) < sum(map(len, pieces)) / 10
    part = book.lists.parts_off[-1]
    other = part.model_copy(update={"tag": "P-9999"})
    lists = book.lists.model_copy(update={"parts_off": (*book.lists.parts_off[:-1], other)})
    fewer = book.model_copy(update={"utterances": book.utterances[:-1]})
    named = book.model_copy(update={"book": book.book.model_copy(update={"aircraft": "another"})})
    for changed in (book.model_copy(update={"lists": lists}), fewer, named):
        assert list(made_from.pieces_of(changed)) != pieces
