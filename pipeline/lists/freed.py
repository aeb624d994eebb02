"""Cables, rods and wires that came off at an end only: "the rudder cables are off" tells of none taken out."""

import re
from collections.abc import Iterable

from pipeline.lists.logged import LoggedFact
from pipeline.lists.services import is_service
from pipeline.lists.swaps import is_new_one
from pipeline.reading.vocabulary import Vocabulary

_KINDS = frozenset({"controls", "electrical"})  # a pipe that is off is out of the aircraft
_OFF = re.compile(r"\boff\b", re.IGNORECASE)
_TAKEN_OUT = re.compile(
    r"\b(?:out|tak(?:e|en|ing)|took|removed?|pull(?:ed)?|withdrawn?|withdrew|drawn?|drew|lift(?:ed)?|stripped)\b",
    re.IGNORECASE,
)
_OFF_AT_AN_END = re.compile(r"\b(?:tak(?:e|en|ing)|took)\b[^.,;]*\boff(?: again)? at\b", re.IGNORECASE)


def with_freed_ends(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> tuple[LoggedFact, ...]:
    """Return the facts, those of cables, rods and wires that are only "off" as disconnected.

    Where their sentence says too that they were disconnected, that alone is told. One that its entry puts somewhere,
    or tags, came off whole; and so did one that was taken out. What never came off whole is connected again where it
    is back on, unless it is a new one.

    Args:
        facts: in the order in which they were said.
        vocabulary: for which parts are such services.
    """
    facts = tuple(facts)
    kept = {(one.entry, one.fact.item) for one in facts if one.fact.stowage or one.fact.tag}
    parted = {_told_of(one) for one in facts if one.fact.act == "disconnect" and one.around}
    freed = set[str | None]()
    whole = set[str | None]()
    left = []
    for logged in facts:
        fact = logged.fact
        if _is_only_off(logged, vocabulary) and (logged.entry, fact.item) not in kept:
            if _told_of(logged) in parted:
                continue
            logged = logged.told_as(act="disconnect")
        elif fact.item in freed - whole and _is_back_on(logged, vocabulary):
            logged = logged.told_as(act="connect")
        freed |= {fact.item} if logged.fact.act == "disconnect" else set()
        whole |= {fact.item} if logged.fact.act == "remove" or fact.stowage else set()
        left.append(logged)
    return tuple(left)


def _is_back_on(logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether a cable, a rod or a wire is on again, and no new one."""
    return _is_done(logged, "fit", vocabulary) and not is_new_one(logged, vocabulary)


def _told_of(logged: LoggedFact) -> tuple[str, str, str | None, str | None]:
    return logged.entry, logged.around, logged.fact.item, logged.fact.side


def _is_only_off(logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether words say of a cable, a rod or a wire that it is off, and not that it was taken out.

    Taken off at something, it was taken off at that end.
    """
    words = logged.sentence
    only = not _TAKEN_OUT.search(words) or _OFF_AT_AN_END.search(words)
    return _is_done(logged, "remove", vocabulary) and bool(_OFF.search(words) and only)


def _is_done(logged: LoggedFact, act: str, vocabulary: Vocabulary) -> bool:
    """Tell whether an act was done on a cable, a rod or a wire."""
    if (logged.fact.status, logged.fact.act) != ("done", act):
        return False
    part = vocabulary.part(logged.fact.item or "")
    return part is not None and part.kind in _KINDS and is_service(part.notation, vocabulary)
