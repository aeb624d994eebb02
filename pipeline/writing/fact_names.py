"""What a fact's part is called where its words tell more than its notation: which engine, which control."""

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from pipeline.english import listed, plural
from pipeline.lists.controls_called import controls_called
from pipeline.lists.logged import LoggedFact, position_of, sentence_of
from pipeline.lists.positions import with_positions
from pipeline.records import EntryRecord
from pipeline.writing.terms import Terms, term


class FactNames(NamedTuple):
    """Which engine a fact's part is of ("number 3"), what its controls were called, and whether they are several.

    "" and False for what nobody said.
    """

    position: str = ""
    called: str = ""
    many: bool = False


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
        FactNames(position_of(one, terms), listed(controls_called(one, terms)), _are_many(one, terms))
        for one in with_positions(told, {entry.id: text})
    )


def _are_many(logged: LoggedFact, terms: Terms) -> bool:
    """Tell whether a fact's own words name several of its part: "labelled the cowlings"."""
    item = logged.fact.item
    if item is None:
        return False
    words = logged.said.lower()
    return any(re.search(rf"\b{re.escape(name)}\b", words) for name in _plurals(item, terms))


@lru_cache(maxsize=4096)
def _plurals(item: str, terms: Terms) -> tuple[str, ...]:
    """Return the names of a part as they stand for several of it, and in no case for one."""
    names = {term(terms, item), *(one.text for one in terms.names() if one.notation == item)}
    several = {plural(name.lower()) for name in names}
    return tuple(sorted(several - {name.lower() for name in names}))
