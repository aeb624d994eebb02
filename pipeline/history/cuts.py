"""Where entries begin and end, as people put it right: one entry split in two, two neighbours joined.

A split or a join is one event that touches two entries. It holds what each of them says from then on, so that it can
be played again whatever the program reads by then.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import timedelta
from typing import Any

from pipeline.history.events import CUTS, Event
from pipeline.history.versions import ReadEntry, as_json, from_json
from pipeline.records import EntryRecord, PhotoLink


def split_at(read: ReadEntry, utterance: str, moving: Collection[str]) -> tuple[ReadEntry, ReadEntry]:
    """Return the two entries that one becomes.

    Args:
        read: the entry as it stands.
        utterance: the first utterance of the second one; the second one's id is made of it.
        moving: the photos that go with the second one; facts go with their words.
    """
    entry = read.entry
    at = entry.utterances.index(utterance)
    start_s = next(one.start_s for one in read.words if one.id == utterance)
    ends = [one.end_s for one in read.words if one.id in entry.utterances[:at]]
    first = _of(read, entry.utterances[:at], {"end_s": max(ends, default=start_s)})
    second = _of(
        read,
        entry.utterances[at:],
        {"id": second_id(utterance), "start_s": start_s, "at": entry.at + timedelta(seconds=start_s - entry.start_s)},
    )
    stays = [fact for fact in entry.facts if not _begins_in(fact.utterances, second.entry.utterances)]
    goes = [fact for fact in entry.facts if _begins_in(fact.utterances, second.entry.utterances)]
    return (
        _holding(first, stays, [one for one in entry.photos if one.media not in moving]),
        _holding(second, goes, [one for one in entry.photos if one.media in moving]),
    )


def joined(one: ReadEntry, other: ReadEntry) -> ReadEntry:
    """Return the one entry that two neighbours of a recording become, with the id of the first."""
    first, second = sorted((one, other), key=lambda each: each.entry.start_s)
    entry = first.entry.model_copy(
        update={
            "end_s": max(first.entry.end_s, second.entry.end_s),
            "utterances": (*first.entry.utterances, *second.entry.utterances),
            "facts": (*first.entry.facts, *second.entry.facts),
            "photos": (*first.entry.photos, *second.entry.photos),
        }
    )
    return ReadEntry(entry=entry, words=(*first.words, *second.words))


def follower(entry: EntryRecord, entries: Iterable[EntryRecord]) -> EntryRecord | None:
    """Return which of some entries follows one in its recording: its neighbour; None where none does."""
    begins = entry.start_s, entry.id
    later = (one for one in entries if one.media == entry.media and (one.start_s, one.id) > begins)
    return min(later, key=lambda one: (one.start_s, one.id), default=None)


def second_id(utterance: str) -> str:
    """Return the id of the entry that begins with an utterance, made as the program makes it."""
    return "e-" + utterance.removeprefix("u-")


def cut_after(first: ReadEntry, second: ReadEntry | None, other: str) -> dict[str, Any]:
    """Return what a split or a join leaves, as the history keeps it; ``second`` is None where two become one."""
    made = {"other": other, "entry": as_json(first)}
    return made if second is None else {**made, "second": as_json(second)}


def after_cut(act: Event, entry: str) -> ReadEntry | None:
    """Return what an entry says after a split or a join that touched it; None where it is part of another then."""
    if entry == act.on:
        return from_json(act.after["entry"])
    return from_json(act.after["second"]) if act.act == "split" else None


def is_cut(act: Event) -> bool:
    """Tell whether an event holds all that a split or a join needs: a history that was changed may lack it."""
    after = act.after if isinstance(act.after, dict) else {}
    before = act.before if isinstance(act.before, dict) else {}
    if not isinstance(after.get("other"), str) or not {"version", "read", "review"} <= before.keys():
        return False
    try:
        from_json(after["entry"])
        from_json(after["second"] if act.act == "split" else after["entry"])
    except (KeyError, TypeError, ValueError):
        return False
    return True


def sources_of(
    machine: Iterable[str], acts: Sequence[Event], taken_back: Mapping[int, int]
) -> dict[str, tuple[str, ...]]:
    """Return, for each entry that was split off or joined, the entries of the program that its words came from."""
    found: dict[str, tuple[str, ...]] = {}
    for act in acts:
        if act.act not in CUTS or act.n in taken_back:
            continue
        on, other = act.on, act.after["other"]
        ours = found.get(on, (on,))
        if act.act == "split":
            found[on] = found[other] = ours
        else:
            found[on] = tuple(dict.fromkeys((*ours, *found.get(other, (other,)))))
    return found


def part_of(sources: Sequence[ReadEntry], read: ReadEntry) -> ReadEntry | None:
    """Return what the program reads by now in the words of an entry that a person cut; None where nothing is left."""
    mine = [one for one in sources if set(one.entry.utterances) & set(read.entry.utterances)]
    if not mine:
        return None
    first = min(mine, key=lambda one: one.entry.start_s).entry
    utterances = tuple(said for one in mine for said in one.entry.utterances if said in read.entry.utterances)
    there = {one.media for one in read.entry.photos}
    entry = read.entry.model_copy(
        update={
            "at": first.at + timedelta(seconds=read.entry.start_s - first.start_s),
            "utterances": utterances,
            "facts": tuple(
                fact for one in mine for fact in one.entry.facts if _begins_in(fact.utterances, utterances)
            ),
            "photos": tuple(link for one in mine for link in one.entry.photos if link.media in there),
        }
    )
    return ReadEntry(entry=entry, words=tuple(said for one in mine for said in one.words if said.id in utterances))


def _of(read: ReadEntry, utterances: Sequence[str], update: Mapping[str, Any]) -> ReadEntry:
    entry = read.entry.model_copy(update={"utterances": tuple(utterances), **update})
    return ReadEntry(entry=entry, words=tuple(one for one in read.words if one.id in utterances))


def _holding(read: ReadEntry, facts: Iterable[Any], photos: Iterable[PhotoLink]) -> ReadEntry:
    entry: EntryRecord = read.entry.model_copy(update={"facts": tuple(facts), "photos": tuple(photos)})
    return ReadEntry(entry=entry, words=read.words)


def _begins_in(told: Sequence[str], utterances: Sequence[str]) -> bool:
    """Tell whether a fact goes with these utterances: by the first that tells it."""
    return bool(told) and told[0] in utterances
