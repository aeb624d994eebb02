"""Which files there are, and what each one's content hashes to. Nothing here opens a file for writing."""

import hashlib
import os
import stat
from collections.abc import Iterator, Sequence
from pathlib import Path

from pipeline.errors import ItemFault, WrongCommand, reason_of
from pipeline.mistyped import to_type, with_a_blank
from pipeline.values import FileSeen, Value

_BLOCK_BYTES = 1 << 17  # stays in a core's cache until it is hashed, and costs little to make for each file
WHILE_READ = "It changed while it was being read. Wait until copying has finished, then run again: it is read anew."

# What operating systems leave beside people's own files. Names are compared in lower case.
_LITTER = frozenset(
    {
        "thumbs.db",
        "ehthumbs.db",
        "desktop.ini",
        "icon\r",
        "__macosx",
        "$recycle.bin",
        "system volume information",
        "lost+found",
    }
)


# What is left of a file that is not on this machine: hidden, with one of these endings behind its name. Source: from
# memory, of programs that keep a folder in step with a cloud.
_HIDDEN_PLACEHOLDERS = (".icloud",)
_OFFLINE, _RECALL_ON_OPEN, _RECALL_ON_DATA_ACCESS, _DATALESS = 0x1000, 0x40000, 0x400000, 0x40000000
_ONLY_A_PLACEHOLDER = (
    "Only a placeholder is here: the file itself is still in the cloud. Have it downloaded to this machine (in most "
    "file managers: right-click, then download, or keep on this device), then run again."
)


class SetAsidePath(Value):
    """Something found on the walk that cannot be taken in. ``why`` says what is wrong and what to do."""

    path: str
    why: str


def walk(paths: Sequence[Path]) -> Iterator[FileSeen | SetAsidePath]:
    """Yield every file under ``paths``, each path once, in sorted order.

    Args:
        paths: files and folders; folders are walked to the bottom.

    Yields:
        A ``FileSeen`` for a file, a ``SetAsidePath`` for what cannot be a file of the team's, and for placeholders of
        files that a cloud keeps. Other hidden files and the litter of operating systems are passed over, except where
        they are given themselves.

    Raises:
        WrongCommand: one of ``paths`` does not exist. Raised before anything is yielded.
    """
    roots = [_absolute(Path(path)) for path in paths]
    for given, root in zip(paths, roots, strict=True):
        if not root.exists():
            told = f"There is no file or folder '{given}': check how it is spelled."
            if meant := with_a_blank(Path(given)):
                told += f" Put quotation marks around a name with a blank in it: {to_type(meant)}"
            raise WrongCommand(told)
    return _each_once(sorted(roots))


def hash_file(path: Path) -> str:
    """Return "sha256:" and the 64 hexadecimal digits of the file's SHA-256.

    Raises:
        ItemFault: the file cannot be read, is not a plain file, or changes while it is read.

    Source: FIPS 180-4 (SHA-256), by ``hashlib``.
    """
    digest, block = hashlib.sha256(), memoryview(bytearray(_BLOCK_BYTES))
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise ItemFault("It is not a plain file. Copy the recording or photo itself into the folder.")
        with path.open("rb", buffering=0) as file:
            before = os.fstat(file.fileno())
            length = 0
            while count := file.readinto(block):
                digest.update(block[:count])
                length += count
            after = os.fstat(file.fileno())
    except OSError as error:
        raise ItemFault(
            f"It cannot be read ({reason_of(error)}). Check that you may open it, and copy it again if you cannot."
        ) from error
    unchanged = (before.st_size, before.st_mtime_ns) == (after.st_size, after.st_mtime_ns)
    if not unchanged or length != after.st_size:
        raise ItemFault(WHILE_READ, passing=True)
    return f"sha256:{digest.hexdigest()}"


def is_as_seen(file: FileSeen) -> bool:
    """Tell whether a file still is as the walk saw it; one that is gone has at least not become another."""
    try:
        info = Path(file.path).stat()
    except OSError:
        return True
    return (info.st_size, info.st_mtime_ns) == (file.size, file.modified_ns)


def refuse_if_other(path: Path, media: str) -> None:
    """Raise ItemFault if a file does not hold the content of this id (any more), or cannot be read."""
    if hash_file(path) != media:
        raise ItemFault("Its content has changed since it was taken in, so no copy of what it was can be made.")


def _absolute(path: Path) -> Path:
    """Make absolute without following links, so that messages show the name that the user gave."""
    return path.resolve() if ".." in path.parts else path.absolute()


def _each_once(roots: Sequence[Path]) -> Iterator[FileSeen | SetAsidePath]:
    real_roots = tuple(root.resolve() for root in roots)
    done: set[str] = set()
    for root in roots:
        for found in _walk_given(root, real_roots):
            if found.path not in done:
                done.add(found.path)
                yield found


