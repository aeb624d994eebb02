"""What words tell of a part's tag: that it was wrong, that it was lost and is another now, which tags they name."""

import re
from itertools import pairwise

from pipeline.lists.logged import LoggedFact

_TAKING_BACK = re.compile(r"\b(?:not|instead|wrong|wrongly|mistake|correction|should)\b", re.IGNORECASE)
_ANEW = re.compile(
    r"\bre-?(?:tagged|labelled)\b|\bnew (?:tag|label)\b|\b(?:tag|label)(?:['\u2019]s| had| has)? "
    r"(?:come|came|fell|fallen|torn|tore|blew|blown|dropped|lost|gone|missing)\b|\blost (?:its|the) (?:tag|label)\b",
    re.IGNORECASE,
)


def wrong_tags(logged: LoggedFact) -> set[str]:
    """Return what may be tags in words that take one back, plainly written: "the tag is P-0301, not P-0300"."""
    words = logged.sentence
    return _tags_named(words) if _TAKING_BACK.search(words) else set()


def is_tagged_anew(logged: LoggedFact) -> bool:
    """Tell whether a part was given another tag: "the rudder's tag came off, it's P-0318 now"."""
    return logged.fact.act == "tag" and _ANEW.search(logged.sentence) is not None


def _tags_named(words: str) -> set[str]:
    """Return the words of a sentence that may be tags, plainly written, each alone and with the next: "P 0204"."""
    each = [plain_tag(word) for word in words.split()]
    return {*each, *(f"{one}{other}" for one, other in pairwise(each))}


def plain_tag(words: str) -> str:
    """Return a tag as it is compared: its letters and figures alone."""
    return re.sub(r"[^a-z0-9]", "", words.lower())
