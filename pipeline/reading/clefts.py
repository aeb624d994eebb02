"""Which of two it is, told by denying the other: "it isn't the pump that leaks, it's the pipe", as it was meant."""

from collections.abc import Iterator, Sequence

from pipeline.reading.forms import word_set
from pipeline.reading.nouns import PREPOSITIONS
from pipeline.reading.pieces import BE, DETERMINERS, DOERS, Piece
from pipeline.reading.taken_back import Meant, moved

_FAR = 14  # pieces from the part denied to the part meant
_LEADS = word_set("but no and ,")
_BETWEEN = word_set("old new other")
_DENIALS = ("n't", "not")
Edit = tuple[int, int, str]


def without_clefts(text: str, pauses: Sequence[int], pieces: Sequence[Piece]) -> Meant:
    """Return the text with "it isn't the pump that leaks, it's the pipe" as "the pipe leaks".

    Args:
        text: as said.
        pauses: positions of the characters before which the speaker paused.
        pieces: of the text, as they were cut.
    """
    edits = [edit for at in range(len(pieces)) for edit in _edits(text, pieces, at)]
    words, done = [], 0
    for start, end, instead in edits:
        words += [text[done:start], instead]
        done = end
    return Meant("".join([*words, text[done:]]), tuple(moved(pauses, edits)), tuple(edits))


def _edits(text: str, pieces: Sequence[Piece], at: int) -> list[Edit]:
    """Return the two edits for a cleft that begins at a piece; none where none does."""
    denied = _named_after_it(pieces, at, denied=True)
    if denied is None:
        return []
    side, thing = denied
    after = pieces[thing + 1].low if thing + 1 < len(pieces) else ""
    if after not in {"that", "which"} | DOERS:
        return []
    for step in range(thing + 2, min(thing + _FAR, len(pieces))):
        if pieces[step].kind != "mark":
            continue
        meant = next(_meant_at(pieces, step, side, thing), None)
        if meant is not None:
            named, last = meant
            opens = pieces[at].start, pieces[thing + (after not in DOERS)].end
            says = "the " + " ".join(text[pieces[n].start : pieces[n].end] for n in named)
            rest = pieces[step].start, pieces[last].end
            if after in DOERS:  # "it wasn't the port one I took off, it was the starboard"
                return [(*opens, ""), (*rest, f" {says}")]
            return [(*opens, says), (*rest, "")]
        if pieces[step].ends_sentence:
            break
    return []


def _meant_at(pieces: Sequence[Piece], mark: int, side: int, thing: int) -> Iterator[tuple[list[int], int]]:
    """Yield which pieces name what is meant, and the last of "it's the pipe", where that follows a mark."""
    step = mark + 1
    while step < len(pieces) and pieces[step].low in _LEADS:
        step += 1
    named = _named_after_it(pieces, step, denied=False)
    if named is None:
        return
    own_side, own_thing = named
    after = pieces[own_thing + 1] if own_thing + 1 < len(pieces) else None
    if after is not None and after.kind != "mark" and after.low not in PREPOSITIONS:
        return
    if own_thing == own_side:  # a side alone: of the part that was denied
        yield [own_side, thing], own_thing
    else:
        sided = own_side if own_side >= 0 else side
        yield [*([sided] if sided >= 0 else []), own_thing], own_thing


def _named_after_it(pieces: Sequence[Piece], at: int, denied: bool) -> tuple[int, int] | None:
    """Return the places of the side (-1 for none) and of the part in "it isn't the port pump"; None of others."""
    lows = [piece.low for piece in pieces[at : at + 3]]
    if len(lows) < 3 or lows[0] != "it" or lows[1] not in BE or (lows[2] in _DENIALS) != denied:
        return None
    step, side = at + 2 + denied, -1
    if step >= len(pieces) or pieces[step].low not in DETERMINERS:
        return None
    step += 1
    while step < len(pieces) and (pieces[step].kind == "side" or pieces[step].low in _BETWEEN):
        side = step if pieces[step].kind == "side" else side
        step += 1
    if step < len(pieces) and pieces[step].kind == "thing":
        return side, step
    return (side, side) if side >= 0 and not denied else None