def _walk_given(root: Path, real_roots: Sequence[Path]) -> Iterator[FileSeen | SetAsidePath]:
    try:
        info = root.stat()
    except OSError as error:
        yield _unread(str(root), error)
        return
    if stat.S_ISDIR(info.st_mode):
        yield from _walk_folder(str(root), real_roots)
    else:
        yield seen_as(str(root), info)


def _walk_folder(folder: str, real_roots: Sequence[Path]) -> Iterator[FileSeen | SetAsidePath]:
    """Walk one folder, with plain texts for paths: a hundred thousand files are looked at anew by every run."""
    try:
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError as error:
        yield _unread(folder, error)
        return
    for entry in entries:
        if _is_placeholder(entry.name):
            if not os.path.exists(stands_for(entry.path)):  # noqa: PTH110 - a plain text, as all here
                yield _aside(stands_for(entry.path), _ONLY_A_PLACEHOLDER)
        elif not _is_litter(entry.name):
            yield from _walk_entry(entry, real_roots)


def _walk_entry(entry: "os.DirEntry[str]", real_roots: Sequence[Path]) -> Iterator[FileSeen | SetAsidePath]:
    try:
        if entry.is_symlink():
            verdict = _link_verdict(Path(entry.path), real_roots)
            if verdict is not None:
                yield from verdict
                return
        if entry.is_dir():
            yield from _walk_folder(entry.path, real_roots)
        else:
            yield seen_as(entry.path, entry.stat())
    except OSError as error:
        yield _unread(entry.path, error)


def _link_verdict(path: Path, real_roots: Sequence[Path]) -> list[SetAsidePath] | None:
    """Say what becomes of a link: None to follow it, else what is set aside for it (perhaps nothing)."""
    try:
        target = path.resolve(strict=True)
    except (OSError, RuntimeError):  # Python 3.11 and 3.12 raise RuntimeError for a loop
        return [_aside(path, "It is a link that leads nowhere or back to itself. Put the file itself here.")]
    if not any(target.is_relative_to(root) for root in real_roots):
        return [_aside(path, "It is a link that leads out of the folder. Put the file itself here.")]
    if not target.is_dir():
        return None
    if path.parent.resolve().is_relative_to(target):
        return [_aside(path, "It is a link back to a folder that holds it. Remove the link.")]
    return []  # the folder it leads to is walked under its own name


def seen_as(path: str, info: os.stat_result) -> FileSeen | SetAsidePath:
    """Return a file by its path and what the system tells of it, or why it cannot be taken in."""
    if not stat.S_ISREG(info.st_mode):
        return _aside(path, "It is a device or a pipe, not a file. Copy the recording or photo itself here.")
    if _is_placeholder(os.path.basename(path)) or _is_not_here(info):  # noqa: PTH119 - quicker
        return _aside(stands_for(path), _ONLY_A_PLACEHOLDER)
    if not _is_clean(path):
        return _aside(path, "Its name or its folder's name has letters that cannot be read. Rename it.")
    return FileSeen(path=path, size=info.st_size, modified_ns=info.st_mtime_ns)


def _unread(path: str, error: OSError) -> SetAsidePath:
    return _aside(path, f"It cannot be read ({reason_of(error)}). Check that you may open it.")


def _aside(path: str | Path, why: str) -> SetAsidePath:
    return SetAsidePath(path=os.fsencode(path).decode("utf-8", "replace"), why=why)


def _is_clean(text: str) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _is_litter(name: str) -> bool:
    return name.startswith(".") or name.lower() in _LITTER


def _is_placeholder(name: str) -> bool:
    return name.lower().endswith(_HIDDEN_PLACEHOLDERS)


def _is_not_here(info: os.stat_result) -> bool:
    """Tell whether the system says that it would have to fetch a file first: to read it would ask a network.

    Source: MS-FSCC, 2.6 (FILE_ATTRIBUTE_…), and sys/stat.h of macOS (SF_DATALESS), both from memory.
    """
    on_windows, on_macos = getattr(info, "st_file_attributes", 0), getattr(info, "st_flags", 0)
    return bool(on_windows & (_OFFLINE | _RECALL_ON_OPEN | _RECALL_ON_DATA_ACCESS) or on_macos & _DATALESS)


def stands_for(path: str) -> str:
    """Return the name of the file that a placeholder stands for: ".IMG_1.HEIC.icloud" is for "IMG_1.HEIC"."""
    folder, name = os.path.split(path)
    ending = next((one for one in _HIDDEN_PLACEHOLDERS if name.lower().endswith(one)), "")
    if not ending:
        return path
    return os.path.join(folder, name[: -len(ending)].removeprefix("."))  # noqa: PTH118 - a plain text, as all here
