"""Clauses without a verb of their own that put work off: "the port one tomorrow", "two to go", "will follow"."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.moods import Moods
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import WEEKDAYS, Piece
from pipeline.reading.talk import Talk


def for_later(talk: Talk, moods: Moods, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> bool:
    """Tell whether a clause without a verb only puts a part off: "the port one tomorrow", "rudder next"."""
    inside = pieces[clause.first : clause.last]
    if any(piece.kind in ("verb", "finding", "stow", "measure") for piece in inside):
        return False
    if any(piece.kind == "aux" and piece.low not in ("is", "are", "'s") for piece in inside):
        return False
    named = [phrase for phrase in phrases if not phrase.prep]
    last = talk.drafts[-1] if talk.drafts else None
    short = len(named) == 1 and (
        (named[0].stands_for in ("one", "side", "other") and (named[0].side or named[0].stands_for == "other"))
        or (
            last is not None
            and bool(last.act)
            and named[0].item == last.item
            and named[0].side not in ("", last.side)
        )
    )
    bare = not phrases and len(inside) < 7 and any(piece.kind == "side" for piece in inside)
    later = moods.means(clause, "plan-time") or any(piece.low == "next" for piece in inside)
    return (short or bare) and later and not moods.barred(clause)


def meant(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], side: str) -> list[Phrase]:
    """Return the part put off, or its side alone ("Starboard next.")."""
    named = [phrase for phrase in phrases if not phrase.prep]
    return named or [Phrase(clause.first, clause.first + 1, stands_for="side", side=side)]


_TO_GO = (["to", "go"], ["to", "do"], ["to", "come"], ["to", "find"])
_WHEN = WEEKDAYS | word_set("tomorrow yet now then")


def to_go(pieces: Sequence[Piece], clause: Clause) -> bool:
    """Tell whether a clause only says how many are left: "two to go", "about fifteen left to do"."""
    inside = [piece for piece in pieces[clause.first : clause.last] if piece.kind != "mark"]
    lows = [piece.low for piece in inside]
    while lows[:1] and lows[0] in ("and", "about", "another", "just", "only", "still", "so"):
        lows, inside = lows[1:], inside[1:]
    if not inside or inside[0].kind != "number":
        return False
    rest = lows[1:]
    while rest and rest[-1] in _WHEN:
        rest.pop()
    return rest[-2:] in _TO_GO and set(rest[:-2]) <= {"more", "left", "still"}


def follows(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> bool:
    """Tell whether a clause only says that a part will have its turn ("the port one will follow")."""
    lows = [piece.low for piece in pieces[clause.first : clause.last] if piece.kind != "mark"]
    if "follow" not in lows[-3:] or not {"will", "'ll", "to"} & set(lows):
        return False
    sided = len(phrases) == 1 and phrases[0].fastener and bool(phrases[0].side)
    return sided or (len(phrases) == 1 and (phrases[0].named or phrases[0].stands_for in ("side", "one", "other")))
