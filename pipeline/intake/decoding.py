"""What the rest of the program asks of the bytes of originals; it is all done in a child process, ``decoder``.

A file that makes the decoder stop, hang or fill its memory is an ``ItemFault`` with a text that says so, and the next
file gets a fresh child. A child does one file after another: it begins once for each thread that asks, and ends with
this process. On Linux it may use ``decoder.MOST_BYTES`` of memory; elsewhere no such limit is kept, and only the
limit on pixels and the limit on time hold.
"""

import atexit
import json
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from threading import Lock, Timer
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from pipeline.errors import ItemFault, RunFault
from pipeline.intake.beside import beside
from pipeline.intake.sound import Sound, lost_remarks
from pipeline.intake.wire import ALIVE, BLOCK, FAILED, FAULT, READY, UNWRITTEN, VALUE, receive, send
from pipeline.values import Codes, Probe

QUIET_S = 8.0
_BEGIN_S = 120.0  # a slow disk may take its time to find all the libraries
_FILES_A_CHILD = 1000  # what libraries forget to give back is given back with the child
_ROOT = Path(__file__).parents[2]
_COMMAND = (sys.executable, "-P", "-m", "pipeline.intake.decoder")
_STOPPED = (
    "The program that unpacks this kind of file stopped on it, so it is probably damaged. Copy it from the device "
    "again, or open it elsewhere and save it anew."
)
_HUNG = (
    "Unpacking it got nowhere for {seconds:.0f} s and was stopped, so it is probably damaged. Copy it from the "
    "device again, or open it elsewhere and save it anew."
)


def look(path: Path) -> Probe:
    """Read what a file is, when it says it was made, by which device, how long or large it is (see ``probe``).

    Raises:
        ItemFault: the file cannot be used; its text says why and what to do.
    """
    return Probe.model_validate(DECODERS.value("look", path))


def codes_in(path: Path, content_type: str) -> Codes:
    """Find the QR and DataMatrix codes in a photo (see ``read_codes``); raises ItemFault."""
    return Codes.model_validate(DECODERS.value("codes", path, content_type=content_type))


def sound(path: Path, content_type: str) -> Sound:
    """Decode a recording's or a film's sound, all of it at once: 230 MB an hour. Raises ItemFault."""
    blocks = sound_blocks(path, content_type)
    samples = [np.zeros(0, dtype=np.float32), *blocks]
    return Sound(np.concatenate(samples), blocks.duration_s, blocks.lost_s, blocks.early_s)


def sound_blocks(path: Path, content_type: str) -> "SoundRead":
    """Decode a recording's or a film's sound block by block: a long one needs no more memory than a short one.

    The child waits while a block is used, for as long as that takes. Going through the blocks may raise ItemFault,
    also after some.
    """
    return SoundRead(path, content_type)


class SoundRead:
    """The blocks of a recording's sound, each float32 of shape (n,) at ``SOUND_RATE_HZ``, about four seconds long.

    To be gone through once. ``duration_s``, ``lost_s``, ``early_s`` and ``remarks``, which mean what they do in
    ``Sound``, are complete at the end. Whoever stops half-way closes the iterator, and the child ends.
    """

    def __init__(self, path: Path, content_type: str) -> None:
        self._path, self._content_type = path, content_type
        self.duration_s = self.lost_s = self.early_s = 0.0

    def __iter__(self) -> Iterator[NDArray[np.float32]]:
        for kind, content in DECODERS.answers("sound", self._path, content_type=self._content_type):
            if kind == BLOCK:
                yield np.frombuffer(content, dtype=np.float32)
            else:
                end = json.loads(content)
                self.duration_s, self.lost_s, self.early_s = end["duration_s"], end["lost_s"], end["early_s"]

    @property
    def remarks(self) -> tuple[str, ...]:
        """Return a sentence for the user about lost sound, or nothing."""
        return lost_remarks(self.lost_s, self.early_s)


def resized_jpeg(path: Path, longest_px: int) -> bytes:
    """Return a picture as JPEG: upright, in sRGB, at most ``longest_px`` long, without tags. Raises ItemFault."""
    return DECODERS.content("jpeg", path, longest_px=longest_px)


def still(path: Path, content_type: str, at_s: float, longest_px: int | None = None) -> bytes:
    """Return a film's picture at ``at_s`` seconds as JPEG, upright and without tags. Raises ItemFault."""
    return DECODERS.content("still", path, content_type=content_type, at_s=at_s, longest_px=longest_px)


def listening_copy(path: Path, content_type: str, to: Path) -> None:
    """Write the sound as a small mono AAC file (``.m4a``), beside and then into place.

    Raises:
        ItemFault: there is no sound that can be decoded.
        OSError: it cannot be written.
    """
    with beside(to) as part:
        DECODERS.value("listening copy", path, content_type=content_type, to=str(part))


def grey_pixels(path: Path, most_px: int | None = None) -> NDArray[np.uint8]:
    """Return a picture in grey, shape (h, w), as it is stored, of ``most_px`` pixels or so. Raises ItemFault."""
    *blocks, (_, end) = DECODERS.answers("grey", path, most_px=most_px)
    pixels = np.frombuffer(b"".join(content for _, content in blocks), dtype=np.uint8)
    return pixels.reshape(json.loads(end)["shape"])


