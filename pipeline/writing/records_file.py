"""``out/records.json``, put together record by record: a book of some years has a hundred megabytes.

What tells the same as in the file that is there is copied out of it, by the digests of its records beside it.
"""

import mmap
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from hashlib import blake2b
from pathlib import Path
from typing import Any, NamedTuple

from pydantic import BaseModel
from pydantic_core import to_json

from pipeline.made_by import made_by
from pipeline.records import Lists, Record, Records, WayBack
from pipeline.writing.written_files import hash_of, write_file

PLACE = "records.json"
_LIST = ".records-pieces"
_NESTED = (dict, list)
_Piece = tuple[int, int]


class _Leaf(NamedTuple):
    """A value that is told in one piece, and what each of its lines begins with."""

    value: object
    newline: bytes

    def digest(self) -> bytes:
        """Return what stands for the value: two that have the same are told alike."""
        return blake2b(self.newline + to_json(self.value), digest_size=16).digest()

    def told(self) -> bytes:
        """Return its JSON, keys sorted; raises ``pydantic_core.PydanticSerializationError``."""
        plain = self.value
        if isinstance(plain, BaseModel):
            plain = _sorted(plain.model_dump(mode="json", by_alias=True, exclude_none=True, warnings="error"))
        return to_json(plain, indent=1).replace(b"\n", self.newline)  # Python itself indents slowly


def records_json(records: Records) -> bytes:
    """Return ``records.json``: keys sorted, UTF-8, a newline at the end.

    Raises:
        pydantic_core.PydanticSerializationError: the records are not what their schema says.
    """
    return b"".join(piece for _, piece in _told(records, b"", {}))


class RecordsFile:
    """The ``records.json`` of one book, about to be written."""

    def __init__(self, records: Records, out: Path) -> None:
        """Take the records, and where the file lies."""
        self._records, self._path, self._list = records, out / PLACE, out / _LIST
        self._pieces: dict[bytes, _Piece] = {}

    def pieces(self) -> Iterator[bytes]:
        """Yield the same bytes as ``records_json``, in pieces; raises as it does."""
        start = 0
        with self._there() as (there, known):
            for digest, piece in _told(self._records, there, known):
                if digest:
                    self._pieces[digest] = start, len(piece)
                start += len(piece)
                yield piece

    def keep(self) -> None:
        """Note where each record stands in the file, once that is in place, and let go of that."""
        lines = (f"{digest.hex()} {start} {length}\n" for digest, (start, length) in self._pieces.items())
        write_file(self._list, "".join((self._state(), *lines)).encode())
        self._pieces.clear()

    def _state(self) -> str:
        """Return the line that says of which file, written by which program, the list is."""
        return f"{made_by()} {hash_of(self._path)}\n"

    @contextmanager
    def _there(self) -> Iterator[tuple[Any, dict[bytes, _Piece]]]:
        """Give the file as it is there, and where in it the records stand; nothing where the list is not of it."""
        try:
            state, *lines = self._list.read_text(encoding="ascii").splitlines(keepends=True)
            if state != self._state():
                raise ValueError
            known = {
                bytes.fromhex(digest): (int(start), int(length)) for digest, start, length in map(str.split, lines)
            }
        except (OSError, ValueError):
            yield b"", {}
            return
        with self._path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as there:
            yield there, known


def _told(records: Records, there: Any, known: Mapping[bytes, _Piece]) -> Iterator[tuple[bytes, bytes]]:
    """Yield the pieces of the records' JSON, each with its value's digest, "" for what stands between values.

    ``there`` holds, at the places in ``known``, what was told of values before.
    """
    for one in _laid_out(records, b"\n"):
        if isinstance(one, bytes):
            yield b"", one
        else:
            digest = one.digest()
            start, length = known.get(digest, (0, 0))
            yield digest, there[start : start + length] if length else one.told()
    yield b"", b"\n"


def _laid_out(record: Record, newline: bytes) -> Iterator[bytes | _Leaf]:
    """Yield what a record is told by: the values of its fields, those of a tuple one by one, and what is between."""
    fields = {field.serialization_alias or name: name for name, field in type(record).model_fields.items()}
    inner = newline + b" "
    before = b"{"
    for key in sorted(fields):
        yield b'%s%s"%s": ' % (before, inner, key.encode())
        value = getattr(record, fields[key])
        if isinstance(value, Lists | WayBack):
            yield from _laid_out(value, inner)
        elif not isinstance(value, tuple):
            yield _Leaf(value, inner)
        elif value:
            for at, one in enumerate(value):
                yield b"%s%s " % (b"," if at else b"[", inner)
                yield _Leaf(one, inner + b" ")
            yield inner + b"]"
        else:
            yield b"[]"
        before = b","
    yield newline + b"}"


def _sorted(plain: Any) -> Any:
    if isinstance(plain, dict):
        return {key: _sorted(one) if isinstance(one, _NESTED) else one for key, one in sorted(plain.items())}
    return [_sorted(one) if isinstance(one, _NESTED) else one for one in plain]
