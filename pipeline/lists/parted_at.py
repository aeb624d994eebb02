"""Where a service was parted, in the speaker's words; and whether two tellings are of two open ends of it."""

import re
from datetime import date
from functools import lru_cache

from pipeline.lists.known_parts import ENGINES
from pipeline.lists.logged import LoggedFact
from pipeline.reading.vocabulary import Vocabulary

_AT = re.compile(
    r"\b(?:at|from) (?:the|its|that|this|both the) ([a-z][\w'-]*(?: [a-z][\w'-]*){0,3}?)"
    r"(?=\s*(?:[,.;:!?()]|$)|\s+(?:and|but|so|with|where|which|then|for|to|on|in|is|are|was|were|both|now|as|after|"
    r"before|because|by|today|yesterday|first|already|again|this|that|it|we|i)\b)",
    re.IGNORECASE,
)
_ON_IT = re.compile(
    r"\bon (?:the|its) ([a-z][\w'-]*(?: [a-z][\w'-]*)?) (?=(?:is|are|was|were|has|have)\b)", re.IGNORECASE
)
_BETWEEN = re.compile(r"[,;:]|\b(?:and|but|so|while|then)\b", re.IGNORECASE)
_NO_JOINT = re.compile(
    r"\b(?:moment|minute|time|start|beginning|end|weekend|day|morning|afternoon|evening|hangar|museum|airfield|"
    r"frame|station|rib|stringer|spar|bay|longeron)s?\b",
    re.IGNORECASE,
)


def parted_at(logged: LoggedFact) -> str:
    """Return what was said of where: "firewall" for "the fuel line's disconnected at the firewall"; "" for nothing.

    Only words of the same sentence count that follow the fact with no other work between. Times are no joints, and a
    frame or a rib is a place of the fact.
    """
    sentence = logged.sentence
    after = sentence[max(0, sentence.find(logged.said)) :]
    for found in (*_AT.finditer(after), *_ON_IT.finditer(after)):
        if _BETWEEN.search(after[len(logged.said) : found.start()]):
            continue
        if not _NO_JOINT.search(found.group(1)):
            return found.group(1).lower()
    return ""


@lru_cache(maxsize=1000)
def joint_called(words: str, vocabulary: Vocabulary) -> str | None:
    """Return the part whose name the words are ("fuel cock"), where only one is called so."""
    called = {
        part.notation
        for part in vocabulary.parts
        if words and words in (name.lower() for name in (part.preferred, *part.alternatives))
    }
    return called.pop() if len(called) == 1 else None


def may_be_at(words: str, joint: str, vocabulary: Vocabulary) -> bool:
    """Tell whether what was parted at what the words name may cross a joint: at an engine, none of the wing's."""
    zones = {part.zone for one in (joint_called(words, vocabulary), joint) if one and (part := vocabulary.part(one))}
    return ENGINES not in zones or zones <= {ENGINES, "any", ""}


def is_another_end(at: str, on: date, other_at: str, other_on: date) -> bool:
    """Tell whether two tellings of one service are of two ends of it.

    They are where two joints were said. With one joint or none, what is told on another day may be another end: to
    take it for the same one would hide an open end.
    """
    if at and other_at:
        return at != other_at
    return on != other_on
