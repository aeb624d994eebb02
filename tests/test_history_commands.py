"""The commands on a book's history, as a person types them."""

import json
import re
from pathlib import Path

import pytest

from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.history.signing import new_key
from pipeline.history_commands import media_called
from pipeline.records import MediaRecord, Records
from pipeline.values import Kind
from tests.test_command_line import command, run_book  # noqa: F401

_PEOPLE = (
    '\n[[people]]\nname = "Bea Linnet"\nmay_sign = ["checked the words"]\n{key}\n[[people]]\nname = "Ted Marrack"\n'
)


@pytest.fixture(scope="module")
def book(run_book):  # noqa: F811
    """A book that was run, with people and a key."""
    folder, _ = run_book
    line = new_key(folder.parent / "bea.pem")
    settings = folder / "book.toml"
    settings.write_text(settings.read_text() + _PEOPLE.replace("{key}", f'key = "{line}"'))
    return folder


def entries(book):
    return json.loads((book / "out" / "records.json").read_text())["entries"]


def events(book):
    return [json.loads(line) for line in (book / "history.jsonl").read_text().splitlines()]


def test_a_decision_a_signature_and_an_amendment_are_noted_and_shown_by_the_next_run(book):
    first, second = (one["id"] for one in entries(book)[:2])
    done = command("decide", book, first, "--accept", "--who", "Bea Linnet")
    assert done.exit_code == 0, done.stderr
    number = int(re.search(r"number (\d+)", done.stdout).group(1))
    assert events(book)[number - 1]["act"] == "accept"
    assert "saidseen run" in done.stderr
    done = command(
        "sign", book, second, "--who", "Bea Linnet", "--for", "checked the words", "--key", book.parent / "bea.pem"
    )
    assert done.exit_code == 0, done.stderr
    assert "no release to service" in done.stderr
    done = command("amend", book, second, "--no-photos", "--words", f"u{second[1:]}=Other.", "--who", "Ted Marrack",
                   "--why", "heard it")  # fmt: skip
    assert done.exit_code == 0, done.stderr
    assert command("run", book, "--quiet").exit_code == 0
    one, other = entries(book)[:2]
    assert (one["review"], other["review"]) == ("accepted", "amended")
    (signed,) = other["signed"]
    assert (signed["for"], signed["proof"], signed["stands"], signed["changed_by"]) == (
        "checked the words",
        "key",
        False,
        "amendment",
    )
    page = (book / "out" / "logbook" / "2026-02-14.html").read_text()
    assert "signed with the key that the book lists" in page and "Signed before the amendment" in page
    assert "it certifies and releases nothing" in page
    assert "before it was changed" in (book / "out" / "to-settle.html").read_text()
    told = command("history", book, "--entry", second)
    for line, act in zip(told.stdout.splitlines(), (" read ", " put a name ", " amended "), strict=True):
        assert act in line


