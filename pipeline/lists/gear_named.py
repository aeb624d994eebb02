"""Which lifting gear a fact's own words name, and whether they may tell that it left."""

import re
from itertools import accumulate

from pipeline.lists.lifting_gear import LiftingGear
from pipeline.lists.logged import LoggedFact

UNDER = "under|underneath|beneath|below"
"""What stands between the gear and what it holds, as a pattern."""
# "The trestle under frame 12 has come away" is about a support, and tells that it is there no longer.
_MAY_TELL_OF_LEAVING = re.compile(
    r"\b(?:away|gone|out from|out of the way|no longer|come out|came out|off (?:the|its|their|those|that) (?:\w+ )?"
    r"(?:trestle|jack|cradle|sling|hoist|stand|prop|chock)s?)\b",
    re.IGNORECASE,
)
_CHANGED_FOR = re.compile(
    r"\b(?:chang(?:ed?|ing)|swap(?:ped|ping)?|exchang(?:ed?|ing)|replac(?:ed?|ing)|traded)\b(?P<old>[^.;]*?)"
    r"\b(?:for|with|by)\b(?P<new>[^.;,]*)",
    re.IGNORECASE,
)
_OTHER_GEAR_NOW = re.compile(
    rf"\bthere(?:['\u2019]s| is| are)\b|\bin place of\b|\binstead\b|{_CHANGED_FOR.pattern}", re.IGNORECASE
)
_NEXT_CLAUSE = re.compile(r"(?<=[,;])(?= )|(?= (?:and|but|then) (?:we|i|they|he|she|it|there)\b)", re.IGNORECASE)
_SPOT = rf"(?:{UNDER}|at|on)"
_AND_GEAR = re.compile(
    rf"(?<=\w)(?= and (?:an?|another|one|two|three|four) (?:[\w-]+ ){{1,3}}?{_SPOT}\b)", re.IGNORECASE
)


def gear_named(gear: LiftingGear, logged: LoggedFact) -> tuple[str, ...]:
    """Return the gear that a fact's own words name, else those of its clause, else those of its sentence.

    Of gear that was changed for other gear, it is the other.
    """
    changed = _CHANGED_FOR.search(_clause_of(logged))
    if changed and (new := gear.named_in(changed["new"])):
        return new
    return gear.named_in(logged.said) or gear.named_in(_clause_of(logged)) or gear.named_in(logged.around)


def gear_given_up(gear: LiftingGear, logged: LoggedFact) -> tuple[str, ...]:
    """Return the gear that words say was changed for other gear: the trestle of "swapped the trestle for a jack"."""
    changed = _CHANGED_FOR.search(_clause_of(logged))
    if changed is None or not gear.named_in(changed["new"]):
        return ()
    before = _clause_of(logged)[: changed.start()]  # "the jack has been replaced by a trestle"
    return gear.named_in(changed["old"]) or gear.named_in(before)


def _clause_of(logged: LoggedFact) -> str:
    """Return the part of a sentence between commas, new verbs and new gear that holds a fact's own words.

    "Two jacks under the wing and a trestle under frame 30" is two; "a jack and a trestle under frame 30" is one.
    """
    at = logged.around.find(logged.said)
    clauses = _NEXT_CLAUSE.split(logged.around) if at >= 0 else []
    clauses = [part for clause in clauses for part in _by_gear(clause)]
    ends = accumulate(len(clause) for clause in clauses)
    return next((clause for clause, end in zip(clauses, ends, strict=True) if at < end), "")


def _by_gear(clause: str) -> tuple[str, ...]:
    new = _AND_GEAR.search(clause)
    if new is None or not re.search(rf"\b{_SPOT}\b", clause[: new.start()], re.IGNORECASE):
        return (clause,)
    return clause[: new.start()], clause[new.start() :]


def may_tell_of_leaving(logged: LoggedFact) -> bool:
    """Tell whether the sentence may tell of a support that left: to miss one is worse than to ask for nothing.

    "The jack came away, there's a trestle there now" tells it of the jack alone.
    """
    clause = _clause_of(logged)
    words = clause if _OTHER_GEAR_NOW.search(clause) else logged.sentence
    return _MAY_TELL_OF_LEAVING.search(words) is not None
