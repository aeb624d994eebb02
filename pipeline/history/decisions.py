"""What people decided, put onto what the program reads: each entry as it stands.

What a person has decided is never undone by a rerun. From the first decision on, an entry says what it said then,
with that person's changes; where the program reads it otherwise by now, the entry is asked again.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from pipeline.digests import sha256_of_bytes
from pipeline.history.cuts import after_cut, part_of, sources_of
from pipeline.history.events import CUTS, DECISIONS, Event, canonical, touched
from pipeline.history.versions import ReadEntry, from_json, version_of
from pipeline.records import EntryRecord, FactRecord, PhotoLink

Review = Literal["unread", "accepted", "amended", "rejected"]
_UNREAD: Review = "unread"
_BY_A_PERSON = "as a person amended it"


@dataclass(frozen=True)
class Standing:
    """One entry as it stands.

    ``base`` is what the program read, that the decisions were made on; ``machine`` what it reads now, None where it
    no longer makes the entry; ``decided`` and ``signed`` are the events that still stand; ``asked`` tells that the
    program's reading has changed since a person last decided. ``now`` is the version of what it reads, of all
    entries that this one was cut from or joined of.
    """

    read: ReadEntry
    base: ReadEntry
    machine: ReadEntry | None
    now: str = ""
    review: Review = "unread"
    decided: tuple[Event, ...] = ()
    signed: tuple[Event, ...] = ()
    asked: bool = False

    @property
    def version(self) -> str:
        """The version of the entry as it stands."""
        return self.now if self.read is self.machine and not self.decided else version_of(self.read)


def as_decided(machine: Mapping[str, ReadEntry], acts: Sequence[Event]) -> dict[str, Standing]:
    """Return every entry as it stands, in the order of ``machine``, then those that the program no longer makes.

    Words and photos that a person has decided on belong to that entry alone: where the program reads them elsewhere
    by now, they are left out there.

    Args:
        machine: what the program reads, by entry.
        acts: what people did, in order; other events are passed over.
    """
    taken_back = withdrawn(acts)
    by_entry = _by_entry(acts)
    sources = sources_of(machine, acts, taken_back)
    stands: dict[str, Standing] = {}
    for entry in (*machine, *(one for one in by_entry if one not in machine)):
        found = _standing(entry, machine, by_entry.get(entry, ()), taken_back, sources.get(entry, (entry,)))
        if found is not None:
            stands[entry] = found
    return _each_once(stands)


def withdrawn(acts: Iterable[Event]) -> dict[int, int]:
    """Return the numbers of the events that were taken back, each with the number of the event that did so."""
    return {act.after["withdrawn"]: act.n for act in acts if act.act == "withdraw"}


def _by_entry(acts: Sequence[Event]) -> dict[str, list[Event]]:
    found: dict[str, list[Event]] = {}
    for act in acts:
        if act.act in DECISIONS or act.act == "sign":
            for entry in touched(act):
                found.setdefault(entry, []).append(act)
    return found


def _standing(
    entry: str,
    machine: Mapping[str, ReadEntry],
    acts: Sequence[Event],
    taken_back: Mapping[int, int],
    sources: Sequence[str],
) -> Standing | None:
    decisions = [act for act in acts if act.act in DECISIONS and act.n not in taken_back]
    decisions = [act for act in decisions if not _was_of_what_was_taken_back(act, acts, taken_back)]
    signed = tuple(act for act in acts if act.act == "sign" and act.n not in taken_back)
    if not decisions:
        own = machine.get(entry)
        return None if own is None else Standing(own, own, own, own.entry.version or version_of(own), signed=signed)
    base: ReadEntry | None = None if decisions[0].act in CUTS else from_json(decisions[0].before["entry"])
    read, review = base, _UNREAD
    for act in decisions:
        if act.act in CUTS:
            read = base = after_cut(act, entry)
            review = "amended" if act.before["review"] != "unread" else review
        elif read is not None:
            read, review = _after(read, act)
    if read is None or base is None:
        return None
    now = [machine[one] for one in sources if one in machine]
    whole = len(now) == len(sources)
    own = (
        part_of(now, read) if sources != (entry,) or any(act.act in CUTS for act in decisions) else machine.get(entry)
    )
    if own is not None:
        read = _at(read, own)
    told = now_of(now)
    asked = not whole or told != decisions[-1].before["read"]
    return Standing(read, base, own, told, review, tuple(decisions), signed, asked)


def now_of(read: Sequence[ReadEntry]) -> str:
    """Return the version of what the program reads: of one entry, or of several together; "" for none."""
    versions = [version_of(one) for one in read]
    return versions[0] if len(versions) == 1 else sha256_of_bytes(canonical(versions)) if versions else ""


def _was_of_what_was_taken_back(act: Event, acts: Sequence[Event], taken_back: Mapping[int, int]) -> bool:
    """Tell whether somebody accepted an amendment that was taken back later: it says nothing of what is left."""
    return act.act == "accept" and any(
        one.act == "amend" and one.n < act.n < taken_back.get(one.n, 0) for one in acts
    )


def _after(read: ReadEntry, act: Event) -> tuple[ReadEntry, Review]:
    if act.act == "reject":
        return read, "rejected"
    if act.act == "amend":
        return amended(read, act.after, act.who), "amended"
    changed = version_of(read) != version_of(_at(from_json(act.before["entry"]), read))
    return read, "amended" if changed else "accepted"


def amended(read: ReadEntry, change: Mapping[str, Any], who: str) -> ReadEntry:
    """Return an entry with a person's change: other facts, other words of an utterance, other photos.

    A fact and a photo that stay as they were keep what the program knows of them.
    """
    entry, words = read.entry, read.words
    if "facts" in change:
        facts = tuple(_fact(one, entry) for one in change["facts"])
        entry = entry.model_copy(update={"facts": facts})
    if "photos" in change:
        there = {one.media: one for one in entry.photos}
        placed = f"placed here by {who}"
        photos = tuple(there.get(one) or PhotoLink(media=one, p=1.0, why=(placed,)) for one in change["photos"])
        entry = entry.model_copy(update={"photos": photos})
    for said in change.get("words", ()):
        words = tuple(
            one.model_copy(update={"read": said["read"]}) if one.id == said["utterance"] else one for one in words
        )
    return ReadEntry(entry=entry, words=words)


def _fact(told: Mapping[str, Any], entry: EntryRecord) -> FactRecord:
    """Return an amended fact; one that is told as before is the one that was there."""
    fact = FactRecord.model_validate(
        {"said": "", "utterances": entry.utterances, "rule": _BY_A_PERSON, **told, "check": (), "inferred": ()}
    )
    marked = _marked(fact)
    return next((one for one in entry.facts if _marked(one) == marked), fact)


def _marked(fact: FactRecord) -> dict[str, Any]:
    return fact.model_dump(exclude={"said", "utterances", "rule", "confidence", "check", "inferred"})


def _at(read: ReadEntry, other: ReadEntry) -> ReadEntry:
    """Return an entry at another reading's time: clocks are put right also under what people decided."""
    return read.model_copy(update={"entry": read.entry.model_copy(update={"at": other.entry.at})})


