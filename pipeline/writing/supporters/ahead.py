"""What comes next: what is still in place, and what was said to be planned and has not been done since."""

from collections.abc import Iterable, Mapping

from pipeline.records import ToDo
from pipeline.writing.english import listed, sentence, with_article
from pipeline.writing.supporters.chapters import SERVICES, is_bit
from pipeline.writing.supporters.privacy import TELLS_OF_FINDINGS
from pipeline.writing.supporters.sentences import ACTS, HANDLING, parts_listed
from pipeline.writing.supporters.steps import LARGE, Step, is_plural, part_named, sides_of
from pipeline.writing.terms import Terms, kind_and_zone

_MOST_PLANS = 3
# What is done on the way to a bigger job, and is no plan of its own to a reader.
_ON_THE_WAY = HANDLING | {"disconnect", "undo", "support", "move", "lift", "lower", "drain", "separate", "open",
                          "drill-out", "tighten", "lock"}  # fmt: skip


def ahead(owed: Iterable[ToDo], off: Iterable[Step], terms: Terms) -> list[str]:
    """Return the sentences that tell of work still owed; work that tells of a finding is left out.

    Args:
        owed: what was said to be planned or not done, and has not been done since.
        off: removals that the report tells of: such a part is not said to be in place, whatever was said of it.
        terms: the vocabulary.
    """
    gone = list(off)
    left: dict[str, set[str]] = {}
    planned: dict[tuple[str, frozenset[str]], list[str]] = {}
    for one in owed:
        if one.item is None or one.act in TELLS_OF_FINDINGS or not _is_news(one, terms):
            continue
        sides = frozenset(sides_of(one.side))
        if one.act == "remove" and _is_off(one.item, sides, gone):
            continue
        if one.status == "not-done" and one.act == "remove":
            left.setdefault(str(one.item), set()).update(sides)
        elif one.status == "planned" and one.act not in planned.setdefault((str(one.item), sides), []):
            planned[str(one.item), sides].append(one.act)
    for item, sides in planned:
        left.pop(item, None) if sides == frozenset(left.get(item, ())) else None
    return [*_still_in_place(left, terms), *_planned(planned, terms)]


def _is_news(one: ToDo, terms: Terms) -> bool:
    item = str(one.item)
    kind, _ = kind_and_zone(terms, item)
    if kind in ("support-equipment", "material", "fastener") or one.act not in ACTS or one.act in _ON_THE_WAY:
        return False
    return not (one.act == "remove" and (kind in SERVICES or is_bit(item, terms)))


def _is_off(item: str, sides: frozenset[str], off: Iterable[Step]) -> bool:
    return any(step.item == item and (not step.sides or not sides or bool(step.sides & sides)) for step in off)


def _still_in_place(left: Mapping[str, set[str]], terms: Terms) -> list[str]:
    parts = [part_named(item, sides, terms) for item, sides in left.items()]
    if not parts:
        return []
    many = len(parts) > 1 or is_plural(parts[0], next(iter(left)), terms)
    return [sentence(f"for now, {parts_listed(parts)} {'stay' if many else 'stays'} in place")]


def _planned(planned: Mapping[tuple[str, frozenset[str]], list[str]], terms: Terms) -> list[str]:
    """Tell of the largest piece of work first, then of a few others together."""
    by_acts: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for (item, sides), acts in planned.items():
        new = acts == ["make"] and len(sides) < 2
        name = part_named(item, sides, terms, article=not new)
        by_acts.setdefault(tuple(acts), []).append((item, with_article(name) if new else name))

    def first(one: tuple[tuple[str, ...], list[tuple[str, str]]]) -> tuple[bool, int]:
        acts, parts = one
        sizes = [LARGE.index(item) for item, _ in parts if item in LARGE]
        return "remove" not in acts, min(sizes, default=len(LARGE))

    orders = [
        listed([ACTS[act].order for act in acts]).format(*[parts_listed([name for _, name in parts])] * len(acts))
        if len(acts) == 1
        else f"{listed([ACTS[act].order.replace(' {}', '').replace('{} ', '') for act in acts])} "
        f"{parts_listed([name for _, name in parts])}"
        for acts, parts in sorted(by_acts.items(), key=first)
    ]
    lines = [sentence(f"next, we plan to {one}") for one in orders[:1]]
    if orders[1:]:
        lines.append(sentence(f"we also mean to {listed(orders[1:_MOST_PLANS])}"))
    return lines
