"""What was sent away or lent: "the propeller has gone to Breaker Airscrews" moves it from where it was kept."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import PARTICIPLE, PAST, word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.laws.contradicted import answered_at
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import BE, DETERMINERS, HAVE, Piece
from pipeline.reading.spans import Span, overlap

_GO = word_set("go send ship post")
_LENT = word_set("lent loaned")
_PEOPLE = word_set(
    "man woman bloke chap fellow lad firm company shop works makers maker manufacturer people specialist specialists"
    " plater platers welder welders machinist machinists upholsterer upholsterers painter painters engineers"
    " overhaulers college club museum dealer school squadron society group"
)  # whom something is sent to without a name
_AWAY = word_set("away off out back over down up")
_US = word_set("we i you")
_NEAR = 5  # pieces from "away" to "being"
_IT = word_set("it they them he she")
_UNSURE = word_set("if might may could should would n't not never when once until till unless before")


class _Sent(NamedTuple):
    """Something that goes to a firm: whether it has gone, what it is (None: "it"), and where that stands."""

    done: bool
    phrase: Phrase | None
    words: Span


def with_what_was_sent_away(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what went to a firm or to somebody, or will go there, told as moved."""
    found = list(facts)
    for one in (*_sent(case), *_borrowed(case), *_came_back(case)):
        item, side = case.rules.it(one.words[0])
        if one.phrase is not None:
            item, side = case.part_of(one.phrase) or "", one.phrase.side
        own = [f for f in found if case.rules.sentence(one.words[0]) == case.sentence(f) and f.item == item]
        if not item or any(fact.act in ("move", "store") for fact in own):
            continue
        status = "done" if one.done else "planned"
        found.append(by_law("sent: move", status=status, act="move", item=item, side=side or None, words=one.words))
    return found


def without_what_is_done_there(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is "away being covered", or "at the makers being checked", is none of our work."""
    there = list(_done_there(case.pieces))
    return [fact for fact in facts if fact.status != "done" or not any(overlap(fact.words, one) for one in there)]


def _done_there(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters of each "being covered" of what is away."""
    for at, piece in enumerate(pieces[:-1]):
        if piece.low != "being" or not pieces[at + 1].verb:
            continue
        near = range(max(0, at - _NEAR), at)
        away = next((step for step in near if pieces[step].low == "away" or _is_at(pieces, step)), at)
        if away < at:
            yield pieces[away].start, pieces[at + 1].end


def _is_at(pieces: Sequence[Piece], at: int) -> bool:
    return pieces[at].low == "at" and _is_somebody(pieces, at + 1)


def _sent(case: Case) -> Iterator[_Sent]:
    """Yield each "has gone to Breaker Airscrews", "went away to …", "goes to … on Tuesday", "sent it to …"."""
    pieces = case.pieces
    for at, piece in enumerate(pieces):
        lent = piece.low in _LENT
        if piece.verb.split(" ")[0] not in _GO and not lent:
            continue
        to, thing = _to(pieces, at)
        if not to or not (_is_name(pieces, to + 1) or _is_somebody(pieces, to + 1)):
            continue
        first = max(step + 1 for step in range(-1, at) if step < 0 or pieces[step].kind == "mark")
        words = {one.low for one in pieces[first:to]}
        named = [p for p in find_phrases(case.lexicon, pieces, first, to) if p.item or p.short]
        done = (lent or bool(piece.forms & {PAST, PARTICIPLE})) and not words & {"to", "be", "will", "'ll"}
        if case.asks(piece.start):
            if "did" not in words or not answered_at(case, piece.start):
                continue
            done = True
        if words & _UNSURE or not (named or words & _IT) or (thing and not named):
            continue
        span = (pieces[named[-1].first if named else at].start, pieces[to + 1].end)
        yield _Sent(done, named[-1] if named else None, span)


def _borrowed(case: Case) -> Iterator[_Sent]:
    """Yield each "the club have borrowed the compass"."""
    pieces = case.pieces
    for at, piece in enumerate(pieces):
        if piece.low != "borrowed" or not at or pieces[at - 1].low not in HAVE:
            continue
        first = max(step + 1 for step in range(-1, at) if step < 0 or pieces[step].kind == "mark")
        ends = next((step for step in range(at, len(pieces)) if pieces[step].kind == "mark"), len(pieces))
        named = [p for p in find_phrases(case.lexicon, pieces, at + 1, ends) if (p.item or p.short) and not p.prep]
        if named and not {one.low for one in pieces[first:at]} & (_UNSURE | _US):
            yield _Sent(True, named[0], (piece.start, pieces[named[0].last - 1].end))


def _came_back(case: Case) -> Iterator[_Sent]:
    """Yield each "the magneto came back" and "is back from Calder's": it was moved, and is fitted by no word."""
    pieces = case.pieces
    for at in range(1, len(pieces) - 1):
        if pieces[at].low != "back":
            continue
        first = max(step + 1 for step in range(-1, at) if step < 0 or pieces[step].kind == "mark")
        named = [p for p in find_phrases(case.lexicon, pieces, first, at) if (p.item or p.short) and not p.prep]
        lows = [piece.low for piece in pieces[first:at]]
        came = pieces[at - 1].verb == "come" and bool(pieces[at - 1].forms & {PAST, PARTICIPLE})
        is_back = pieces[at - 1].low in BE and pieces[at + 1].low == "from"
        from_somebody = pieces[at + 1].low == "from" and (_is_name(pieces, at + 2) or _is_somebody(pieces, at + 2))
        so = from_somebody if is_back else came and (from_somebody or pieces[at + 1].kind == "mark")
        if (
            so
            and len(named) == 1
            and not set(lows) & (_UNSURE | {"will", "'ll", "to", "be"})
            and not case.asks(pieces[at].start)
        ):
            yield _Sent(True, named[0], (pieces[named[0].first].start, pieces[at].end))


def _to(pieces: Sequence[Piece], at: int) -> tuple[int, bool]:
    """Return which piece is the "to" after a verb of going, 0 where none is; and whether a part stands between."""
    step, thing = at + 1, False
    while step < min(len(pieces) - 1, at + 7):
        piece = pieces[step]
        if piece.low in ("to", "with"):
            return step, thing
        if piece.kind not in ("thing", "side", "number") and piece.low not in _AWAY | _IT | DETERMINERS:
            break
        step, thing = step + 1, thing or piece.kind == "thing"
    return 0, thing


def _is_name(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a firm's or a person's name stands at a piece."""
    if at >= len(pieces) or pieces[at].kind in ("stow", "place", "tag", "number"):
        return False
    return pieces[at].capital


def _is_somebody(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether somebody without a name stands at a piece: "to a man in the next valley", "to the platers"."""
    if at < len(pieces) and pieces[at].low in ("them", "him", "her"):
        return True
    if at >= len(pieces) or pieces[at].low not in DETERMINERS:
        return False
    step = at + 1
    while step < len(pieces) and pieces[step].low not in _PEOPLE and pieces[step].tag[:2] in ("JJ", "NN"):
        step += 1
    return step < len(pieces) and pieces[step].low in _PEOPLE and pieces[step].kind != "stow"