def _each_once(stands: Mapping[str, Standing]) -> dict[str, Standing]:
    """Leave every utterance and photo in one entry: the one that was decided on last, or else the program's own."""
    words: set[str] = set()
    photos: set[str] = set()
    made: dict[str, Standing] = {}
    order = sorted(stands, key=lambda one: -stands[one].decided[-1].n if stands[one].decided else 0)
    for entry in order:
        made[entry] = _without(stands[entry], frozenset(words), frozenset(photos))
        if stands[entry].decided:
            words |= {one.id for one in made[entry].read.words}
            photos |= {one.media for one in made[entry].read.entry.photos}
    return {
        entry: made[entry] for entry in stands if made[entry].decided or _holds_something(made[entry], stands[entry])
    }


def _without(one: Standing, words: frozenset[str], photos: frozenset[str]) -> Standing:
    entry = one.read.entry
    if not (words.intersection(entry.utterances) or photos.intersection(link.media for link in entry.photos)):
        return one
    facts = entry.facts
    if not one.decided:
        facts = tuple(fact for fact in facts if not (fact.utterances and words.issuperset(fact.utterances)))
    left = entry.model_copy(
        update={
            "utterances": tuple(said for said in entry.utterances if said not in words),
            "facts": facts,
            "photos": tuple(link for link in entry.photos if link.media not in photos),
        }
    )
    read = ReadEntry(entry=left, words=tuple(said for said in one.read.words if said.id not in words))
    return replace(one, read=read, base=one.base if one.decided else read)


def _holds_something(now: Standing, before: Standing) -> bool:
    """Tell whether an entry is still one: all that it held may have been decided on elsewhere."""
    return now is before or bool(now.read.entry.facts or now.read.entry.photos)
