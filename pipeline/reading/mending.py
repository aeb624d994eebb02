"""What speakers take back and put right: numbers, sides, places and parts said again; a Scot's "no"."""

from collections.abc import Sequence
from dataclasses import replace

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import PARTICIPLE, PAST, word_set
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece
from pipeline.reading.standing import of_phrase
from pipeline.reading.talk import Talk, Target

# Words with which something is taken back, those of them that say so beyond doubt, those with which a number or a
# store is said again, and what may stand beside them.
CALLS_BACK = word_set("no nope sorry correction rather count actually wait hang lie tell mean beg scrap")
FOR_SURE = word_set("no nope sorry correction rather lie mean pardon mistake wrong scrap")
PUTS_RIGHT = FOR_SURE | word_set("well actually beg")
MENDING = (
    CALLS_BACK
    | FOR_SURE
    | word_set("let make i me your or that a it they there 's 'm is was were on so far , - \u2014 \u2013")
)
_MENDED = word_set("number measure side place tag stow")


def corrected(pieces: Sequence[Piece]) -> list[Piece]:
    """Return the pieces with what was taken back left out: "forty-two, let me count, forty-four" keeps the second."""
    kept: list[Piece] = []
    for at, piece in enumerate(pieces):
        if piece.low == "no" and _means_not(kept, pieces, at):
            piece = replace(piece, low="not", kind="aux")
        if kept and kept[-1].low == "same":
            piece = _same_place(kept, piece)
        if piece.kind in _MENDED:
            step = len(kept) - 1
            words: set[str] = set()
            while (
                step >= 0
                and (
                    kept[step].low in MENDING
                    or (kept[step].kind == "mark" and (kept[step].low != "." or words & CALLS_BACK))
                )
                and len(kept) - step < 9
            ):
                words.add(kept[step].low)
                step -= 1
            first = kept[step] if step >= 0 else None
            unit_only = first is not None and first.kind == "number" and piece.kind == "measure"
            if words & CALLS_BACK and first is not None and (first.kind == piece.kind or unit_only):
                del kept[step:]
        kept.append(piece)
    return kept


def _means_not(before: Sequence[Piece], pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether "no" is a Scot's "not" ("I've no looked at that", "the port one's no", "no fitted yet")."""
    led = before[-1] if before else None
    follows = pieces[at + 1] if at + 1 < len(pieces) else None
    worked = follows is not None and follows.kind == "verb" and bool(follows.forms & {PAST, PARTICIPLE})
    ends = follows is None or follows.low == "."
    if led is None or led.kind == "mark":
        return worked
    return led.kind == "aux" and (worked or ends)


def _same_place(before: Sequence[Piece], piece: Piece) -> Piece:
    """Read "the same bay" as the bay that was named last."""
    scheme = piece.sense("places")
    for earlier in reversed(before) if scheme and not piece.places else ():
        places = tuple(place for place in earlier.places if place.scheme == scheme)
        if places:
            return replace(piece, kind="place", places=places)
    return piece


def corrects_part(talk: Talk, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> bool:
    """Put right the part of the fact before, where the clause takes it back ("no, sorry, the escape hatch").

    Returns:
        True where the clause was such a correction and is done with.
    """
    lows = [piece.low for piece in pieces[clause.first : clause.last]]
    opening = [low for low in lows[:6] if low.isalpha()]
    if not talk.drafts or "no" not in opening[:2] or not {"sorry", "not", "mean"} & set(opening[:4]):
        return False
    if any(piece.kind in ("verb", "finding") for piece in pieces[clause.first : clause.last] if piece.low != "mean"):
        return False
    named = [phrase for phrase in phrases if (phrase.item or phrase.short) and not phrase.fastener]
    taken_back = [phrase for phrase in named if pieces[phrase.first - 1].low == "not"]
    right = [phrase for phrase in named if phrase not in taken_back]
    if not right:
        return bool(taken_back)
    target = of_phrase(talk, right[-1])
    last = talk.drafts[-1]
    last.item = target.item
    last.side = target.side if target.side_said else last.side
    last.inferred.append(("item", "put right by the speaker"))
    talk.attend(Target(last.item, last.side, False))
    return True
