"""Every kind of single change to a folder of files, each of which can be taken back."""

import os
import shutil
from collections.abc import Callable
from pathlib import Path
from random import Random

NAMES = ["extra.txt", ".hidden", "Thumbs.db", "data.txt", "manifest-md5.txt", "fetch.txt", "é", "a b", "%41", "tag/x"]
Change = Callable[[Path, Random], str]


def files_of(top: Path) -> list[Path]:
    return sorted(path for path in top.rglob("*") if path.is_file())


def folders_of(top: Path) -> list[Path]:
    return [top, *sorted(path for path in top.rglob("*") if path.is_dir())]


def _pick(top: Path, random: Random, least: int = 1) -> tuple[Path, bytearray]:
    # tag files as often as payload, though there are fewer
    some = [path for path in files_of(top) if path.stat().st_size >= least]
    tags = [path for path in some if "data" not in path.relative_to(top).parts]
    path = random.choice(tags if random.random() < 0.5 else some)
    return path, bytearray(path.read_bytes())


def flip_a_bit(top: Path, random: Random) -> str:
    path, content = _pick(top, random)
    at = random.randrange(len(content))
    content[at] ^= 1 << random.randrange(8)
    path.write_bytes(content)
    return f"bit at {at} of {path.name}"


def put_a_byte_in(top: Path, random: Random) -> str:
    path, content = _pick(top, random)
    at = random.randrange(len(content) + 1)
    content.insert(at, random.choice([0, 10, 13, 32, 48, 65, 97, 255, random.randrange(256)]))
    path.write_bytes(content)
    return f"byte put in at {at} of {path.name}"


def take_a_byte_out(top: Path, random: Random) -> str:
    path, content = _pick(top, random)
    at = random.randrange(len(content))
    del content[at]
    path.write_bytes(content)
    return f"byte taken out at {at} of {path.name}"


def cut_short(top: Path, random: Random) -> str:
    path, content = _pick(top, random)
    path.write_bytes(content[: random.choice([0, random.randrange(len(content))])])
    return f"{path.name} cut short"


def capitals(top: Path, random: Random) -> str:
    path, content = _pick(top, random)
    letters = [at for at, byte in enumerate(content) if chr(byte).isalpha() and byte < 128]
    if letters:
        at = random.choice(letters)
        content[at] ^= 0x20
        path.write_bytes(content)
    return f"case of a letter in {path.name}"


def move_a_line(top: Path, random: Random) -> str:
    path, content = _pick(top, random, least=2)
    lines = content.splitlines(keepends=True)
    line = lines.pop(random.randrange(len(lines)))
    lines.insert(random.randrange(len(lines) + 1), line)
    path.write_bytes(b"".join(lines))
    return f"line of {path.name} moved"


def twice_or_never_a_line(top: Path, random: Random) -> str:
    path, content = _pick(top, random)
    lines = content.splitlines(keepends=True)
    at = random.randrange(len(lines))
    lines[at : at + 1] = random.choice([[], [lines[at], lines[at]]])
    path.write_bytes(b"".join(lines))
    return f"line of {path.name} doubled or left out"


def other_line_ends(top: Path, random: Random) -> str:
    path, content = _pick(top, random)
    path.write_bytes(content.replace(b"\n", b"\r\n"))
    return f"line ends of {path.name}"


def remove_a_file(top: Path, random: Random) -> str:
    path, _ = _pick(top, random, least=0)
    path.unlink()
    return f"{path.name} removed"


def remove_a_folder(top: Path, random: Random) -> str:
    path = random.choice(folders_of(top)[1:])
    shutil.rmtree(path)
    return f"folder {path.name} removed"


def add_a_file(top: Path, random: Random) -> str:
    path = random.choice(folders_of(top)) / random.choice(NAMES)
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.exists():
        path.write_bytes(random.choice([b"", b"x"]))
    return f"{path} added"


def add_an_empty_folder(top: Path, random: Random) -> str:
    path = random.choice(folders_of(top)) / "empty"
    path.mkdir()
    return f"{path} added"


def copy_a_file(top: Path, random: Random) -> str:
    path, content = _pick(top, random)
    (random.choice(folders_of(top)) / f"copy of {path.name}").write_bytes(content)
    return f"{path.name} copied"


def rename_something(top: Path, random: Random) -> str:
    path = random.choice([*files_of(top), *folders_of(top)[1:]])
    name = random.choice([path.name.swapcase(), path.name + " ", "x" + path.name, path.name[:-1] or "y"])
    if not path.with_name(name).exists():
        path.rename(path.with_name(name))
    return f"{path} renamed to {name}"


def move_a_file(top: Path, random: Random) -> str:
    path, _ = _pick(top, random, least=0)
    to = random.choice(folders_of(top)) / path.name
    if not to.exists():
        path.rename(to)
    return f"{path} moved to {to}"


def swap_two(top: Path, random: Random) -> str:
    (one, first), (other, second) = _pick(top, random, least=0), _pick(top, random, least=0)
    one.write_bytes(second)
    other.write_bytes(first)
    return f"{one} and {other} swapped"


def put_a_link_in_place(top: Path, random: Random) -> str:
    path, content = _pick(top, random)
    aside = top.parent / "aside"
    aside.write_bytes(content)
    path.unlink()
    path.symlink_to(aside)
    return f"{path} is a link to the same bytes"


def put_a_folder_in_place(top: Path, random: Random) -> str:
    path, _ = _pick(top, random, least=0)
    path.unlink()
    path.mkdir()
    return f"{path} is a folder"


CHANGES: list[Change] = [
    flip_a_bit, flip_a_bit, put_a_byte_in, take_a_byte_out, cut_short, capitals, move_a_line, twice_or_never_a_line,
    other_line_ends, remove_a_file, remove_a_folder, add_a_file, add_an_empty_folder, copy_a_file, rename_something,
    move_a_file, swap_two, put_a_link_in_place, put_a_folder_in_place,
]  # fmt: skip


def snapshot(top: Path) -> dict[str, object]:
    """Return what a folder holds, so that a change that changed nothing is known."""
    held: dict[str, object] = {}
    for path in top.rglob("*"):
        name = os.fsencode(path.relative_to(top)).decode("utf-8", "surrogateescape")
        held[name] = ("link", str(path.readlink())) if path.is_symlink() else path.is_dir() or path.read_bytes()
    return held


def put_back(top: Path, now: dict[str, object], whole: dict[str, object]) -> None:
    """Make a folder that is ``now`` so what it was as a whole, by two snapshots; only what differs is touched."""
    for name in sorted(now, reverse=True):  # what is in a folder before the folder
        if type(now[name]) is not type(whole.get(name)):
            (top / name).rmdir() if now[name] is True else (top / name).unlink()
    for name, held in sorted(whole.items()):
        if now.get(name) == held:
            continue
        if isinstance(held, bytes):
            (top / name).write_bytes(held)
        else:
            (top / name).mkdir()