def test_the_second_person_is_told_with_exit_code_2(book):
    entry = entries(book)[0]
    assert command("decide", book, entry["id"], "--reject", "--who", "Ted Marrack", "--why", "no").exit_code == 0
    second = command("decide", book, entry["id"], "--accept", "--who", "Bea Linnet")
    assert second.exit_code == 2
    assert "Ted Marrack rejected it" in second.stderr
    number = len(events(book))
    assert (
        command("decide", book, entry["id"], "--withdraw", number, "--who", "Ted Marrack", "--why", "x").exit_code
        == 0
    )
    assert command("run", book, "--quiet").exit_code == 0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["decide", "BOOK", "e-", "--accept", "--who", "Bea Linnet"], "may be e-"),
        (["decide", "BOOK", "x-1", "--accept", "--who", "Bea Linnet"], "There is no entry 'x-1'"),
        (["decide", "BOOK", "ONE", "--accept", "--who", "Nobody"], "lists nobody called 'Nobody'"),
        (["decide", "BOOK", "ONE", "--who", "Bea Linnet"], "one of --accept"),
        (["decide", "BOOK", "ONE", "--accept", "--reject", "--who", "Bea Linnet"], "one of --accept"),
        (["decide", "BOOK", "ONE", "--reject", "--who", "Bea Linnet"], "needs a reason"),
        (["decide", "BOOK", "ONE", "--accept", "--who", "Bea Linnet", "--version", "0" * 64], "has changed"),
        (["amend", "BOOK", "ONE", "--who", "Bea Linnet", "--why", "x"], "Say what to put right"),
        (["amend", "BOOK", "ONE", "--who", "Bea Linnet", "--why", "x", "--words", "no"], "write an utterance's id"),
        (["amend", "BOOK", "ONE", "--who", "Bea Linnet", "--why", "x", "--facts", "none.json"], "cannot be read"),
        (
            ["amend", "BOOK", "ONE", "--who", "Bea Linnet", "--why", "x", "--as-read", "--no-photos"],
            "--as-read alone",
        ),
        (["amend", "BOOK", "ONE", "--who", "Bea Linnet", "--why", "x", "--as-read"], "says already"),
        (["cut", "BOOK", "ONE", "--who", "Bea Linnet", "--why", "x"], "Say one of --before"),
        (["cut", "BOOK", "ONE", "--who", "Bea Linnet", "--why", "x", "--before", "u-1"], "can be split before any"),
        (["cut", "BOOK", "ONE", "--who", "Bea Linnet", "--why", "x", "--join", "ONE"], "are not neighbours"),
        (["sign", "BOOK"], "Say which entries"),
        (["sign", "BOOK", "ONE", "--who", "Ted Marrack", "--for", "checked the words"], "does not list Ted Marrack"),
        (["sign", "BOOK", "ONE", "--who", "Bea Linnet", "--for", "checked the words"], "--key FILE"),
        (["trace", "BOOK", "nothing"], "There is no entry 'nothing'"),
    ],
)
def test_what_cannot_be_done_is_told_and_ends_in_2(book, words, told):
    before = (book / "history.jsonl").read_bytes()
    first = entries(book)[0]["id"]
    result = command(*({"BOOK": book, "ONE": first}.get(word, word) for word in words))
    assert result.exit_code == 2, result.stderr
    assert told in result.stderr
    assert (book / "history.jsonl").read_bytes() == before


def test_an_entry_is_split_and_its_parts_joined_again(book):
    entry = next(one for one in entries(book) if len(one["utterances"]) > 1 and not one["signed"])
    because = ("--who", "Bea Linnet", "--why", "another job begins there")
    done = command("cut", book, entry["id"], "--before", entry["utterances"][1], *because)
    assert done.exit_code == 0, done.stderr
    assert command("run", book, "--quiet").exit_code == 0
    first, second = (one for one in entries(book) if set(one["utterances"]) <= set(entry["utterances"]))
    assert [*first["utterances"], *second["utterances"]] == entry["utterances"]
    done = command("cut", book, first["id"], "--join", second["id"], *because)
    assert done.exit_code == 0, done.stderr
    assert command("run", book, "--quiet").exit_code == 0
    (again,) = (one for one in entries(book) if set(one["utterances"]) <= set(entry["utterances"]))
    assert (again["id"], again["utterances"]) == (entry["id"], entry["utterances"])


def test_a_new_key_prints_the_line_for_the_settings_and_says_to_keep_the_file(book, tmp_path):
    made = command("sign", book, "--new-key", tmp_path / "ted.pem")
    assert re.fullmatch(r'key = "[A-Za-z0-9+/]{43}="\n', made.stdout)
    assert "can sign as you" in made.stderr
    assert command("sign", book, "--new-key", tmp_path / "ted.pem").exit_code == 2


def test_the_history_shows_the_record_as_first_made_and_as_it_stood_on_a_day(book):
    first = command("history", book, "--first-made").stdout
    assert "(as first made)" in first and "The port rudder's off, three bolts." in first
    early = command("history", book, "--on", "2020-01-01")
    assert early.stdout == "" and "By 2020-01-01 the book had no entry yet" in early.stderr
    now = command("history", book, "--on", "2999-01-01").stdout
    assert "(amended)" in now and "Other." in now
    everything = command("history", book).stdout
    assert "took in" in everything and "put a name to" in everything
    assert len(everything.splitlines()) == len(events(book))


