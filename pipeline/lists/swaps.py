"""Whether a fact tells of the new one or of the old one, where a part was changed for another of its kind."""

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Literal

from pipeline.lists.logged import LoggedFact, alternatives, last_words
from pipeline.reading.vocabulary import Vocabulary

Which = Literal["new", "old", ""]

_NEW = r"(?:new|another|replacement|spare|different|fresh)(?! (?:tag|label|bag|box|tin|rack|shelf|home|place)\b)"
_OLD = r"(?:old|original|former)"
_NOT_OF_WHAT_HOLDS = r"(?!\s+(?:bolt|nut|screw|pin|rivet|washer|seal|gasket|fastener|paint|primer|dope|glue)s?\b)"
_CHANGED = re.compile(r"\b(?:swap(?:ped)?|renew(?:ed)?|exchanged?|changed?)\b", re.IGNORECASE)
_REPLACED = re.compile(r"\breplac(?:ed?|es|ing)\b", re.IGNORECASE)  # alone it may be of a part that was put back
_BAD = r"(?:worn(?:[- ]out)?|cracked|broken|bent|damaged|stripped|corroded|perished|sheared|stretched|bad|faulty)"
_THEIR_OWN = re.compile(r"\b(?:bolt|nut|screw|pin|rivet|washer|fastener)s? (?:of|on|from|at)\b", re.IGNORECASE)
_TURN = re.compile(r"[,;]|\b(?:and|but|with)\b", re.IGNORECASE)


def which_one(logged: LoggedFact, vocabulary: Vocabulary) -> Which:
    """Return which of two a fact tells of, as its words have it: "fitted a new one", "the old cable's in box six".

    Of several such words in its sentence the last one up to the fact's own words counts, else the next after them.
    "" where they say neither, or say it of something else ("refitted it with new bolts").
    """
    if not logged.fact.item:
        return ""
    sentence = logged.sentence
    start = max(0, sentence.find(logged.said))
    end = start + len(logged.said)
    turn = _TURN.search(sentence, end)
    clause_end = turn.start() if turn else len(sentence)
    new, old = _patterns(alternatives(last_words(logged.fact.item, vocabulary)))
    told: list[tuple[int, Which]] = [(found.start(), "new") for found in new.finditer(sentence)]
    told += [(found.start(), "old") for found in old.finditer(sentence)]
    before = [one for one in told if one[0] < end]
    after = [one for one in told if end <= one[0] < clause_end]
    return max(before)[1] if before else min(after)[1] if after else ""


def is_new_one(logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether it was another one that was fitted: "fitted a new one", "swapped the compass"."""
    if (logged.fact.status, logged.fact.act) != ("done", "fit") or _THEIR_OWN.search(logged.said):
        return False  # "the bolts of the float have been replaced by new ones" tells of no new float
    which = which_one(logged, vocabulary)
    if which == "new" or _CHANGED.search(logged.said):
        return True
    words = logged.sentence
    bad = _bad_one(alternatives(last_words(str(logged.fact.item), vocabulary))).search(words)
    return bool(which == "old" or bad) and _REPLACED.search(words) is not None


def are_new_fasteners(logged: LoggedFact, vocabulary: Vocabulary) -> bool:
    """Tell whether fasteners of a part were changed for new ones: "the worn bolt of the door was replaced".

    How many of them are in place is the same as before.
    """
    fact, words = logged.fact, logged.sentence
    part = vocabulary.part(fact.of or "")
    if (fact.status, fact.act) != ("done", "fit") or part is None or part.kind != "fastener" or fact.of == fact.item:
        return False
    names = alternatives(last_words(part.notation, vocabulary))
    told = _bad_one(names).search(words) or any(one.search(words) for one in _patterns(names))
    return bool(told) and bool(_REPLACED.search(words) or _CHANGED.search(words))


def told_as_old(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> frozenset[tuple[str, str]]:
    """Return of which parts an entry speaks of "the old one" while it tells of one that was fitted: (entry, part)."""
    facts = tuple(facts)
    fitted = {(one.entry, str(one.fact.item)) for one in facts if (one.fact.status, one.fact.act) == ("done", "fit")}
    return frozenset(
        key
        for one in facts
        if (key := (one.entry, str(one.fact.item))) in fitted and which_one(one, vocabulary) == "old"
    )


@lru_cache(maxsize=1000)
def _bad_one(names: str) -> re.Pattern[str]:
    return re.compile(rf"\b{_BAD} (?:[\w-]+ ){{0,2}}?(?:{names})s?\b", re.IGNORECASE)


@lru_cache(maxsize=1000)
def _patterns(names: str) -> tuple[re.Pattern[str], re.Pattern[str]]:
    named = rf"(?:ones?|{names})(?:'?s)?\b{_NOT_OF_WHAT_HOLDS}"
    new = rf"\b{_NEW} (?:[\w-]+ ){{0,2}}?{named}|\b(?:{names})(?:s? (?:is|are|was)|'s|s?'re) (?:a )?(?:brand )?new\b"
    return re.compile(new, re.IGNORECASE), re.compile(rf"\b{_OLD} (?:[\w-]+ ){{0,2}}?{named}", re.IGNORECASE)
