"""What was sent away: "the propeller has gone to Breaker Airscrews" moves it from where it was kept."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import PARTICIPLE, PAST, word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.spans import Span

_GO = word_set("go send ship post")
_AWAY = word_set("away off out back over down up")
_IT = word_set("it they them he she")
_UNSURE = word_set("if might may could should would n't not never when once until till unless before")


class _Sent(NamedTuple):
    """Something that goes to a firm: whether it has gone, what it is (None: "it"), and where that stands."""

    done: bool
    phrase: Phrase | None
    words: Span


def with_what_was_sent_away(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with what went to a firm of some name, or will go there, told as moved."""
    found = list(facts)
    for one in _sent(case):
        item, side = case.rules.it(one.words[0])
        if one.phrase is not None:
            item, side = case.part_of(one.phrase) or "", one.phrase.side
        own = [f for f in found if case.rules.sentence(one.words[0]) == case.sentence(f) and f.item == item]
        if not item or any(fact.act in ("move", "store") for fact in own):
            continue
        status = "done" if one.done else "planned"
        found.append(by_law("sent: move", status=status, act="move", item=item, side=side or None, words=one.words))
    return found


def _sent(case: Case) -> Iterator[_Sent]:
    """Yield each "has gone to Breaker Airscrews", "went away to …", "goes to … on Tuesday", "sent it to …"."""
    pieces = case.pieces
    for at, piece in enumerate(pieces):
        if piece.verb.split(" ")[0] not in _GO:
            continue
        to, thing = _to(pieces, at)
        if not to or not _is_name(pieces, to + 1):
            continue
        first = max(step + 1 for step in range(-1, at) if step < 0 or pieces[step].kind == "mark")
        words = {one.low for one in pieces[first:to]}
        named = [p for p in find_phrases(case.lexicon, pieces, first, to) if p.item or p.short]
        done = bool(piece.forms & {PAST, PARTICIPLE}) and not words & {"to", "be", "will", "'ll"}
        if words & _UNSURE or not (named or words & _IT) or (thing and not named):
            continue
        span = (pieces[named[-1].first if named else at].start, pieces[to + 1].end)
        yield _Sent(done, named[-1] if named else None, span)


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
