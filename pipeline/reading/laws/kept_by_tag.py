"""Where something is kept that only its tag names: "T-0044 is now in box four"."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact, Stowage
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.pieces import BE, DETERMINERS, HAVE, Piece
from pipeline.reading.spans import Span, holds

_WE = word_set("we i")
_WENT = word_set("went gone")
_INTO = word_set("in into on onto to")
_IS_NOW = BE | HAVE | DETERMINERS | _INTO | _WENT | word_set("now been moved put stored back over up still")
_LED_BY = _WE | HAVE | DETERMINERS | word_set("and put moved stored tag number part so now that")
_FROM_STORE_TO_STORE = _INTO | DETERMINERS | word_set(",")


def kept_by_tag(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with where what a tag alone names is kept: it is the part that bears the tag in the talk.

    Where none does, the fact names no part, and its tag says which it is.
    """
    found = list(facts)
    for tag, stowage, words in _stored_by_tag(case):
        sentence = case.rules.sentence(words[0])
        found = [fact for fact in found if not (holds(sentence, fact.words[0]) and _tells_less(fact, tag))]
        bearer = next((fact for fact in found if fact.tag == tag), None)
        item, side = (bearer.item, bearer.side) if bearer is not None else (None, None)
        told = {"act": "store" if stowage.bag is None else "bag", "item": item, "side": side, "stowage": stowage}
        found.append(by_law("tag read out: store", (), status="done", tag=tag, words=words, **told))
    return found


def _tells_less(fact: Fact, tag: str) -> bool:
    """Tell whether a fact of the same sentence only tells that something was put away, or that it bears the tag."""
    return fact.act in ("store", "bag", "move") or (fact.act == "tag" and fact.tag == tag)


def _stored_by_tag(case: Case) -> Iterator[tuple[str, Stowage, Span]]:
    """Yield each tag that stands for its part in a sentence of its own, with where that is, and its words."""
    pieces = case.pieces
    for at, tag in enumerate(pieces):
        if tag.kind != "tag":
            continue
        sentence = case.rules.sentence(tag.start)
        led = [piece.low for piece in pieces[:at] if holds(sentence, piece.start)]
        step = at + 1
        while step < len(pieces) and pieces[step].low in _IS_NOW:
            step += 1
        between = [piece.low for piece in pieces[at + 1 : step]]
        told = not _INTO.isdisjoint(between) and (between[0] in BE | HAVE | _WENT or not _WE.isdisjoint(led))
        if told and _LED_BY.issuperset(led) and step < len(pieces) and pieces[step].kind == "stow":
            stowage, last = _stores(pieces, step)
            yield tag.digits, stowage, (tag.start, pieces[last].end)


def _stores(pieces: Sequence[Piece], at: int) -> tuple[Stowage, int]:
    """Return the stores that are named side by side from a piece on, and which piece is the last of them."""
    kept: dict[str, str] = {}
    last = at
    while at < len(pieces) and (pieces[at].kind == "stow" or pieces[at].low in _FROM_STORE_TO_STORE):
        if pieces[at].kind == "stow":
            key, name = pieces[at].stow
            kept, last = kept | {key: name}, at
        at += 1
    return Stowage.model_validate(kept), last
