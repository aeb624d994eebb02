"""What is said of a setting or an option that was typed wrong: where, what is right, and no word of the machinery."""

import re
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from pipeline.command_line import app
from pipeline.errors import WrongCommand
from pipeline.mistyped import did_you_mean
from pipeline.settings import Settings, read_settings

PROGRAM = Path(__file__).parent.parent / "pipeline"
TIME = "[time]\nbook_starts = 2026-01-01\n"
TEAM = TIME + '[[people]]\nname = "Imogen Strake"\n[[people]]\nname = "Priya Lomax"\n'
OF_THE_MACHINERY = re.compile(r"input|extra|permitted|boolean|parse|validat|%Y|traceback|people\.\d", re.IGNORECASE)

WRONG = [
    (TEAM + "consnt = false", "line 7: there is no setting consnt of Priya Lomax. Did you mean consent?"),
    (TEAM + "consent = yes", "line 7: consent = yes: write consent = true, in small letters and without quotes."),
    (TEAM + "consent = No  # not asked", "line 7: consent = No: write consent = false"),
    (TEAM + 'consent = "maybe"', 'line 7: consent = "maybe" of Priya Lomax: write true or false'),
    (TEAM + "role = “fitter”", 'line 7: role = “fitter”: its quotation marks are curly. Type straight ones: role'),
    (TEAM + "also = [“Lex”, “Al”]", 'its quotation marks are curly. Type straight ones: also = ["Lex", "Al"].'),
    (TEAM.replace("[[people]]", "[people]", 1) + "[[people]]", "line 5: before each of people stands [[people]]"),
    (TEAM + "consent = true\n[[people", "line 8: before each of people stands [[people]], with two brackets"),
    ('[people]\nname = "A"\n[people]\nname = "B"', "before each of people stands [[people]], with two brackets"),
    (TEAM + "also = [3]", "line 7: also = 3 of Priya Lomax: write words in quotes"),
    (TEAM + "may_sign = \"all\"", 'line 7: may_sign = "all" of Priya Lomax: write a list, like may_sign = ["first"'),
    (TIME + '[[people]]\nrole = "fitter"', "line 3: name is missing in the 1st [[people]]."),
    (TIME + '[[people]]\nnmae = "A"', "line 4: there is no setting nmae in the 1st [[people]]. Did you mean name?"),
    (TIME + '[people]\nname = "A"', "line 3: people: write a line [[people]] before each of them."),
    ("[withold]\nplaces = []\n" + TIME, "line 1: there is no setting withold. Did you mean withhold?"),
    (TIME + "colour = 3", "line 3: there is no setting colour under [time]. There are: book_starts, zone."),
    ('[time]\nbook_starts = "January"', "line 2: book_starts = \"January\" under [time]: write a day, year first"),
    ("[time]\nbook_starts = January", "line 2: book_starts = January: write a day, year first"),
    ('[time]\nzone = "Europe/London"', "line 1: book_starts is missing under [time]. Write a day"),
    (TIME + 'zone = "Mars/Base"', "line 3: 'Mars/Base' is not a time zone name"),
    (TIME + 'zone = "london"', "line 3: 'london' is not a time zone name; did you mean Europe/London?"),
    (TIME + 'zone = "Europe/Lodon"', "'Europe/Lodon' is not a time zone name; did you mean Europe/London?"),
    (TIME + 'zone = "New York"', "'New York' is not a time zone name; did you mean America/New_York?"),
    (TEAM + '[[people]]\nname = "Priya Lomax"\nconsent = true', "two [[people]] blocks are of Priya Lomax. Put"),
    (TIME + '[[devices]]\nclock_offset_s = 3', 'devices: write a line [devices."NAME"] for each of them'),
    ("{\\rtf1\\ansi [time]}", "is rich text of a word processor. Save it as plain text"),
    ("[time\n", 'line 1: "[time": the name of a block stands alone on its line'),
    (TIME + TIME, "line 3: the block [time] is there twice."),
    (TIME + "book_starts = 2026-02-02", "line 3: book_starts stands twice in its block."),
    (TIME + "[supporters]\ntitle = News", 'line 4: title = News: words stand in quotes: title = "News".'),
    (TIME + '[supporters]\ntitle = "News', "line 4: title: its words do not end"),
    (TIME + '[withhold]\nplaces = [\n  "Netherby",\n', "line 4: places: its list does not end"),
    (TIME + "[supporters]\ntitle =", "line 4: nothing stands after title =."),
    (TIME + "just words", 'line 3: "just words" is no setting.'),
    (TIME + '[devices."Maker Model"]\nclock_offset_s = "fast"', "line 4: clock_offset_s = \"fast\" under [dev"),
    (TIME + "[edits]", "What an editor wants stands in edits.toml."),
]  # fmt: skip


