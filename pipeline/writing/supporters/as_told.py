"""A fact in the light of its whole sentence: what was really fitted, and the words that name the part."""

from collections.abc import Mapping
from datetime import datetime

from pipeline.lists.logged import LoggedFact, sentence_of
from pipeline.lists.refitted import is_refitted
from pipeline.reading.positions import number_told
from pipeline.records import EntryRecord, FactRecord

FASTEN = "fasten"
"""The act of a fact that tells of fasteners alone: "fitted the new exhaust studs" fits no exhaust."""

_ENGINES = frozenset({"engine", "propeller"})


def as_told(entry: EntryRecord, read: Mapping[str, str]) -> EntryRecord:
    """Return an entry whose facts tell what their sentences tell.

    Args:
        entry: any.
        read: what was read in each utterance, by its id.
    """
    return entry.model_copy(update={"facts": tuple(_in_its_sentence(one, entry.at, read) for one in entry.facts)})


def _in_its_sentence(fact: FactRecord, at: datetime, read: Mapping[str, str]) -> FactRecord:
    around = sentence_of(" ".join(read.get(one, "") for one in fact.utterances), fact.said)
    lone = " " not in fact.said.strip()
    changes: dict[str, object] = {"said": around} if lone and around else {}
    if fact.act == "fit" and not is_refitted(LoggedFact(at=at, entry="", fact=fact, said=fact.said, around=around)):
        changes["act"] = FASTEN
    number = number_told(fact.said) if fact.side == "both" and fact.item in _ENGINES and not fact.count else None
    if number is not None:  # "all three propellers" are not both
        changes |= {"side": None, "count": number, "of": fact.item}
    return fact.model_copy(update=changes) if changes else fact
