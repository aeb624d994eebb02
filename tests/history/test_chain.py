"""The history's file: whatever is changed in it is found, and a stopped run loses no whole event."""

import random
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import ExitCode, RunFault
from pipeline.history.chain import HistoryChanged, append, breaks, head_file, read
from pipeline.history.events import Act

NOW = datetime(2026, 11, 26, 10, 15, tzinfo=UTC)


def write(path, count=6):
    for number in range(count):
        append(path, [Act("Bea Linnet", "accept", f"e-{number}", None, {"n": number, "text": "é\u2028 \n"}, "")], NOW)


@pytest.fixture
def path(tmp_path):
    write(tmp_path / "history.jsonl")
    return tmp_path / "history.jsonl"


def test_a_history_as_it_was_written_has_no_break(path):
    assert list(breaks(path)) == []
    assert [event.n for event in read(path).events] == [1, 2, 3, 4, 5, 6]
    assert read(path).events[3].after == {"n": 3, "text": "é\u2028 \n"}


def test_a_book_without_a_history_has_no_break_and_no_event(tmp_path):
    assert list(breaks(tmp_path / "history.jsonl")) == []
    assert read(tmp_path / "history.jsonl").events == ()


def test_nothing_to_add_writes_nothing(path):
    before = path.read_bytes(), path.stat().st_mtime_ns, head_file(path).stat().st_mtime_ns
    assert append(path, [], NOW) == ()
    assert (path.read_bytes(), path.stat().st_mtime_ns, head_file(path).stat().st_mtime_ns) == before


def test_an_edit_is_told_with_its_line_and_both_hashes(path):
    path.write_bytes(path.read_bytes().replace(b"e-2", b"e-9"))
    (found,) = breaks(path)
    assert found.where == "line 3"
    assert len(found.expected) == len(found.found) == 64
    assert not found.torn


@pytest.mark.parametrize("line", range(6))
def test_a_line_that_was_taken_out_is_found_also_the_last(path, line):
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(lines[:line] + lines[line + 1 :]))
    assert any(not one.torn for one in breaks(path))


@pytest.mark.parametrize("line", range(6))
def test_an_edit_of_any_line_is_found_also_of_the_last(path, line):
    lines = path.read_bytes().splitlines(keepends=True)
    lines[line] = lines[line].replace(b"Bea", b"Tam")
    path.write_bytes(b"".join(lines))
    assert [one.where for one in breaks(path)] == [f"line {line + 1}"]


@pytest.mark.parametrize("line", range(5))
def test_two_lines_that_changed_places_are_found(path, line):
    lines = path.read_bytes().splitlines(keepends=True)
    lines[line], lines[line + 1] = lines[line + 1], lines[line]
    path.write_bytes(b"".join(lines))
    assert any(not one.torn for one in breaks(path))


@pytest.mark.parametrize("line", range(7))
@pytest.mark.parametrize("copied", [0, 5])
def test_a_line_that_was_put_in_is_found(path, line, copied):
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:line], lines[copied], *lines[line:]]))
    assert any(not one.torn for one in breaks(path))


def test_a_lost_head_and_a_lost_history_are_found(path):
    head = head_file(path)
    kept = head.read_bytes()
    head.unlink()
    assert [one.where for one in breaks(path)] == ["history.head"]
    head.write_bytes(kept)
    path.unlink()
    assert [one.what for one in breaks(path)] == ["lines are missing at the end"]


def changed(content, chance):
    """One random change: a byte edited, taken out or put in, or a line taken out, moved or doubled."""
    lines = content.splitlines(keepends=True)
    at, line = chance.randrange(len(content)), chance.randrange(len(lines))
    byte = bytes([chance.randrange(256)])
    kind = chance.choice(["edit", "take", "put", "cut", "move", "double", "end"])
    if kind == "edit":
        return content[:at] + byte + content[at + 1 :]
    if kind == "take":
        return content[:at] + content[at + 1 :]
    if kind == "put":
        return content[:at] + byte + content[at:]
    if kind == "end":
        return content[:at]
    left = lines[:line] + lines[line + 1 :]
    if kind == "cut":
        return b"".join(left)
    place = chance.randrange(len(lines))
    return b"".join([*left[:place], lines[line], *left[place:]] if kind == "move" else [*lines, lines[line]])


def test_of_a_thousand_random_single_changes_none_goes_unnoticed(path):
    chance, whole, tried = random.Random(20261126), path.read_bytes(), 0
    while tried < 1000:
        now = changed(whole, chance)
        if now == whole:
            continue
        tried += 1
        path.write_bytes(now)
        assert list(breaks(path)), now
    path.write_bytes(whole)
    assert list(breaks(path)) == []


