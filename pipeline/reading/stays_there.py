"""What stays where it is and is owed to nobody: an engine still on its stand, the clamps left on glued ribs."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.reader import ReadByRule

_TAKES_OFF = ("remove", "separate", "undo")
_KEEPERS = word_set("stand rack bench shelf trestle trestles trolley cradle pallet jack jacks floor blocks")
_GLUES = word_set("glue bond stick varnish laminate")
_ANY = word_set("one ones rest lot other others thing things bit bits whole")  # may stand for the part itself
_AS_FAR = 6  # pieces from "left" to "on"


def without_what_stays(lexicon: Lexicon, one: ReadByRule, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts of one note, without work that seems owed and is not.

    What is "still on its stand" came off already. Where the clamps were left on the ribs, the ribs owe nothing.
    """
    kept = list(_still_kept(lexicon, one.pieces))
    others = list(_left_on(lexicon, one))
    return [fact for fact in facts if fact.status != "not-done" or not (_off(fact, kept) or _told_in(fact, others))]


def _off(fact: Fact, kept: Sequence[tuple[int, int]]) -> bool:
    return fact.act in _TAKES_OFF and _told_in(fact, kept)


def _told_in(fact: Fact, stretches: Sequence[tuple[int, int]]) -> bool:
    return any(fact.words[0] < last and first < fact.words[1] for first, last in stretches)


def _still_kept(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[tuple[int, int]]:
    """Yield the characters (from, to) of each "still on its stand"."""
    for at, piece in enumerate(pieces[:-2]):
        if piece.low != "still" or pieces[at + 1].low not in ("on", "in"):
            continue
        step = at + 2
        while step < len(pieces) - 1 and (pieces[step].low in DETERMINERS or pieces[step].tag in ("JJ", "CD")):
            step += 1
        gear = lexicon.part_kind.get(pieces[step].sense("part")) == "support-equipment"
        if gear or pieces[step].kind == "stow" or any(word in _KEEPERS for word in pieces[step].low.split()):
            yield piece.start, pieces[step].end


def _left_on(lexicon: Lexicon, one: ReadByRule) -> Iterator[tuple[int, int]]:
    """Yield the characters (from, to) of "left the clamps on", where what was left is no part of the aircraft."""
    for at, piece in enumerate(one.pieces[:-2]):
        if piece.low not in ("left", "leave", "leaving") or piece.kind == "side":
            continue
        for step in range(at + 2, min(at + _AS_FAR, len(one.pieces))):
            if one.pieces[step].kind in ("verb", "aux", "mark", "stow"):
                break
            if one.pieces[step].low in ("on", "in"):
                if _is_no_part(lexicon, one, at, step):
                    yield piece.start, one.pieces[step].end
                break


def _is_no_part(lexicon: Lexicon, one: ReadByRule, at: int, particle: int) -> bool:
    """Tell whether what is named between "left" and "on" is no part, or a clamp that only holds while glue sets."""
    noun, between = one.pieces[particle - 1], one.pieces[at + 1 : particle]
    if between[0].low not in DETERMINERS or any(piece.kind in ("side", "place") for piece in between):
        return False
    if noun.kind == "thing" and (noun.sense("counted") or noun.sense("part")) == "clamp":
        start, end = one.sentence(one.pieces[at].start)
        return any(start <= piece.start < end and piece.verb in _GLUES for piece in one.pieces)
    plain = all(piece.kind == "word" for piece in between)
    return plain and noun.tag in ("NN", "NNS") and noun.low not in _ANY and noun.low not in lexicon.shorts
