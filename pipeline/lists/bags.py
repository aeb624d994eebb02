"""What is said of a bag as a whole: that it is empty now, or what is left in it."""

import re
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import NamedTuple

from pipeline.english import ORDINALS
from pipeline.lists.logged import LoggedFact
from pipeline.reading.numbers import find_numbers
from pipeline.records import EntryRecord, UtteranceRecord

_BAG = r"\bbag (?:no\.? |number )?(?P<bag>[\w-]+?)"
_EMPTY = re.compile(
    rf"{_BAG}(?:['\u2019]s|\s+is|\s+was|\s+should be)?(?:\s+(?:now|all|quite|completely))?\s+empty\b"
    rf"|\bempti(?:ed|es) {_BAG.replace('(?P<bag>', '(?P<poured>')}\b"
    rf"|\bnothing (?:is |was )?(?:left )?(?:now )?in {_BAG.replace('(?P<bag>', '(?P<bare>')}\b",
    re.IGNORECASE,
)
_LEFT = re.compile(r"\b(?:left|remain(?:s|ing)?|still|only|now)\b", re.IGNORECASE)
_STILL = re.compile(r"\bstill (?:in|there)\b|\bin (?:bag [\w-]+|(?:the|that|its) bag|it) still\b", re.IGNORECASE)
_OUT = re.compile(
    rf"\b(?:out of|from) {_BAG}(?=\W|$)",
    re.IGNORECASE,
)
_KIND = re.compile(
    r"^\s*(?:(?:of|the|new|old|same|original)\s+)*(?P<kind>[a-z][a-z -]*?)(?P<each>\s+(?:each|apiece|a side))?"
    r"(?:\s+(?:are|were|is|came|come))?\s*$"
)
_NOT_OUT = re.compile(
    r"\b(?:missing|short|lost|want|need|will|going to|gonna|should|not|none|no)\b|n['\u2019]t\b|'ll\b", re.I
)
FURTHER = "more|another|further|extra|too|as well|added"
"""What tells that fasteners came to those that were there, as a pattern."""
_MORE = re.compile(rf"\b(?:{FURTHER}|the (?:other|last|missing|{'|'.join(ORDINALS)}))\b", re.IGNORECASE)
_INTO = re.compile(
    r"\b(?P<bags>bags (?:numbers? )?[\w-]+(?:(?:,| and|, and) [\w-]+)+|"
    r"bag (?:no\.? |number )?[\w-]+(?:(?:,| and|, and) bag (?:no\.? |number )?[\w-]+)*)"
    r"(?:['\u2019]s?)?(?: (?:are|is|were|was|have|has|had|been|gone|went|now|all|both|together|put|tipped|poured|"
    r"moved|emptied|joined|combined|bolts|nuts|screws|washers|pins|contents))*"
    rf" (?:in|into) {_BAG}(?=\W|$)",
    re.IGNORECASE,
)


class Emptied(NamedTuple):
    """A bag that was said to be empty, when, and in which entry."""

    bag: str
    at: datetime
    entry: str


class TakenOut(NamedTuple):
    """So many that were said to be out of a bag, when and in which entry; ``kind`` is in the speaker's words."""

    bag: str
    number: int
    kind: str
    at: datetime
    entry: str
    each: bool = False


class PutTogether(NamedTuple):
    """A bag whose contents were said to be in another one, when and in which entry."""

    bag: str
    into: str
    at: datetime
    entry: str


OfABag = Emptied | TakenOut | PutTogether
"""What is said of a bag as a whole."""

Told = tuple[str, datetime, str]
"""The id of an entry, or of an utterance where no fact was read, its instant, and its words."""


def all_told(entries: Iterable[EntryRecord], utterances: Iterable[UtteranceRecord]) -> Iterator[Told]:
    """Yield what was said in every entry that tells facts, and each other utterance; nothing that a person rejected.

    "Bag five is empty now" gives no fact, and tells of the bag all the same. Said alone, it is in an entry only where
    a photo goes with it: it stands as an utterance either way, so that nothing in the lists changes with a photo.
    """
    entries, utterances = tuple(entries), tuple(utterances)
    read = {one.id: one.read for one in utterances}
    placed = set[str]()
    for entry in entries:
        if entry.facts or entry.review == "rejected":
            placed.update(entry.utterances)
        if entry.facts and entry.review != "rejected":
            yield entry.id, entry.at, " ".join(read.get(one, "") for one in entry.utterances)
    yield from ((one.id, one.start_at, one.read) for one in utterances if one.id not in placed)


def put_together(told: Iterable[Told]) -> tuple[PutTogether, ...]:
    """Return which bags were said to be in others ("bags five and six are together in bag nine"), in order of time.

    Args:
        told: all that was said.
    """
    return tuple(sorted(_together(told), key=lambda one: (one.at, one.entry, one.bag)))


def taken_out(told: Iterable[Told]) -> tuple[TakenOut, ...]:
    """Return what was said to be out of bags by number ("thirty-six screws out of bag one"), in order of time.

    Args:
        told: all that was said.
    """
    return tuple(sorted(_taken(told), key=lambda one: (one.at, one.entry, one.bag)))


def bags_emptied(told: Iterable[Told]) -> tuple[Emptied, ...]:
    """Return the bags that were said to be empty, in order of time.

    Args:
        told: all that was said.
    """
    return tuple(sorted(_emptied(told), key=lambda one: (one.at, one.entry, one.bag)))


def is_contents_told_again(logged: LoggedFact, *, left: bool) -> bool:
    """Tell whether words say what is in a bag now, and not what was put in too.

    Args:
        logged: the fact of bagging.
        left: only where they say so ("three are left in bag three"), else also where they say nothing against it.
    """
    words = logged.sentence
    if _STILL.search(words):  # "the other nine are in bag three still"
        return True
    return not _MORE.search(words) and (not left or _LEFT.search(words) is not None)


def _emptied(told: Iterable[Told]) -> Iterator[Emptied]:
    for entry, at, text in told:
        for found in _EMPTY.finditer(text):
            bag = found["bag"] or found["poured"] or found["bare"]
            yield Emptied(as_kept(bag), at, entry)


def _together(told: Iterable[Told]) -> Iterator[PutTogether]:
    for entry, at, text in told:
        for found in _INTO.finditer(text):
            clause = re.split(r"[.;:?!]", text[: found.end()])[-1]
            for one in () if _NOT_OUT.search(clause) else re.split(r",? and |, ", found["bags"]):
                bag, into = (
                    as_kept(re.sub(r"^(?:bags? |no\.? |numbers? )+", "", one, flags=re.I)),
                    as_kept(found["bag"]),
                )
                if bag != into:
                    yield PutTogether(bag, into, at, entry)


def _taken(told: Iterable[Told]) -> Iterator[TakenOut]:
    for entry, at, text in told:
        for found in _OUT.finditer(text):
            clause = re.split(r"[.,;:?!]", text[: found.start()])[-1]
            numbers = find_numbers(clause)
            kind = _KIND.match(clause[numbers[-1].end :].lower()) if numbers else None
            if kind and numbers[-1].value.denominator == 1 and not _NOT_OUT.search(clause):
                number, each = int(numbers[-1].value), bool(kind["each"])
                yield TakenOut(as_kept(found["bag"]), number, kind["kind"], at, entry, each)


def as_kept(bag: str) -> str:
    """Return a bag's number as records have it: "three" is "3"."""
    numbers = find_numbers(bag)
    whole = len(numbers) == 1 and (numbers[0].start, numbers[0].end) == (0, len(bag))
    return numbers[0].digits if whole else bag.upper() if len(bag) == 1 else bag
