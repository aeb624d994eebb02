"""What is kept with something else: "it's in box seven with the shims", "in bag 45 along with the washers"."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.spans import Span, holds

_BEFORE_WITH = word_set("along together")
_ITS = DETERMINERS | word_set("all")


def with_what_is_kept_beside(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with the part or the fasteners that are named after "with" in the same store."""
    found = list(facts)
    for store, item, number, words in _beside(case):
        own = [f for f in found if case.rules.sentence(words[0]) == case.sentence(f) and _is_in(f, store)]
        if not own or any(fact.item == item for fact in own) or own[0].status != "done":
            continue
        counted = {"count": number, "of": item if number else None, "about": None, "tag": None}
        found.append(own[0].model_copy(update=counted | {"item": item, "side": None, "words": words, "doubts": ()}))
    return found


def _is_in(fact: Fact, store: tuple[str, str]) -> bool:
    kept = fact.stowage.model_dump(exclude_none=True) if fact.stowage is not None else {}
    return fact.act in ("store", "bag") and store in kept.items()


def _beside(case: Case) -> Iterator[tuple[tuple[str, str], str, int | None, Span]]:
    """Yield each store with what is named after "with" right behind it, how many, and the words."""
    pieces = case.pieces
    for at, store in enumerate(pieces):
        step = at + 2 if at + 1 < len(pieces) and pieces[at + 1].low in _BEFORE_WITH else at + 1
        if store.kind != "stow" or step >= len(pieces) or pieces[step].low != "with":
            continue
        step += 1
        while step < len(pieces) and pieces[step].low in _ITS:
            step += 1
        number = pieces[step].whole if step < len(pieces) and pieces[step].kind == "number" else None
        step += 1 if number else 0
        thing = pieces[step] if step < len(pieces) else None
        item = _named(case, thing) if thing is not None else ""
        ends = step + 1 >= len(pieces) or pieces[step + 1].kind == "mark" or pieces[step + 1].low == "and"
        if thing is not None and item and ends and holds(case.rules.sentence(store.start), thing.start):
            yield store.stow, item, number, (store.start, thing.end)


def _named(case: Case, piece: Piece) -> str:
    if piece.kind != "thing":
        return ""
    return piece.sense("part") or piece.sense("counted") or case.lexicon.likeliest(piece.sense("short"))
