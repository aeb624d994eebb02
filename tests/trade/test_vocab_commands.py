"""``saidseen vocab``, as a person types it."""

import re
from pathlib import Path
from typing import Any

import pytest
from rdflib import Graph
from typer.testing import CliRunner

from pipeline.command_line import app


def command(*words: object) -> Any:
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture
def book(tmp_path: Path) -> Path:
    assert (
        command("new", tmp_path / "winter", "--aircraft", "Two Winters", "--type-pack", "crew-trainer").exit_code == 0
    )
    return tmp_path / "winter"


def test_check_of_what_is_shipped_ends_in_0_and_its_warnings_have_file_and_line() -> None:
    result = command("vocab", "check")
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert all(re.match(r"warning: \S+/parts\.csv, line \d+: '.+' sounds like '.+'", line) for line in lines)
    assert f"0 faults and {len(lines)} warnings" in result.stderr


def test_part_is_added_by_one_command_and_then_known(book: Path) -> None:
    result = command("vocab", "add", book, "gizmo plate", "--broader", "fuselage", "--also", "gizmo cover")
    assert result.exit_code == 0, result.output
    assert f"Added 'gizmo-plate' to {book / 'vocab' / 'parts.csv'}, line 3" in result.stdout
    assert command("vocab", "check", book).exit_code == 0
    again = command("vocab", "add", book, "gizmo cover", "--broader", "fuselage")
    assert again.exit_code == 2
    assert "belongs to the part 'gizmo-plate'" in again.stderr
    assert '"gizmo cover"@en-GB' in command("vocab", "export", book).stdout


def test_check_of_a_book_with_a_fault_ends_in_4(book: Path) -> None:
    assert command("vocab", "add", book, "gizmo", "--gloss", "A gizmo.").exit_code == 0
    own = book / "vocab" / "parts.csv"
    written = own.read_text().replace(",A gizmo.,", ",,").replace("gizmo,gizmo,,", "gizmo,gizmo,wotsit,")
    own.write_text(written + "wotsit,wotsit,,structure,A wotsit.,,any,,no,,\n")
    result = command("vocab", "check", book)
    assert result.exit_code == 4
    assert (
        f"{own}, line 4: the name 'wotsit' of 'wotsit' already belongs to 'gizmo' (parts.csv, line 3)"
        in result.stdout
    )
    assert f"{own}, line 3: the column 'gloss' is empty" in result.stdout


def test_export_of_a_book_is_turtle_under_the_aircrafts_name(book: Path) -> None:
    result = command("vocab", "export", book)
    assert result.exit_code == 0
    assert len(Graph().parse(data=result.stdout, format="turtle")) > 4000
    assert '"Two Winters vocabulary: parts"@en-GB' in result.stdout
    assert "part:instructors-seat a skos:Concept" in result.stdout


@pytest.mark.parametrize("words", [("check",), ("add", "gizmo"), ("export",)])
def test_book_that_is_not_there_is_a_wrong_command(tmp_path: Path, words: tuple[str, ...]) -> None:
    assert command("vocab", words[0], tmp_path / "nowhere", *words[1:]).exit_code == 2


def test_book_whose_empty_vocabulary_folder_was_not_copied_is_read_and_can_be_added_to(book: Path) -> None:
    (book / "vocab").rmdir()
    assert command("vocab", "check", book).exit_code == 0
    assert command("run", book).exit_code == 0
    assert command("vocab", "add", book, "gizmo plate", "--broader", "fuselage").exit_code == 0
    assert (book / "vocab" / "parts.csv").is_file()
