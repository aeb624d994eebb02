"""What the reports before this one told, worked out from the records month by month."""

from datetime import date, tzinfo

from pydantic import BaseModel

from pipeline.digests import digest_of
from pipeline.records import EntryRecord, Lists, Records
from pipeline.settings import Settings
from pipeline.writing.day_parts import without_photos
from pipeline.writing.made_from import made_by
from pipeline.writing.supporters.as_told import as_told
from pipeline.writing.supporters.believed import believed, told_by
from pipeline.writing.supporters.chapters import biggest, tellable
from pipeline.writing.supporters.explaining import explained
from pipeline.writing.supporters.news import biggest_of
from pipeline.writing.supporters.past import Past
from pipeline.writing.supporters.privacy import keep_fact
from pipeline.writing.supporters.reasons import reasons_given
from pipeline.writing.supporters.steps import steps
from pipeline.writing.supporters.taking_back import Spoken
from pipeline.writing.supporters.worked_out import past_kept
from pipeline.writing.terms import Terms


def past_of(records: Records, settings: Settings, terms: Terms, first: date) -> Past:
    """Return what came before a day, worked out again only where something of it has changed.

    Args:
        records: everything that the book holds.
        settings: for the time zone.
        terms: the vocabulary.
        first: the first day of the report that is being written.
    """
    told = _told_before(records, settings.zone, first)
    made_from = ""
    if isinstance(terms, BaseModel):
        parts = (made_by(), settings.time.zone, first.isoformat(), terms.model_dump_json(), told.model_dump_json())
        made_from = digest_of(parts)
    return past_kept(made_from, lambda: _past(told, settings.zone, terms, first))


def _told_before(records: Records, zone: tzinfo, first: date) -> Records:
    """Return what the reports before a day were made from: entries of earlier days, and all said beside them."""
    bare = without_photos(records)
    entries = tuple(one for one in bare.entries if one.at.astimezone(zone).date() < first)
    own = {said for one in entries for said in one.utterances}
    media = {one.media for one in entries} | {one.media for one in bare.utterances if one.id in own}
    return bare.model_copy(
        update={
            "entries": entries,
            "utterances": tuple(one for one in bare.utterances if one.media in media),
            "unlisted": (),
            "cautions": (),
            "set_aside": (),
            "lists": Lists(),
        }
    )


def _past(told: Records, zone: tzinfo, terms: Terms, first: date) -> Past:
    spoken = Spoken.of(told)
    before: dict[date, list[EntryRecord]] = {}
    for entry in sorted(told.entries, key=lambda one: (one.at.timestamp(), one.id)):
        if entry.review != "rejected":
            before.setdefault(entry.at.astimezone(zone).date(), []).append(as_told(entry, spoken))
    off: dict[str, list[tuple[date, str]]] = {}
    given: frozenset[str] = frozenset()
    known: set[str] = set()
    for name in sorted({f"{day:%Y-%m}" for day in before}):
        entries = [one for day, own in before.items() if f"{day:%Y-%m}" == name for one in own]
        done = [
            (one, fact, one.at.astimezone(zone))
            for one in entries
            for each in one.facts
            if (fact := believed(one, each)) is not None and fact.status == "done" and not keep_fact(fact)
        ]
        of_month = tellable(steps(done, terms), frozenset())
        gone = [step for step in of_month if step.act == "remove"]
        for step in gone:
            off.setdefault(step.item, []).extend((step.day, side) for side in (step.in_turn or ("",)))
        parts = [*gone, *(step for step in of_month if step not in gone)]
        thing = explained(
            parts, list(map(told_by, entries)), terms, biggest_of(of_month, biggest(of_month)), frozenset(known)
        )
        given = (given if name[:4] == f"{first:%Y}" else frozenset()) | reasons_given(of_month)
        known |= {thing[0]} if thing else set()
    return Past(
        off={item: tuple(days) for item, days in off.items()},
        explained=frozenset(known),
        reasons=given,
        days=tuple(sorted(before)),
    )
