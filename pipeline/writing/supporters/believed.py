"""What is sure enough to be told to supporters: nothing that a person should check first, unless a person has.

A fact below this line is left out of every sentence, box, number and caption; it still keeps back what it would keep
back, since what may be a finding or a place of storage is no safer for being unsure.
"""

import re
from datetime import datetime

from pipeline.lists.logged import same_side
from pipeline.reading.learnt.deciding import ONLY_RULES, SURE_FROM
from pipeline.records import EntryRecord, FactRecord, PartEvent, PartOff, Records
from pipeline.writing.supporters.privacy import TELLS_OF_FINDINGS
from pipeline.writing.supporters.steps import LARGE
from pipeline.writing.supporters.taking_back import Spoken, is_settled, without_taken_back

NOT_SURE = "not sure enough to be told before somebody has accepted the entry"
_OFF, _ON = frozenset({"removed", "removed-again"}), frozenset({"refitted", "replaced"})
_OFF_OR_ON = _OFF | _ON
_FINISHES = frozenset({"tighten", "lock", "connect", "test"})
_OPPOSITE = {"fit": "remove", "remove": "fit"}
# Doubts that leave open only on which side it was: the work may be told, the side not.
_ONLY_THE_SIDE = ("by the rules on ", "it may be port", "it may be starboard", "it may be both")
_A_WING = "(?:mainplane|outer wing|upper wing|lower wing)"
_WING = re.compile(rf"'wings?' taken as {_A_WING}(?:; not settled: it may be {_A_WING})?")
_SURE_WING_FROM = 0.7  # what the rules read in plain words, less for which wing it was
_OF_WHICH_WING = ("'wing", "likely, not sure: ")
_CARRIED_ON = "carried on "  # and not "the side that was said of it before"


def believed(entry: EntryRecord, fact: FactRecord) -> FactRecord | None:
    """Return a fact as it may be told; None where it may not be told.

    Its side is left out where it is in doubt, or was only carried on from what was said of something else.
    """
    if is_settled(entry):
        return fact
    if _may_be_the_opposite(entry, fact) or _is_left_in_part(entry, fact):
        return None
    # what the rules alone read is believed where they are as often right as the rest; it was said in plain words
    doubts = [why for why in fact.check if why != ONLY_RULES]
    sure_from = SURE_FROM
    if _is_a_wing(fact) and fact.status == "done" and (doubts or fact.confidence < SURE_FROM):
        doubts = [why for why in doubts if not why.startswith(_OF_WHICH_WING)]
        fact, sure_from = fact.model_copy(update={"item": "mainplane"}), _SURE_WING_FROM
    if fact.confidence < sure_from or not all(why.startswith(_ONLY_THE_SIDE) for why in doubts):
        return None
    return fact.model_copy(update={"side": None}) if doubts or _side_is_carried_on(fact) else fact


def _side_is_carried_on(fact: FactRecord) -> bool:
    """Tell whether a side was said of something else; whoever takes a wing off has talked of that wing all day."""
    news = fact.item in LARGE and fact.act in _OPPOSITE
    return not news and any(key == "side" and why.startswith(_CARRIED_ON) for key, why in fact.inferred)


def _is_a_wing(fact: FactRecord) -> bool:
    """Tell whether "the wing" was said, and only which part of it was meant is open: a report calls it the wing."""
    return any(key == "item" and _WING.fullmatch(why) for key, why in fact.inferred)


def _may_be_the_opposite(entry: EntryRecord, fact: FactRecord) -> bool:
    """Tell whether the same entry has the part come off, where this has it go on, and nobody is sure of both.

    "The struts are out, bolts back in their own fittings": one of the two was misread, and it may be the sure one.
    """
    opposite = _OPPOSITE.get(fact.act or "")
    return fact.status == "done" and any(
        (one.act, one.item, one.status) == (opposite, fact.item, "done")
        and same_side(one.side, fact.side)
        and (_is_unsure(one) or _is_unsure(fact))
        for one in entry.facts
        if opposite is not None
    )


