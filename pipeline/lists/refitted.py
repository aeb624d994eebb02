"""What was fitted or taken off: the part itself or only what holds it, and how many of a part."""

import re

from pipeline.english import plural
from pipeline.lists.logged import LoggedFact, alternatives
from pipeline.reading.numbers import find_numbers

_TURNS = re.compile(r"[,;:]\s*|\b(?:and|but|then|so)\b\s*", re.IGNORECASE)
_GO_IN = re.compile(
    r"\s*(?:(?:are|is|were|was|have|has|gone|went|now|all|put|fitted)\s+)*(?:back|in|into|to|onto|through)\b",
    re.IGNORECASE,
)
# "back on" tells of the part by itself; other words only where the fasteners come after a comma or a "with"
_ON_AGAIN = re.compile(
    r"\b(?:back on|on again|back in place|in place again)\b"
    r"|(?:['\u2019](?:s|re)|\b(?:is|are|went|gone)) (?:on|in|up)\b"
    r"(?=(?: (?:as well|too|now|again|already))?\s*(?:[,.;:]|$|and\b|with\b))",
    re.IGNORECASE,
)
# "is on the engine, eight bolts": on what it belongs to, and not put down somewhere
_PUT_DOWN = (
    r"(?:racks?|shelf|shelves|bench|stand|store|stores|shed|hangar|bay|trolley|cradle|pallet|box|bag|tin|tray|trestles?|"
    r"jig|workshop|container|floor|ground|hoist|crane|van|lorry|trailer|table|corner|rafters|loft|office|tent|slings?)"
)
_IS = r"(?:['\u2019](?:s|re)|\b(?:is|are|went|gone))"
_ON_WHAT_CARRIES_IT = re.compile(
    rf"{_IS} (?:on|in|onto|into) (?:the|its|her|their) "
    rf"(?!(?:[\w-]+ ){{0,3}}{_PUT_DOWN}\b)[^.,;]*,"
    rf"|{_IS} (?:back )?(?:on|onto) (?:number|no\.?) ?(?:one|two|three|four|\d)\b",
    re.IGNORECASE,
)
_STANDS_ON = re.compile(
    r"\b(?:it|she|he|they)(?:['\u2019](?:s|re)| is| are| went)(?: (?:now|down|standing|lying|sitting))* "
    rf"(?:on|in|at|under|by|outside|against) (?:(?:the|a|an|its|their|two|three) )?(?:[\w-]+ ){{0,2}}?{_PUT_DOWN}\b"
    r"|\b(?:leaning|propped|standing|lying|sitting|stood|stacked)(?: up)? "
    r"(?:on|in|at|under|by|outside|against|beside|behind) (?:the|a|an|its|their|two|three)\b",
    re.IGNORECASE,
)
_LOOSE = re.compile(r"\b(?:bolt|nut|screw|pin|washer|rivet|clip|clamp|fastener)s?\b", re.IGNORECASE)
_IS_PUT = r"\b(?:put|(?:re-?)?fit(?:ted)?|re-?installed|hung)\b (?:(?!(?:to|in|on|of|for|onto|into)\b)[\w-]+ ){0,5}?"
_FOR_NOW = re.compile(
    r"\btemporar(?:y|ily)\b|\b(?:trial|dry|test)[- ]fit(?:ted|ting)?\b|\boffered (?:it |them )?up\b"
    r"|\bfor (?:now|the (?:time being|moment|weekend|night|photos?|picture))\b"
    r"|\bjust to (?:try|see|check|look|keep)\b",
    re.IGNORECASE,
)
_HOW_FAST = re.compile(r"\b(?:tight(?:ened)?|nipped|torqued|locked|slack|loose|pinned)\b", re.IGNORECASE)
_BACK_AND_ON = re.compile(r"\bback\b[^.;]*?\b(?:and|now)(?: (?:it|they)['\u2019](?:s|re))? on\b", re.IGNORECASE)
_BACK_IN = r"\bback in\b(?=\s*(?:[,.;:]|$|and\b|with\b))"
_FITTED_WITH = re.compile(
    r"\b(?:(?:re-?)?fit(?:ted)?|re-?installed|back in|put\b[^.,;]*\bback|riveted|bolted|screwed|hung)\b[^.;]*"
    r"(?:,|\bwith\b|\busing\b|\bby\b)",
    re.IGNORECASE,
)

_THEY = re.compile(r"\b(?:they|both of them|(?:put|moved|stowed|stored|laid|took|fitted) them)\b", re.IGNORECASE)
_AND = r"(?:\s*,\s*(?:and\s+)?|\s+and\s+)"
_GOES_ON = (
    r"(?=\s*(?:[.,;:]|$)"
    r"|(?:\s+|['\u2019])(?:is|are|was|were|s|has|have|had|re|ve|back|on|off|in|out|went|came|goes)\b)"
)
_NUMBER = r"[a-z]+(?:-[a-z]+)?|\d+"


