"""Every command that needs no browser, one after another, on a few of the sample media with the real recogniser.

``python -m tests.offline_job FOLDER`` prints, as JSON: each command's exit code, what it said if it failed, the
network interfaces that the process saw, and which libraries that could fetch were loaded.
"""

import json
import shutil
import socket
import sys
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from pipeline.command_line import app
from pipeline.shipped import shipped

MEDIA = (
    "phone/Film 004.mp4",
    "phone/wheels and brakes.vtt",
    "phone/QB_0440.heic",
    "phone/QB_0443.jpg",
    "camera/OLLF0242.JPG",
)
COULD_FETCH = ("faster_whisper", "huggingface_hub", "onnxruntime", "requests", "spacy", "tokenizers", "urllib3")
WHO = "Ailsa Thornby"


class Job:
    """The commands that were done, and how they ended."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.book = folder, folder / "book"
        self.done: dict[str, int] = {}
        self.said: dict[str, str] = {}

    def do(self, *words: object, stdin: str | None = None, name: str = "") -> str:
        result = CliRunner().invoke(app, [str(word) for word in words], input=stdin)
        name = name or str(words[0])
        self.done[name] = result.exit_code
        if result.exit_code:
            self.said[name] = result.output
        return result.stdout

    def whole(self) -> None:
        self.make()
        entries = json.loads((self.book / "out" / "records.json").read_bytes())["entries"]
        self.ask()
        self.decide(entries[0]["id"])
        self.cut(next(one for one in entries if len(one["utterances"]) > 1))
        self.do("run", self.book, name="run again")
        self.write()
        self.keep()
        self.without_a_book()

    def make(self) -> None:
        for one in MEDIA:
            to = self.folder / "media" / one
            to.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(shipped("sample_media") / "media" / one, to)
        self.do("new", self.book)
        shutil.copy(shipped("sample_media") / "book.toml", self.book / "book.toml")
        self.do("run", self.book, self.folder / "media")

    def ask(self) -> None:
        self.do("find", self.book, "wheels")
        self.do("where", self.book, "what is on pallet 6")
        self.do("way-back", self.book, "main wheel")

    def decide(self, entry: str) -> None:
        self.do("decide", self.book, entry, "--accept", "--who", WHO)
        self.do("sign", self.book, entry, "--who", WHO, "--for", "did the work")
        self.do("amend", self.book, entry, "--no-photos", "--who", WHO, "--why", "none shows it")
        self.do("history", self.book)
        self.do("trace", self.book, entry, "--page", self.folder / "trace.html")

    def cut(self, entry: dict[str, Any]) -> None:
        because = ("--who", WHO, "--why", "another job")
        later = entry["utterances"][1]
        self.do("cut", self.book, entry["id"], "--before", later, *because)

    def write(self) -> None:
        self.do("report", self.book)
        self.do("report", self.book, "--year", "2026", name="report --year")
        self.do("report-check", self.book)
        self.do("logbook", self.book)
        self.do("labels", self.book, 3)

    def keep(self) -> None:
        bag = self.do("seal", self.book, self.folder / "bags").splitlines()[0]
        self.do("check", self.book)
        self.do("check", bag, name="check a bag")
        self.do("unseal", bag, self.folder / "back")

    def without_a_book(self) -> None:
        self.do("vocab", "check", name="vocab")
        self.do("vocab", "export", name="vocab export")
        self.do("vocab", "add", self.book, "tea urn", "--gloss", "It boils water for the team.", name="vocab add")
        note = {"id": "1", "text": "We took the port rudder off.", "heard": "We took the port rudder off."}
        self.do("facts", "-", stdin=json.dumps(note))
        self.do("correct", "-", stdin=json.dumps(note))
        self.do("schema")


if __name__ == "__main__":
    job = Job(Path(sys.argv[1]))
    job.whole()
    loaded = [name for name in COULD_FETCH if name in sys.modules]
    interfaces = [name for _, name in socket.if_nameindex()]
    print(json.dumps({"done": job.done, "said": job.said, "loaded": loaded, "interfaces": interfaces}))