def test_a_changed_history_is_told_and_ends_in_4(book, tmp_path):
    whole = (book / "history.jsonl").read_bytes()
    (book / "history.jsonl").write_bytes(whole.replace(b"rudder", b"ruddle", 1))
    try:
        result = command("history", book)
        assert result.exit_code == 4
        assert "line" in result.stderr and "changed" in result.stderr
        assert command("decide", book, entries(book)[0]["id"], "--accept", "--who", "Bea Linnet").exit_code == 4
    finally:
        (book / "history.jsonl").write_bytes(whole)


def test_an_entry_is_traced_to_its_second_of_the_note_and_the_hashes_of_its_files(book):
    entry = entries(book)[0]
    told = command("trace", book, f"out/logbook/2026-02-14.html#{entry['id'][:12]}").stdout
    assert told.startswith(entry["id"])
    assert "printed  Removed the port rudder" in told
    assert "characters" in told and "0.00 s to 4.00 s of the note" in told
    media = [entry["media"], *(one["media"] for one in entry["photos"])]
    assert all(one.removeprefix("sha256:") in told for one in media)
    assert "read " + entry["id"] in told


def test_a_trace_can_be_a_page_anywhere(book):
    entry = entries(book)[0]["id"]
    place = book / "out" / "trace" / "one.html"
    assert command("trace", book, entry, "--page", place).stdout == f"{place}\n"
    page = place.read_text()
    assert "../../../media/note.vtt#t=0.00," in page
    assert "certifies nothing" in page


def test_pages_that_lack_what_people_decided_are_not_sealed_and_the_acts_are_named(book, tmp_path):
    assert command("run", book, "--quiet").exit_code == 0
    entry = entries(book)[-1]["id"]
    assert command("decide", book, entry, "--accept", "--who", "Ted Marrack").exit_code == 0
    done = command("seal", book, tmp_path / "bags")
    assert done.exit_code == 2
    assert f"Ted Marrack accepted {entry}" in done.stderr
    assert "1 act of its history is not on its pages yet" in done.stderr
    assert "saidseen run" in done.stderr
    assert not (tmp_path / "bags").exists()
    assert command("run", book, "--quiet").exit_code == 0
    done = command("seal", book, tmp_path / "bags")
    assert done.exit_code == 0, done.stderr


def test_other_words_warn_that_facts_stay_and_the_facts_can_be_read_from_them(book):
    assert command("run", book, "--quiet").exit_code == 0
    first = next(one for one in entries(book) if any(fact["item"] == "rudder" for fact in one["facts"]))
    because = ("--who", "Ted Marrack", "--why", "I was there")
    said = first["utterances"][0]
    done = command("amend", book, first["id"], *because, "--words", f"{said}=The starboard fin's off.")
    assert done.exit_code == 0, done.stderr
    assert "The facts stay as they were" in done.stderr
    assert "no longer: Removed the port rudder" in done.stderr and "new: Removed the starboard fin" in done.stderr
    assert "--read-again" in done.stderr
    assert command("run", book, "--quiet").exit_code == 0
    done = command("amend", book, first["id"], *because, "--read-again")
    assert done.exit_code == 0, done.stderr
    assert command("run", book, "--quiet").exit_code == 0
    (again,) = (one for one in entries(book) if one["id"] == first["id"])
    told = {(fact.get("act"), fact["item"], fact.get("side")) for fact in again["facts"]}
    assert ("remove", "fin", "starboard") in told and ("remove", "rudder", "port") not in told
    done = command("amend", book, first["id"], *because, "--as-read")
    assert done.exit_code == 0, done.stderr
    assert "This puts back words that a person had put right" in done.stderr
    assert "for “The starboard fin's off.”" in done.stderr


def test_words_can_be_put_right_and_read_again_in_one_act(book):
    first = next(one for one in entries(book) if one["facts"])
    done = command("amend", book, first["id"], "--who", "Ted Marrack", "--why", "x", "--read-again", "--words",
                   f"{first['utterances'][0]}=The starboard rudder's off.")  # fmt: skip
    assert done.exit_code == 0, done.stderr
    assert "facts stay" not in done.stderr
    assert command("run", book, "--quiet").exit_code == 0
    (again,) = (one for one in entries(book) if one["id"] == first["id"])
    assert ("remove", "rudder", "starboard") in {(x.get("act"), x["item"], x.get("side")) for x in again["facts"]}


