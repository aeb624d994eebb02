"""A decoder that dies, hangs and fills its memory when asked to: begun by ``test_decoding`` in place of ours."""

import errno
import os
import signal
import time
from pathlib import Path

import numpy as np

from pipeline.errors import ItemFault
from pipeline.intake import decoder
from pipeline.intake.at_work import still_at_work

_asked: list[Path] = []


def _pid(path):
    _asked.append(path)
    yield {"pid": os.getpid()}


def _die(path):
    os.kill(os.getpid(), signal.SIGSEGV)
    yield {}


def _die_if_used(path):
    if _asked:
        os.kill(os.getpid(), signal.SIGKILL)
    yield {"pid": os.getpid()}


def _hang(path):
    time.sleep(600)
    yield {}


def _fill(path):
    yield {"bytes": len(np.ones(200_000_000))}


def _print(path):
    os.write(1, b"V\x00\x00\x00\x02{}")
    print("a warning of some library", flush=True)
    yield {"said": True}


def _blocks(path, count):
    for number in range(count):
        yield np.full(1 << 16, number, dtype=np.float32)
    yield {"count": count}


def _die_after_blocks(path):
    yield np.zeros(10, dtype=np.float32)
    yield from _die(path)


def _refuse(path):
    raise ItemFault("It is odd. Leave it out.", passing=True)
    yield {}


def _fail(path):
    raise ZeroDivisionError("a fault of ours")
    yield {}


def _full(path):
    raise OSError(errno.ENOSPC, "No space left on device", "copy.m4a")
    yield {}


def _busy(path):
    while True:
        still_at_work()
    yield {}


WORKS = {
    "pid": _pid,
    "die": _die,
    "die if used": _die_if_used,
    "hang": _hang,
    "fill": _fill,
    "print": _print,
    "refuse": _refuse,
    "blocks": _blocks,
    "die after blocks": _die_after_blocks,
    "fail": _fail,
    "full": _full,
    "busy": _busy,
}

if __name__ == "__main__":
    decoder.QUIET_S = 1.0
    decoder.serve(WORKS)
