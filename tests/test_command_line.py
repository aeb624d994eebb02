"""The commands, as a person types them."""

import json
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from pipeline.book import Book
from pipeline.command_line import app
from pipeline.records import FactRecord
from tests.small_media import make_captions, make_photo

TEN = datetime(2026, 2, 14, 10, tzinfo=UTC)


def command(*words, stdin=None):
    return CliRunner().invoke(app, [str(word) for word in words], input=stdin)


@pytest.fixture(scope="module")
def run_book(tmp_path_factory):
    folder = tmp_path_factory.mktemp("book")
    book, media = folder / "winter", folder / "media"
    make_captions(media / "note.vtt", TEN)
    make_photo(media / "IMG_1.jpg", TEN + timedelta(seconds=6))
    assert command("new", book, "--aircraft", "Crew Trainer").exit_code == 0
    result = command("run", book, media, "--json")
    assert result.exit_code == 0
    return book, json.loads(result.stdout)


def test_run_tells_in_json_what_it_did(run_book):
    book, summary = run_book
    assert (summary["media"], summary["photos_placed"], summary["set_aside"]) == (2, 1, 0)
    assert summary["done"]["look"] == 2
    assert summary["out"] == str(book / "out")


def test_run_without_quiet_tells_the_same_in_words_on_stderr_and_nothing_on_stdout(run_book):
    result = command("run", run_book[0])
    assert "2 photos and recordings" in result.stderr
    assert result.stdout == ""
    assert command("run", run_book[0], "--quiet").stderr == ""


def test_run_of_a_book_without_media_says_what_to_do(tmp_path):
    command("new", tmp_path / "book")
    result = command("run", tmp_path / "book")
    assert result.exit_code == 0
    assert "holds no photo and no recording yet" in result.stderr


def test_where_tells_in_one_line_where_a_part_is_and_offers_near_names(run_book):
    result = command("where", run_book[0], "where", "is", "the", "port", "rudder?")
    assert result.exit_code == 0
    assert result.stdout == "port rudder (P-0142): on rack 3 since 14 February 2026\n"
    assert command("where", run_book[0], "what is on rack 3").stdout == result.stdout
    wrong = command("where", run_book[0], "ruder")
    assert (wrong.exit_code, wrong.stdout) == (0, "")
    assert "Did you mean rudder" in wrong.stderr


def test_find_gives_parts_and_speech_with_the_page_to_look_at(run_book):
    result = command("find", run_book[0], "rudder")
    assert result.exit_code == 0
    assert "port rudder (P-0142): rack 3" in result.stdout
    assert "2026-02-14.html#e-" in result.stdout
    assert "Nothing in" in command("find", run_book[0], "propeller").stderr


def test_find_does_not_trip_over_signs_that_a_search_language_would_mean(run_book):
    for words in ('"', "rudder*", "P-0142", "NOT", "a AND (b", "%"):
        assert command("find", run_book[0], words).exit_code == 0
    assert "P-0142" in command("find", run_book[0], "P-0142").stdout


def test_report_for_days_without_entries_says_which_days_there_are(run_book):
    result = command("report", run_book[0], "--from", "2025-01-01", "--to", "2025-01-31")
    assert result.exit_code == 2
    assert "It has 2026-02-14 to 2026-02-14" in result.stderr
    assert command("report", run_book[0], "--from", "2026-03-01", "--to", "2026-02-01").exit_code == 2


def test_report_prints_where_it_lies(run_book):
    result = command("report", run_book[0], "--from", "2026-02-01", "--to", "2026-02-28")
    assert result.exit_code == 0
    assert "rudder" in Path(result.stdout.strip()).read_text(encoding="utf-8")


def test_a_years_summary_prints_where_it_lies_and_goes_with_no_other_dates(run_book):
    result = command("report", run_book[0], "--year", "2026")
    assert result.exit_code == 0, result.stderr
    assert Path(result.stdout.strip()).parent.name == "2026"
    assert command("report", run_book[0], "--year", "2026", "--from", "2026-02-01").exit_code == 2
    assert command("report", run_book[0], "--year", "1999").exit_code == 2


