"""A book sealed as a bag, and sealed again."""

import errno
import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
import unicodedata
from datetime import timedelta
from pathlib import Path
from textwrap import dedent

import pytest

from pipeline.errors import RunFault, WrongCommand
from pipeline.evidence import bag_writing
from pipeline.evidence.bag_reading import Bag
from pipeline.evidence.book_check import check_book
from pipeline.evidence.check import check
from pipeline.evidence.differences import Kind
from pipeline.evidence.seal_command import seal_and_tell
from pipeline.evidence.sealing import NotSealed, SealChoices, seal_book
from pipeline.history.chain import append, read
from pipeline.history.events import Act
from pipeline.store import Store
from pipeline.values import FileSeen
from tests.evidence.small_book import MEDIA, NOW, contents, media_id, small_book, take_in

ROOT = Path(__file__).parent.parent.parent
LATER = NOW + timedelta(days=30)


def originals(bag: Path) -> list[dict]:
    return json.loads((bag / "data/originals.json").read_text())["originals"]


def test_a_bag_holds_originals_outputs_settings_history_vocabulary_and_versions(tmp_path):
    bag = seal_book(small_book(tmp_path), tmp_path / "bags", NOW).bag
    held = contents(bag)
    assert sorted(content for path, content in held.items() if path.startswith("data/originals/")) == sorted(
        MEDIA.values()
    )
    for path in (
        "README.txt", "data/edits.toml",
        "data/book.toml", "data/history.jsonl", "data/out/records.json", "data/out/captions/note-1.vtt",
        "data/vocabulary/vocabulary.ttl", "data/vocabulary/base/parts.csv", "data/made-with.json",
        "data/ro-crate-metadata.json", "bag-info.txt", "tagmanifest-sha512.txt",
    ):  # fmt: skip
        assert path in held, path
    made = json.loads(held["data/made-with.json"])
    assert made["records_made_with"]["model"] == "base sha256:0"
    assert made["packages"]["pydantic"]
    assert not any("supporters" in path or path.endswith((".db", ".log")) for path in held)


