"""What comes next: what is still in place, and what was said to be planned and has not been done since."""

from collections.abc import Iterable, Mapping

from pipeline.records import ToDo
from pipeline.writing.english import listed, sentence, with_article
from pipeline.writing.supporters.privacy import TELLS_OF_FINDINGS
from pipeline.writing.supporters.sentences import parts_listed, to_do
from pipeline.writing.supporters.steps import Step, part_named
from pipeline.writing.terms import Terms

_MOST_PLANS = 4


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
        if one.item is None or one.act in TELLS_OF_FINDINGS:
            continue
        sides = {"both": frozenset({"port", "starboard"}), None: frozenset[str]()}.get(
            one.side, frozenset({str(one.side)})
        )
        if one.status == "not-done" and one.act == "remove" and not _is_off(one.item, sides, gone):
            left.setdefault(str(one.item), set()).update(sides)
        elif one.status == "planned" and one.act not in planned.setdefault((str(one.item), sides), []):
            planned[str(one.item), sides].append(one.act)
    return [*_still_in_place(left, terms), *_planned(planned, terms)]


def _is_off(item: str, sides: frozenset[str], off: Iterable[Step]) -> bool:
    return any(step.item == item and (not step.sides or not sides or bool(step.sides & sides)) for step in off)


def _still_in_place(left: Mapping[str, set[str]], terms: Terms) -> list[str]:
    parts = [part_named(item, sides, terms) for item, sides in left.items()]
    if not parts:
        return []
    many = len(parts) > 1 or parts[0].startswith("both ")
    return [sentence(f"not everything came away: {parts_listed(parts)} {'are' if many else 'is'} still in place")]


def _planned(planned: Mapping[tuple[str, frozenset[str]], list[str]], terms: Terms) -> list[str]:
    """Tell of the largest piece of work first, then of a few others together."""
    by_acts: dict[tuple[str, ...], list[str]] = {}
    for (item, sides), acts in planned.items():
        new = acts == ["make"] and len(sides) < 2
        name = part_named(item, sides, terms, article=not new)
        by_acts.setdefault(tuple(acts), []).append(with_article(name) if new else name)
    clauses = [(acts, to_do(acts, parts)) for acts, parts in by_acts.items()]
    clauses = sorted((one for one in clauses if one[1]), key=lambda one: "remove" not in one[0])
    told_first, others = [one for _, one in clauses[:1]], [one for _, one in clauses[1:_MOST_PLANS]]
    lines = [sentence(f"next, we plan to {one}") for one in told_first]
    if others:
        lines.append(sentence(f"we also mean to {listed(others)}"))
    return lines
