"""The events of a history in plain words, and entries as they stood."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from itertools import groupby
from pathlib import PurePath
from typing import Any

from pipeline.english import day_text, plural
from pipeline.history.decisions import Standing
from pipeline.history.events import Event
from pipeline.history.placings import Placings
from pipeline.history.versions import ReadEntry, from_json
from pipeline.plain_text import visible
from pipeline.records import FactRecord
from pipeline.writing.decision_wording import differences, when
from pipeline.writing.terms import Terms
from pipeline.writing.titles import entry_title
from pipeline.writing.wording import fact_text

REVIEWS = {"unread": "not yet checked", "accepted": "accepted", "amended": "amended", "rejected": "rejected"}
_PLAIN = {
    "accept": "accepted {on}",
    "reject": "rejected {on} as read wrong",
    "seal": "sealed the book",
    "answer": "answered advice: {on}",
    "release": "let out to supporters: {on}",
    "keep-in": "kept in from supporters: {on}",
    "upgrade": "brought the book to a newer form",
    "mended": "found {on} unfinished",
}


@dataclass(frozen=True)
class _Photos:
    """The names of photos by their ids, and for each run (by its instant) where photos went and where they were."""

    names: dict[str, str]
    runs: dict[datetime, Placings]

    @staticmethod
    def of(events: Iterable[Event]) -> "_Photos":
        some = [one for one in events if one.act in ("took-in", "read")]
        names = {one.on: PurePath(one.after["path"]).name for one in some if one.act == "took-in"}
        return _Photos(names, {at: Placings.of(of_run) for at, of_run in groupby(some, lambda one: one.at)})

    def told(self, event: Event, before: Iterable[str], now: Iterable[str]) -> Iterator[str]:
        """Yield which photos an entry gained, and from which it had them; which it lost, and to which."""
        run = self.runs.get(event.at, Placings({}, {}))
        had, has = list(dict.fromkeys(before)), list(dict.fromkeys(now))
        for photo in (one for one in has if one not in had):
            source = run.lost.get(photo)
            yield f"{self._name(photo)} is new in it" + (f", and was in {source}" if source else "")
        for photo in (one for one in had if one not in has):
            to = run.gained.get(photo)
            yield f"{self._name(photo)} is no longer in it" + (f", but in {to}" if to else "")

    def _name(self, photo: str) -> str:
        return f"the photo {self.names.get(photo, photo)}"


def event_lines(events: Iterable[Event], terms: Terms, zone: tzinfo, whole: Sequence[Event] = ()) -> Iterator[str]:
    """Yield one line for each event: its number, when, who, what on which entry or file, and why.

    Args:
        events: those that are told.
        terms: the words for what is in them.
        zone: the book's time zone, in which times are told.
        whole: the history that they are a part of, which has the photos' names; themselves where not given.
    """
    events = list(events)
    photos = _Photos.of(whole or events)
    for event in events:
        why = f": {event.why}" if event.why else ""
        yield visible(f"{event.n:>5}  {when(event.at, zone)}  {event.who} {_did(event, terms, zone, photos)}{why}")


def _did(event: Event, terms: Terms, zone: tzinfo, photos: _Photos) -> str:
    if event.act == "took-in":
        return f"took in {event.after['path']} ({event.on})"
    if event.act == "read":
        return _read(event, terms, zone, photos)
    if event.act == "amend":
        return f"amended {event.on}: {_amended(event.after, terms)}"
    if event.act == "teach":
        part = f", a name of {terms.preferred(event.after['part'])}" if event.after.get("part") else ""
        return f"taught that “{event.after['heard']}” is “{event.after['means']}”{part}"
    if event.act == "split":
        return f"split {event.on}: what follows is {event.after['other']}"
    if event.act == "join":
        return f"joined {event.after['other']} to {event.on}"
    if event.act == "withdraw":
        return f"took back number {event.after['withdrawn']} on {event.on}"
    if event.act == "sign":
        how = "with a key" if "signature" in event.after else "as a typed name"
        return f"put a name to {event.on} {how}, for “{event.after['for']}”"
    return _PLAIN.get(event.act, f"{event.act}: {{on}}").format(on=event.on)


def _read(event: Event, terms: Terms, zone: tzinfo, photos: _Photos) -> str:
    if event.after is None:
        return f"no longer reads {event.on}"
    now = from_json(event.after)
    if event.before is None:
        return f"read {event.on}: {_facts(now.entry.facts, terms) or _photos(now)}"
    before = from_json(event.before)
    told = differences(
        before.entry.facts,
        now.entry.facts,
        {one.id: one.read for one in before.words},
        {one.id: one.read for one in now.words},
        (),
        (),
        terms,
    )
    placed = photos.told(event, (one.media for one in before.entry.photos), (one.media for one in now.entry.photos))
    every = filter(None, (_moved(before, now, zone), told, *placed))
    return f"read {event.on} anew: {'; '.join(every) or 'its place in the sound'}"


def _moved(before: ReadEntry, now: ReadEntry, zone: tzinfo) -> str:
    """Return from when to when an entry was moved, to the second; "" where it was not."""
    then, at = (one.entry.at.astimezone(zone).replace(microsecond=0) for one in (before, now))
    if then == at:
        return ""
    days = [f" on {day_text(one.date())}" for one in (then, at)]
    left = days[0] if days[0] != days[1] else ""
    return f"its time moved from {then:%H:%M:%S}{left} to {at:%H:%M:%S}{days[1]}"


def _amended(change: dict[str, Any], terms: Terms) -> str:
    told = []
    if "facts" in change:
        facts = [FactRecord.model_validate({"said": "", "utterances": (), **one}) for one in change["facts"]]
        told.append(f"it now tells: {_facts(facts, terms) or 'no fact'}")
    told += [f"{one['utterance']} is to be read “{one['read']}”" for one in change.get("words", ())]
    if "photos" in change:
        number = len(change["photos"])
        told.append(f"it now has {number} {plural('photo', number)}")
    return "; ".join(told)


def _facts(facts: Iterable[FactRecord], terms: Terms) -> str:
    return "; ".join(fact_text(one, terms) for one in facts)


def _photos(one: ReadEntry) -> str:
    return f"{len(one.entry.photos)} {plural('photo', len(one.entry.photos))}"


def entry_lines(one: Standing | ReadEntry, terms: Terms, zone: tzinfo) -> Iterator[str]:
    """Yield an entry as it stood: when, its title, what was decided by then, its facts, its words, its photos."""
    read = one.read if isinstance(one, Standing) else one
    review = REVIEWS[one.review] if isinstance(one, Standing) else "as first made"
    entry = read.entry
    at = entry.at.astimezone(zone)
    yield visible(f"{entry.id}  {at:%Y-%m-%d %H:%M:%S}  {entry_title(entry, terms)}  ({review})")
    for fact in entry.facts:
        yield visible(f"    {fact_text(fact, terms)}")
    for said in read.words:
        yield visible(f"    “{said.read}”")
    for link in entry.photos:
        yield f"    photo {link.media}"