def told(folder: Path, text: str, edits: str = "") -> str:
    (folder / "book.toml").write_text(text)
    (folder / "edits.toml").write_text(edits)
    with pytest.raises(WrongCommand) as fault:
        read_settings(folder / "book.toml", folder / "edits.toml")
    return str(fault.value)


@pytest.mark.parametrize(("text", "said"), WRONG)
def test_a_wrong_setting_is_told_with_its_line_whose_it_is_and_what_is_right(text: str, said: str, tmp_path) -> None:
    line = told(tmp_path, text)
    assert said in line
    assert line.startswith(f"{tmp_path / 'book.toml'}") and "\n" not in line
    assert not OF_THE_MACHINERY.search(line.removeprefix(f"{tmp_path}"))


def test_a_wrong_wish_of_the_editor_is_told_with_the_line_of_that_file(tmp_path) -> None:
    assert told(tmp_path, TIME, '[[reports]]\nreport = "2026-02"\nopenning = "x"').endswith(
        "edits.toml, line 3: there is no setting openning of 2026-02. Did you mean opening?"
    )
    assert 'edits.toml, line 2: report = "February": write the name of the report\'s folder, like' in told(
        tmp_path, TIME, '[[reports]]\nreport = "February"'
    )
    twice = '[[reports]]\nreport = "2026-02"\n' * 2
    assert "edits.toml, line 1: two [[reports]] blocks are of 2026-02." in told(tmp_path, TIME, twice)
    assert 'line 2: photo = 12 in the 1st [[pictures]]: write words in quotes' in told(
        tmp_path, TIME, "[[pictures]]\nphoto = 12"
    )  # fmt: skip


@pytest.mark.parametrize("typed", ['"first name"', '"First name only"', '"first-name"'])
def test_consent_to_the_first_name_is_understood_as_people_write_it(typed: str, tmp_path) -> None:
    (tmp_path / "book.toml").write_text(TEAM + f"consent = {typed}")
    people = read_settings(tmp_path / "book.toml").people
    assert [one.public_name for one in people] == ["", "Priya"]


def test_settings_without_a_file_for_the_editor_have_no_wishes_and_wishes_are_no_part_of_their_json(tmp_path) -> None:
    (tmp_path / "book.toml").write_text(TIME)
    plain = read_settings(tmp_path / "book.toml", tmp_path / "edits.toml")
    (tmp_path / "edits.toml").write_text('[[reports]]\nreport = "2026-02"\nopening = "Hello."')
    wished = read_settings(tmp_path / "book.toml", tmp_path / "edits.toml")
    assert (plain.edits.reports, wished.edits.reports[0].opening) == ((), "Hello.")
    assert plain.model_dump_json() == wished.model_dump_json()
    assert isinstance(wished, Settings)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("report b --from 2026-02-30", "saidseen report: --from: there is no day 2026-02-30."),
        ("report b --to 14/02/2026", "'14/02/2026' is not a day as it is written here: year first, like 2026-02-14"),
        ("report b --to 02/14/2026", "year first, like 2026-02-14"),
        ("report b --from Tuesday", "--from: 'Tuesday' is not a day. Write it year first, like 2026-01-31."),
        ("report b --year x", "--year: write a whole number, like 12."),
        ("labels b twelve", "saidseen labels: N: write a whole number, like 12."),
        ("labels b 0", "N: write 1 or more."),
        ("clock --port 99999", "--port: write 65535 or less."),
        ("run b --device gpu", "--device: 'gpu' is not one of 'auto', 'cpu', 'cuda'."),
        ("run b --frce", "saidseen run: there is no option --frce. Did you mean --force-again?"),
        ("reprt b", "saidseen: there is no command reprt. Did you mean report?"),
        ("vocab chck", "saidseen vocab: there is no command chck. Did you mean check?"),
        ("run", "saidseen run: BOOK is missing: the book's folder."),
        ("schema too much", "nothing more may follow, and there is: too much."),
        ("new BOOK --aircraft Crew Trainer", 'Put quotation marks round what has a blank in it, like "Crew'),
    ],
)  # fmt: skip
def test_what_is_typed_wrong_on_the_command_line_is_told_in_one_line_with_what_is_right(
    typed: str, said: str
) -> None:
    result = CliRunner().invoke(app, typed.split())
    assert result.exit_code == 2
    assert said in result.stderr
    assert result.stderr.count("\n") == 1 and result.stdout == ""
    assert not OF_THE_MACHINERY.search(result.stderr)
    assert re.search(r"What may be typed: saidseen[\w ]* --help$", result.stderr.strip())