@given(st.data())
def test_any_other_bytes_in_place_of_any_are_found(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("history") / "history.jsonl"
    write(path, 3)
    whole = path.read_bytes()
    start = data.draw(st.integers(0, len(whole)))
    end = data.draw(st.integers(start, len(whole)))
    now = whole[:start] + data.draw(st.binary(max_size=40)) + whole[end:]
    path.write_bytes(now)
    assert bool(list(breaks(path))) == (now != whole)


def test_nothing_is_added_to_a_history_that_was_changed(path):
    path.write_bytes(path.read_bytes().replace(b"e-5", b"e-7"))
    kept = path.read_bytes()
    with pytest.raises(HistoryChanged, match=r"line 6.*copy of the book") as fault:
        append(path, [Act("Bea Linnet", "accept", "e-8")], NOW)
    assert fault.value.exit_code is ExitCode.CHECK_FAILED
    assert path.read_bytes() == kept


@pytest.mark.parametrize("kept", [1, 40, 200])
def test_an_append_that_was_killed_is_mended_by_the_next_with_an_event_that_says_so(path, kept):
    whole = path.read_bytes()
    append(path, [Act("Bea Linnet", "reject", "e-7", None, None, "x" * 300)], NOW)
    torn = path.read_bytes()[: len(whole) + kept]
    path.write_bytes(torn)
    head_file(path).write_text(f"6 {read(path).head}\n")
    (found,) = breaks(path)
    assert found.torn and found.where == "line 7"
    mended, later = append(path, [Act("Bea Linnet", "accept", "e-8")], NOW)
    assert (mended.act, mended.on, mended.n, later.n) == ("mended", "line 7", 7, 8)
    assert mended.before == torn[len(whole) :].decode()
    assert path.read_bytes().startswith(whole)
    assert list(breaks(path)) == []


def test_a_run_with_nothing_else_to_add_mends_too(path):
    whole = path.read_bytes()
    path.write_bytes(whole + b'{"act":"acc')
    assert [event.act for event in append(path, [], NOW)] == ["mended"]
    assert list(breaks(path)) == []


def test_a_last_event_that_lacks_its_newline_alone_is_kept(path):
    before = read(path).head
    append(path, [Act("Bea Linnet", "reject", "e-7", None, None, "x")], NOW)
    path.write_bytes(path.read_bytes()[:-1])
    head_file(path).write_text(f"6 {before}\n")
    (mended,) = append(path, [], NOW)
    assert (mended.n, mended.act, mended.before) == (8, "mended", None)
    assert [event.act for event in read(path).events[-2:]] == ["reject", "mended"]
    assert list(breaks(path)) == []


def test_lines_that_were_whole_before_the_run_was_killed_are_all_kept(path):
    before = read(path).head
    append(path, [Act("Bea Linnet", "accept", f"e-{number}") for number in range(7, 10)], NOW)
    path.write_bytes(path.read_bytes()[:-30])
    head_file(path).write_text(f"6 {before}\n")
    assert all(one.torn for one in breaks(path))
    append(path, [], NOW)
    assert [event.on for event in read(path).events[6:]] == ["e-7", "e-8", "line 9"]


def test_a_last_line_that_had_been_whole_and_is_torn_now_is_a_change(path):
    path.write_bytes(path.read_bytes()[:-5])
    assert any(not one.torn for one in breaks(path))
    with pytest.raises(HistoryChanged):
        append(path, [], NOW)


def test_a_run_that_was_killed_between_the_line_and_the_head_goes_on(path):
    before = head_file(path).read_bytes()
    append(path, [Act("Bea Linnet", "accept", "e-8")], NOW)
    head_file(path).write_bytes(before)
    assert list(breaks(path)) == []
    append(path, [Act("Bea Linnet", "accept", "e-9")], NOW)
    assert head_file(path).read_text().startswith("8 ")
    assert list(breaks(path)) == []


def test_a_disk_that_is_full_is_told_and_the_next_append_goes_on(path, monkeypatch):
    before = read(path).events

    def full(file):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("os.fsync", full)
        with pytest.raises(RunFault, match="Free some room"):
            append(path, [Act("Bea Linnet", "accept", "e-8")], NOW)
    append(path, [Act("Bea Linnet", "accept", "e-9")], NOW)
    assert read(path).events[:6] == before
    assert list(breaks(path)) == []
