"""Good files under odd names, and what is no file: links that loop or lead out, pipes, sockets, devices."""

import os
import socket
from collections.abc import Iterator
from pathlib import Path

from tests.intake.hostile.case import Case
from tests.intake.hostile.whole import whole_files

_STEMS = {
    "a\nnew line",
    "tab\there",
    "bell\x07",
    "quote\"s and 'these'",
    "back`tick",
    "back\\slash",
    "semi;colon",
    "$(touch x)",
    "%s %d %n",
    "%2e%2e%2f",
    "-rf",
    "--help",
    " leading",
    "trailing ",
    "dot.",
    "star*?[a-z]",
    "a&b<c>d",
    "pipe|x",
    "caf\u00e9",
    "cafe\u0301",
    "\u212b\u1e9b\u0323",
    "\u0130\u0131\u00df",
    "\U0001f6e9\ufe0f plane",
    "\u202egpj",
    "\u200b\u2060zero",
    "\ufeffmark",
    "\ufffe",
    "\U0010ffff",
    "\u05e9\u05dc\u05d5\u05dd",
    "\u65e5\u672c\u8a9e",
    "=1+1",
    "@SUM(A1)",
    "+cmd|' /C x'!A0",
    "CON",
    "nul",
    "aux.jpg",
    "com1",
    "C:x",
    "\\\\server\\share",
    "{{ 7*7 }}",
    "#{x}",
    "'; DROP TABLE media;--",
    "\x1b[31mred",
    "2026-99-99 99.99.99",
    "20260214_101500",
    "IMG_00000000000000000000000000000001",
    "9" * 200,
    "x" * 251,
    "\u00e9" * 125,
}
_RAW = (
    b"\xff\xfe.jpg",
    b"caf\xe9.jpg",
    b"\xed\xa0\x80.jpg",
    b"\xc0\xaf.jpg",
    b"bad-\x80\nline.jpg",
    b"\xf5\x90\x80\x80.wav",
)


def names() -> Iterator[Case]:
    """Yield good photos, notes and captions under names that other programs trip over."""
    for number, stem in enumerate(sorted(_STEMS)):
        yield Case("names", f"{stem}.jpg", lambda path, number=number: _photo(path, number))
    for number, stem in enumerate(sorted(_STEMS)[::4]):
        words = f"WEBVTT\n\n00:00.100 --> 00:00.{200 + number}\nthe port rudder's off, {number} bolts\n"
        yield Case("names", f"{stem}.vtt", words.encode())
        yield Case("names", f"{stem}.wav", whole_files()["bext.wav"] + bytes(number))
        yield Case("names", f"folder {stem[:60]}.mp4/p.jpg", lambda path, number=number: _photo(path, 900 + number))
    for number, raw in enumerate(_RAW):
        yield Case("names", os.fsdecode(raw), lambda path, number=number: _bytes(path, b"%d" % number))
    yield Case("names", os.fsdecode(b"fold\xff\xfeer/p.jpg"), lambda path: _photo(path, 1_000))
    yield Case("names", "/".join(["deep"] * 180) + "/p.jpg", lambda path: _photo(path, 1_001))


def _photo(path: Path, seed: int) -> None:
    _bytes(path, photo_bytes(path, seed))


def photo_bytes(path: Path, seed: int) -> bytes:
    """Return a small photo of its own, whatever the name is to be."""
    return whole_files()["p.jpg"] + b"%d" % seed


def _bytes(path: Path, content: bytes) -> None:
    path.write_bytes(content)


def no_files() -> Iterator[Case]:
    """Yield links, pipes, sockets and devices: none of them may be opened."""
    outside: dict[str, str] = {
        "zero.jpg": "/dev/zero",
        "full.wav": "/dev/full",
        "random.mp4": "/dev/urandom",
        "tty.vtt": "/dev/tty",
        "stdin.jpg": "/dev/stdin",
        "passwd.jpg": "/etc/passwd",
        "memory.wav": "/proc/self/mem",
        "kernel.jpg": "/proc/kmsg",
        "root": "/",
        "up": "../..",
        "dangling.jpg": "no-such-file.jpg",
        "itself.jpg": "itself.jpg",
        "here": ".",
        "long.jpg": "x/" * 1_500 + "y",
    }
    for name, target in outside.items():
        yield Case("no-files", name, lambda path, target=target: path.symlink_to(target))
    for name in ("pipe.jpg", "pipe.wav", "pipe.vtt", "pipe.mp4"):
        yield Case("no-files", name, lambda path: os.mkfifo(path))
    yield Case("no-files", "socket.jpg", _socket)
    yield Case("no-files", "ring-a.jpg", _ring)
    yield Case("no-files", "inside/p.jpg", lambda path: _photo(path, 2_000))
    yield Case("no-files", "link-to-inside.jpg", lambda path: path.symlink_to("inside/p.jpg"))
    yield Case("no-files", "link-to-folder", lambda path: path.symlink_to("inside"))
    yield Case("no-files", "link-to-pipe.jpg", lambda path: path.symlink_to("pipe.jpg"))
    yield Case("no-files", "hard-link.jpg", _hard_link)
    yield Case("no-files", "folder.jpg/.keep", b"")
    yield Case("no-files", "forbidden.jpg", _forbidden)
    yield Case("no-files", "forbidden-folder/p.jpg", _forbidden_folder)


def _beside(path: Path, name: str) -> Path:
    return path.parent / name


def _socket(path: Path) -> None:
    here = Path.cwd()
    os.chdir(path.parent)  # an address may be a hundred bytes long
    try:
        with socket.socket(socket.AF_UNIX) as made:
            made.bind(path.name)
    finally:
        os.chdir(here)


def _hard_link(path: Path) -> None:
    other = _beside(path, "other-name.jpg")
    _photo(other, 2_003)
    os.link(other, path)


def _ring(path: Path) -> None:
    path.symlink_to("ring-b.jpg")
    _beside(path, "ring-b.jpg").symlink_to("ring-a.jpg")


def _forbidden(path: Path) -> None:
    _photo(path, 2_001)
    path.chmod(0)


def _forbidden_folder(path: Path) -> None:
    _photo(path, 2_002)
    path.parent.chmod(0)
