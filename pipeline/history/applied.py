"""Entries as they stand, as the records hold them: who decided what, who signed, and what is to be asked again."""

from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from datetime import timedelta

from pipeline.history.decisions import Standing
from pipeline.history.events import CUTS, Event
from pipeline.history.signing import proof_of
from pipeline.history.versions import ReadEntry, WordsRead
from pipeline.records import (
    DecisionRecord,
    EntryRecord,
    NowRead,
    PartNumberRecord,
    SignatureRecord,
    UnplacedPhoto,
    UtteranceRecord,
)
from pipeline.settings import Person

ELSEWHERE = "the program would place it with an entry that a person has decided on without it"


def entry_record(one: Standing, people: Sequence[Person], there: Container[str]) -> EntryRecord:
    """Return an entry as the records hold it.

    Args:
        one: the entry as it stands.
        people: the team, with the keys that they sign with.
        there: the media that the book holds; a photo that is lost cannot be shown.
    """
    entry = one.read.entry
    update = {
        "photos": tuple(link for link in entry.photos if link.media in there),
        "review": one.review,
        "version": one.version,
        "decided": tuple(_decision(act) for act in one.decided),
        "signed": tuple(_signature(act, one, people) for act in one.signed),
        "now_read": _now_read(one) if one.asked else None,
    }
    same = all(getattr(entry, name) == value for name, value in update.items())
    return entry if same else entry.model_copy(update=update)


def _decision(act: Event) -> DecisionRecord:
    what = tuple(one for one in ("facts", "words", "photos") if act.act == "amend" and one in act.after)
    return DecisionRecord.model_validate(
        {"number": act.n, "at": act.at, "who": act.who, "act": act.act, "what": what, "why": act.why}
    )


def _signature(act: Event, one: Standing, people: Sequence[Person]) -> SignatureRecord:
    stands = act.after["version"] == one.version
    amended = any(other.act in ("amend", *CUTS) and other.n > act.n for other in one.decided)
    return SignatureRecord.model_validate(
        {
            "number": act.n,
            "at": act.at,
            "who": act.who,
            "for": act.after["for"],
            "version": act.after["version"],
            "stands": stands,
            "changed_by": "" if stands else "amendment" if amended else "reading",
            "proof": proof_of(act, people),
        }
    )


def _now_read(one: Standing) -> NowRead:
    if one.machine is None:
        return NowRead(gone=True)
    return NowRead(
        facts=one.machine.entry.facts,
        words=tuple((said.id, said.read) for said in one.machine.words),
        photos=tuple(link.media for link in one.machine.entry.photos),
    )


def utterances_as_decided(
    utterances: Iterable[UtteranceRecord],
    stands: Iterable[Standing],
    part_numbers: Callable[[str], tuple[PartNumberRecord, ...]],
    undecided: bool = False,
) -> list[UtteranceRecord]:
    """Return all that was said, with the words that people decided on; what was heard stays as it was heard.

    Args:
        utterances: as the program reads them.
        stands: every entry as it stands.
        part_numbers: finds the part numbers in words.
        undecided: also the words of entries that nobody has decided on, which a decision that was taken back leaves.
    """
    made = {one.id: one for one in utterances}
    for entry in stands:
        for said in entry.read.words if entry.decided or undecided else ():
            made[said.id] = _as_decided(made.get(said.id), said, entry.read, part_numbers)
    return list(made.values())


def _as_decided(
    there: UtteranceRecord | None,
    said: WordsRead,
    read: ReadEntry,
    part_numbers: Callable[[str], tuple[PartNumberRecord, ...]],
) -> UtteranceRecord:
    if there is not None and there.read == said.read:
        return there
    if there is not None:
        return there.model_copy(
            update={
                "read": said.read,
                "corrections": (),
                "suggestions": (),
                "unsure": (),
                "part_numbers": part_numbers(said.read),
            }
        )
    start = read.entry.at - timedelta(seconds=read.entry.start_s)
    return UtteranceRecord(
        id=said.id,
        media=read.entry.media,
        start_s=said.start_s,
        end_s=said.end_s,
        start_at=start + timedelta(seconds=said.start_s),
        end_at=start + timedelta(seconds=said.end_s),
        heard=said.heard,
        read=said.read,
        part_numbers=part_numbers(said.read),
    )


def photos_left(
    loose: Iterable[UnplacedPhoto], entries: Iterable[EntryRecord], machine: Mapping[str, ReadEntry]
) -> list[UnplacedPhoto]:
    """Return the photos that are in no entry: those that fitted nothing, and those that a person took out of one."""
    placed = {link.media for entry in entries for link in entry.photos}
    left = {one.media: one for one in loose if one.media not in placed}
    for one in machine.values():
        for link in one.entry.photos:
            if link.media not in placed:
                left.setdefault(link.media, UnplacedPhoto(media=link.media, why=ELSEWHERE))
    return list(left.values())
