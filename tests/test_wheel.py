"""The wheel holds the program and what it opens, and nothing else; its own list of hashes and its metadata are true.

That it installs in a clean environment and does the demo from there is checked by ``.ci/run``.
"""

import base64
import csv
import hashlib
import os
import subprocess
import sys
import tomllib
import zipfile
from email import message_from_string
from pathlib import Path, PurePosixPath

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
INSIDE = {
    "vocab": "pipeline/vocab",
    "learnt": "pipeline/learnt",
    "templates": "pipeline/templates",
    "sample_media/media": "pipeline/sample_media/media",
    "sample_media/book.toml": "pipeline/sample_media/book.toml",
}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("dist")
    made = subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT],
        capture_output=True,
        text=True,
        encoding="utf-8",
    )
    assert made.returncode == 0, made.stdout + made.stderr
    (file,) = folder.glob("*.whl")
    return file


@pytest.fixture(scope="module")
def unpacked(wheel, tmp_path_factory):
    folder = tmp_path_factory.mktemp("unpacked")
    with zipfile.ZipFile(wheel) as held:
        held.extractall(folder)
    return folder


def names(wheel):
    with zipfile.ZipFile(wheel) as held:
        return [name for name in held.namelist() if not name.endswith("/")]


def metadata(wheel):
    with zipfile.ZipFile(wheel) as held:
        (name,) = (name for name in held.namelist() if name.endswith(".dist-info/METADATA"))
        return message_from_string(held.read(name).decode())


def files_under(place):
    return [place] if place.is_file() else [path for path in place.rglob("*") if path.is_file()]


def test_the_wheel_holds_every_module_and_every_file_that_comes_with_the_program_and_nothing_else(wheel):
    modules = {path.relative_to(ROOT).as_posix() for path in (ROOT / "pipeline").rglob("*.py")}
    shipped = {
        (PurePosixPath(inside) / path.relative_to(ROOT / outside).as_posix()).as_posix()
        for outside, inside in INSIDE.items()
        for path in files_under(ROOT / outside)
    }
    held = {name for name in names(wheel) if ".dist-info/" not in name}
    assert held == modules | shipped
    assert len(names(wheel)) == len(set(names(wheel)))


def test_every_module_and_file_is_in_the_wheel_byte_for_byte(unpacked):
    for outside, inside in {"pipeline": "pipeline", **INSIDE}.items():
        for path in files_under(ROOT / outside):
            if "__pycache__" not in path.parts:
                assert (unpacked / inside / path.relative_to(ROOT / outside)).read_bytes() == path.read_bytes(), path


def test_what_is_not_the_program_is_not_in_the_wheel(wheel):
    for name in names(wheel):
        parts = PurePosixPath(name).parts
        assert parts[0] in ("pipeline", f"saidseen-{PROJECT['project']['version']}.dist-info"), name
        assert not {"tests", "learning", "measuring", "__pycache__", ".venv", "drawn"} & set(parts), name
        assert not name.endswith((".pyc", ".map", ".lock", ".db", ".log", "~")), name


def test_every_file_of_the_wheel_is_in_its_record_with_its_hash_and_size(wheel, unpacked):
    (record,) = unpacked.glob("*.dist-info/RECORD")
    with record.open(encoding="utf-8", newline="") as lines:
        rows = {name: (digest, size) for name, digest, size in csv.reader(lines)}
    assert set(rows) == set(names(wheel))
    for name, (digest, size) in rows.items():
        if name == f"{record.parent.name}/RECORD":
            assert (digest, size) == ("", "")
            continue
        data = (unpacked / name).read_bytes()
        found = base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=").decode()
        assert (digest, size) == (f"sha256={found}", str(len(data))), name


def test_the_wheel_asks_for_what_the_project_asks_for_and_for_more_only_with_an_extra(wheel):
    asked = [Requirement(one) for one in metadata(wheel).get_all("Requires-Dist")]
    always = {str(one) for one in asked if one.marker is None}
    assert always == {str(Requirement(one)) for one in PROJECT["project"]["dependencies"]}
    more = [one for one in asked if one.marker is not None]
    assert not any(one.marker.evaluate({"extra": ""}) for one in more)
    for extra, wanted in PROJECT["project"]["optional-dependencies"].items():
        found = {one.name for one in more if one.marker.evaluate({"extra": extra})}
        assert found == {Requirement(one).name for one in wanted}, extra


def test_the_wheel_says_its_version_python_and_licence_and_has_the_one_command(wheel, unpacked):
    told = metadata(wheel)
    project = PROJECT["project"]
    assert (told["Name"], told["Version"]) == (project["name"], project["version"])
    assert told["Requires-Python"] == project["requires-python"]
    assert told["License-Expression"] == "MIT"
    (licence,) = unpacked.glob("*.dist-info/licenses/LICENSE")
    assert licence.read_bytes() == (ROOT / "LICENSE").read_bytes()
    (entry,) = unpacked.glob("*.dist-info/entry_points.txt")
    command = entry.read_text(encoding="utf-8").split()
    assert command == ["[console_scripts]", "saidseen", "=", "pipeline.__main__:main"]


def test_a_program_that_has_the_wheel_alone_opens_each_folder_that_came_with_it(unpacked, tmp_path):
    def run(*words, stdin=None):
        return subprocess.run(
            [sys.executable, *words],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(unpacked)},
            input=stdin,
            capture_output=True,
            text=True,
            encoding="utf-8",
        )

    folders = ("vocab", "learnt", "templates", "sample_media")
    found = run("-c", f"from pipeline.shipped import shipped; print(*map(shipped, {folders}), sep='\\n')")
    assert found.stdout.splitlines() == [str(unpacked / "pipeline" / name) for name in folders]
    made = run("-m", "pipeline", "new", "book", "--type-pack", "crew-trainer")
    assert made.returncode == 0, made.stderr
    assert (tmp_path / "book" / "book.toml").exists()
    read = run("-m", "pipeline", "facts", "-", stdin='{"id": "1", "text": "We took the port rudder off."}\n')
    assert '"remove"' in read.stdout, read.stderr
    laid = run("-c", "from pathlib import Path; from pipeline.demo import lay_out_demo; lay_out_demo(Path('demo'))")
    assert laid.returncode == 0, laid.stderr
    assert len(files_under(tmp_path / "demo" / "media")) == len(files_under(ROOT / "sample_media" / "media"))
