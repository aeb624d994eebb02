"""The events of a history played again: what the program read last, what people did, and any earlier day of it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, tzinfo
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar

from pipeline.history.answers import answer_of
from pipeline.history.chain import line_at
from pipeline.history.cuts import is_cut
from pipeline.history.decisions import Standing, as_decided
from pipeline.history.events import CUTS, DECISIONS, Event, event_of
from pipeline.history.releases import is_release
from pipeline.history.versions import ReadEntry, from_json
from pipeline.records import FactRecord

_R = TypeVar("_R")
_BY_THE_PROGRAM = frozenset({"read", "took-in", "mended"})


@dataclass(frozen=True)
class Past:
    """What a history adds up to.

    ``read`` is what the program read last, by entry, as the history keeps it; ``took_in`` the path of each file by
    its media id as it was first seen; ``acts`` are what people did.
    """

    events: tuple[Event, ...] = ()
    read: Mapping[str, dict[str, Any]] = field(default_factory=dict)
    took_in: Mapping[str, str] = field(default_factory=dict)
    acts: tuple[Event, ...] = ()

    @cached_property
    def machine(self) -> dict[str, ReadEntry]:
        """What the program read last, by entry."""
        found = ((entry, self.read_last(entry)) for entry in self.read)
        return {entry: one for entry, one in found if one is not None}

    def read_last(self, entry: str) -> ReadEntry | None:
        """Return what the program read last of one entry; None where it read none, or the history was changed."""
        return _entry(self.read.get(entry))

    def stands(self) -> dict[str, Standing]:
        """Return every entry as it stands by these events, in the order in which they were first read."""
        return as_decided(self.machine, self.acts)


def past_of(events: Iterable[Event]) -> Past:
    """Play events again, in their order; of a history that was changed, what is still an event of its kind."""
    events = tuple(events)
    read: dict[str, dict[str, Any]] = {}
    took_in: dict[str, str] = {}
    for event in events:
        _note(event, event.after, read, took_in)
    acts = tuple(one for one in events if one.act not in _BY_THE_PROGRAM and _is_whole(one))
    return Past(events, read, took_in, acts)


def _note(event: Event, reading: _R, read: dict[str, _R], took_in: dict[str, str]) -> None:
    """Note what the program did by an event; ``reading`` is what is held of an entry that it read."""
    if event.act == "read" and event.after is None:
        read.pop(event.on, None)
    elif event.act == "read" and isinstance(event.after, dict):
        read[event.on] = reading
    elif event.act == "took-in" and isinstance(event.after, dict):
        took_in[event.on] = str(event.after.get("path", ""))


class Playing:
    """Events played again one by one as they are read: of what the program did only what is needed of it is held.

    ``latest`` is the event of the latest instant, where there is any.
    """

    def __init__(self, path: Path) -> None:
        """Begin with none of the events in the history's file."""
        self._path = path
        self.latest: tuple[Event, ...] = ()
        self._starts: dict[str, int] = {}
        self._took_in: dict[str, str] = {}
        self._acts: list[Event] = []

    def take(self, event: Event, start: int) -> None:
        """Take the next event, with where its line begins in the file."""
        if not self.latest or event.at > self.latest[0].at:
            self.latest = (event,)
        if event.act not in _BY_THE_PROGRAM:
            self._acts.append(event)
        else:
            _note(event, start, self._starts, self._took_in)

    def past(self) -> Past:
        """Return what they add up to: without the events of what the program did."""
        acts = past_of(self._acts).acts
        return Past(acts, _InFile(self._path, self._starts), self._took_in, acts)


class _InFile(Mapping[str, dict[str, Any]]):
    """What the program read last, by entry: each read from its line in the history when it is asked for.

    Where that line holds it no longer, because somebody changed the file meanwhile, it is not there any more.
    """

    def __init__(self, path: Path, starts: Mapping[str, int]) -> None:
        self._path, self._starts = path, starts

    def __getitem__(self, entry: str) -> dict[str, Any]:
        start = self._starts[entry]
        try:
            event = event_of(line_at(self._path, start))
        except (OSError, ValueError, RecursionError):
            raise KeyError(entry) from None
        if event.on != entry or not isinstance(event.after, dict):
            raise KeyError(entry)
        return event.after

    def __iter__(self) -> Iterator[str]:
        return iter(self._starts)

    def __len__(self) -> int:
        return len(self._starts)


def first_made(events: Iterable[Event]) -> dict[str, ReadEntry]:
    """Return every entry as the program first made it."""
    made: dict[str, ReadEntry] = {}
    for event in events:
        if event.act == "read" and event.on not in made and (one := _entry(event.after)) is not None:
            made[event.on] = one
    return made


def about(events: Iterable[Event], entry: str) -> tuple[Event, ...]:
    """Return the events on an entry: also cuts that made it or took it in, and answers to advice that it set off."""
    found: list[Event] = []
    numbers: set[int] = set()
    for event in events:
        after = event.after if isinstance(event.after, dict) else {}
        answers = event.act == "answer" and after.get("entry") == entry
        cut = event.act in CUTS and after.get("other") == entry
        taken_back = event.act == "withdraw" and after.get("withdrawn") in numbers
        if event.on == entry or answers or cut or taken_back:
            found.append(event)
            numbers.add(event.n)
    return tuple(found)


def until(events: Iterable[Event], day: date, zone: tzinfo) -> tuple[Event, ...]:
    """Return the events up to the end of a day in a time zone."""
    return tuple(event for event in events if event.at.astimezone(zone).date() <= day)


def _entry(held: object) -> ReadEntry | None:
    """Return the entry that an event holds; None where somebody changed the history and it holds none."""
    try:
        return from_json(held) if isinstance(held, dict) else None
    except ValueError:
        return None


def _is_whole(act: Event) -> bool:
    """Tell whether a person's act holds what its kind needs: a history that was changed may lack it."""
    before = act.before if isinstance(act.before, dict) else {}
    after = act.after if isinstance(act.after, dict) else {}
    if act.act in CUTS:
        return is_cut(act)
    if act.act in DECISIONS:
        told = {"version", "read"} <= before.keys() and _entry(before.get("entry")) is not None
        return told and (act.act != "amend" or _is_change(after))
    if act.act == "sign":
        return {"entry", "version", "for"} <= after.keys()
    if act.act == "answer":
        return _is_answer(act)
    if act.act in ("release", "keep-in"):
        return is_release(act)
    if act.act == "teach":
        return {"heard", "means", "part"} <= after.keys()
    return act.act != "withdraw" or isinstance(after.get("withdrawn"), int)


def _is_answer(act: Event) -> bool:
    try:
        answer_of(act)
    except (TypeError, ValueError):
        return False
    return True


def _is_fact(told: Mapping[str, Any]) -> bool:
    try:
        FactRecord.model_validate({"said": "", "utterances": (), **told})
    except ValueError:
        return False
    return True


def _is_change(after: Mapping[str, Any]) -> bool:
    facts, words, photos = (after.get(one, []) for one in ("facts", "words", "photos"))
    return (
        all(isinstance(one, list) for one in (facts, words, photos))
        and all(isinstance(one, dict) and _is_fact(one) for one in facts)
        and all(isinstance(one, dict) and isinstance(one.get("utterance"), str) for one in words)
        and all(isinstance(one.get("read"), str) for one in words)
        and all(isinstance(one, str) for one in photos)
    )