def test_report_check_lists_what_is_left_out_and_why_and_writes_nothing(run_book):
    before = sorted(run_book[0].rglob("*"))
    result = command("report-check", run_book[0])
    assert result.exit_code == 0, result.stderr
    assert result.stdout.splitlines()[0] == "reason\tleft out\twhere"
    assert "This list of report 2026-02 is for the editor alone" in result.stderr
    assert sorted(run_book[0].rglob("*")) == before


def test_report_check_knows_the_summary_of_a_year(run_book):
    result = command("report-check", run_book[0], "--year", "2026")
    assert result.exit_code == 0, result.stderr
    assert "This list of report 2026 is" in result.stderr and 'what you want of report = "2026"' in result.stderr
    assert command("report-check", run_book[0], "--year", "2026", "--to", "2026-02-01").exit_code == 2


def test_logbook_prints_where_it_lies_and_is_a_pdf(run_book, tmp_path):
    result = command("logbook", run_book[0])
    assert result.exit_code == 0
    assert Path(result.stdout.strip()).parent == run_book[0] / "out" / "logbook"
    assert Path(result.stdout.strip()).read_bytes().startswith(b"%PDF")
    wanted = tmp_path / "for the archive.pdf"
    told = ("--from", "2026-02-14", "--to", "2026-02-14", "--paper", "letter", "--to-file", wanted)
    assert command("logbook", run_book[0], *told).stdout.strip() == str(wanted)
    assert wanted.read_bytes().startswith(b"%PDF")


def test_logbook_of_days_without_entries_or_for_odd_paper_says_what_there_is(run_book):
    result = command("logbook", run_book[0], "--from", "2025-01-01", "--to", "2025-01-31")
    assert result.exit_code == 2
    assert "It has 2026-02-14 to 2026-02-14" in result.stderr
    result = command("logbook", run_book[0], "--paper", "a3")
    assert result.exit_code == 2
    assert "Use a4 or letter" in result.stderr


def test_schema_is_one_that_the_books_records_keep(run_book):
    schema = json.loads(command("schema").stdout)
    Draft202012Validator.check_schema(schema)
    records = json.loads((run_book[0] / "out" / "records.json").read_text(encoding="utf-8"))
    assert not list(Draft202012Validator(schema).iter_errors(records))


def test_facts_in_the_records_leave_out_the_keys_that_do_not_apply(run_book):
    records = json.loads((run_book[0] / "out" / "records.json").read_text(encoding="utf-8"))
    facts = [fact for entry in records["entries"] for fact in entry["facts"]]
    assert facts
    assert all(value is not None for fact in facts for value in fact.values())


def test_facts_reads_lines_and_writes_lines_in_the_marked_form():
    line = json.dumps({"id": "n1", "text": "The port rudder's off, and it's on rack 3."})
    result = command("facts", "-", stdin=line + "\n")
    assert json.loads(result.stdout) == {
        "id": "n1",
        "facts": [
            {"status": "done", "act": "remove", "item": "rudder", "side": "port"},
            {"status": "done", "act": "store", "item": "rudder", "side": "port", "stowage": {"rack": "3"}},
        ],
    }


def test_facts_with_explain_gives_the_words_and_the_rule_behind_each():
    line = json.dumps({"id": "n1", "text": "The port rudder's off."})
    (fact,) = json.loads(command("facts", "-", "--explain", stdin=line).stdout)["facts"]
    assert fact["rule"] and fact["words"]


def test_correct_keeps_what_was_heard_and_says_why():
    line = json.dumps({"id": "n1", "heard": "We undid the bolts on the hinder costal at frame 9."})
    result = json.loads(command("correct", "-", stdin=line).stdout)
    for one in result["corrections"]:
        assert line[len('{"id": "n1", "heard": "') :][one["from"] : one["to"]] == one["heard"]
        assert one["why"]


