"""Which engine was being talked of, where a sentence does not say it again."""

from collections.abc import Iterable, Mapping

from pipeline.lists.logged import LoggedFact
from pipeline.reading.positions import Named, engines_named, numbers_an_engine


def with_positions(facts: Iterable[LoggedFact], said: Mapping[str, str]) -> tuple[LoggedFact, ...]:
    """Return the facts with the position of the engine that was last named before their sentence in their entry.

    An engine on the other side than the fact's is none that it can be of. ``position_of`` tells whether it counts.
    "Number four's still with the panel beater" is of a cowl where nobody ever spoke of a numbered engine.

    Args:
        facts: in any order; those of one entry in the order told.
        said: all that was said in each entry, by its id.
    """
    numbered = any(map(numbers_an_engine, said.values()))
    at: dict[str, int] = {}  # how far each entry has been told
    kept = []
    for logged in facts:
        text = said.get(logged.entry, "")
        start = text.find(logged.around, at.get(logged.entry, 0)) if logged.around else -1
        start = text.find(logged.around) if start < 0 and logged.around else start
        if start >= 0:
            at[logged.entry] = start
            last = (Named(None, ""), *engines_named(text[:start]))[-1]
            meant = last.position if last.side is None or logged.fact.side in (None, last.side) else ""
            is_engine = meant and (numbered or not meant.startswith("number"))
            logged = logged.model_copy(update={"position": meant}) if is_engine else logged
        kept.append(logged)
    return tuple(kept)


def several_told(positions: Iterable[str]) -> bool:
    """Tell whether lines of one name are of two engines or more: a fact that names none can be of any of them."""
    return len({one for one in positions if one}) > 1