def is_for_now(logged: LoggedFact) -> bool:
    """Tell whether a part was fitted for a while only: "hung it on the mount for the weekend", a trial fit."""
    clauses = _TURNS.split(logged.sentence)
    return logged.fact.act == "fit" and any(_FOR_NOW.search(one) and not _HOW_FAST.search(one) for one in clauses)


def is_set_down(logged: LoggedFact) -> bool:
    """Tell whether a sentence says where a part stands that came off: "engine's out, it's on the trolley".

    Where its nuts lie tells nothing of it.
    """
    words = logged.sentence
    found = _STANDS_ON.search(words, max(0, words.find(logged.said)))
    return found is not None and not _LOOSE.search(_TURNS.split(words[: found.start()])[-1])


def is_refitted(logged: LoggedFact) -> bool:
    """Tell whether it is the part that was fitted: "the spinner's back on, all twelve screws".

    A number of something else is of fasteners, and they alone were fitted ("six bolts back in the fin") unless the
    words before them say that the part was ("the fin is on the fuselage, six bolts").
    """
    fact = logged.fact
    if fact.act != "fit" or is_for_now(logged):
        return False
    if fact.of in (None, "person", fact.item):
        return True
    sentence = logged.sentence
    at = max(0, sentence.find(logged.said))
    start = max((found.end() for found in _TURNS.finditer(sentence) if found.end() <= at), default=0)
    noun = str(fact.of).rpartition("-")[2]
    found = re.search(rf"\b{re.escape(noun)}s?\b", sentence[start:], re.IGNORECASE)
    if found is None:  # the fasteners come in another sentence
        part = re.escape(str(fact.item).rpartition("-")[2])
        back_in = re.search(rf"\b{part}s?\b[^.,;]*{_BACK_IN}|{_IS_PUT}{part}s?\b", sentence, re.IGNORECASE)
        return bool(back_in or _BACK_AND_ON.search(sentence) or _ON_AGAIN.search(sentence[start:]))
    before, after = sentence[start : start + found.start()], sentence[start + found.end() :]
    part = re.escape(str(fact.item).rpartition("-")[2])
    in_short = re.search(rf"\b{part}s? (?:on|in)\b(?=\s*[,;:])", before, re.IGNORECASE)  # "brake unit on, six bolts"
    if in_short or _ON_AGAIN.search(before) or _ON_WHAT_CARRIES_IT.search(before):
        return True
    return bool(_FITTED_WITH.search(before)) and not _GO_IN.match(after)


def number_told(logged: LoggedFact, nouns: frozenset[str]) -> int | None:
    """Return how many of its part a fact tells of; None where its words say all of them, or do not say.

    A name in the singular is one of them.

    Args:
        logged: the fact.
        nouns: the last words of the names of its part: "cowling", "cowl".
    """
    fact = logged.fact
    if fact.count is not None and fact.of == fact.item:
        return fact.count
    words = logged.sentence.lower()
    called = rf"(?:{alternatives((*nouns, *map(plural, nouns)))})"
    numbered = rf"\b{called} (?:numbers? |no\.? )?((?:{_NUMBER})(?:{_AND}(?:{_NUMBER}))*){_GOES_ON}"
    for found in re.finditer(numbered, words):
        named = re.split(_AND, found[1])
        if all(len(find_numbers(one)) == 1 for one in named):
            return len(named)
    return 1 if _named_alone(words, nouns) else None


def number_taken(logged: LoggedFact, nouns: frozenset[str]) -> int | None:
    """Return how many of its part came off by the fact's number; one where its words name a single one.

    ("Starboard aileron's off. Three, sorry": three of what is not told, and it is no three ailerons.)

    Args:
        logged: the fact.
        nouns: the last words of the names of its part.
    """
    fact = logged.fact
    if fact.of != fact.item or fact.count is None:
        return None
    words = logged.sentence.lower()
    return 1 if _named_alone(words, nouns) and not find_numbers(words) else fact.count


def tells_of_several(logged: LoggedFact, nouns: frozenset[str]) -> bool:
    """Tell whether a fact is of more than one of its part: by its number, or by the plural of one of its names."""
    fact = logged.fact
    if fact.of == fact.item and fact.count is not None:
        return fact.count > 1
    return bool(re.search(rf"\b(?:{alternatives(map(plural, nouns))})\b", logged.sentence.lower()))


def tells_of_all(logged: LoggedFact, nouns: frozenset[str]) -> bool:
    """Tell whether words are of every one of a part that was spoken of: the plural of its name, or "they"."""
    return _THEY.search(logged.sentence) is not None or tells_of_several(logged, nouns)


def _named_alone(words: str, nouns: frozenset[str]) -> bool:
    several = alternatives((*map(plural, nouns), "all", "both", "every", "each"))
    return bool(re.search(rf"\b(?:{alternatives(nouns)})\b", words)) and not re.search(rf"\b(?:{several})\b", words)