def test_the_program_is_called_by_its_name_however_it_was_begun() -> None:
    assert "Usage: saidseen report" in CliRunner().invoke(app, ["report", "--help"], prog_name="python -m x").stdout
    assert CliRunner().invoke(app, ["--version"]).exit_code == 0
    assert "Usage: saidseen" in CliRunner().invoke(app, []).stdout


def test_a_name_like_no_other_is_answered_with_all_that_there_are_unless_they_are_many() -> None:
    assert did_you_mean("zebra", ["consent", "name"]) == "There are: consent, name."
    assert did_you_mean("zebra", [f"name-{one}" for one in range(50)]) == ""
    assert did_you_mean("oxb_0021.JPG", ["OXB_0020.jpg", "P0100.jpg"]) == "Did you mean OXB_0020.jpg?"


def typed(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.mark.parametrize(("option", "value"), [("--zone", "London"), ("--type-pack", "glider")])
def test_a_book_is_not_made_where_an_option_of_it_is_wrong(tmp_path, option, value):
    result = typed("new", tmp_path / "winter", option, value)
    assert result.exit_code == 2
    assert result.stderr.startswith(option) and value in result.stderr and "book.toml" not in result.stderr
    assert not (tmp_path / "winter").exists()
    assert typed("new", tmp_path / "winter").exit_code == 0


def test_a_folder_of_photos_given_as_the_book_is_told_with_the_commands_to_type(tmp_path):
    photos = tmp_path / "My Photos"
    photos.mkdir()
    assert f'Make one with: saidseen new "{photos}"' in typed("run", photos).stderr
    (photos / "a.jpg").write_bytes(b"x")
    result = typed("run", photos)
    assert result.exit_code == 2
    assert f'saidseen new BOOK, then: saidseen run BOOK "{photos}"' in result.stderr


@pytest.mark.parametrize(
    ("given", "meant"), [("nwe", "new"), ("rnu", "run"), ("seel", "seal"), ("reveiw", "review"), ("chek", "check")]
)
def test_a_short_name_with_one_slip_is_asked_for(given, meant):
    assert f"Did you mean {meant}?" in typed(given).stderr


def test_help_is_had_by_every_usual_word_and_names_no_type_of_a_programmer():
    whole = typed("--help").stdout
    assert typed("-h").stdout == typed("help").stdout == whole
    assert typed("help", "run").stdout == typed("run", "--help").stdout
    for command in ("", *typer.main.get_command(app).commands):
        shown = typed(*command.split(), "--help").stdout
        assert not re.search(r"<\w|list\[|\bbool\b|\[x>|\bstr\b", shown), shown


def test_every_command_that_is_told_can_be_typed_with_a_folder_that_has_a_blank():
    for file in sorted(PROGRAM.rglob("*.py")):
        text = re.sub(r"[\"']\n\s*f?[\"']", "", file.read_text(encoding="utf-8"))  # a text over several lines is one
        told = re.findall(r"saidseen [a-z-]+ \{(?!to_type\()[^}]*\}", text)
        assert not told, f"{file.name}: put to_type() round the folder of {told}"


def test_a_name_with_a_blank_typed_without_quotes_is_told_with_its_quotes(tmp_path, monkeypatch):
    meant = tmp_path / "Große Hangar photos"
    meant.mkdir()
    (tmp_path / "A").mkdir()
    monkeypatch.chdir(tmp_path / "A")  # "Hangar" would be here, before "Große" in the order of names
    assert CliRunner().invoke(app, ["new", str(tmp_path / "book")]).exit_code == 0
    for words in ((tmp_path / "Große", "Hangar", "photos"), (tmp_path / "book", tmp_path / "Große", "Hangar")):
        result = CliRunner().invoke(app, ["run", *map(str, words)])
        assert result.exit_code == 2
        assert f'quotation marks around a name with a blank in it: "{meant}"' in result.stderr


def test_settings_saved_in_another_code_page_are_told_with_their_line_and_how_to_save_them(tmp_path):
    file = tmp_path / "book.toml"
    file.write_bytes('[aircraft]\nname = "Zaunkönig"\n'.encode("cp1252"))
    with pytest.raises(WrongCommand) as told:
        read_settings(file)
    assert str(told.value).startswith(f"{file}, line 2: ") and "Zaunkönig" in str(told.value)
    assert "UTF-8" in str(told.value) and "codec" not in str(told.value)


@pytest.mark.parametrize(
    ("raw", "told"),
    [
        ("[time]".encode("utf-16"), "is saved as UTF-16, which Notepad calls Unicode"),
        (b"PK\x03\x04\xff", "word processor"),
    ],
)
def test_settings_saved_by_other_programs_are_told_with_what_to_save_them_as(raw, told, tmp_path):
    (tmp_path / "book.toml").write_bytes(raw)
    with pytest.raises(WrongCommand, match=told) as fault:
        read_settings(tmp_path / "book.toml")
    assert "UTF-8" in str(fault.value) and "line 1" not in str(fault.value)


def test_a_file_in_place_of_a_folder_is_told_as_one(tmp_path):
    (tmp_path / "afile").write_text("notes")
    for command in ("demo", "new", "run"):
        result = CliRunner().invoke(app, [command, str(tmp_path / "afile")])
        assert result.exit_code == 2 and f"{tmp_path / 'afile'} is a file" in result.stderr


def test_a_book_of_nearly_that_name_is_asked_for(tmp_path):
    assert CliRunner().invoke(app, ["new", str(tmp_path / "our-book")]).exit_code == 0
    (tmp_path / "photos").mkdir()
    result = CliRunner().invoke(app, ["run", str(tmp_path / "our-bok"), str(tmp_path / "photos")])
    assert result.exit_code == 2 and f"Did you mean {tmp_path / 'our-book'}?" in result.stderr


def test_a_model_typed_wrong_is_told_though_there_is_nothing_to_hear(tmp_path):
    assert CliRunner().invoke(app, ["new", str(tmp_path / "book")]).exit_code == 0
    result = CliRunner().invoke(app, ["run", str(tmp_path / "book"), "--model", "bas"])
    assert result.exit_code == 2 and "bas" in result.stderr


def test_review_of_a_folder_that_is_no_book_says_that_it_is_none(tmp_path):
    result = CliRunner().invoke(app, ["review", str(tmp_path / "nobook"), "--no-browser"])
    assert result.exit_code == 2 and "is not a book" in result.stderr


@pytest.mark.parametrize(
    ("typed", "told"), [((), True), (("--zone", "GMT"), True), (("--zone", "America/Toronto"), False)]
)
def test_a_new_book_tells_its_zone_unless_a_place_was_named(typed, told, tmp_path):
    result = CliRunner().invoke(app, ["new", str(tmp_path / "book"), *typed])
    assert result.exit_code == 0
    assert ("Its time zone is" in result.stderr) is told