def test_a_photo_is_put_with_an_entry_by_the_name_of_its_file(book):
    entry = entries(book)[-1]["id"]
    because = ("--who", "Ted Marrack", "--why", "taken then")
    wrong = command("amend", book, entry, "--photo", "IMG_2.jpg", *because)
    assert wrong.exit_code == 2 and "no photo 'IMG_2.jpg': give its file's name" in wrong.stderr
    done = command("amend", book, entry, "--photo", "IMG_1.jpg", *because)
    assert done.exit_code == 0, done.stderr
    assert events(book)[-1]["after"]["photos"][0].startswith("sha256:")


@pytest.mark.parametrize(
    "content, told", [(b"\xff\xfe[", "no text in UTF-8"), (b"[", "no JSON: "), (None, "No such file")], ids=str
)
def test_a_file_of_facts_that_cannot_be_read_is_told_in_plain_words(book, tmp_path, content, told):
    if content is not None:
        (tmp_path / "f.json").write_bytes(content)
    given = ("--facts", tmp_path / "f.json", "--who", "Ted Marrack", "--why", "x")
    wrong = command("amend", book, entries(book)[0]["id"], *given)
    assert wrong.exit_code == 2 and told in wrong.stderr
    assert not any(odd in wrong.stderr for odd in ("codec", "Errno"))


def test_a_recording_is_rejected_as_a_whole_by_its_file(book):
    because = ("--reject", "--who", "Bea Linnet", "--why", "a copy")
    wrong = command("decide", book, "note.mp3", *because)
    assert wrong.exit_code == 2 and "There is no entry 'note.mp3'" in wrong.stderr
    assert command("decide", book, "note.vtt", "--accept", "--who", "Bea Linnet").exit_code == 2  # not unread
    command("run", book, "--quiet")
    left = [one["id"] for one in entries(book) if one["review"] != "rejected"]
    done = command("decide", book, book.parent / "media" / "note.vtt", *because)
    assert done.exit_code == 0, done.stderr
    assert [one["on"] for one in events(book)[-len(left) :]] == left and events(book)[-1]["act"] == "reject"
    last = len(events(book))
    assert len(left) == 2 and f"as numbers {last - 1} and {last}." in done.stdout
    command("run", book, "--quiet")
    none_left = command("decide", book, "note.vtt", *because)
    assert none_left.exit_code == 2 and "note.vtt has no entry that counts" in none_left.stderr


def test_a_file_is_found_by_its_id_its_name_and_its_path_and_several_are_told_of():
    def media(number, *paths):
        return MediaRecord.model_construct(
            id=f"sha256:{number:064x}", path=paths[0], other_paths=paths[1:], kind=Kind.RECORDING
        )

    one, other = (
        media(1, "../media/phone/Voice 1.m4a", "../copy/memo.m4a"),
        media(2, "../media/old phone/Voice 1.m4a"),
    )
    changed = media(3, "../media/old phone/Voice 1.m4a")

    def called(name, *all_of_them):
        records = Records.model_construct(media=all_of_them)
        return media_called(Book(Path("winter")), records, name, {Kind.RECORDING})

    for name in (
        one.id,
        "memo.m4a",
        "phone/Voice 1.m4a",
        "../media/phone/Voice 1.m4a",
        Path("copy/memo.m4a").absolute(),
    ):
        assert called(str(name), one, other) == one
    assert called("1.m4a", one, other) is None and called("", one, other) is None
    with pytest.raises(WrongCommand, match=r"may be \.\./media/old phone/Voice 1\.m4a or \.\./media/phone/Voice 1"):
        called("Voice 1.m4a", one, other)
    with pytest.raises(WrongCommand, match=f"may be {other.id} or {changed.id}"):
        called("Voice 1.m4a", other, changed)


def test_records_that_were_edited_by_hand_are_blamed_and_the_history_is_not(book):
    command("run", book, "--quiet")
    file = book / "out" / "records.json"
    whole = file.read_bytes()
    told = json.loads(whole)
    told["entries"][0]["facts"] = []
    try:
        file.write_text(json.dumps(told))
        checked = command("check", book)
        assert checked.exit_code == 4 and "changed: out/records.json" in checked.stdout
        assert "history" not in checked.stdout + checked.stderr
    finally:
        file.write_bytes(whole)