@pytest.mark.parametrize("name", ["facts", "correct"])
def test_line_that_is_not_a_note_is_named_by_its_number(name, tmp_path):
    file = tmp_path / "notes.jsonl"
    file.write_text('{"id": "a", "text": "x", "heard": "x"}\nnot json\n')
    result = command(name, file)
    assert result.exit_code == 2
    assert "notes.jsonl" in result.stderr and "line 2" in result.stderr.lower()
    assert command(name, tmp_path / "none.jsonl").exit_code == 2


def test_new_does_not_touch_a_folder_that_holds_something(tmp_path):
    (tmp_path / "letter.txt").write_text("x")
    result = command("new", tmp_path)
    assert result.exit_code == 2
    assert "not an empty folder" in result.stderr
    made = command("new", tmp_path / "book")
    assert made.exit_code == 0
    # most folders of photos have a blank in their name, and want quotes
    assert made.stdout.splitlines()[-1].endswith('"YOUR MEDIA FOLDER"')
    assert "is a book already" in command("new", tmp_path / "book").stderr


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[time]\nbook_starts = 2026-01-01\nzone = 'Mars/Base'", "'Mars/Base' is not a time zone"),
        ("[time]\nbook_starts = 2026-01-01\n[people]\nname = 'A'", "people"),
        ("[time]\nbook_starts = 2026-01-01\ncolour = 3", "line 3: there is no setting colour under [time]"),
        ("[time\n", "line 1"),
        ("[aircraft]\ntype_pack = 'none'\n[time]\nbook_starts = 2026-01-01", "no such pack. Known: crew-trainer"),
    ],
)
def test_wrong_setting_is_named_with_what_to_do(text, said, tmp_path):
    command("new", tmp_path / "book")
    Book(tmp_path / "book").settings_file.write_text(text)
    result = command("run", tmp_path / "book")
    assert result.exit_code == 2
    assert said in result.stderr


def test_settings_that_new_writes_are_read_back_as_they_were_given(tmp_path):
    name = 'The "Lady" \\ of Nowhere, №2'
    command("new", tmp_path / "book", "--aircraft", name, "--zone", "America/Toronto", "--type-pack", "crew-trainer")
    settings = Book(tmp_path / "book").settings()
    assert (settings.aircraft.name, settings.time.zone) == (name, "America/Toronto")
    assert settings.aircraft.type_pack == "crew-trainer"


def test_examples_in_the_settings_are_settings_once_their_marks_are_taken_off(tmp_path):
    command("new", tmp_path / "book")
    file = Book(tmp_path / "book").settings_file
    lines = file.read_text(encoding="utf-8").splitlines()
    start = lines.index("# [[released]]")
    lines[start : start + 6] = [line.removeprefix("# ") for line in lines[start : start + 6]]
    file.write_text("\n".join(lines), encoding="utf-8")
    (let_out,) = Book(tmp_path / "book").settings().released
    assert (let_out.item, let_out.finding, let_out.side, let_out.who) == (
        "outer-wing", "corrosion", "port", "Alex Example",
    )  # fmt: skip


def test_folder_that_is_no_book_is_told_with_the_command_that_makes_one(tmp_path):
    for words in (("run", tmp_path), ("find", tmp_path, "x"), ("where", tmp_path, "x"), ("report", tmp_path)):
        result = command(*words)
        assert result.exit_code == 2
        assert "saidseen new" in result.stderr


def test_model_that_cannot_be_had_stops_the_run_with_one_line(tmp_path, monkeypatch):
    from tests.small_media import make_sound

    command("new", tmp_path / "book")
    make_sound(tmp_path / "media" / "20260214_101500.wav")
    result = command("run", tmp_path / "book", tmp_path / "media", "--model", tmp_path / "nothing-here")
    assert result.exit_code != 0
    assert len(result.stderr.strip().splitlines()) == 1
    assert "nothing-here" in result.stderr


