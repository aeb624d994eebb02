"""What words tell of a part's tag: that it was wrong, that it was lost and is another now, which tags they name."""

import re
from itertools import pairwise

from pipeline.lists.logged import LoggedFact
from pipeline.plain_text import letters_and_figures

_TAKING_BACK = re.compile(r"\b(?:not|instead|wrong|wrongly|mistake|correction|should)\b", re.IGNORECASE)
_ANEW = re.compile(
    r"\bre-?(?:tagged|labelled)\b|\bnew (?:tag|label)\b|\b(?:tag|label)(?:['\u2019]s| had| has)? "
    r"(?:come|came|fell|fallen|torn|tore|blew|blown|dropped|lost|gone|missing)\b|\blost (?:its|the) (?:tag|label)\b",
    re.IGNORECASE,
)


def wrong_tags(logged: LoggedFact) -> set[str]:
    """Return what may be the wrong tag where words take one back, written plainly: "it is P-0301, not P-0300".

    These are all that may be tags in the sentence, but for the tag that the fact itself tells.
    """
    words = logged.sentence
    return _tags_named(words) - {letters_and_figures(logged.fact.tag or "")} if _TAKING_BACK.search(words) else set()


def is_tagged_anew(logged: LoggedFact) -> bool:
    """Tell whether a part was given another tag: "the rudder's tag came off, it's P-0318 now"."""
    return logged.fact.act == "tag" and _ANEW.search(logged.sentence) is not None


def _tags_named(words: str) -> set[str]:
    """Return the words of a sentence that may be tags, written plainly, each alone and with the next: "P 0204"."""
    each = [letters_and_figures(word) for word in words.split()]
    return {*each, *(f"{one}{other}" for one, other in pairwise(each))}
