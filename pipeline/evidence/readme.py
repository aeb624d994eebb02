"""README.txt, the first page of a bag: where to start, how to check it by common tools, and what the history is.

It is for whoever finds the bag alone, years later, without this program and without its documents.
"""

from collections.abc import Iterator, Mapping, Sequence
from textwrap import indent, wrap

from pipeline.plain_text import visible

README_FILE = "README.txt"
_WIDTH, _INDENT = 78, 34
_PLACES = (
    ("data/out/logbook/index.html", "Start here, in any browser: the days, the registers, the clocks"),
    ("data/out/logbook/logbook.pdf", "The same to print"),
    ("data/out/to-settle.html", "What people still had to settle"),
    ("data/out/records.json", "Everything, as data"),
    ("data/originals.json", "Every photo, recording and film: its hash, and where it lay"),
    ("data/originals/", "The photos, recordings and films themselves, as they came"),
    ("data/history.jsonl", "What was taken in and read, and what people decided and signed"),
    ("data/edits.toml", "What an editor wished of the reports to supporters"),
    ("data/vocabulary/", "The words of the trade by which the speech was read"),
    ("data/made-with.json", "Which programs made the record"),
)
_CHECK = """\
On Linux, in this folder (on macOS write "shasum -a 256" for "sha256sum"):

    sha256sum tagmanifest-sha256.txt
        must give the seal: 64 letters and figures that whoever sealed it was
        asked to copy down somewhere else. Without it the bag only shows that
        it agrees with itself.
    sha256sum --check --quiet tagmanifest-sha256.txt
    sha256sum --check --quiet manifest-sha256.txt
        must each print nothing. A file that is named there is not what was
        sealed, or is gone: look for it in another copy of the bag.

On Windows, in PowerShell, the seal:

    (Get-FileHash tagmanifest-sha256.txt -Algorithm SHA256).Hash

With Python 3, on any of them: save these lines as check_bag.py outside this
folder, and type: python3 check_bag.py FOLDER (on Windows py in place of
python3). The first line that it prints is the seal; every other names a file
that is not what was sealed, or is gone.

{script}

The second number of Payload-Oxum in bag-info.txt says how many files there
should be under data/. Any program that knows BagIt 1.0 (RFC 8493) checks all of
this, and so does: saidseen check

To work on with the book: saidseen unseal. It lays out the book's own files and
the originals, under the names and in the folders that they had.
"""
_SCRIPT = """\
import hashlib, pathlib, sys

def sha256(file):
    return hashlib.sha256(file.read_bytes()).hexdigest()

bag = pathlib.Path(sys.argv[1])
print("seal:", sha256(bag / "tagmanifest-sha256.txt"))
for name in "tagmanifest-sha256.txt", "manifest-sha256.txt":
    for line in (bag / name).read_text("utf-8").rstrip("\\n").split("\\n"):
        figures, path = line.split("  ", 1)
        for code, letter in ("%0A", "\\n"), ("%0D", "\\r"), ("%25", "%"):
            path = path.replace(code, letter)
        if not (bag / path).is_file() or sha256(bag / path) != figures:
            print("not what was sealed, or gone:", path)
"""
"""Checks a bag with nothing but Python: for whoever has no sha256sum, and no saidseen."""
_HISTORY = """\
data/history.jsonl has a line for each thing that happened: a file taken in, an
entry read, accepted, put right, rejected or signed, the book sealed. Each line
says who did it, when by that machine's clock, and why, and holds the SHA-256 of
the line before it ("previous"), so that a line that was changed, moved or taken
out shows. Nothing in it is overwritten: what an entry said at first is in it
still.
"""


def readme(name: str, aircraft: str, sealed: str, where: Mapping[str, str], before: Sequence[str]) -> bytes:
    """Return the file.

    Args:
        name: the bag's.
        aircraft: what the record is about.
        sealed: when, and by which program.
        where: every path that the bag stands for, with the name of the earlier bag that holds it, "" for this one.
        before: the names of all bags that it goes on from, first to last.
    """
    head = [
        f"{visible(name)}: the record of work on {visible(aircraft)}",
        "",
        *wrap(f"Sealed {sealed}. A working record: it certifies nothing, and releases nothing to service.", _WIDTH),
    ]
    parts = [
        ("Where things are", "\n".join(_places(where))),
        ("How to check it", _CHECK.format(script=indent(_SCRIPT.rstrip(), "    "))),
        ("The history", _HISTORY),
    ]
    if before:
        told = f"It goes on from {', '.join(map(visible, before))}: what is in those is not in it again. Keep them "
        told += "together; to follow links from page to page, lay the contents of all of them over each other."
        parts.insert(1, ("Earlier bags", "\n".join(wrap(told, _WIDTH))))
    told = "It names everybody who works on the aircraft, and holds their voices: it is for the team's archive."
    parts.append(("Who may see it", "\n".join(wrap(told, _WIDTH))))
    text = "\n".join(head) + "".join(f"\n\n{title.upper()}\n\n{body.rstrip()}" for title, body in parts)
    return f"{text}\n".encode("utf-8", "backslashreplace")


def _places(where: Mapping[str, str]) -> Iterator[str]:
    for place, what in _PLACES:
        there = sorted({bag for path, bag in where.items() if path == place or path.startswith(_folder(place))})
        if there:
            held = "" if "" in there else f" (in {', '.join(map(visible, there))})"
            lines = wrap(what + held, _WIDTH - _INDENT)
            yield f"{place:<{_INDENT}}{lines[0]}"
            yield from (" " * _INDENT + line for line in lines[1:])


def _folder(place: str) -> str:
    return place if place.endswith("/") else f"{place}/"
