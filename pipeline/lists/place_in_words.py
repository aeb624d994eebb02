"""Where a part was put, in the speaker's words, where no list has the place: "sent away to the propeller shop"."""

import re

from pipeline.lists.logged import LoggedFact

_PUTTING = frozenset({"store", "move", "lower"})
_PLACE = re.compile(
    r"\b(?:away|in|into|inside|on|onto|at|to|by|under|behind|beside|against|outside|from) "
    r"(?:the|a|an|its|his|her|their|our|one of|two|[A-Z](?!\w*day\b)\w+)\b",
)
_LEFT = re.compile(
    r"\b(?:sent|send|gone|went|goes|taken|took|shipped|posted) (?:\S+ ){0,5}?(?:away|off|out|to)\b", re.I
)


def place_in_words(logged: LoggedFact) -> str:
    """Return the sentence in which a part was put somewhere that no list has; "" where none tells of a place."""
    fact, sentence = logged.fact, logged.around or logged.said
    if fact.status != "done" or fact.act not in _PUTTING or fact.stowage is not None:
        return ""
    return sentence if _PLACE.search(sentence) or _LEFT.search(sentence) else ""


def tells_of_leaving(logged: LoggedFact) -> bool:
    """Tell whether a part went from where it was kept: it was moved, or sent away."""
    return logged.fact.act == "move" or bool(_LEFT.search(logged.around or logged.said))
