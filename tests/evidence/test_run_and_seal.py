"""A real run, sealed and checked: what a run writes is what a check expects."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pipeline.command_line import app
from pipeline.commands.sealing import refuse_drive_letter
from pipeline.errors import WrongCommand
from pipeline.evidence.check import check
from pipeline.records import Records
from tests.small_media import make_captions, make_photo, make_sound

TEN = datetime(2026, 2, 14, 10, tzinfo=UTC)


def command(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    folder = tmp_path_factory.mktemp("home")
    make_captions(folder / "media/note.vtt", TEN)
    make_photo(folder / "media/IMG_1.jpg", TEN + timedelta(seconds=6))
    command("new", folder / "winter", "--aircraft", "Crew Trainer")
    made = command("run", folder / "winter", folder / "media", "--quiet")
    assert made.exit_code == 0, made.output
    return folder


def test_every_file_of_a_run_is_known_by_its_hash_and_a_second_run_changes_nothing(home):
    assert check(home / "winter").differences == ()
    assert command("run", home / "winter", "--quiet").exit_code == 0
    checked = check(home / "winter")
    assert checked.differences == ()
    assert checked.files > 20


def test_a_book_is_sealed_and_sealed_again_after_another_photo(home):
    first = command("seal", home / "winter", home / "bags")
    assert first.exit_code == 0
    assert f"{home / 'bags'} is on the same drive as the book" in first.stderr
    make_photo(home / "media/IMG_2.jpg", TEN + timedelta(seconds=9), seed=2)
    assert command("run", home / "winter", "--quiet").exit_code == 0
    second = command("seal", home / "winter", home / "bags")
    assert second.exit_code == 0, second.output
    assert "stay in earlier bags" in second.stderr
    checked = check(home / "bags")
    assert checked.differences == ()
    assert len(checked.seals) == 2
    assert check(home / "winter").differences == ()


def test_a_book_that_comes_back_from_its_bags_says_the_same(home):
    made_sound = home / "media/Voice 1.wav"
    make_sound(made_sound, seconds=8.0)
    make_captions(
        made_sound.with_suffix(".vtt"), TEN + timedelta(minutes=5)
    )  # beside its sound: no recogniser hears it
    assert command("run", home / "winter", "--quiet").exit_code == 0
    assert command("seal", home / "winter", home / "bags").exit_code == 0
    assert command("unseal", home / "bags", home / "back").exit_code == 0
    done = command("run", home / "back/winter", home / "back/originals", "--quiet")
    assert done.exit_code == 0, done.output
    was, now = (
        Records.model_validate_json((at / "out/records.json").read_bytes())
        for at in (home / "winter", home / "back/winter")
    )
    assert [(one.id, one.facts, one.photos) for one in now.entries] == [
        (one.id, one.facts, one.photos) for one in was.entries
    ]
    assert [(one.id, one.taken_at, one.time_source) for one in now.media] == [
        (one.id, one.taken_at, one.time_source) for one in was.media
    ]
    assert check(home / "back/winter").differences == ()


def test_drive_as_windows_names_it_is_no_folder_beside_the_book_elsewhere():
    for to in (r"E:\sealed", "E:/sealed", "e:"):
        with pytest.raises(WrongCommand, match="how Windows names a drive"):
            refuse_drive_letter(Path(to), on_windows=False)
        refuse_drive_letter(Path(to), on_windows=True)
    refuse_drive_letter(Path("sealed"), on_windows=False)
