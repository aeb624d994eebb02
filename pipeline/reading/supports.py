"""What is taken off trestles, jacks or a trolley: it is let down, and stays on."""

from collections.abc import Iterator, Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.constructions import Said
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import BE, DETERMINERS, Piece


def off_support(lexicon: Lexicon, pieces: Sequence[Piece], off: int) -> int:
    """Return the piece after the lifting gear that "off" is said of ("off the trestles"), 0 where there is none."""
    if off >= len(pieces) or pieces[off].low.split()[-1] != "off":
        return 0
    at, led = off + 1, False
    while at < len(pieces) and (pieces[at].low in DETERMINERS | {"of", "all", "both"} or pieces[at].kind == "number"):
        led, at = led or pieces[at].low != "of", at + 1
    while at < len(pieces) and (pieces[at].kind == "side" or pieces[at].tag in ("JJ", "CD")) and led:
        at += 1
    if at >= len(pieces) or pieces[at].kind != "thing" or not (led or pieces[at].plural):
        return 0
    parts = [sense.notation for sense in pieces[at].senses if sense.kind in ("part", "counted")]
    may_be = lexicon.shorts.get(pieces[at].sense("short"), ()) if pieces[at].plural else ()  # "off the jacks"
    gear = all(is_gear(lexicon, part) for part in parts) if parts else any(is_gear(lexicon, one) for one in may_be)
    owned = at + 1 < len(pieces) and pieces[at + 1].kind == "thing"
    return at + 1 if gear and not owned else 0


def is_gear(lexicon: Lexicon, part: str) -> bool:
    """Tell whether a part is lifting gear: a trestle, a hoist, a trolley."""
    return lexicon.part_kind.get(part) == "support-equipment"


def off_its_support(
    lexicon: Lexicon, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]
) -> Said | None:
    """Return what "she's off the trestles" or "engine off the trolley" says, None where the clause says neither."""
    for off in range(clause.first + 1, clause.last):
        after = off_support(lexicon, pieces, off)
        be = pieces[off - 1].kind == "aux" and pieces[off - 1].low in BE
        if after and any(phrase.last == (off - 1 if be else off) for phrase in phrases):
            return Said("lower", off - 1, after, None, True, off)
    return None


def let_down(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[tuple[int, int]]:
    """Yield the stretches of characters (from, to) that tell that something was taken off what held it up."""
    for off in range(1, len(pieces)):
        after = off_support(lexicon, pieces, off)
        if not after:
            continue
        first = off - 1
        while first > 0 and not pieces[first - 1].ends_sentence and pieces[first - 1].low not in (",", "and"):
            if pieces[first].verb or (pieces[first].kind == "aux" and pieces[first - 1].kind != "aux"):
                break
            first -= 1
        yield pieces[first].start, pieces[after - 1].end
