"""The whole job with every socket forbidden: nothing in it asks for a network.

Each Python process of the job has an audit hook that refuses sockets and writes down who asked (``no_sockets/``).
Where the system lets us, the job is done in a network namespace besides, whose one interface is down: compiled code
has no way out there either. The name of the tests says which of the two it was.
"""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import typer

from pipeline.command_line import app

ROOT = Path(__file__).parent.parent
SERVED = {"review", "clock"}  # these two do open a socket, on the loopback address: tests/review and tests/cards
SAME_AS_RUN = {"demo"}
# As it is imported, one looks whether the machine has IPv6, by a socket that reaches nobody; refused, it goes on.
HARMLESS = "tried socket.__new__ (10, 1, 0) from urllib3.util.connection._has_ipv6"


def apart():
    """The words that put a command into a network namespace of its own, or none where that is not allowed."""
    words = ["unshare", "--map-root-user", "--net"]
    allowed = shutil.which("unshare") and subprocess.run([*words, "true"], capture_output=True).returncode == 0
    return words if allowed else []


def without_sockets(*words, notes, before=()):
    env = {
        name: value for name, value in os.environ.items() if not name.startswith(("HF_", "SPACY_", "DO_NOT_TRACK"))
    }
    env |= {"PYTHONPATH": os.pathsep.join((str(ROOT / "tests" / "no_sockets"), str(ROOT)))}
    done = subprocess.run(
        [*before, sys.executable, *words],
        cwd=ROOT,
        env={**env, "SOCKETS_NOTED_IN": str(notes)},
        capture_output=True,
        text=True,
        encoding="utf-8",
    )
    return done, notes.read_text(encoding="utf-8").splitlines()


@pytest.fixture(
    scope="module", params=[apart()], ids=lambda before: "no-sockets-and-no-network" if before else "no-sockets"
)
def job(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("offline")
    words = ("-m", "tests.offline_job", str(folder))
    done, notes = without_sockets(*words, notes=folder / "notes", before=request.param)
    assert done.returncode == 0, done.stderr
    return {**json.loads(done.stdout.splitlines()[-1]), "notes": notes, "apart": bool(request.param)}


def test_every_command_does_its_work_without_a_network(job):
    assert job["said"] == {}
    assert set(job["done"].values()) == {0}


def test_every_command_is_in_that_job_but_those_that_serve_a_page(job):
    commands = set(typer.main.get_command(app).commands)
    assert commands - {name.split()[0] for name in job["done"]} == SERVED | SAME_AS_RUN


def test_no_process_of_the_job_asked_for_a_socket(job):
    began = [note for note in job["notes"] if note.startswith("began ")]
    assert any("tests.offline_job" in note for note in began)
    assert any("pipeline.intake.decoder" in note for note in began)
    assert {note for note in job["notes"] if note not in began} <= {HARMLESS}


def test_the_libraries_that_could_fetch_were_in_use_and_fetched_nothing(job):
    assert {"faster_whisper", "huggingface_hub", "requests", "spacy", "urllib3"} <= set(job["loaded"])


def test_where_the_system_allows_it_the_job_had_no_interface_but_its_own_loopback(job):
    assert (job["interfaces"] == ["lo"]) == job["apart"]


def test_the_name_of_a_model_that_is_not_here_is_a_wrong_command_and_asks_no_network(tmp_path):
    new, _ = without_sockets("-m", "pipeline", "new", str(tmp_path / "book"), notes=tmp_path / "notes")
    assert new.returncode == 0, new.stderr
    said = ROOT / "sample_media" / "media" / "messages" / "voice-2026-02-15-no3.opus"
    words = ("-m", "pipeline", "run", str(tmp_path / "book"), str(said), "--model", "small")
    done, notes = without_sockets(*words, notes=tmp_path / "notes")
    assert done.returncode == 2, done.stderr
    assert "give the folder of a model" in done.stderr
    assert {note for note in notes if not note.startswith("began ")} <= {HARMLESS}


@pytest.mark.parametrize(
    "attempt",
    [
        "socket.create_connection(('192.0.2.1', 80), 1)",
        "socket.getaddrinfo('example.org', 80)",
        "socket.gethostbyname('example.org')",
        "socket.socket().bind(('127.0.0.1', 0))",
        "socket.socket(socket.AF_INET, socket.SOCK_DGRAM).sendto(b'', ('192.0.2.1', 9))",
        "urllib.request.urlopen('http://192.0.2.1/')",
        "asyncio.run(asyncio.open_connection('192.0.2.1', 80))",
    ],
)
def test_a_program_that_reaches_out_is_refused_and_noted(attempt, tmp_path):
    code = f"import asyncio, socket, urllib.request\n{attempt}"
    done, notes = without_sockets("-c", code, notes=tmp_path / "notes")
    assert done.returncode == 1
    assert "is forbidden here" in done.stderr
    assert any(note.startswith("tried socket.") for note in notes)
