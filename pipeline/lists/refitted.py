"""Whether a part was fitted, alone or with what holds it; or only the fasteners that hold it."""

import re

from pipeline.lists.logged import LoggedFact

_TURNS = re.compile(r"[,;:]\s*|\b(?:and|but|then|so)\b\s*", re.IGNORECASE)
_GO_IN = re.compile(
    r"\s*(?:(?:are|is|were|was|have|has|gone|went|now|all|put|fitted)\s+)*(?:back|in|into|to|onto|through)\b",
    re.IGNORECASE,
)
# "back on" tells of the part by itself; other words only where the fasteners come after a comma or a "with"
_ON_AGAIN = re.compile(
    r"\b(?:back on|on again|back in place|in place again)\b"
    r"|(?:['\u2019](?:s|re)|\b(?:is|are|went|gone)) (?:on|in)\b(?=\s*(?:[,.;:]|$|and\b|with\b))",
    re.IGNORECASE,
)
# "is on the engine, eight bolts": on what it belongs to, and not put down somewhere
_PUT_DOWN = (
    r"(?:racks?|shelf|shelves|bench|stand|store|stores|shed|hangar|bay|trolley|cradle|pallet|box|bag|tin|tray|trestles?|"
    r"jig|workshop|container|floor|ground|hoist|crane|van|lorry|trailer|table|corner|rafters|loft|office|tent|slings?)"
)
_ON_WHAT_CARRIES_IT = re.compile(
    r"(?:['\u2019](?:s|re)|\b(?:is|are|went|gone)) (?:on|in|onto|into) (?:the|its|her|their) "
    rf"(?!(?:[\w-]+ ){{0,3}}{_PUT_DOWN}\b)[^.,;]*,",
    re.IGNORECASE,
)
_BACK_IN = r"\bback in\b(?=\s*(?:[,.;:]|$|and\b|with\b))"
_FITTED_WITH = re.compile(
    r"\b(?:(?:re-?)?fit(?:ted)?|re-?installed|back in|put\b[^.,;]*\bback|riveted|bolted|screwed|hung)\b[^.;]*"
    r"(?:,|\bwith\b|\busing\b|\bby\b)",
    re.IGNORECASE,
)


def is_refitted(logged: LoggedFact) -> bool:
    """Tell whether it is the part that was fitted: "the spinner's back on, all twelve screws".

    A number of something else is of fasteners, and they alone were fitted ("six bolts back in the fin") unless the
    words before them say that the part was ("the fin is on the fuselage, six bolts").
    """
    fact = logged.fact
    if fact.act != "fit":
        return False
    if fact.of in (None, "person", fact.item):
        return True
    sentence = logged.around or logged.said
    at = max(0, sentence.find(logged.said))
    start = max((found.end() for found in _TURNS.finditer(sentence) if found.end() <= at), default=0)
    noun = str(fact.of).rpartition("-")[2]
    found = re.search(rf"\b{re.escape(noun)}s?\b", sentence[start:], re.IGNORECASE)
    if found is None:  # the fasteners come in another sentence
        part = re.escape(str(fact.item).rpartition("-")[2])
        back_in = re.search(rf"\b{part}s?\b[^.,;]*{_BACK_IN}", sentence, re.IGNORECASE)
        return back_in is not None or _ON_AGAIN.search(sentence[start:]) is not None
    before, after = sentence[start : start + found.start()], sentence[start + found.end() :]
    if _ON_AGAIN.search(before) or _ON_WHAT_CARRIES_IT.search(before):
        return True
    return bool(_FITTED_WITH.search(before)) and not _GO_IN.match(after)
