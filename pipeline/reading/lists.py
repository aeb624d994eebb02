"""Parts that are told together: joined by "and" or commas, or listed after a colon."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.constructions import Said
from pipeline.reading.forms import word_set
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import Piece

_JOINING = word_set("and , plus then both the all or so off out away down")
_OWNERS = word_set("off from of")
_TOO = (["too"], ["next"], ["after", "it"], ["as", "well"], ["with", "it"], ["after", "that"])


def with_others(pieces: Sequence[Piece], first: Phrase, among: Sequence[Phrase], mixed: bool = False) -> list[Phrase]:
    """Return a phrase with those that are joined to it by "and" or commas ("cowlings, spinner and propeller")."""
    found = [first]
    for forward in (True, False):
        edge, run, joined = first, list[Phrase](), False
        for phrase in among if forward else reversed(among):
            if (phrase.first < edge.last) if forward else (phrase.last > edge.first):
                continue
            between = pieces[edge.last : phrase.first] if forward else pieces[phrase.last : edge.first]
            between = _after_owner(between) if forward else between
            lows = [piece.low for piece in between]
            tail = [piece.low for piece in pieces[phrase.last : phrase.last + 2]]
            after_it = forward and "and" in lows and (tail in _TOO or tail[:1] in _TOO)
            close = bool(lows) and all(piece.low in _JOINING or piece.kind == "tag" for piece in between)
            like = (
                phrase.item
                or phrase.short
                or phrase.stands_for == "side"
                or (phrase.fastener and (first.fastener or mixed))
            )
            if phrase.fastener and not first.fastener and not mixed and phrase.count is not None:
                edge = phrase
                continue
            if forward and like and not close and phrase.prep in _OWNERS and phrase.first == edge.last + 1:
                edge = phrase
                continue
            if (
                not like
                or not (close or after_it)
                or (edge.prep in _OWNERS and edge is not first and "then" not in lows)
            ):
                break
            run.append(phrase)
            if "and" in lows or "then" in lows:
                joined = True
                found += [other for other in run if other not in found]
            edge = phrase
        if joined and run and not forward:
            found += [other for other in run if other not in found]
    return sorted(found, key=lambda phrase: phrase.first)


def _after_owner(between: Sequence[Piece]) -> Sequence[Piece]:
    """Leave out "off the right main" in "the wheel off the right main, then the drum"."""
    if not between or between[0].low not in _OWNERS or any(piece.kind in ("verb", "aux") for piece in between):
        return between
    mark = next((at for at, piece in enumerate(between) if piece.kind == "mark" or piece.low == "then"), -1)
    return between[mark:] if mark > 0 and any(piece.low == "then" for piece in between[mark:]) else between


def opens_list(pieces: Sequence[Piece], clause: Clause, said: Said) -> bool:
    """Tell whether what was done is said before its list ("what came off the wing: ...", "still on: ...")."""
    lows = [piece.low for piece in pieces[clause.first : said.at + 1]]
    return "what" in lows or not any(piece.kind in ("thing", "side") for piece in pieces[clause.first : said.at])


def listed_after(pieces: Sequence[Piece], said: Said, after: Sequence[Phrase]) -> list[Phrase]:
    """Return the parts of a list that a heading verb opens ("Removed: spinner, cowlings, oil cooler")."""
    colon = next((at for at in range(said.at + 1, min(said.at + 8, len(pieces))) if pieces[at].low == ":"), -1)
    after = [phrase for phrase in after if phrase.first > colon]
    begun = [phrase for phrase in after if phrase.named]
    if colon < 0 or not begun or begun[0] is not after[0]:
        return []
    found, edge = [after[0]], after[0].last
    for phrase in after[1:]:
        between = pieces[edge : phrase.first]
        if not all(piece.low in (",", "and") or piece.kind in ("side", "number", "stow", "tag") for piece in between):
            break
        edge = phrase.last
        if phrase.item or phrase.short or found[0].fastener:
            found.append(phrase)
    return found
