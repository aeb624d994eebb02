"""Why a fact should be checked, in the words of whoever reads a page: the reading's own words stay in the records."""

import re

from pipeline.records import FactRecord

_STATUSES = {
    "done": "done", "planned": "still to do", "explained": "how it goes", "not-done": "not done", "seen": "seen",
}  # fmt: skip
_SIDES = {"no side": "with no side", "both": "on both sides", "port": "on port", "starboard": "on starboard"}
_OTHER_STATUS = re.compile(r"by the rules it was (?P<one>\S+), not (?P<other>\S+)")
_OTHER_SIDE = re.compile(r"by the rules on (?P<one>.+), here (?P<other>.+)")
_CHANCE = re.compile(r"likely, not sure: (?P<hundredths>\d+) in 100")
_PLAIN = {
    "only the rules read this": "only one of the two readings has it",
    "told by hearsay": "the speaker has it from somebody else",
    "by the rules it was the other way about, there and not there": "read in two ways: as there and as not there",
}
_EVEN = 50


def doubts_told(fact: FactRecord) -> tuple[str, ...]:
    """Return what a person should check of a fact; the reading's two ways are those of ``note_reader``."""
    return tuple(map(_told, fact.check))


def _told(doubt: str) -> str:
    if found := _OTHER_STATUS.fullmatch(doubt):
        one, other = (_STATUSES.get(found[key], found[key]) for key in ("one", "other"))
        return f"read in two ways: as {one} and as {other}"
    if found := _OTHER_SIDE.fullmatch(doubt):
        one, other = (_SIDES.get(found[key], found[key]) for key in ("one", "other"))
        return f"read in two ways: {one} and {other}"
    if (found := _CHANCE.fullmatch(doubt)) and int(found["hundredths"]) < _EVEN:
        return f"not sure: {found['hundredths']} in 100"
    return _PLAIN.get(doubt, doubt)
