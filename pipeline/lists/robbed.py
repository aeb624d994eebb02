"""Parts of one side that were fitted on the other: "the starboard starter's fitted to the port engine"."""

import re
from collections.abc import Iterable
from functools import lru_cache

from pipeline.lists.logged import OTHER_SIDE, LoggedFact, names_of
from pipeline.reading.fact import Side
from pipeline.reading.vocabulary import Vocabulary

_WORDS = {"port": "port|left", "starboard": "starboard|right"}
_HAND = r"(?:[- ]hand)?"


def fitted_on_the_other_side(logged: LoggedFact, vocabulary: Vocabulary) -> Side | None:
    """Return the side that a part of the other side was fitted on, where its sentence names both; else None."""
    fact = logged.fact
    other = OTHER_SIDE.get(fact.side)
    if other is None or (fact.status, fact.act) != ("done", "fit"):
        return None
    put_on = _put_on(names_of(str(fact.item), vocabulary), _WORDS[str(fact.side)], _WORDS[other])
    return other if put_on.search(logged.sentence) else None


def where_they_were_fitted(facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> tuple[LoggedFact, ...]:
    """Return the facts, each fitting with the side that the part is on by now, and not that which it came from."""
    with_sides = ((one, fitted_on_the_other_side(one, vocabulary)) for one in facts)
    return tuple(one.told_as(side=side) if side else one for one, side in with_sides)


@lru_cache(maxsize=1000)
def _put_on(names: str, own: str, other: str) -> re.Pattern[str]:
    return re.compile(
        rf"\b(?:{own}){_HAND} (?:[\w-]+ )?(?:{names})\b[^.,;]*? (?:to|on|onto|in|into) (?:the )?(?:{other}){_HAND} "
        r"(?!one\b)[a-z]",
        re.IGNORECASE,
    )
