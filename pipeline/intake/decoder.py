"""The process in which originals are unpacked: ``python -m pipeline.intake.decoder``, asked by ``decoding`` alone.

Photos, sound and film are unpacked by large programs in C, and a damaged or malicious file can make such a program
stop, hang or fill the memory. Here that takes this process with it and nothing else. It answers one request after
another, and ends when whoever asked has ended.
"""

import json
import os
import signal
import sys
import time
import traceback
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from pipeline.errors import ItemFault
from pipeline.intake.at_work import tell_of_work
from pipeline.intake.codes import read_codes
from pipeline.intake.containers.film_stills import still
from pipeline.intake.containers.sound_track import SoundBlocks, write_listening_copy
from pipeline.intake.pictures import grey_pixels, resized_jpeg
from pipeline.intake.probe import probe
from pipeline.intake.wire import ALIVE, BLOCK, FAILED, FAULT, READY, UNWRITTEN, VALUE, receive, send

MOST_BYTES = 900_000_000
QUIET_S = 8.0
_TELL_EVERY_S = 0.5
_BYTES_A_SECOND = 100_000
"""What is unpacked in a second at the very least: a file that needs more work than this leads round in circles."""

_LONGER_S = 5  # an orphan that hangs is ended by the system's own alarm, after whoever asked would have ended it
_BLOCK_SAMPLES = 1 << 16

Answer = Iterator[NDArray[Any] | bytes | dict[str, Any]]
"""Blocks of bytes, if there are any, and at the end one value that can be written as JSON."""

Work = Callable[..., Answer]


def serve(works: Mapping[str, Work]) -> None:
    """Answer requests from standard input until it ends.

    Args:
        works: what can be asked for, by name. Each is called with the path and the other keys of the request.
    """
    requests, answers = _channels()
    _set_limits()
    send(answers, READY)
    _speak_no_more()
    while (request := receive(requests)) is not None:
        asked = json.loads(request[1])
        _answer(answers, works[asked.pop("do")], Path(asked.pop("path")), asked)


def _answer(answers: BinaryIO, work: Work, path: Path, how: Mapping[str, Any]) -> None:
    tell_of_work(_Patience(answers, path).tell)
    _alarm(QUIET_S + _LONGER_S)
    try:
        for part in work(path, **how):
            if isinstance(part, dict):
                _say(answers, VALUE, json.dumps(part).encode())
            else:
                _say(answers, BLOCK, part if isinstance(part, bytes) else part.tobytes())
    except ItemFault as fault:
        send(answers, FAULT, json.dumps({"why": fault.why, "passing": fault.passing}).encode())
    except BrokenPipeError:
        raise
    except OSError as error:
        send(answers, UNWRITTEN, json.dumps([error.errno, error.strerror, str(error.filename or path)]).encode())
    except MemoryError:
        why = "Unpacked, it would fill the memory. Save it anew, smaller or cut into parts, and use that."
        send(answers, FAULT, json.dumps({"why": why, "passing": False}).encode())
    except Exception:
        send(answers, FAILED, traceback.format_exc().encode("utf-8", "replace"))
    finally:
        _alarm(0)


class _Patience:
    """Tells the other side now and then that work goes on, until the file has had its share of time."""

    def __init__(self, answers: BinaryIO, path: Path) -> None:
        self._answers = answers
        self._told_at = time.monotonic()
        size = path.stat().st_size if path.exists() else 0
        self._until = time.process_time() + QUIET_S + size / _BYTES_A_SECOND

    def tell(self) -> None:
        now = time.monotonic()
        if now - self._told_at < _TELL_EVERY_S:
            return
        if time.process_time() > self._until:
            raise ItemFault(
                "It keeps the program busy without end for so small a file, so it is probably damaged. Copy it from "
                "the device again, or play it elsewhere and save it anew."
            )
        self._told_at = now
        _say(self._answers, ALIVE)


def _say(answers: BinaryIO, kind: bytes, content: bytes = b"") -> None:
    _alarm(0)  # while the other side takes its time to read, nothing hangs here
    send(answers, kind, content)
    _alarm(QUIET_S + _LONGER_S)


def _channels() -> tuple[BinaryIO, BinaryIO]:
    """Return where requests come from and where answers go; nothing that a library prints gets among them."""
    requests, answers = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    with Path(os.devnull).open("r+b") as nowhere:
        os.dup2(nowhere.fileno(), 0)
        os.dup2(nowhere.fileno(), 1)
    return requests, answers


def _speak_no_more() -> None:
    # What libraries print about bad files means nothing to a user; this program's own faults are sent as answers.
    with Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), 2)


def _set_limits() -> None:
    """Limit this process's memory where the system can (Linux), and leave no trace of it where it dies."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who asked is interrupted too, and ends this
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        if sys.platform == "linux":  # elsewhere the limit is not kept, or counts what is merely mapped
            resource.setrlimit(resource.RLIMIT_DATA, (MOST_BYTES, MOST_BYTES))


def _alarm(seconds: float) -> None:
    if sys.platform != "win32":
        signal.setitimer(signal.ITIMER_REAL, seconds)


def _looked_at(path: Path) -> Answer:
    yield probe(path).model_dump(mode="json")


def _codes(path: Path, content_type: str) -> Answer:
    yield read_codes(path, content_type).model_dump(mode="json")


def _sound(path: Path, content_type: str) -> Answer:
    track = SoundBlocks(path, content_type)
    held: list[NDArray[np.float32]] = []
    for block in track:
        held.append(block)
        if sum(map(len, held)) >= _BLOCK_SAMPLES:
            yield np.concatenate(held)
            held = []
    if held:
        yield np.concatenate(held)
    yield {"duration_s": track.duration_s, "lost_s": track.lost_s, "early_s": track.early_s}


def _jpeg(path: Path, longest_px: int) -> Answer:
    yield resized_jpeg(path, longest_px)
    yield {}


def _still(path: Path, content_type: str, at_s: float, longest_px: int | None) -> Answer:
    yield still(path, content_type, at_s, longest_px)
    yield {}


def _listening_copy(path: Path, content_type: str, to: str) -> Answer:
    write_listening_copy(path, content_type, Path(to))
    yield {}


def _grey(path: Path, most_px: int | None) -> Answer:
    pixels = grey_pixels(path, most_px)
    yield pixels
    yield {"shape": pixels.shape}


WORKS: Mapping[str, Work] = {
    "look": _looked_at,
    "codes": _codes,
    "sound": _sound,
    "jpeg": _jpeg,
    "still": _still,
    "listening copy": _listening_copy,
    "grey": _grey,
}

if __name__ == "__main__":
    serve(WORKS)
