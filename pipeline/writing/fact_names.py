"""What a fact's part is called where its words tell more than its notation: which engine, which control."""

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from pipeline.english import listed, plural
from pipeline.lists.controls_called import controls_called
from pipeline.lists.logged import LoggedFact, position_of, sentence_of
from pipeline.lists.positions import with_positions
from pipeline.lists.refitted import is_refitted
from pipeline.reading.fact import Side
from pipeline.records import EntryRecord
from pipeline.writing.terms import Terms, kind_and_zone, term

# Of which a side has one; common practice, no source.
_ONE_A_SIDE = frozenset({
    "aileron", "elevator", "engine", "fin", "flap", "float", "lower-wing", "main-undercarriage", "mainplane",
    "outer-wing", "propeller", "rudder", "tail-boom", "tailplane", "upper-wing",
})  # fmt: skip
_MANY = frozenset({"fastener", "detail", "material", "support-equipment"})


class FactNames(NamedTuple):
    """Which engine a fact's part is of ("number 3"), what its controls were called, and whether they are several.

    ``whole``: the part itself was fitted, not only what holds it. "" and False for what nobody said.
    """

    position: str = ""
    called: str = ""
    many: bool = False
    whole: bool = False


AS_LISTED = FactNames()
"""The part as the vocabulary has it, and no more."""


def names_told(entry: EntryRecord, read: Mapping[str, str], terms: Terms) -> tuple[FactNames, ...]:
    """Return what the part of each fact of an entry is called by its words, in the order of its facts.

    Args:
        entry: with its facts and the ids of its utterances.
        read: the words of each utterance, by its id.
        terms: the vocabulary.
    """
    told = [
        LoggedFact(
            at=entry.at,
            entry=entry.id,
            fact=fact,
            said=fact.said,
            around=sentence_of(" ".join(read.get(one, "") for one in fact.utterances), fact.said),
        )
        for fact in entry.facts
    ]
    text = " ".join(read.get(one, "") for one in entry.utterances)
    return tuple(
        FactNames(
            position_of(one, terms), listed(controls_called(one, terms)), _are_many(one, terms), is_refitted(one)
        )
        for one in with_positions(told, {entry.id: text})
    )


def _are_many(logged: LoggedFact, terms: Terms) -> bool:
    """Tell whether a fact's own words name several of its part: "labelled the cowlings"."""
    item = logged.fact.item
    if item is None:
        return False
    words = logged.said.lower()
    return any(
        re.search(rf"\b{re.escape(name)}\b", words)
        and not is_heard_as_many(name, words, item, logged.fact.side, terms)
        for name in _plurals(item, terms)
    )


def is_heard_as_many(many: str, said: str, item: str, side: Side | None, terms: Terms) -> bool:
    """Tell whether a plural is most likely "is", heard without its apostrophe: "the port engines off".

    So it is of what a side has one of, and behind an article: who says "the panels" says "are off" too, and who
    leaves the verb out leaves the article out. Small parts, wires and trestles are many.

    Args:
        many: the plural of the part's name, or of its last word.
        said: the words.
        item: the part, by its notation.
        side: the side that was told.
        terms: the vocabulary.
    """
    of_a_side = item in _ONE_A_SIDE and side in ("port", "starboard")
    if not of_a_side and (kind_and_zone(terms, item)[0] in _MANY or item.endswith("wire")):
        return False
    article = "" if of_a_side else r"(?<!all )(?<!both )\b(?:the|an?|this|that|our|her|its) (?:[a-z-]+ ){0,3}"
    behind = r" (?:off|on|out|in|up|down|back|away|gone|free)\b"
    return re.search(rf"{article}\b{re.escape(many)}{behind}", said, re.IGNORECASE) is not None


@lru_cache(maxsize=4096)
def _plurals(item: str, terms: Terms) -> tuple[str, ...]:
    """Return the names of a part as they stand for several of it, and in no case for one."""
    names = {term(terms, item), *(one.text for one in terms.names() if one.notation == item)}
    several = {plural(name.lower()) for name in names}
    return tuple(sorted(several - {name.lower() for name in names}))
