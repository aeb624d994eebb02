"""One event of a book's history, and the line that it is kept in."""

from datetime import UTC
from typing import Any, NamedTuple

import rfc8785
from pydantic import AwareDatetime
from pydantic_core import from_json

from pipeline.values import Value

BEFORE_THE_FIRST = "0" * 64
"""What the first event has as the hash of the line before it."""

CUTS = frozenset({"split", "join"})
"""What a person may do to where entries begin and end: each touches two of them."""

DECISIONS = frozenset({"accept", "amend", "reject"}) | CUTS
"""What a person may decide on an entry."""


class Act(NamedTuple):
    """What is to become an event: who did what on which entry or file, what was there before and is there after."""

    who: str
    act: str
    on: str
    before: Any = None
    after: Any = None
    why: str = ""


class Event(Value):
    """One thing that happened to the book. ``n`` counts from 1; ``previous`` is the hash of the line before."""

    n: int
    at: AwareDatetime
    who: str
    act: str
    on: str
    before: Any = None
    after: Any = None
    why: str = ""
    previous: str


def touched(event: Event) -> tuple[str, ...]:
    """Return what an event is about: an entry or a file; the two entries of a split or a join."""
    return (event.on, event.after["other"]) if event.act in CUTS else (event.on,)


def canonical(value: Any) -> bytes:
    """Return a value's one form as JSON, the same on every machine.

    Raises:
        ValueError: a number that JSON cannot hold exactly.
    Source: RFC 8785 (JSON Canonicalization Scheme).
    """
    try:
        return rfc8785.dumps(value)
    except rfc8785.CanonicalizationError:
        return rfc8785.dumps(_visible(value))


def line_of(event: Event) -> bytes:
    """Return the line of an event, without its newline."""
    held = event.model_dump(exclude={"at"})
    return canonical({**held, "at": event.at.astimezone(UTC).isoformat(timespec="seconds")})


def event_of(line: bytes) -> Event:
    """Return the event that a line holds; raises ValueError where it holds none."""
    return Event.model_validate(from_json(line))


def _visible(value: Any) -> Any:
    """Return a value whose texts are all UTF-8: a file name that is not comes as lone surrogates, and is shown."""
    if isinstance(value, str):
        return value.encode("utf-8", "backslashreplace").decode("utf-8")
    if isinstance(value, dict):
        return {_visible(key): _visible(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_visible(one) for one in value]
    return value
