"""A book brought back from its bags, with the names, folders and times that its originals had."""

import shutil
from datetime import timedelta

import pytest
from typer.testing import CliRunner

from pipeline.book import Book
from pipeline.command_line import app
from pipeline.errors import WrongCommand
from pipeline.evidence.sealing import SealChoices, seal_book
from pipeline.evidence.unsealing import NotUnsealed, unseal
from pipeline.history.chain import append, read
from pipeline.history.events import Act
from tests.evidence.small_book import MEDIA, NOW, small_book, take_in

PARTS = "notation,preferred,alternatives,kind,gloss,broader,zone,chapter,symmetrical,set,pins\n"
LATER = NOW + timedelta(days=30)


def _below(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_originals_have_their_names_folders_and_times_again_and_the_history_goes_on(tmp_path):
    book = small_book(tmp_path)
    bag = seal_book(book, tmp_path / "bags", NOW).bag
    made = unseal(bag, tmp_path / "back")
    assert made.book == tmp_path / "back" / "winter"
    assert _below(made.originals) == {f"media/{name}": content for name, content in MEDIA.items()}
    assert {path.stat().st_mtime_ns for path in made.originals.rglob("*.*")} == {1_771_000_000 * 10**9}
    for name in ("book.toml", "history.jsonl", "history.head"):
        assert (made.book / name).read_bytes() == (book.folder / name).read_bytes()
    append(Book(made.book).history_file, [Act("Alex Example", "answer", "rule-2")], LATER)
    assert len(read(Book(made.book).history_file).events) == 3
    assert not (made.book / "out").exists()


def test_every_name_of_one_content_is_there_again(tmp_path):
    media = {"a/IMG_1.jpg": b"same", "b/20260214_101500.jpg": b"same"}
    made = unseal(seal_book(small_book(tmp_path, media), tmp_path / "bags", NOW).bag, tmp_path / "back")
    assert _below(made.originals) == {f"media/{name}": content for name, content in media.items()}


def test_what_lies_in_an_earlier_bag_comes_from_there(tmp_path):
    book = small_book(tmp_path)
    book.vocabulary_folder.mkdir(exist_ok=True)
    (book.vocabulary_folder / "parts.csv").write_text(PARTS)
    first = seal_book(book, tmp_path / "bags", NOW)
    (tmp_path / "media/camera/IMG_2.jpg").write_bytes(b"another photo")
    take_in(book, tmp_path / "media")
    second = seal_book(book, tmp_path / "bags", LATER)
    append(book.history_file, [Act("Alex Example", "answer", "rule-2")], LATER)
    seal_book(book, tmp_path / "bags", LATER + timedelta(days=1))  # its originals are all in the bags before it
    made = unseal(tmp_path / "bags", tmp_path / "back")
    assert set(_below(made.originals)) == {f"media/{name}" for name in (*MEDIA, "camera/IMG_2.jpg")}
    assert (made.book / "vocab/parts.csv").read_text() == PARTS
    assert (made.book / "history.jsonl").read_bytes() == book.history_file.read_bytes()
    shutil.rmtree(first.bag)
    with pytest.raises(NotUnsealed, match=f"goes on from {first.bag.name}, which is not here"):
        unseal(second.bag, tmp_path / "without")


def test_a_bag_that_fails_its_check_makes_no_book(tmp_path):
    bag = seal_book(small_book(tmp_path), tmp_path / "bags", NOW).bag
    next(bag.rglob("IMG_1.jpg")).write_bytes(b"A photo")
    with pytest.raises(NotUnsealed, match="Take what differs from another copy of the bag first"):
        unseal(bag, tmp_path / "back")
    assert not (tmp_path / "back").exists()


def test_nothing_is_laid_over_what_is_there_and_only_a_bag_is_unsealed(tmp_path):
    book = small_book(tmp_path)
    bag = seal_book(book, tmp_path / "bags", NOW).bag
    with pytest.raises(WrongCommand, match="is there already"):
        unseal(bag, tmp_path / "media")
    for place in (book.folder, tmp_path / "nowhere"):
        with pytest.raises(WrongCommand, match="is no bag of saidseen"):
            unseal(place, tmp_path / "back")
    (tmp_path / "back").mkdir()  # an empty one will do
    assert unseal(bag, tmp_path / "back").files


def test_of_bags_of_two_books_in_one_folder_one_has_to_be_named(tmp_path):
    for home in ("one", "other"):
        book = small_book(tmp_path / home)
        bag = seal_book(Book(book.folder.rename(tmp_path / home / home)), tmp_path / "bags", NOW).bag
    with pytest.raises(WrongCommand, match=r"several books \(one and other\)"):
        unseal(tmp_path / "bags", tmp_path / "back")
    assert unseal(bag, tmp_path / "back").book.name == "other"


def test_the_command_tells_what_to_type_next_and_what_was_in_no_bag(tmp_path):
    book = small_book(tmp_path)
    (tmp_path / "media/camera/IMG_1.jpg").unlink()
    bag = seal_book(book, tmp_path / "bags", NOW, SealChoices(without_missing=True)).bag
    result = CliRunner().invoke(app, ["unseal", str(bag), str(tmp_path / "came back")])
    assert result.exit_code == 3
    assert result.stdout == f"{tmp_path / 'came back' / 'winter'}\n"
    lacking, _, then = result.stderr.splitlines()
    assert lacking == "Not in the bags: originals/media/camera/IMG_1.jpg"
    assert then == f'Then: saidseen run "{tmp_path}/came back/winter" "{tmp_path}/came back/originals"'


def test_paths_of_the_list_never_lead_out_of_the_folder(tmp_path, monkeypatch):
    bag = seal_book(small_book(tmp_path), tmp_path / "bags", NOW).bag
    (place,) = (path.relative_to(bag).as_posix() for path in bag.rglob("IMG_1.jpg"))
    hostile = [{"place": place, "paths": ["../../../etc/x.jpg", "/etc/x.jpg", "//host/x.jpg", "a/../../y.jpg"]}]
    monkeypatch.setattr("pipeline.evidence.unsealing.originals_in", lambda content: hostile)
    made = unseal(bag, tmp_path / "back")
    laid = sorted(_below(made.originals))
    assert len(laid) == 4 and {"etc/x.jpg", "host/x.jpg", "a/y.jpg"} <= set(laid)
    assert set(_below(tmp_path / "back")) == {*(f"originals/{one}" for one in laid), *_book_files(made)}


def _book_files(made):
    return {f"winter/{name}" for name in _below(made.book)}