def test_the_bags_first_page_tells_where_things_are_and_its_commands_check_it(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    sealed = seal_book(book, bags, NOW)
    text = (sealed.bag / "README.txt").read_text()
    assert text.startswith(f"{sealed.bag.name}: the record of work on Crew Trainer\n")
    assert "certifies nothing" in text and all(len(line) <= 80 for line in text.splitlines())
    told = [line.split()[0] for line in text.splitlines() if line.startswith("data/") and "  " in line]
    assert {"data/out/logbook/index.html", "data/history.jsonl", "data/originals/"} <= set(told)
    assert all((sealed.bag / one).exists() for one in told)
    for command in (line.strip() for line in text.splitlines() if line.startswith("    sha256sum --check")):
        done = subprocess.run(command.split(), cwd=sealed.bag, capture_output=True, text=True)
        assert (done.returncode, done.stdout) == (0, ""), command
    seen = subprocess.run(["sha256sum", "tagmanifest-sha256.txt"], cwd=sealed.bag, capture_output=True, text=True)
    assert seen.stdout.split()[0] == sealed.seal
    (tmp_path / "media/camera/IMG_2.jpg").write_bytes(b"another photo")
    take_in(book, tmp_path / "media")
    later = " ".join((seal_book(book, bags, LATER).bag / "README.txt").read_text().split())
    assert f"It goes on from {sealed.bag.name}" in later
    assert f"data/vocabulary/ The words of the trade by which the speech was read (in {sealed.bag.name})" in later


def test_the_lines_of_python_on_the_first_page_find_what_was_changed_or_lost(tmp_path):
    media = {"a/100% é.jpg": b"a photo", "a/kept.jpg": b"kept", "a/lost.jpg": b"lost"}
    sealed = seal_book(small_book(tmp_path, media), tmp_path / "bags é", NOW)
    page = (sealed.bag / "README.txt").read_text()
    lines = page[page.index("    import hashlib") : page.index("The second number of Payload-Oxum")]
    (tmp_path / "check_bag.py").write_text(dedent(lines))

    def told():
        command = [sys.executable, "-I", "-X", "utf8", str(tmp_path / "check_bag.py"), str(sealed.bag)]
        return subprocess.run(command, capture_output=True, encoding="utf-8", check=True).stdout.splitlines()

    assert told() == [f"seal: {sealed.seal}"]
    next(sealed.bag.rglob("100% é.jpg")).write_bytes(b"a phot0")
    next(sealed.bag.rglob("lost.jpg")).unlink()
    (sealed.bag / "bag-info.txt").write_text("x")
    seal, *others = told()
    assert seal == f"seal: {sealed.seal}"
    assert sorted(one.rpartition("/")[2] for one in others) == [
        "100% é.jpg",
        "lost.jpg",
        "not what was sealed, or gone: bag-info.txt",
    ]


def test_originals_are_copied_and_stay_as_they_are(tmp_path):
    book = small_book(tmp_path)
    media = tmp_path / "media"
    before = {path: (path.stat().st_mtime_ns, path.read_bytes()) for path in media.rglob("*") if path.is_file()}
    for path in before:
        path.chmod(0o444)
    bag = seal_book(book, tmp_path / "bags", NOW).bag
    assert {path: (path.stat().st_mtime_ns, path.read_bytes()) for path in before} == before
    copies = [path for path in (bag / "data/originals").rglob("*") if path.is_file()]
    assert {path.stat().st_mtime_ns for path in copies} == {1_771_000_000 * 10**9}


def test_the_same_content_under_two_names_is_held_once_and_both_names_are_told(tmp_path):
    bag = seal_book(small_book(tmp_path, {"a/x.jpg": b"same", "b/y.jpg": b"same"}), tmp_path / "bags", NOW).bag
    (one,) = originals(bag)
    assert one["paths"] == ["../media/a/x.jpg", "../media/b/y.jpg"]
    assert len(list((bag / "data/originals").rglob("*.jpg"))) == 1


def test_the_same_book_at_the_same_time_gives_the_same_bytes(tmp_path):
    book = small_book(tmp_path)
    one, other = (seal_book(book, tmp_path / name, NOW) for name in ("one", "other"))
    assert contents(one.bag) == contents(other.bag)
    assert one.seal == other.seal
    assert one.seal == hashlib.sha256((one.bag / "tagmanifest-sha256.txt").read_bytes()).hexdigest()


HOSTILE = [
    "100%.jpg", "%0A.jpg", "new\nline.jpg", "re\rturn.jpg", "it's \"so\".jpg", "🔧 gear.jpg", " two  blanks .jpg",
    unicodedata.normalize("NFC", "é.jpg"), unicodedata.normalize("NFD", "é.jpg"), "IMG.JPG", "img.jpg",
    "10:15?.jpg", "*star.jpg", "-rf.jpg", "CON.jpg", "tab\t.jpg", "back\\slash.jpg", "l" * 251 + ".jpg", "‮gpj.jpg",
]  # fmt: skip


@pytest.mark.skipif(sys.platform != "linux", reason="other systems cannot hold these names")
def test_every_name_is_kept_as_it_is_told_apart_and_found_whole(tmp_path):
    media = {f"media/{name}": name.encode() for name in HOSTILE}
    sealed = seal_book(small_book(tmp_path, media), tmp_path / "bags", NOW)
    kept = {path.name: path.read_bytes() for path in (sealed.bag / "data/originals").rglob("*") if path.is_file()}
    assert kept == {name: name.encode() for name in HOSTILE}
    assert not check(sealed.bag).differences
    refused = {Path(path).name for path, _ in sealed.not_on_windows}
    assert {"10:15?.jpg", "CON.jpg", "new\nline.jpg", "*star.jpg", "back\\slash.jpg"} <= refused
    assert not {"100%.jpg", "é.jpg", "IMG.JPG"} & refused


@pytest.mark.skipif(sys.platform != "linux", reason="other systems cannot hold these names")
def test_plain_names_are_names_that_windows_can_hold_and_the_list_tells_the_real_ones(tmp_path):
    media = {f"media/{name}": name.encode() for name in HOSTILE}
    book = small_book(tmp_path, media)
    sealed = seal_book(book, tmp_path / "bags", NOW, SealChoices(plain_names=True))
    assert sealed.not_on_windows == ()
    assert not check(sealed.bag).differences
    told = {Path(path).name for one in originals(sealed.bag) for path in one["paths"]}
    assert told == set(HOSTILE)


@pytest.mark.skipif(sys.platform != "linux", reason="other systems cannot hold such a name")
def test_a_name_that_is_no_utf8_is_held_under_one_that_is(tmp_path):
    name = b"caf\xe9.jpg".decode("utf-8", "surrogateescape")
    book = small_book(tmp_path)
    (book.out / "labels").mkdir()
    (book.out / "labels" / name).write_bytes(b"x")
    sealed = seal_book(book, tmp_path / "bags", NOW)
    assert not check(sealed.bag).differences
    assert (sealed.bag / "data/out/labels/caf_.jpg").read_bytes() == b"x"


def test_sealing_again_holds_only_what_is_new_and_names_the_bag_before(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    first = seal_book(book, bags, NOW)
    (tmp_path / "media/camera/IMG_2.jpg").write_bytes(b"another photo")
    take_in(book, tmp_path / "media")
    second = seal_book(book, bags, LATER)
    assert [path.read_bytes() for path in (second.bag / "data/originals").rglob("*.jpg")] == [b"another photo"]
    assert not (second.bag / "data/vocabulary").exists()
    told = json.loads((second.bag / "carried-over.json").read_text())
    assert told["bags"] == [{"name": first.bag.name, "seal": first.seal}]
    assert first.seal in Bag(second.bag).info["DCTERMS-Relation"]
    assert "data/vocabulary/vocabulary.ttl" in {file["path"] for file in told["files"]}
    checked = check(bags)
    assert not checked.differences
    assert [name for name, _ in checked.seals] == [first.bag.name, second.bag.name]
    (tmp_path / "media/camera/IMG_3.jpg").write_bytes(b"a third")
    take_in(book, tmp_path / "media")
    seal_book(book, bags, LATER + timedelta(days=1))
    assert not check(bags).differences


def test_nothing_new_adds_no_bag_also_when_only_the_sealing_was_noted(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    first = seal_book(book, bags, NOW)
    append(book.history_file, [Act("saidseen 0.1.0", "seal", first.bag.name, None, {"seal": first.seal})], NOW)
    again = seal_book(book, bags, LATER)
    assert (again.already, again.bag, again.seal) == (True, first.bag, first.seal)
    append(book.history_file, [Act("Alex Example", "answer", "rule-2")], NOW)
    assert not seal_book(book, bags, LATER).already


def test_a_sealing_that_was_stopped_before_it_was_noted_is_noted_by_the_next(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    made = seal_book(book, bags, NOW)
    for _ in range(2):
        seal_and_tell(book, bags, LATER)
        noted = [event.after for event in read(book.history_file).events if event.act == "seal"]
        assert noted == [{"bag": made.bag.name, "seal": made.seal}]


def test_an_earlier_bag_that_was_changed_is_not_gone_on_from(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    first = seal_book(book, bags, NOW)
    (first.bag / "data/book.toml").unlink()
    with pytest.raises(NotSealed, match="is not as it was sealed"):
        seal_book(book, bags, LATER)


def test_a_chain_whose_first_bag_is_away_or_was_changed_is_told_apart(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    first = seal_book(book, bags, NOW)
    append(book.history_file, [Act("Alex Example", "answer", "rule-2")], NOW)
    second = seal_book(book, bags, LATER)
    shutil.move(first.bag, tmp_path / "elsewhere")
    away = check(second.bag)
    assert not away.failed
    assert [one.kind for one in away.differences] == ["away"]
    shutil.copytree(tmp_path / "elsewhere", first.bag)
    assert not check(second.bag).differences
    with (first.bag / "tagmanifest-sha256.txt").open("a") as file:
        file.write("\n")
    assert "seal" in {one.kind for one in check(second.bag).differences}


def test_originals_that_are_away_are_not_sealed_in_silence(tmp_path):
    book = small_book(tmp_path)
    shutil.move(tmp_path / "media", tmp_path / "unplugged")
    with pytest.raises(NotSealed, match="Some originals are not here: plug their drive in") as fault:
        seal_book(book, tmp_path / "bags", NOW)
    assert {one.kind for one in fault.value.differences} == {"away"}
    sealed = seal_book(book, tmp_path / "bags", NOW, SealChoices(without_missing=True))
    assert len(sealed.lacking) == len(MEDIA)
    assert {one["lacking"] for one in originals(sealed.bag)} == {"away"}
    checked = check(sealed.bag)
    assert not checked.failed
    assert len(checked.differences) == len(MEDIA)
    assert Bag(sealed.bag).info["Originals-Lacking"].startswith("3:")


def test_a_changed_original_is_not_said_to_be_away(tmp_path):
    book = small_book(tmp_path)
    (tmp_path / "media/camera/IMG_1.jpg").write_bytes(b"A photo")
    with pytest.raises(
        NotSealed, match="Some originals have changed since they were taken in: put them back"
    ) as fault:
        seal_book(book, tmp_path / "bags", NOW)
    assert "not here" not in str(fault.value)
    (tmp_path / "media/camera/IMG_1.jpg").unlink()
    with pytest.raises(NotSealed, match="if they were only moved or renamed, run the book"):
        seal_book(book, tmp_path / "bags", NOW)


def test_a_broken_history_is_not_mended_by_a_run_and_seal_does_not_say_so(tmp_path):
    book = small_book(tmp_path)
    book.history_file.write_bytes(book.history_file.read_bytes().replace(b"answer", b"accept"))
    with pytest.raises(NotSealed, match=r"Put history\.jsonl and history\.head back") as fault:
        seal_book(book, tmp_path / "bags", NOW)
    assert "saidseen run" not in str(fault.value)


def test_pages_whose_list_is_gone_are_not_sealed(tmp_path):
    book = small_book(tmp_path)
    (book.out / ".written.json").unlink()
    with pytest.raises(NotSealed, match="has lost the list of what was written in it"):
        seal_book(book, tmp_path / "bags", NOW)


def test_an_original_that_changed_without_a_new_time_is_found_while_it_is_copied(tmp_path):
    book = small_book(tmp_path)
    photo = tmp_path / "media/camera/IMG_1.jpg"
    photo.write_bytes(b"A photo")
    os.utime(photo, (1_771_000_000, 1_771_000_000))
    with pytest.raises(RunFault, match="is not what it was"):
        seal_book(book, tmp_path / "bags", NOW)
    assert not list((tmp_path / "bags").iterdir())


def test_a_full_drive_is_one_clear_line_and_leaves_nothing(tmp_path, monkeypatch):
    book = small_book(tmp_path)

    def full(path, content):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(bag_writing, "write_synced", full)
    with pytest.raises(RunFault, match=r"cannot be written to \(No space left on device\)"):
        seal_book(book, tmp_path / "bags", NOW)
    assert not list((tmp_path / "bags").iterdir())


def test_a_drive_with_too_little_room_is_told_before_anything_is_copied(tmp_path, monkeypatch):
    book = small_book(tmp_path)
    monkeypatch.setattr(shutil, "disk_usage", lambda folder: shutil._ntuple_diskusage(10, 9, 1))
    with pytest.raises(RunFault, match="there is room for 1 byte"):
        seal_book(book, tmp_path / "bags", NOW)


def test_an_output_that_somebody_changed_is_not_sealed(tmp_path):
    book = small_book(tmp_path)
    (book.out / "logbook/index.html").write_text("nicer")
    with pytest.raises(NotSealed) as fault:
        seal_book(book, tmp_path / "bags", NOW)
    assert [(one.path, one.kind) for one in fault.value.differences] == [("out/logbook/index.html", "changed")]


def test_a_bag_that_no_longer_says_whose_it_is_does_not_begin_a_new_chain_in_silence(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    first = seal_book(book, bags, NOW)
    (first.bag / "bag-info.txt").unlink()
    with pytest.raises(NotSealed, match="is not as it was sealed"):
        seal_book(book, bags, LATER)


def test_a_bag_goes_on_from_those_that_are_here_and_names_those_that_were_put_away(tmp_path):
    book, bags = small_book(tmp_path), tmp_path / "bags"
    first = seal_book(book, bags, NOW)
    append(book.history_file, [Act("Alex Example", "answer", "rule-2")], NOW)
    second = seal_book(book, bags, LATER)
    shutil.move(first.bag, tmp_path / "archive")
    append(book.history_file, [Act("Alex Example", "answer", "rule-3")], NOW)
    third = seal_book(book, bags, LATER + timedelta(days=1))
    told = json.loads((third.bag / "carried-over.json").read_text())
    assert [one["name"] for one in told["bags"]] == [first.bag.name, second.bag.name]
    assert third.bag.name.startswith("winter-003-")
    assert {file["bag"] for file in told["files"]} <= {second.seal}
    assert not check(third.bag).failed


@pytest.mark.parametrize("where", ["winter", "winter/bags"])
def test_bags_do_not_lie_in_the_book(tmp_path, where):
    book = small_book(tmp_path)
    with pytest.raises(WrongCommand, match="inside the book"):
        seal_book(book, tmp_path / where, NOW)


@pytest.mark.parametrize("where", ["media", "media/phone/bags"])
def test_bags_do_not_lie_among_the_media(tmp_path, where):
    book = small_book(tmp_path)
    with pytest.raises(WrongCommand, match="among the photos and recordings in "):
        seal_book(book, tmp_path / where, NOW)


def test_what_was_set_aside_and_left_out_since_is_not_missed(tmp_path):
    book = small_book(tmp_path)
    for name, content in (("camera/list.txt", b"a list"), ("camera/IMG_9.jpg", b"")):
        aside = tmp_path / "media" / name
        aside.write_bytes(content)
        with Store(book.store_file) as store:
            store.keep_file(FileSeen(path=str(aside), size=len(content), modified_ns=1), media_id(aside))
    packed = {one["id"] for one in originals(seal_book(book, tmp_path / "with", NOW).bag)}
    assert media_id(tmp_path / "media/camera/list.txt") in packed  # while it is there, it is kept too
    (tmp_path / "media/camera/list.txt").unlink()
    (tmp_path / "media/camera/IMG_9.jpg").write_bytes(b"copied again, as the run said")
    assert not check_book(book).differences
    assert len(originals(seal_book(book, tmp_path / "without", NOW).bag)) == len(MEDIA)


def test_what_was_set_aside_counts_where_nobody_can_say_what_the_record_has(tmp_path):
    book = small_book(tmp_path)
    (book.out / "records.json").write_text("{")
    (tmp_path / "media/phone/note.vtt").unlink()
    assert {one.kind for one in check_book(book).differences if one.path.endswith("note.vtt")} == {Kind.MISSING}


def test_a_bag_is_no_place_for_bags(tmp_path):
    book = small_book(tmp_path)
    bag = seal_book(book, tmp_path / "bags", NOW).bag
    with pytest.raises(WrongCommand, match="a bag is never changed"):
        seal_book(book, bag, NOW)


_KILLED = """
import os, signal, sys
from pathlib import Path
from pipeline.book import Book
from pipeline.evidence import bag_writing
from pipeline.evidence.sealing import seal_book
from tests.evidence.small_book import NOW

real, left = bag_writing.write_synced, [int(sys.argv[2])]
def killed(path, content):
    if not left[0]:
        os.kill(os.getpid(), signal.SIGKILL)
    left[0] -= 1
    real(path, content)
bag_writing.write_synced = killed
seal_book(Book(Path(sys.argv[1]) / "winter"), Path(sys.argv[1]) / "bags", NOW)
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="there is no such signal here")
@pytest.mark.parametrize("after", [0, 5, 24])
def test_a_killed_seal_leaves_nothing_that_looks_like_a_bag_and_the_next_one_is_whole(tmp_path, after):
    book = small_book(tmp_path)
    done = subprocess.run(
        [sys.executable, "-c", _KILLED, str(tmp_path), str(after)], cwd=ROOT, capture_output=True, check=False
    )
    assert done.returncode == -signal.SIGKILL, done.stderr.decode()
    left = list((tmp_path / "bags").iterdir())
    assert all(path.name.startswith(".") and not (path / "bagit.txt").exists() for path in left)
    with pytest.raises(WrongCommand, match="holds no bag"):
        check(tmp_path / "bags")
    sealed = seal_book(book, tmp_path / "bags", NOW)
    assert [path.name for path in (tmp_path / "bags").iterdir()] == [sealed.bag.name]
    assert not check(tmp_path / "bags").differences


def test_sealing_a_book_without_any_media_says_so(tmp_path):
    empty = "The book holds no photo and no recording yet"
    assert any(
        line.startswith(empty)
        for line in seal_and_tell(small_book(tmp_path / "one", {}), tmp_path / "a", NOW).messages
    )
    told = seal_and_tell(small_book(tmp_path / "two"), tmp_path / "b", NOW).messages
    assert not any(line.startswith(empty) for line in told)
