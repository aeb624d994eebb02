"""What passes between this program and its decoder: frames of one letter, a length and content.

JSON and plain bytes only. The decoder has read bytes that may have been made to harm it, so nothing that it says is
run here, as a pickle would be.
"""

import struct
from typing import BinaryIO

READY, VALUE, BLOCK, FAULT, FAILED, UNWRITTEN, ALIVE = b"R", b"V", b"B", b"F", b"X", b"O", b"."
"""Begun; the answer, which ends it; a part of it; an ``ItemFault``; the program failed; no room; still at work."""

_HEAD = struct.Struct(">cI")
_LONGEST_BYTES = 1 << 28


def send(pipe: BinaryIO, kind: bytes, content: bytes = b"") -> None:
    """Write one frame; raises OSError if nobody reads it."""
    pipe.write(_HEAD.pack(kind, len(content)))
    pipe.write(content)
    pipe.flush()


def receive(pipe: BinaryIO) -> tuple[bytes, bytes] | None:
    """Read one frame, or None where the other side has ended or speaks nonsense."""
    head = pipe.read(_HEAD.size)
    if len(head) < _HEAD.size:
        return None
    kind, length = _HEAD.unpack(head)
    if length > _LONGEST_BYTES:
        return None
    content = pipe.read(length)
    return (kind, content) if len(content) == length else None