class Decoders:
    """The children at hand. Any thread may ask; each child does one file at a time.

    Args:
        command: begins a child.
        quiet_s: how long a child may say nothing before it is taken to hang.
    """

    def __init__(self, command: Sequence[str] = _COMMAND, quiet_s: float = QUIET_S) -> None:
        self._command, self._quiet_s = command, quiet_s
        self._idle: list[_Child] = []
        self._lock = Lock()

    def value(self, do: str, path: Path, **how: Any) -> Any:
        """Return the one value that is the answer; raises ItemFault, and OSError where nothing can be written."""
        *_, (_, content) = self.answers(do, path, **how)
        return json.loads(content)

    def content(self, do: str, path: Path, **how: Any) -> bytes:
        """Return the bytes that are the answer; raises ItemFault."""
        *blocks, _ = self.answers(do, path, **how)
        return b"".join(content for _, content in blocks)

    def answers(self, do: str, path: Path, **how: Any) -> Iterator[tuple[bytes, bytes]]:
        """Yield blocks as they come, and at the end the value, each with what kind of frame it is.

        Where a child that has done other files dies before it has said anything, the file gets a second chance with
        a fresh one: an earlier file may be to blame.

        Raises:
            ItemFault: the file is at fault, or the child died or hung over it.
            OSError: what the child was to write cannot be written.
        """
        request = json.dumps({"do": do, "path": str(path), **how}).encode()
        while True:
            child = self._take()
            said = False
            try:
                for frame in child.answers(request, self._quiet_s):
                    said = True
                    yield frame
                return
            except _Died:
                if said or child.asked == 1:
                    raise ItemFault(_STOPPED, passing=True) from None
            finally:
                self._give_back(child)

    def end(self) -> None:
        """End all children that are idle."""
        with self._lock:
            idle, self._idle = self._idle, []
        for child in idle:
            child.end()

    def forget(self) -> None:
        """Leave the children to the process that began them, in a copy of it that was forked."""
        self._lock = Lock()
        for child in self._idle:
            child.close()
        self._idle = []

    def _take(self) -> "_Child":
        with self._lock:
            if self._idle:
                return self._idle.pop()
        return _Child(self._command)

    def _give_back(self, child: "_Child") -> None:
        if child.free and child.asked < _FILES_A_CHILD:
            with self._lock:
                self._idle.append(child)
        else:
            child.end()


class _Died(Exception):  # noqa: N818
    """The child has ended without an answer."""


class _Child:
    """One decoder. ``free`` says that it has answered all that it was asked; ``asked`` counts the files."""

    def __init__(self, command: Sequence[str]) -> None:
        self.asked = 0
        self.free = True
        self._hung = False
        self._process = subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, **_one_thread(), "PYTHONPATH": _python_path()},
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
            process_group=0 if os.name == "posix" else None,  # Ctrl-C is for this process alone, which ends it
        )
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._requests: BinaryIO = self._process.stdin  # type: ignore[assignment]
        self._replies: BinaryIO = self._process.stdout  # type: ignore[assignment]
        try:
            begun = self._next(_BEGIN_S) == (READY, b"")
        except (_Died, ItemFault):
            begun = False
        if not begun:
            self.end()
            raise RunFault("The program that unpacks photos and sound cannot be begun: install saidseen again.")

    def answers(self, request: bytes, quiet_s: float) -> Iterator[tuple[bytes, bytes]]:
        """Yield the frames of one answer."""
        self.free = False
        self.asked += 1
        try:
            send(self._requests, VALUE, request)
        except OSError:
            raise _Died from None
        while True:
            kind, content = self._next(quiet_s)
            if kind == ALIVE:
                continue
            self.free = kind != BLOCK
            if kind == FAULT:
                raise ItemFault(**json.loads(content))
            if kind == UNWRITTEN:
                raise OSError(*json.loads(content))
            if kind == FAILED:
                raise RuntimeError(content.decode())
            yield kind, content
            if kind == VALUE:
                return

    def _next(self, quiet_s: float) -> tuple[bytes, bytes]:
        watch = Timer(quiet_s, self._stop)
        watch.daemon = True
        watch.start()
        try:
            frame = receive(self._replies)
        finally:
            watch.cancel()
        if self._hung:
            raise ItemFault(_HUNG.format(seconds=quiet_s), passing=True)
        if frame is None:
            raise _Died
        return frame

    def _stop(self) -> None:
        self._hung = True
        self._process.kill()

    def end(self) -> None:
        """End the process, whatever it is at."""
        self._process.kill()
        self.close()
        self._process.wait()

    def close(self) -> None:
        """Close this side of the pipes."""
        for pipe in (self._requests, self._replies):
            with suppress(OSError):  # what was not yet sent can't be, to a process that has ended
                pipe.close()


def _python_path() -> str:
    return os.pathsep.join(filter(None, (str(_ROOT), os.environ.get("PYTHONPATH"))))


def _one_thread() -> dict[str, str]:
    """Return the environment that keeps numpy from beginning a thread for each core, with memory for each."""
    return {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MALLOC_ARENA_MAX": "2"}


DECODERS = Decoders()
"""The children of this process."""
atexit.register(DECODERS.end)
if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=DECODERS.forget)
