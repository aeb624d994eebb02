"""What a check of a book tells, and how the commands end."""

import json
import re
import shutil
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from typer.testing import CliRunner

from pipeline.command_line import app
from pipeline.commands import sealing
from pipeline.errors import WrongCommand
from pipeline.evidence.book_check import check_book
from pipeline.evidence.check import check, seal_of
from pipeline.evidence.differences import Kind
from pipeline.evidence.sealing import NotSealed, seal_book
from pipeline.history.chain import append
from pipeline.history.events import Act
from pipeline.history.signing import public_half, signature_of, signed_text
from tests.evidence.small_book import MEDIA, NOW, contents, small_book, take_in


def found(place, **more):
    return {(one.path, str(one.kind)) for one in check(place, **more).differences}


def command(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture
def clock(monkeypatch):
    times = [NOW]
    monkeypatch.setattr(sealing, "now", lambda: times[0])
    return times


# A book ------------------------------------------------------------------------------------------------------------


def test_a_book_as_a_run_left_it_has_no_difference_and_is_only_read(tmp_path):
    book = small_book(tmp_path)
    before = contents(tmp_path)
    assert found(book.folder) == set()
    after = contents(tmp_path)
    assert {path: after[path] for path in before} == before


def test_a_changed_original_is_told_by_its_id_and_what_it_is_now(tmp_path):
    book = small_book(tmp_path)
    photo = tmp_path / "media/camera/IMG_1.jpg"
    photo.write_bytes(b"A photo")
    (one,) = check(book.folder).differences
    assert (one.path, one.kind, one.algorithm) == (str(photo), "changed", "sha256")
    assert one.expected != one.found


def test_a_lost_original_is_missing_and_those_on_a_drive_that_is_not_plugged_in_are_away(tmp_path):
    book = small_book(tmp_path)
    (tmp_path / "media/camera/IMG_1.jpg").unlink()
    assert found(book.folder) == {(str(tmp_path / "media/camera/IMG_1.jpg"), "missing")}
    assert [one.why for one in check(book.folder).differences] == [
        "Where it was only renamed or moved, a run of the book finds it again."
    ]
    shutil.move(tmp_path / "media", tmp_path / "unplugged")
    assert {kind for _, kind in found(book.folder)} == {"away"}
    (tmp_path / "media").mkdir()  # where the drive is put
    checked = check(book.folder)
    assert {str(one.kind) for one in checked.differences} == {"away"}
    assert not checked.failed


def test_another_copy_of_the_same_content_will_do(tmp_path):
    book = small_book(tmp_path, {"a/x.jpg": b"same", "b/y.jpg": b"same"})
    (tmp_path / "media/a/x.jpg").unlink()
    assert found(book.folder) == set()


@pytest.mark.parametrize("database", [None, b"no database" * 100])
def test_a_book_without_its_database_is_checked_by_its_records(tmp_path, database):
    book = small_book(tmp_path)
    for path in book.folder.glob("book.db*"):
        path.unlink()
    if database:
        book.store_file.write_bytes(database)
    assert found(book.folder) == set()
    (tmp_path / "media/phone/note.vtt").write_bytes(b"WEBVTT!")
    assert found(book.folder) == {(str(tmp_path / "media/phone/note.vtt"), "changed")}


def test_outputs_that_were_changed_or_lost_are_told(tmp_path):
    book = small_book(tmp_path)
    (book.out / "records.json").write_bytes((book.out / "records.json").read_bytes() + b" ")
    (book.out / "supporters/2026-02/report.html").unlink()
    assert found(book.folder) == {("out/records.json", "changed"), ("out/supporters/2026-02/report.html", "missing")}


def test_a_list_of_an_older_program_without_hashes_is_not_known_rather_than_wrong(tmp_path):
    book = small_book(tmp_path)
    listed = json.loads((book.out / ".written.json").read_text())
    (book.out / ".written.json").write_text(json.dumps({group: list(places) for group, places in listed.items()}))
    checked = check(book.folder)
    assert not checked.failed
    assert {str(one.kind) for one in checked.differences} == {"not-known"}


def test_a_book_that_has_lost_its_list_of_outputs_is_not_said_to_be_whole(tmp_path):
    book = small_book(tmp_path)
    (book.out / ".written.json").unlink()
    (book.out / "records.json").write_bytes((book.out / "records.json").read_bytes() + b" ")
    result = command("check", book.folder)
    assert (result.exit_code, result.stdout) == (
        3,
        "not known, so not checked: out. The list of what was written in it is gone; a run writes it anew.\n",
    )
    assert "is whole" not in result.stderr


def test_a_changed_history_is_told_by_its_line_and_with_what_to_do(tmp_path):
    book = small_book(tmp_path)
    book.history_file.write_bytes(book.history_file.read_bytes().replace(b"answer", b"accept"))
    assert {kind for _, kind in found(book.folder)} == {"history"}
    first, where, to_do = command("check", book.folder).stderr.splitlines()
    assert first.endswith("1 file differs.")
    assert where == "history.jsonl, line 2: this line is not the one that was written last."
    assert to_do.startswith("Put history.jsonl and history.head back from a copy of the book that is sound")


def test_what_to_do_is_told_of_each_kind_of_file_of_a_book(tmp_path):
    book = small_book(tmp_path)
    (tmp_path / "media/camera/IMG_1.jpg").write_bytes(b"A photo")
    (book.out / "supporters/2026-02/report.html").unlink()
    told = command("check", book.folder).stderr
    assert f"To write out/ again: saidseen run {book.folder}" in told
    assert "Put the originals back as they were: from the card, the phone, or a sealed bag." in told
    assert "history" not in told


def test_a_signature_that_fits_nothing_is_told_and_a_typed_name_is_no_difference(tmp_path):
    book = small_book(tmp_path)
    signed = {"entry": "e-1", "version": "0" * 64, "for": "checked the words"}
    append(book.history_file, [Act("Alex Example", "sign", "e-1", None, signed)], NOW)
    assert found(book.folder) == set()
    forged = {**signed, "key": "A" * 43 + "=", "signature": "A" * 86 + "=="}
    append(book.history_file, [Act("Alex Example", "sign", "e-1", None, forged)], NOW)
    assert found(book.folder) == {("history.jsonl, line 4", "signature")}
    sealed = seal_book(book, tmp_path / "bags", NOW)
    bag = sealed.bag
    assert [one.kind for one in sealed.doubts] == ["signature"]
    assert found(bag) == {("data/history.jsonl, line 4", "signature")}


def test_a_key_that_the_book_lists_in_an_earlier_bag_is_good_in_the_next(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    key = Ed25519PrivateKey.from_private_bytes(b"k" * 32)
    settings = book.settings_file.read_text()
    named = '\nname = "Alex Example"\n'
    book.settings_file.write_text(settings.replace(named, f'{named}key = "{public_half(key)}"\n'))
    first = seal_book(book, bags, NOW)
    text = signed_text("e-1", "0" * 64, "checked the words", "Alex Example", NOW)
    signed = {"entry": "e-1", "version": "0" * 64, "for": "checked the words", "key": public_half(key)}
    act = Act("Alex Example", "sign", "e-1", None, {**signed, "signature": signature_of(key, text)})
    append(book.history_file, [act], NOW)
    second = seal_book(book, bags, NOW + timedelta(days=1))
    assert not (second.bag / "data/book.toml").exists()
    assert found(bags) == set()
    shutil.move(first.bag, tmp_path / "away")
    assert {kind for _, kind in found(second.bag)} == {"away"}


# A seal ------------------------------------------------------------------------------------------------------------


def test_a_seal_may_be_typed_in_groups_and_capitals():
    seal = "0123456789abcdef" * 4
    assert seal_of(" 0123 4567-89AB CDEF\n" + seal[16:]) == seal
    assert seal_of("sha256:" + seal) == seal


@pytest.mark.parametrize(("typed", "told"), [("12 34", "64 letters and figures"), ("o" * 64, "'o' is in no seal")])
def test_what_is_no_seal_is_told(typed, told):
    with pytest.raises(WrongCommand, match=told):
        seal_of(typed)


def test_the_seal_of_an_earlier_bag_is_told_as_such(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    first = seal_book(book, bags, NOW)
    append(book.history_file, [Act("Alex Example", "answer", "rule-2")], NOW)
    second = seal_book(book, bags, NOW + timedelta(days=1))
    assert not check(bags, second.seal).failed
    assert not check(first.bag, first.seal).failed
    (one,) = check(bags, first.seal).differences
    assert one.kind == "seal"
    assert first.bag.name in one.why


def test_two_bags_that_go_on_from_the_same_one_are_told(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    seal_book(book, bags, NOW)
    append(book.history_file, [Act("Alex Example", "answer", "rule-2")], NOW)
    second = seal_book(book, bags, NOW + timedelta(days=1))
    shutil.copytree(second.bag, bags / "winter-002-b")
    assert "seal" in {kind for _, kind in found(bags)}


def test_the_bag_is_enough_without_its_book(tmp_path):
    book = small_book(tmp_path)
    sealed = seal_book(book, tmp_path / "bags", NOW)
    moved = tmp_path / "archive" / "box 12"
    moved.parent.mkdir()
    shutil.move(sealed.bag, moved)
    shutil.rmtree(book.folder)
    shutil.rmtree(tmp_path / "media")
    assert not check(moved, sealed.seal).differences


# The commands ------------------------------------------------------------------------------------------------------


def test_seal_prints_the_bag_and_its_seal_puts_a_page_beside_it_and_notes_it(tmp_path, clock):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    result = command("seal", book.folder, bags, "--who", "Alex Example")
    assert result.exit_code == 0, result.output
    where, title, *rows = result.stdout.splitlines()
    assert where == str(bags / "winter-001-2026-03-01")
    assert title == "The seal of winter-001-2026-03-01:"
    assert [len(row.split()) for row in rows] == [4, 4, 4, 4]
    page = (bags / "winter-001-2026-03-01-seal.html").read_text()
    assert all(f"<td>{group}</td>" in page for row in rows for group in row.split())
    (counted,) = re.findall(r"(\d+) files are in the bag", result.stderr)
    assert f" {counted} files," in page
    last = json.loads(book.history_file.read_text().splitlines()[-1])
    assert (last["act"], last["who"], last["after"]["seal"]) == (
        "seal",
        "Alex Example",
        "".join(rows).replace(" ", ""),
    )
    checked = command("check", bags, "--expect", " ".join(rows))
    assert checked.exit_code == 0
    assert "nothing has changed" in checked.stderr
    again = command("seal", book.folder, bags)
    assert again.exit_code == 0
    assert "Nothing is new" in again.stderr
    assert again.stdout == result.stdout


def test_a_line_that_a_stopped_run_left_unfinished_is_mended_before_the_book_is_sealed(tmp_path, clock):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    with book.history_file.open("ab") as history:
        history.write(b'{"act":"tea')
    assert found(book.folder) == {("history.jsonl, line 3", "not-known")}
    assert command("seal", book.folder, bags).exit_code == 0
    assert found(bags) == found(book.folder) == set()


def test_nobody_seals_in_a_name_that_the_book_does_not_list(tmp_path, clock):
    book = small_book(tmp_path)
    result = command("seal", book.folder, tmp_path / "bags", "--who", "Nobody")
    assert result.exit_code == 2
    assert "book.toml lists nobody called 'Nobody'. It lists: Alex Example, Sam Quiet." in result.stderr
    assert not (tmp_path / "bags").exists()


def test_check_ends_in_4_with_every_difference_as_a_line_or_as_json(tmp_path, clock):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    command("seal", book.folder, bags)
    (bags / "winter-001-2026-03-01/data/book.toml").write_bytes(b"x")
    result = command("check", bags)
    assert result.exit_code == 4
    assert "changed: data/book.toml; SHA-256; expected " in result.stdout
    as_json = command("check", bags, "--json")
    assert as_json.exit_code == 4
    told = json.loads(as_json.stdout)
    assert told["failed"]
    assert {one["algorithm"] for one in told["differences"] if one["kind"] == "changed"} == {"sha256", "sha512"}
    wrong = command("check", bags, "--expect", "0" * 64)
    assert wrong.exit_code == 4
    assert "another seal" in wrong.stdout


def test_a_changed_original_in_a_bag_is_one_plain_sentence_that_tells_what_it_is(tmp_path, clock):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    command("seal", book.folder, bags)
    (photo,) = bags.rglob("IMG_1.jpg")
    photo.write_bytes(b"a phot0")
    result = command("check", bags)
    place = photo.relative_to(bags / "winter-001-2026-03-01").as_posix()
    assert result.stderr.splitlines()[:2] == [
        f"{bags} fails its check: 1 file differs.",
        f"{place} (the photo of Saturday 14 February 2026, 10:00) is not the file that was sealed.",
    ]


def test_a_lost_original_in_a_bag_is_told_once_and_not_its_empty_folder_too(tmp_path, clock):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    command("seal", book.folder, bags)
    next(bags.rglob("IMG_1.jpg")).unlink()
    result = command("check", bags)
    assert "1 file differs." in result.stderr
    assert "empty folder" not in result.stdout
    assert result.stderr.splitlines()[-1] == (
        "Keep the bag as it is until you know how that came about, and take what differs from another copy of it."
    )


def test_a_renamed_original_in_a_bag_is_told_by_the_name_that_it_had(tmp_path, clock):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    command("seal", book.folder, bags)
    photo = next(bags.rglob("IMG_1.jpg"))
    place = photo.relative_to(bags / "winter-001-2026-03-01").parent.as_posix()
    photo.rename(photo.with_name("new.jpg"))
    told = command("check", bags).stderr
    held = f"It holds what {place}/IMG_1.jpg held: give it that name again."
    assert f"{place}/new.jpg was not there then. {held}\n" in told


def test_what_a_file_manager_left_in_a_bag_is_told_as_that(tmp_path, clock):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    command("seal", book.folder, bags)
    (bags / "winter-001-2026-03-01/data/Thumbs.db").write_bytes(b"x")
    _, left, to_do = command("check", bags).stderr.splitlines()
    assert left == "data/Thumbs.db was not there then. A file manager leaves such a file by itself: delete it."
    assert to_do == "Take out what was not there then: a bag is never added to."


def test_a_seal_that_was_copied_wrongly_is_told_in_a_plain_sentence(tmp_path, clock):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    seal = "".join(command("seal", book.folder, bags).stdout.splitlines()[2:]).replace(" ", "")
    wrong = seal[:-1] + ("0" if seal[-1] != "0" else "1")
    _, differs, to_do = command("check", bags, "--expect", wrong).stderr.splitlines()
    assert differs == "The seal is not the one that was given: they differ in row 4, group 4."
    assert to_do.startswith("Look whether the seal was copied down rightly")


def test_a_book_whose_settings_cannot_be_read_is_not_said_to_be_whole(tmp_path):
    book = small_book(tmp_path)
    book.settings_file.write_text(book.settings_file.read_text().replace("Europe/London", "London"))
    result = command("check", book.folder)
    assert result.exit_code == 3
    assert "cannot be read: book.toml" in result.stdout and "'London' is not a time zone name" in result.stdout
    assert "is whole" not in result.stderr and "Put them right first" in result.stderr


def test_a_book_in_which_nothing_was_written_is_not_said_to_be_whole(tmp_path):
    assert command("new", tmp_path / "winter").exit_code == 0
    result = command("check", tmp_path / "winter")
    assert (result.exit_code, result.stdout) == (0, "")
    assert "nothing has been written in it yet" in result.stderr


def test_check_ends_in_3_where_originals_are_away_and_2_where_there_is_nothing_to_check(tmp_path):
    book = small_book(tmp_path)
    shutil.rmtree(tmp_path / "media")
    result = command("check", book.folder)
    assert result.exit_code == 3
    assert result.stdout.count("not here, so not checked") == len(MEDIA)
    assert "SHA-256" not in result.stdout  # nothing was found to hold against it
    (tmp_path / "empty").mkdir()
    assert command("check", tmp_path / "empty").exit_code == 2
    assert command("check", tmp_path / "nowhere").exit_code == 2
    assert command("check", book.folder, "--expect", "0" * 64).exit_code == 2


def test_a_name_that_would_turn_the_terminal_is_made_visible(tmp_path):
    book = small_book(tmp_path)
    bag = seal_book(book, tmp_path / "bags", NOW).bag
    (bag / "a\x1b[31m\nb").write_text("x")
    result = command("check", bag)
    assert "a⟨U+001B⟩[31m⟨U+000A⟩b" in result.stdout


def test_the_code_on_the_page_is_read_back_as_the_seal(tmp_path, clock):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    seal = "".join(command("seal", book.folder, bags).stdout.splitlines()[2:]).replace(" ", "")
    page = (bags / "winter-001-2026-03-01-seal.html").read_text()
    across = int(re.search(r'viewBox="0 0 (\d+)', page)[1])
    pixels = np.full((across, across), 255, np.uint8)
    for x, y, length in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\3z", page):
        pixels[int(y), int(x) : int(x) + int(length)] = 0
    (code,) = zxingcpp.read_barcodes(np.kron(pixels, np.ones((4, 4), np.uint8)))
    assert code.text == f"winter-001-2026-03-01 sha256:{seal}"


def test_what_the_history_tells_to_have_been_taken_in_is_missed_where_a_new_database_does_not_know_it(tmp_path):
    book = small_book(tmp_path)
    first = tmp_path / "media" / next(iter(MEDIA))
    book.store_file.unlink()
    shutil.move(first, tmp_path / "elsewhere.jpg")
    take_in(book, tmp_path / "media")
    assert [(Path(one.path), one.kind) for one in check_book(book).differences] == [(first, Kind.MISSING)]
    with pytest.raises(NotSealed, match="gone from where they were"):
        seal_book(book, tmp_path / "bags", NOW)
