"""What is not there: "no split pin in the nut", "had no locking wire", "none of them has got its washer"."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece

_HAVE = word_set("has have had got 's 've having with without carry carries carried")
_BE = word_set("is was are were 's be")
_PEOPLE = word_set("i we you he she they nobody somebody")
_AFTER = word_set("in on at to round around there fitted anywhere through under behind left whatsoever")
_LATER = word_set("yet till until spare if need time")
_NOT_PARTS = word_set("support-equipment structure")
_STUFF = word_set("sealant primer dope thinner casein-glue lacing-cord fabric-tape")


def find_lacking(
    lexicon: Lexicon, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]
) -> list[Phrase]:
    """Return the parts and fasteners that a clause says are not there."""
    inside = pieces[clause.first : clause.last]
    if any(piece.low in _LATER for piece in inside) or any(piece.kind == "finding" for piece in inside):
        return []
    found = []
    for phrase in phrases:
        if (
            not (phrase.item or phrase.fastener)
            or phrase.kind in _NOT_PARTS
            or phrase.item in _STUFF
            or phrase.prep not in ("", "with")
        ):
            continue
        if _denied(pieces, clause, phrase) or _none_has(pieces, clause, phrase):
            found.append(phrase)
    return found


def _denied(pieces: Sequence[Piece], clause: Clause, phrase: Phrase) -> bool:
    """Tell whether "no" stands before the phrase, after a word of having or being or before a word of place."""
    first = phrase.first
    low = pieces[first].low
    if low != "no":
        if first == clause.first or pieces[first - 1].low not in ("no", "without"):
            return False
        first -= 1
    before = pieces[first - 1].low if first > clause.first else ""
    subject = [piece for piece in pieces[clause.first : first] if piece.kind != "mark"]
    if any(piece.low in _PEOPLE and piece.kind == "word" for piece in subject) or (pieces[first].low == "without"):
        return False
    after = pieces[phrase.last] if phrase.last < clause.last else None
    placed = after is not None and after.low in _AFTER
    if before in _HAVE and any(piece.kind in ("thing", "place", "side") or piece.low == "it" for piece in subject):
        return True
    if before in _HAVE and any(piece.kind == "number" for piece in subject):
        return True
    if before in _BE and any(piece.low == "there" for piece in subject):
        return placed
    return not subject and placed


def _none_has(pieces: Sequence[Piece], clause: Clause, phrase: Phrase) -> bool:
    """Tell whether the phrase is what "none of them has got" or "it hasn't got" says is lacking."""
    before = pieces[clause.first : phrase.first]
    lows = [piece.low for piece in before]
    if any(piece.low in _PEOPLE and piece.kind == "word" for piece in before) or phrase.no:
        return False
    owned = pieces[phrase.first].low in ("its", "their", "a", "any", "the", "his", "her") or phrase.no
    got = bool(lows) and lows[-1] == "got" and bool({"has", "have", "'s", "had"} & set(lows))
    denied = bool({"none", "neither"} & set(lows)) or "n't" in lows or "not" in lows
    return owned and got and denied and any(piece.kind in ("thing", "place") or piece.low == "it" for piece in before)
