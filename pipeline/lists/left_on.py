"""Whether what was not done is owed: what stays on or off by intent is no work that somebody has put off."""

import re

from pipeline.lists.logged import LoggedFact

_TAKING_APART = frozenset({"remove", "undo", "drill-out", "disconnect", "separate", "open"})
_AS_IT_IS = r"connected|closed|shut|fitted|attached|fastened|bolted|joined|hooked up|coupled"
_STAYS = re.compile(
    rf"\b(?:stays?|staying|stayed|remains?|remaining)(?: \w+){{0,2}} "
    rf"(?:on|in|put|there|as (?:it is|they are)|{_AS_IT_IS})\b"
    r"|(?:\b(?:we|i|they|was|were|been|being|be|have|has|had|is|are)|['\u2019](?:ve|s|re|d))(?: \w+){0,2}? "
    r"(?:left|leaving|leave|keeping|kept)(?: \w+){0,3}? "
    rf"(?:on|in place|in (?:the|its|their|her|it)|alone|where (?:it|they) (?:is|are|was|were)|{_AS_IT_IS})\b"
    r"|\b(?:did|have|has|had|was|were|is|are)(?:n['\u2019]t| not)(?: \w+){0,2}? (?:touch|disturb)(?:ed)?\b"
    r"|\b(?:is|are|was|were)(?:n['\u2019]t| not) (?:coming|to come) (?:off|out)\b"
    r"|['\u2019](?:s|re) not (?:coming|to come) (?:off|out)\b",
    re.IGNORECASE,
)
_STAYS_OFF = re.compile(
    r"\b(?:(?:stay(?:s|ed|ing)?|remain(?:s|ed|ing)?|left|leave|leaving|kept|keeping)(?: (?!not|to|on)\w+){0,2}"
    r"|(?:is|are) still) (?:off|out)\b",
    re.IGNORECASE,
)
_PUT_OFF = re.compile(
    r"\b(?:yet|until|till|for now|for the moment|later|next|tomorrow|still to|ran out)\b", re.IGNORECASE
)
_TURNS = re.compile(r";|\b(?:and|but)\b", re.IGNORECASE)


def is_left_on(logged: LoggedFact) -> bool:
    """Tell whether the words say that a part stays on ("that stays on the mount"), and not that work was put off.

    Nor is anything owed of what stays off, however long. Only the words up to the next "and" or "but" count: what
    comes after may be of another part.
    """
    fact = logged.fact
    if fact.status != "not-done" or fact.act not in _TAKING_APART:
        return False
    sentence = logged.around or logged.said
    at = max(0, sentence.find(logged.said))
    starts = [found.end() for found in _TURNS.finditer(sentence) if found.end() <= at]
    ends = [found.start() for found in _TURNS.finditer(sentence) if found.start() >= at + len(logged.said)]
    words = sentence[max(starts, default=0) : min(ends, default=len(sentence))]
    if fact.act == "remove" and _STAYS_OFF.search(words):
        return True
    return bool(_STAYS.search(words)) and not _PUT_OFF.search(words)
