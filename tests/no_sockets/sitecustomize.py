"""Forbids sockets in every Python process that has this folder on its path, and writes down who tried to open one.

Python runs a module of this name as it starts. An audit hook cannot be taken off again, and sees the calls of any
library that goes through Python's own socket module; calls of compiled code are the network namespace's business.
"""

import os
import sys
from typing import NoReturn

_REACHING_OUT = frozenset((
    "socket.bind", "socket.connect", "socket.getaddrinfo", "socket.gethostbyaddr", "socket.gethostbyname",
    "socket.getnameinfo", "socket.sendmsg", "socket.sendto",
))  # fmt: skip


def _note(text: str) -> None:
    with open(os.environ["SOCKETS_NOTED_IN"], "a", encoding="utf-8") as notes:  # noqa: PTH123 - before anything else
        notes.write(f"{text}\n")


def _forbid(event: str, args: tuple[object, ...]) -> None:
    if event in _REACHING_OUT or (event == "socket.__new__" and args[1] in (2, 10)):  # IPv4, and IPv6 on Linux
        _refuse(event, args)


def _refuse(event: str, args: tuple[object, ...]) -> NoReturn:
    _note(f"tried {event} {args[1:]!r} from {_asker()}")
    raise PermissionError(f"{event} is forbidden here")


def _asker() -> str:
    """Return the function that asked, past the standard library's own modules of sockets."""
    frame = sys._getframe(1)
    while frame.f_back and frame.f_code.co_filename.rpartition(os.sep)[2] in ("sitecustomize.py", "socket.py"):
        frame = frame.f_back
    return f"{frame.f_globals.get('__name__')}.{frame.f_code.co_name}"


_note(f"began {' '.join(sys.orig_argv[1:4])!r}")
sys.addaudithook(_forbid)
