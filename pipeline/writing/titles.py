"""What an entry is called: the one to three parts that it is most about, each named once."""

from collections.abc import Iterable, Mapping, Sequence

from pipeline.english import capital, listed, plural
from pipeline.records import EntryRecord, FactRecord
from pipeline.writing.fact_names import FactNames
from pipeline.writing.terms import Terms, belongs_to, kind_and_zone, term

_MOST = 3
SMALL = frozenset({"fastener", "material", "support-equipment", "detail"})
"""Kinds of parts that no entry, and no picture, is of where a larger one is told of beside them."""
HANDLING = frozenset({"tag", "bag", "store", "photograph"})
"""Acts that are told of a part on its way, and that no entry is about where other work is told."""
_ONLY = {"planned": "To do", "not-done": "Not done", "explained": "How it goes"}


NO_PART = frozenset({"Photos, with what was said", "Spoken note"})
"""What an entry is called that names no part."""


def entry_title(entry: EntryRecord, terms: Terms, names: Sequence[FactNames] = ()) -> str:
    """Return an entry's title: "Port fillet panel and landing lamp", "To do: bracket and spar cap".

    Args:
        entry: any.
        terms: the vocabulary.
        names: what the part of each of its facts is called by its words, in their order: "throttle rod", "number 3
            engine"; () for as the vocabulary has it.
    """
    told = [fact for fact in entry.facts if fact.item]
    chosen = _most_telling(told, terms)
    if not chosen:
        return "Photos, with what was said" if entry.photos else "Spoken note"
    by_words: dict[str, list[FactNames]] = {}
    for fact, name in zip(entry.facts, names, strict=False):
        by_words.setdefault(str(fact.item), []).append(name)
    named = capital(_named(chosen, told, by_words, terms))
    statuses = {fact.status for fact in entry.facts}
    if len(statuses) == 1 and (only := statuses.pop()) in _ONLY:
        return f"{_ONLY[only]}: {named[:1].lower()}{named[1:]}"
    return named


def _most_telling(told: Sequence[FactRecord], terms: Terms) -> list[str]:
    """Return at most three items in the order told: what came off first, then other work, handling and talk last."""
    best: dict[str, tuple[int, int]] = {}
    for order, fact in enumerate(told):
        item = str(fact.item)
        weight = _weight(fact, terms)
        old = best.get(item)
        best[item] = (min(weight, old[0]), old[1]) if old is not None else (weight, order)
    if any(weight < 10 for weight, _ in best.values()):
        best = {item: one for item, one in best.items() if one[0] < 10}
    if len(best) > _MOST:
        best = {item: one for item, one in best.items() if not _told_by_larger(item, best, terms)}
    first = sorted(best, key=lambda item: best[item])[:_MOST]
    return sorted(first, key=lambda item: best[item][1])


def _told_by_larger(item: str, weights: Mapping[str, tuple[int, int]], terms: Terms) -> bool:
    """Tell whether an item belongs to another one that is as telling: a hinge to its aileron."""
    return any(
        other != item and belongs_to(terms, item, other) and weights[other][0] <= weights[item][0]
        for other in weights
    )


def _weight(fact: FactRecord, terms: Terms) -> int:
    small = 10 if kind_and_zone(terms, fact.item)[0] in SMALL else 0
    if fact.status == "done":
        return small + (0 if fact.act == "remove" else 3 if fact.act in HANDLING else 1)
    return small + {"seen": 1, "not-done": 4, "planned": 4}.get(fact.status, 5)


def _named(
    items: Sequence[str], told: Sequence[FactRecord], by_words: Mapping[str, Sequence[FactNames]], terms: Terms
) -> str:
    """Name the items; a side that is the same for all stands once, in front."""
    sides = {item: _side(fact.side for fact in told if fact.item == item) for item in items}
    shared = set(sides.values())
    names = [_name(item, sides[item], told, by_words.get(item, ()), terms) for item in items]
    if len(shared) == 1 and len(items) > 1 and (side := shared.pop()) in ("port", "starboard"):
        return f"{side} {listed([name.removeprefix(f'{side} ') for name in names])}"
    return listed(names)


def _side(sides: Iterable[str | None]) -> str:
    found = {side for side in sides if side is not None}
    return "both" if "both" in found or len(found) > 1 else "".join(found)


def _name(item: str, side: str, told: Sequence[FactRecord], by_words: Sequence[FactNames], terms: Terms) -> str:
    name = term(terms, item)
    called, position = ({getattr(one, what) for one in by_words} - {""} for what in ("called", "position"))
    several = any(fact.of == item and (fact.count or 0) > 1 for fact in told)
    if len(called) == 1:
        name = called.pop()
    elif side == "both" or several or called or kind_and_zone(terms, item)[0] == "fastener":
        name = plural(name)
    which = f"{position.pop()} " if len(position) == 1 else ""
    return f"{side} {which}{name}" if side in ("port", "starboard") else f"{which}{name}"
