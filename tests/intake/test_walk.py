import os
from pathlib import Path
from types import SimpleNamespace

import pytest

from pipeline.errors import ItemFault, WrongCommand
from pipeline.intake.walk import SetAsidePath, hash_file, seen_as, walk
from pipeline.values import FileSeen


def _names(found, folder: Path) -> list[str]:
    return [str(Path(one.path).relative_to(folder)) for one in found]


def test_folders_are_walked_to_the_bottom_in_sorted_order(tmp_path):
    for name in ("b.jpg", "a/z.jpg", "a/b/c.wav", "c.jpg"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(b"x")
    found = list(walk([tmp_path]))
    assert _names(found, tmp_path) == ["a/b/c.wav", "a/z.jpg", "b.jpg", "c.jpg"]
    assert all(isinstance(one, FileSeen) and one.size == 1 for one in found)
    assert found[0].modified_ns == (tmp_path / "a/b/c.wav").stat().st_mtime_ns


def test_hidden_files_and_the_litter_of_operating_systems_are_passed_over(tmp_path):
    for name in (".DS_Store", "._a.jpg", "Thumbs.db", ".hidden/x.jpg", "__MACOSX/a.jpg", "desktop.ini", "a.jpg"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(b"x")
    assert _names(walk([tmp_path]), tmp_path) == ["a.jpg"]


def test_a_hidden_file_that_is_given_itself_is_taken(tmp_path):
    hidden = tmp_path / ".note.wav"
    hidden.write_bytes(b"x")
    assert [one.path for one in walk([hidden])] == [str(hidden)]


def test_a_placeholder_of_a_file_that_a_cloud_keeps_is_set_aside_under_the_files_name(tmp_path):
    for name in (".IMG_1.HEIC.icloud", ".IMG_2.HEIC.icloud", "IMG_2.HEIC", "Film.MOV.icloud"):
        (tmp_path / name).write_bytes(b"bplist00")
    found = list(walk([tmp_path]))
    assert sorted(_names(found, tmp_path)) == ["Film.MOV", "IMG_1.HEIC", "IMG_2.HEIC"]
    aside = [one for one in found if isinstance(one, SetAsidePath)]
    assert _names(aside, tmp_path) == ["IMG_1.HEIC", "Film.MOV"]
    assert all("Only a placeholder is here" in one.why and "run again" in one.why for one in aside)


@pytest.mark.parametrize("told", [{"st_file_attributes": 0x400000}, {"st_flags": 0x40000000}])
def test_a_file_that_the_system_would_have_to_fetch_first_is_set_aside_unread(tmp_path, told):
    there = tmp_path / "a.jpg"
    there.write_bytes(b"x")
    plain = there.stat()
    info = SimpleNamespace(st_mode=plain.st_mode, st_size=9, st_mtime_ns=1, **told)
    assert "Only a placeholder is here" in seen_as(str(there), info).why
    assert isinstance(seen_as(str(there), plain), FileSeen)


def test_a_path_that_does_not_exist_is_a_wrong_command_before_anything_is_walked(tmp_path):
    with pytest.raises(WrongCommand, match="no-such-folder"):
        walk([tmp_path, tmp_path / "no-such-folder"])


def test_a_file_that_is_given_twice_comes_once(tmp_path):
    (tmp_path / "a.jpg").write_bytes(b"x")
    assert len(list(walk([tmp_path, tmp_path / "a.jpg", tmp_path]))) == 1


def test_links_that_loop_lead_out_or_lead_nowhere_are_set_aside(tmp_path):
    inside, outside = tmp_path / "in", tmp_path / "out"
    inside.mkdir()
    outside.mkdir()
    (outside / "secret.jpg").write_bytes(b"x")
    (inside / "real.jpg").write_bytes(b"x")
    (inside / "away.jpg").symlink_to(outside / "secret.jpg")
    (inside / "away").symlink_to(outside)
    (inside / "loop").symlink_to(inside)
    (inside / "nowhere").symlink_to(inside / "not-there")
    (inside / "self").symlink_to(inside / "self")
    (inside / "same.jpg").symlink_to(inside / "real.jpg")
    found = list(walk([inside]))
    aside = {Path(one.path).name for one in found if isinstance(one, SetAsidePath)}
    assert aside == {"away.jpg", "away", "loop", "nowhere", "self"}
    assert {Path(one.path).name for one in found if isinstance(one, FileSeen)} == {"real.jpg", "same.jpg"}


def test_a_link_between_two_given_folders_does_not_lead_out(tmp_path):
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
    (tmp_path / "b/x.jpg").write_bytes(b"x")
    (tmp_path / "a/x.jpg").symlink_to(tmp_path / "b/x.jpg")
    assert all(isinstance(one, FileSeen) for one in walk([tmp_path / "a", tmp_path / "b"]))


def test_a_pipe_is_set_aside_and_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.wav")
    (found,) = walk([tmp_path])
    assert isinstance(found, SetAsidePath)
    assert "device or a pipe" in found.why
    with pytest.raises(ItemFault):
        hash_file(tmp_path / "pipe.wav")


def test_a_name_that_is_no_text_is_set_aside_with_a_name_that_can_be_shown(tmp_path):
    raw = os.fsencode(tmp_path) + b"/caf\xe9.jpg"
    try:
        with open(raw, "wb") as file:  # noqa: PTH123 - a Path cannot be made of such a name on every system
            file.write(b"x")
    except OSError:
        pytest.skip("this file system takes only names that are text")
    (found,) = walk([tmp_path])
    assert isinstance(found, SetAsidePath)
    assert found.path.endswith("caf\ufffd.jpg")


def test_a_file_that_grows_while_it_is_read_is_a_fault_of_that_file(tmp_path, monkeypatch):
    path = tmp_path / "note.wav"
    path.write_bytes(b"x" * 100)
    honest = os.fstat
    calls = []

    def grown(fd):
        if calls:
            with path.open("ab") as file:
                file.write(b"more")
        calls.append(fd)
        return honest(fd)

    monkeypatch.setattr(os, "fstat", grown)
    with pytest.raises(ItemFault, match="changed while it was being read"):
        hash_file(path)


def test_the_same_content_has_one_hash_whatever_its_name(tmp_path):
    (tmp_path / "a").write_bytes(b"same")
    (tmp_path / "b").write_bytes(b"same")
    (tmp_path / "c").write_bytes(b"samf")
    one, two, other = (hash_file(tmp_path / name) for name in "abc")
    assert one == two != other
    assert one.startswith("sha256:")
    assert len(one) == 71


def test_a_file_that_is_not_there_any_more_is_a_fault_of_that_file(tmp_path):
    with pytest.raises(ItemFault, match="cannot be read"):
        hash_file(tmp_path / "gone.jpg")