def test_the_schema_names_its_dialect_and_tells_from_where_a_path_is():
    form = json.loads(command("schema").stdout)
    assert form["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    for name in ("MediaRecord", "SetAside"):
        assert "from the book's folder" in form["$defs"][name]["properties"]["path"]["description"]
    assert form["$defs"]["FactRecord"]["properties"]["inferred"]["type"] == "object"


@pytest.mark.parametrize("name", ["facts", "correct"])
def test_a_file_that_is_not_there_is_told_before_anything_is_loaded(monkeypatch, tmp_path, name):
    def loaded(*_):
        raise AssertionError("loaded")

    monkeypatch.setattr("pipeline.commands.lines.vocabulary_of", loaded)
    result = command(name, tmp_path / "none.jsonl")
    assert result.exit_code == 2
    assert result.stderr == f"There is no file '{tmp_path / 'none.jsonl'}': check how it is spelled.\n"


def test_what_was_carried_on_is_an_object_in_the_records_and_older_pairs_are_still_read():
    fact = FactRecord(status="done", act="remove", item="fin", said="off", utterances=(), inferred=(("side", "so"),))
    assert json.loads(fact.model_dump_json())["inferred"] == {"side": "so"}
    pairs = {**fact.model_dump(mode="json"), "inferred": [["side", "so"]]}
    assert FactRecord.model_validate(pairs) == FactRecord.model_validate_json(fact.model_dump_json()) == fact


@pytest.mark.parametrize(("name", "goes_on"), [("run", True), ("check", False)])
def test_who_stops_a_command_is_told_in_one_line_and_to_run_again_only_what_goes_on(name, goes_on, monkeypatch):
    def stopped(*_):
        raise KeyboardInterrupt

    def ended(code):
        raise SystemExit(code)

    monkeypatch.setattr("pipeline.commands.running.Book", stopped)
    monkeypatch.setattr("pipeline.evidence.seal_command.check", stopped)
    monkeypatch.setattr("pipeline.command_line.os._exit", ended)
    assert command(name, "winter").exit_code == 1
    told = command(name, "winter").stderr
    assert told.startswith("Stopped.") and len(told.splitlines()) == 1
    assert ("run again to go on" in told) is goes_on


def test_who_stops_the_program_while_it_is_loaded_is_told_in_one_line(monkeypatch, capsys):
    from pipeline import __main__

    class Loading:
        def find_spec(self, name, *_):
            if name == "pipeline.command_line":
                raise KeyboardInterrupt

    def ended(code):
        raise SystemExit(code)

    monkeypatch.delitem(sys.modules, "pipeline.command_line")
    monkeypatch.setattr("sys.meta_path", [Loading(), *sys.meta_path])
    monkeypatch.setattr("pipeline.__main__.os._exit", ended)
    with pytest.raises(SystemExit):
        __main__.main()
    assert capsys.readouterr().err == "Stopped.\n"


def test_lines_that_cannot_be_read_are_told_in_plain_words(tmp_path):
    (tmp_path / "photo.jpg").write_bytes(b"\xff\xd8\xff")
    for file, told in (
        (tmp_path / "photo.jpg", "photo.jpg is no text in UTF-8"),
        (tmp_path, "cannot be read (Is a "),
    ):
        wrong = command("facts", file)
        assert wrong.exit_code == 2 and told in wrong.stderr
        assert not any(odd in wrong.stderr for odd in ("codec", "Errno"))


def test_an_option_that_lacks_its_value_is_told_of_with_its_command():
    for words, place in (
        (("cut", "b", "e", "--join"), "saidseen cut"),
        (("vocab", "teach", "--who"), "saidseen vocab teach"),
    ):
        told = command(*words).stderr
        assert told.startswith(f"{place}: something must follow {words[-1]}.") and f"{place} --help" in told
