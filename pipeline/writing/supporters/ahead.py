"""What comes next: what is still in place, and what was said to be planned and has not been done since."""

from collections.abc import Iterable, Mapping

from pipeline.english import listed, sentence, with_article
from pipeline.lists.logged import same_side
from pipeline.records import EntryRecord, ToDo
from pipeline.writing.fastened import is_of_fastenings
from pipeline.writing.supporters.believed import believed
from pipeline.writing.supporters.chapters import MAIN_ACTS, SERVICES, is_bit
from pipeline.writing.supporters.privacy import TELLS_OF_FINDINGS
from pipeline.writing.supporters.sentences import ACTS, Forms, parts_listed, what_holds
from pipeline.writing.supporters.steps import LARGE, PANELS, Step, is_plural, part_named, where_of
from pipeline.writing.supporters.told import Told
from pipeline.writing.terms import Terms, kind_and_zone
from pipeline.writing.titles import HANDLING

_MOST_PLANS = 3
_MOST_PARTS = 4
# What is done on the way to a bigger job, and is no plan of its own to a reader.
_ON_THE_WAY = HANDLING | {"disconnect", "undo", "support", "move", "lift", "lower", "drain", "separate", "open",
                          "drill-out", "tighten", "lock", "blank"}  # fmt: skip


def as_it_stands(owed: ToDo, since: Iterable[EntryRecord]) -> ToDo | None:
    """Return what is owed; a part that was to come off as left, where a later day told that it did not.

    Args:
        owed: what was said to be planned or not done.
        since: the entries of later days, as the program reads them.

    Returns:
        None where nobody is sure that it was left: the plan may not stand any more.
    """
    left = [
        believed(entry, fact)
        for entry in since
        for fact in entry.facts
        if (fact.status, fact.act, fact.item) == ("not-done", "remove", owed.item) and same_side(fact.side, owed.side)
    ]
    if owed.act != "remove" or not left:
        return owed
    return owed.model_copy(update={"status": "not-done"}) if any(left) else None


def ahead(owed: Iterable[ToDo], off: Iterable[Step], terms: Terms, forms: Forms) -> list[Told]:
    """Return the sentences that tell of work still owed; work that tells of a finding is left out.

    Args:
        owed: what was said to be planned or not done, and has not been done since.
        off: removals that the report tells of: such a part is not said to be in place, whatever was said of it.
        terms: the vocabulary.
        forms: hands out forms in turn.
    """
    gone = list(off)
    left: dict[str, set[str]] = {}
    planned: dict[tuple[str, frozenset[str]], list[str]] = {}
    behind: dict[str, list[str]] = {}
    for one in owed:
        if one.item is None or one.act in TELLS_OF_FINDINGS or not _is_news(one, terms):
            continue
        sides = frozenset(where_of(str(one.item), one.side, one.words, terms))
        behind.setdefault(str(one.item), []).append(one.entry)
        if one.act == "remove" and _is_off(one.item, sides, gone):
            continue
        if one.status == "not-done" and one.act == "remove":
            left.setdefault(str(one.item), set()).update(sides)
        elif one.status == "planned" and one.act not in planned.setdefault((str(one.item), sides), []):
            planned[str(one.item), sides].append(one.act)
    for item, sides in planned:
        left.pop(item, None) if sides == frozenset(left.get(item, ())) else None
    large = {item: sides for item, sides in left.items() if item in LARGE}  # of a small part it is no news
    return [*_still_in_place(large, behind, terms, forms), *_planned(planned, behind, terms, forms)]


def _is_news(one: ToDo, terms: Terms) -> bool:
    item = str(one.item)
    kind, _ = kind_and_zone(terms, item)
    # to open up a large part, or to lift a floor, is the job itself
    is_the_job = (one.act == "open" and item in LARGE) or (one.act == "lift" and item in PANELS)
    if kind in ("support-equipment", "material", "fastener") or one.act not in ACTS:
        return False
    if one.act in _ON_THE_WAY and not is_the_job:
        return False
    return not (one.act == "remove" and (kind in SERVICES or is_bit(item, terms)))


def _is_off(item: str, sides: frozenset[str], off: Iterable[Step]) -> bool:
    return any(step.item == item and (not step.sides or not sides or bool(step.sides & sides)) for step in off)


def _still_in_place(
    left: Mapping[str, set[str]], behind: Mapping[str, list[str]], terms: Terms, forms: Forms
) -> list[Told]:
    parts = [part_named(item, sides, terms) for item, sides in left.items()]
    if not parts:
        return []
    many = len(parts) > 1 or is_plural(parts[0], next(iter(left)), terms)
    names = parts_listed(parts, _MOST_PARTS)
    stays = f"for now, {names} {'stay' if many else 'stays'} in place"
    text = forms.next("left", stays, f"we left {names} where {'they are' if many else 'it is'}")
    return [Told(sentence(text), _entries(left, behind))]


def _planned(
    planned: Mapping[tuple[str, frozenset[str]], list[str]],
    behind: Mapping[str, list[str]],
    terms: Terms,
    forms: Forms,
) -> list[Told]:
    """Tell of the largest piece of work first, then of a few others together."""
    by_acts: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for (item, sides), acts in planned.items():
        new = acts == ["make"] and len(sides) < 2
        name = part_named(item, sides, terms, article=not new)
        if is_of_fastenings(acts, item, terms):
            name = what_holds(name, terms)
        by_acts.setdefault(tuple(acts), []).append((item, with_article(name) if new else name))

    def first(one: tuple[tuple[str, ...], list[tuple[str, str]]]) -> tuple[bool, int]:
        acts, parts = one
        sizes = [LARGE.index(item) for item, _ in parts if item in LARGE]
        return not set(acts) & MAIN_ACTS, min(sizes, default=len(LARGE))

    ordered = sorted(by_acts.items(), key=first)[:_MOST_PLANS]
    orders = [_order(acts, parts_listed([name for _, name in parts], _MOST_PARTS)) for acts, parts in ordered]
    entries = [_entries([item for item, _ in parts], behind) for _, parts in ordered]
    lines = []
    if orders:
        text = forms.next("next", "next, we plan to {}", "the next job is to {}", "what we have in mind now is to {}")
        lines.append(Told(sentence(text.format(orders[0])), entries[0]))
    if orders[1:]:
        text = forms.next(
            "then", "we also mean to {}", "after that there is still the work to {}", "we want to {} too"
        )
        lines.append(Told(sentence(text.format(listed(orders[1:]))), tuple(sorted({*entries[1], *entries[-1]}))))
    return lines


def _order(acts: tuple[str, ...], parts: str) -> str:
    if len(acts) == 1:
        return ACTS[acts[0]].order.format(parts)
    return f"{listed([ACTS[act].order.replace(' {}', '').replace('{} ', '') for act in acts])} {parts}"


def _entries(items: Iterable[str], behind: Mapping[str, list[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(entry for item in items for entry in behind[item]))
