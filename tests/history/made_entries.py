"""Entries and histories for tests: invented, small, and each part of them easy to change."""

from datetime import UTC, datetime, timedelta

from pipeline.digests import sha256_of_bytes
from pipeline.history.decisions import as_decided
from pipeline.history.events import BEFORE_THE_FIRST, Act, Event, line_of
from pipeline.history.versions import ReadEntry, WordsRead, as_json, version_of
from pipeline.records import EntryRecord, FactRecord, PhotoLink

NOON = datetime(2026, 2, 14, 12, tzinfo=UTC)
SOUND = "sha256:" + "a" * 64


def photo(number):
    return "sha256:" + f"{number:064x}"


def made_entry(name="e-1", words="The port rudder's off.", item="rudder", photos=(1,), at=NOON, p=0.9, start_s=0.0):
    """One entry of one utterance, one fact and some photos."""
    said = f"u-{name.removeprefix('e-')}"
    fact = FactRecord(status="done", act="remove", item=item, side="port", said=words, utterances=(said,), rule="x")
    entry = EntryRecord(
        id=name,
        at=at,
        media=SOUND,
        start_s=start_s,
        end_s=start_s + 4,
        utterances=(said,),
        facts=(fact,),
        photos=tuple(PhotoLink(media=photo(one), p=p, why=("taken as these words were said",)) for one in photos),
    )
    return ReadEntry(entry=entry, words=(WordsRead(id=said, start_s=0, end_s=4, heard=words, read=words),))


def by_id(*entries):
    return {one.entry.id: one for one in entries}


def chained(*acts, at=NOON):
    """Events with numbers and hashes, as a history holds them, a minute apart."""
    events, last = [], BEFORE_THE_FIRST
    for number, act in enumerate(acts, start=1):
        when = at + timedelta(minutes=number)
        events.append(Event(n=number, at=when, previous=last, **act._asdict()))
        last = sha256_of_bytes(line_of(events[-1]))
    return events


def decision(act, on, machine, acts=(), after=None, who="Bea Linnet"):
    """The act of a person who decides on an entry as it stands, given what the program reads and what was done."""
    stands = as_decided(machine, acts)[on]
    read = "" if stands.machine is None else version_of(stands.machine)
    before = {"version": stands.version, "read": read, "entry": as_json(stands.base)}
    return Act(who, act, on, before, after, "because")


def done(acts, act):
    """The events so far with one more."""
    return [*acts, Event(n=len(acts) + 1, at=NOON, previous=BEFORE_THE_FIRST, **act._asdict())]
