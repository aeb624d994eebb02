"""A fact in the light of its whole sentence: what was really fitted, and the words that name the part."""

import re
from collections.abc import Mapping
from datetime import datetime
from itertools import pairwise

from pipeline.lists.logged import LoggedFact, sentence_of
from pipeline.lists.refitted import is_refitted
from pipeline.reading.fluids import is_bled
from pipeline.reading.positions import number_told
from pipeline.records import EntryRecord, FactRecord
from pipeline.writing.supporters.taking_back import Spoken, without_taken_back
from pipeline.writing.wording import is_slackened

FASTEN = "fasten"
"""The act of a fact that tells of fasteners alone: "fitted the new exhaust studs" fits no exhaust."""
HANDLE = "handle"
"""The act of a fact that was read as a test, where nobody said so: "turned it over by hand" is no test run."""
DOPE = "dope"
"""The act of a fact that was read as paint, where dope was spoken of: it draws the cloth tight."""
BLEED = "bleed"
"""The act of a fact that was read as drained, where air was let out: what is bled is full."""
SLACKEN = "slacken"
"""The act of a fact that was read as undone, where something was only made slack: a slack cable is not free."""

# Work for which people outside the team are asked: whose it was only the whole sentence tells.
_BY_ANYBODY = frozenset({"inspect", "test", "clean", "prime", "paint", "dope", "make"})
_ENGINES = frozenset({"engine", "propeller"})
_ABOUT = re.compile(
    r"\b(?:about|around|roughly|nearly|almost|some|more or less) (?:\d|an? |half|one\b|two|three|four|five|six|seven"
    r"|eight|nine|ten\b|eleven|twelve|\w+teen|\w+ty\b)",
    re.IGNORECASE,
)
_TESTED = re.compile(r"\b(?:re-?)?(?:test|tri(?:ed|al)|try|check|ran|run|runs|running)(?:s|ed|ing)?\b", re.IGNORECASE)
# "twelve bolts each", of nobody knows how many; "two each side" was added up as it was read
_APIECE = re.compile(r"\b(?:\w+s|bolt|nut|screw|stud|pin) (?:apiece|each)\b(?! (?:side|end|way))", re.IGNORECASE)
_DOPED = re.compile(r"\b(?:re-?)?dop(?:e|ed|es|ing)\b", re.IGNORECASE)


def as_told(entry: EntryRecord, spoken: Spoken) -> EntryRecord:
    """Return an entry whose facts tell what their sentences tell, and neither a count nor a side that was taken back.

    Args:
        entry: any.
        spoken: all that was said.
    """
    sure = without_taken_back(entry, spoken)
    after = dict(pairwise(entry.utterances))
    facts = tuple(_in_its_sentence(one, sure.at, spoken.read, after) for one in sure.facts)
    return sure.model_copy(update={"facts": facts})


def _in_its_sentence(fact: FactRecord, at: datetime, read: Mapping[str, str], after: Mapping[str, str]) -> FactRecord:
    """Return a fact as its words tell it; ``after`` is what was said next, by utterance."""
    whole = " ".join(read.get(one, "") for one in fact.utterances)
    lone = " " not in fact.said.strip()
    around = sentence_of(whole, fact.said) if lone or fact.act in ("fit", *_BY_ANYBODY) else ""
    changes: dict[str, object] = {"said": around} if around and (lone or fact.act in _BY_ANYBODY) else {}
    if fact.act == "fit" and not is_refitted(LoggedFact(at=at, entry="", fact=fact, said=fact.said, around=around)):
        changes["act"] = FASTEN
    if fact.act == "test" and not _TESTED.search(f"{fact.said} {around}"):
        changes["act"] = HANDLE
    if fact.measure and fact.count is None and not fact.about and _ABOUT.search(whole):
        changes["about"] = True
    then = " ".join(read.get(after.get(one, ""), "") for one in fact.utterances[-1:])
    if fact.status == "done" and fact.count and fact.of != fact.item and _APIECE.search(f"{whole} {then}"):
        changes |= {"count": None, "of": None}
    if fact.act == "paint" and _DOPED.search(fact.said):
        changes["act"] = DOPE
    if is_slackened(fact):
        changes["act"] = SLACKEN
    if is_bled(fact.act, fact.said):
        changes["act"] = BLEED
    number = number_told(fact.said) if fact.side == "both" and fact.item in _ENGINES and not fact.count else None
    if number is not None:  # "all three propellers" are not both
        changes |= {"side": None, "count": number, "of": fact.item}
    return fact.model_copy(update=changes) if changes else fact
