"""Files that change while they are read, or after: nothing is kept under the id of what they no longer are."""

import hashlib
import io
from datetime import timedelta
from pathlib import Path

import pytest
from PIL import Image

from measuring.small_story import Warm
from pipeline import stages
from pipeline.book import Book, new_book
from pipeline.errors import ExitCode
from pipeline.intake.walk import hash_file
from pipeline.runner import Choices, run
from pipeline.store import Store
from pipeline.writing.viewing_copies import picture_copy
from tests.small_media import make_captions, make_photo
from tests.test_runner import NOW, TEN

CHANGED = "It changed while it was being read. Wait until copying has finished, then run again: it is read anew."
FIN = "WEBVTT\n\nNOTE taken {taken}\n\n00:00.000 --> 00:03.000\nThe fin's off.\n"


@pytest.fixture(scope="module")
def warm() -> Warm:
    return Warm()


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return new_book(tmp_path / "book", NOW.date(), aircraft="Crew Trainer")


@pytest.fixture
def media(tmp_path: Path) -> Path:
    make_captions(tmp_path / "media" / "note.vtt", TEN)
    make_photo(tmp_path / "media" / "IMG_1.jpg", TEN + timedelta(seconds=6))
    return tmp_path / "media"


def write_other(file: Path) -> None:
    if file.suffix == ".vtt":
        make_captions(file, TEN, FIN)
    else:
        make_photo(file, TEN + timedelta(seconds=6), seed=7)


def media_id(path: Path) -> str:
    return f"sha256:{hashlib.sha256(path.read_bytes()).hexdigest()}"


@pytest.mark.parametrize(
    ("stage", "name"), [("look", "IMG_1.jpg"), ("codes_in", "IMG_1.jpg"), ("read_captions", "note.vtt")]
)
def test_what_is_made_of_a_file_that_changed_since_it_was_hashed_is_not_kept(
    stage, name, book, media, warm, monkeypatch, originals
):
    really, file = getattr(stages, stage), media / name
    was = media_id(file)

    def changed_first(path: Path, *how: object) -> object:
        if path == file:
            with originals.let():
                write_other(file)
        return really(path, *how)

    with monkeypatch.context() as patch:
        patch.setattr(stages, stage, changed_first)
        outcome = run(book, [media], NOW, bench=warm.bench)
    assert (name, CHANGED) in [(Path(one.path).name, one.why) for one in outcome.set_aside]
    with Store(book.store_file) as store:
        kept = "hear" if stage == "read_captions" else stage.removesuffix("_in")
        assert store.latest(kept, was) is None
    outcome = run(book, [], NOW, bench=warm.bench)
    assert media_id(file) in {one.id for one in outcome.records.media}
    if name == "note.vtt":
        assert [one.heard for one in outcome.records.utterances] == ["The fin's off."]


def test_file_that_is_still_being_copied_is_taken_in_by_the_next_run(book, media, warm, monkeypatch, originals):
    file = media / "IMG_1.jpg"

    def growing(path: Path) -> str:
        found = hash_file(path)
        if path == file:
            with originals.let():
                file.write_bytes(file.read_bytes() + b" more of it")
        return found

    with monkeypatch.context() as patch:
        patch.setattr("pipeline.working.hash_file", growing)
        outcome = run(book, [media], NOW, bench=warm.bench)
    assert [(Path(one.path).name, one.why) for one in outcome.set_aside] == [("IMG_1.jpg", CHANGED)]
    outcome = run(book, [], NOW, bench=warm.bench)
    assert outcome.exit_code is ExitCode.DONE
    assert media_id(file) in {one.id for one in outcome.records.media}


def test_no_copy_is_made_under_the_name_of_what_a_photo_was_before(book, media, warm):
    photo = media / "IMG_1.jpg"
    was = media_id(photo)
    run(book, [media], NOW, bench=warm.bench)
    before = (book.out / picture_copy(was)).read_bytes()
    make_photo(photo, TEN + timedelta(seconds=6), seed=7)
    outcome = run(book, [], NOW, bench=warm.bench)
    assert (book.out / picture_copy(was)).read_bytes() == before
    (book.out / picture_copy(was)).unlink()
    outcome = run(book, [], NOW, Choices(again=True), bench=warm.bench)
    assert not (book.out / picture_copy(was)).exists()
    assert ["Its content has changed since" in why for _, why in outcome.copies_missing] == [True]
    now = Image.open(io.BytesIO((book.out / picture_copy(media_id(photo))).read_bytes()))
    assert now.size == Image.open(photo).size


def test_a_file_that_was_changed_where_it_lies_is_named_by_the_run_that_finds_it(book, media, warm):
    note = media / "note.vtt"
    assert run(book, [media], NOW, bench=warm.bench).changed == ()
    note.touch()
    assert run(book, [], NOW, bench=warm.bench).changed == ()
    write_other(note)
    assert run(book, [], NOW, bench=warm.bench).changed == (str(note),)
    assert run(book, [], NOW, Choices(again=True), bench=warm.bench).changed == ()