def _is_left_in_part(entry: EntryRecord, fact: FactRecord) -> bool:
    """Tell whether the same entry has work that finishes a joint undone too: "nipped up by hand, not torqued"."""
    return (fact.status == "done" and fact.act in _FINISHES) and any(
        (one.act, one.item) == (fact.act, fact.item) and one.status in ("not-done", "planned")
        and same_side(one.side, fact.side)
        for one in entry.facts
    )  # fmt: skip


def _is_unsure(fact: FactRecord) -> bool:
    return bool(fact.check) or fact.confidence < SURE_FROM


def told_again(records: Records) -> frozenset[tuple[str, str]]:
    """Return (entry, part) of removals that the list of parts has of what was off already."""
    life = [(event.entry, part.item, event.what) for part in records.lists.parts_off for event in part.life]
    off = {(entry, item) for entry, item, what in life if what in _OFF}
    return frozenset((entry, item) for entry, item, what in life if what == "told-again") - off


def told_by(entry: EntryRecord) -> EntryRecord:
    """Return an entry with the facts that may be told, and those that only keep something back."""
    kept = []
    for fact in entry.facts:
        sure = believed(entry, fact)
        if sure is not None:
            kept.append(sure)
        elif _keeps_back(fact):
            # of no part that could be told; what was seen is asked for by its part
            kept.append(fact if fact.status == "seen" else fact.model_copy(update={"item": None}))
    return entry.model_copy(update={"facts": tuple(kept)})


def is_in_doubt(entry: EntryRecord, act: str, item: str | None) -> bool:
    """Tell whether an entry tells of this work on this part, and none of the facts that do may be told."""
    own = [fact for fact in entry.facts if (fact.act, fact.item) == (act, item)]
    return bool(own) and not any(believed(entry, fact) for fact in own)


def sure_parts(records: Records, until: datetime) -> Records:
    """Return records whose list of parts tells only of removals and refittings that may be told.

    A part that may be back by then, though nobody is sure of it, is not told to be off either.

    Args:
        records: everything that the book holds.
        until: no more counts than what was told by then.
    """
    spoken = Spoken.of(records)
    entries = {one.id: one for one in records.entries}
    maybe_on = [
        (fact, entry.at)
        for entry in records.entries
        for fact in entry.facts
        if (fact.act, fact.status) == ("fit", "done") and entry.at <= until and believed(entry, fact) is None
    ]

    def may_be_told(event: PartEvent, item: str) -> bool:
        if event.what not in _OFF_OR_ON:
            return True
        entry = entries.get(event.entry)
        if entry is None:  # of a day that nobody knows
            return not event.entry
        facts = zip(entry.facts, without_taken_back(entry, spoken).facts, strict=True)
        own = [both for both in facts if (both[0].act, both[0].item) == (event.act, event.called or item)]
        # a drawing shows a side, so that must be sure as well
        return not own or any(
            (sure := believed(entry, left)) is not None and sure.side == fact.side for fact, left in own
        )

    def sure(part: PartOff) -> PartOff:
        judged = [(event, may_be_told(event, part.item)) for event in part.life]
        told = [event for event, may in judged if may]
        off = max((event.on for event in told if event.what in _OFF), default=None)
        on = [one.on for one, may in judged if not may and one.what in _ON and one.on <= until.date()]
        on += [at.astimezone(until.tzinfo).date() for fact, at in maybe_on if _is_of(fact, part)]
        if off is not None and any(day >= off for day in on):
            told = [event for event in told if event.what not in _OFF]
        return part.model_copy(update={"life": tuple(told)})

    parts = tuple(map(sure, records.lists.parts_off))
    return records.model_copy(update={"lists": records.lists.model_copy(update={"parts_off": parts})})


def _is_of(fact: FactRecord, part: PartOff) -> bool:
    return fact.item == part.item and same_side(fact.side, part.side)


def _keeps_back(fact: FactRecord) -> bool:
    return (
        fact.status == "seen" or fact.act in TELLS_OF_FINDINGS or bool(fact.stowage or fact.tag) or fact.act == "tag"
    )
