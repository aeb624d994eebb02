"""Work told as shortly as work that was done, and put off in the next breath: "wheel off. That's next week's job"."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.pieces import WEEKDAYS, Piece
from pipeline.reading.spans import holds

_THAT = word_set("that that's those these this it")
_TO_COME = WEEKDAYS | word_set("tomorrow next weekend later")
_WILL = (["we", "'ll", "do"], ["i", "'ll", "do"], ["we", "will", "do"], ["i", "will", "do"])


def planned_after_all(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what no verb tells as done, and the next sentence keeps for another day, is planned."""
    found: list[Fact] = []
    for fact in facts:
        if fact.status == "done" and _put_off(case, fact):
            fact = fact.model_copy(update={"status": "planned", "doubts": ()})
        if fact not in found:
            found.append(fact)
    return found


def _put_off(case: Case, fact: Fact) -> bool:
    """Tell whether the sentence of a fact has no verb, and the one after it says that it is for another day."""
    own = case.own_pieces(fact)
    if any(piece.kind == "aux" or (piece.kind == "verb" and piece.tag not in ("VB", "VBN")) for piece in own):
        return False
    sentence = case.rules.sentence(own[-1].end) if own else (0, 0)
    after = [piece for piece in case.pieces if holds(sentence, piece.start)]
    return bool(after) and sentence[0] >= own[-1].end - 1 and _keeps_for_later(after)


def _keeps_for_later(after: Sequence[Piece]) -> bool:
    """Tell whether a sentence is only "that's next week's job" or "we'll do it on Saturday"."""
    lows = [piece.low for piece in after if piece.low not in ("so", "and", "but")]
    to_come = any(low in _TO_COME or low.startswith("next ") for low in lows)
    thats = lows[:1] != [] and lows[0] in _THAT and len(lows) > 1 and lows[1] in ("'s", "is", "are")
    will = lows[:3] in _WILL and lows[3:4] != [] and lows[3] in _THAT | {"them", "all"}
    return to_come and (thats or will) and all(piece.kind != "thing" for piece in after)
