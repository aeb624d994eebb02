"""The one thing that the report explains: what it is, what holds it, or how it comes out."""

from collections.abc import Sequence

from pipeline.english import running_number, with_article
from pipeline.records import EntryRecord, FactRecord
from pipeline.writing.supporters.chapters import holds, is_bit
from pipeline.writing.supporters.plain_names import plain_name
from pipeline.writing.supporters.sentences import fasteners, noun
from pipeline.writing.supporters.steps import LARGE, Step
from pipeline.writing.supporters.told import Told
from pipeline.writing.terms import Terms, belongs_to, gloss

_ORDERS = {
    "disconnect": "free", "undo": "undo", "support": "take the weight of", "remove": "take out", "drain": "drain",
    "lower": "let down", "lift": "lift",
}  # fmt: skip
_LEAST_STEPS = 3
_LEAST_WORDS = 6  # of a meaning that is worth a box of its own, where there is another
_MOST_STEPS = 5
_LEAST_LINES = 2  # of a box of its own


def explained(
    parts: Sequence[Step],
    entries: Sequence[EntryRecord],
    terms: Terms,
    biggest: Step | None,
    before: frozenset[str] = frozenset(),
) -> tuple[str, str, list[Told]] | None:
    """Explain one part that the report tells of.

    Args:
        parts: the steps that the report tells of, those first whose parts are best explained.
        entries: the period's entries, for what was explained in them.
        terms: the vocabulary.
        biggest: the headline's step, explained where nothing better was said.
        before: parts that earlier reports explained; they are not explained again.

    Returns:
        The part's notation, the question, and the sentences (clauses without capital and stop) that answer it; None
        where nothing can be explained.
    """
    parts = [step for step in parts if step.item not in before]
    ways = [way for entry in entries for step in parts if (way := _way_out(step, entry, terms))]
    if ways:
        return ways[0]
    held = held_by(entries)
    best_first = sorted(
        parts,
        key=lambda step: (
            not _holders(step, held, terms),
            step is not biggest,
            len(meaning_of(step.item, terms).split()) < _LEAST_WORDS,
        ),
    )
    for step in best_first:
        meaning = meaning_of(step.item, terms)
        if not meaning or is_bit(step.item, terms):
            continue
        name = plain_name(terms, step.item)
        lines = [_meaning_told(step.item, name, meaning)]
        for item in _holders(step, held, terms)[:1]:
            of, count, entry = held[item]
            hold = "hold" if count > 1 else "holds"
            text = f"on this aircraft, {fasteners(of, count, terms)} {hold} it in place"
            lines.append(Told(text, (entry, *step.entries)))
        if len(lines) < _LEAST_LINES:
            continue  # a meaning alone stands among the words of the trade
        return step.item, f"What is {with_article(name)}?", lines
    return None


def held_by(entries: Sequence[EntryRecord]) -> dict[str, tuple[str, int, str]]:
    """Return what somebody said holds a part: its notation, and (what, how many, the entry that says so).

    Nothing is held by itself: such a number was read of the wrong thing. A sum, as of twelve on each of four, holds
    no one of them.
    """
    return {
        str(fact.item): (str(fact.of), fact.count, entry.id)
        for entry in entries
        for fact in entry.facts
        if fact.status == "explained"
        and fact.act == "held-by"
        and fact.item
        and fact.count
        and fact.of not in (None, fact.item)
        and not any(key == "count" for key, _ in fact.inferred)
    }


def meaning_of(item: str, terms: Terms) -> str:
    """Return a part's explanation as it follows "is", "" where it says nothing that the name does not."""
    meaning = gloss(terms, item).rstrip(".")
    name = plain_name(terms, item)
    if len(meaning.split()) < 4 or meaning.lower().endswith(f" {name}"):
        return ""
    return meaning[:1].lower() + meaning[1:]


def _meaning_told(item: str, name: str, meaning: str) -> Told:
    """Say what a part is; a meaning that begins with its own name says what it does: "a float keeps …"."""
    does = meaning.removeprefix(f"{with_article(name)} that ")
    text = f"{with_article(name)} {does}" if does != meaning else f"{with_article(name)} is {meaning}"
    return Told(text, (f"gloss: {item}",))


def _way_out(step: Step, entry: EntryRecord, terms: Terms) -> tuple[str, str, list[Told]] | None:
    """Tell how a part comes out, from what one speaker explained in order."""
    told = [
        fact for fact in entry.facts
        if fact.status == "explained" and fact.act in _ORDERS and fact.item
    ]  # fmt: skip
    about = [fact for fact in told if fact.item and belongs_to(terms, fact.item, step.item)]
    if step.act != "remove" or step.item not in LARGE or len(told) < _LEAST_STEPS or len(about) < 2:
        return None
    name = plain_name(terms, step.item)
    meaning = meaning_of(step.item, terms)
    lines = [_meaning_told(step.item, name, meaning)] if meaning else []
    said = [text for fact in entry.facts if (text := _held(fact, step.item if meaning else "", terms))][:2]
    lines += [Told(text, (entry.id,)) for text in (*said, *_in_order(told, terms))]
    return step.item, f"How does {with_article(name)} come out?", lines


def _in_order(told: Sequence[FactRecord], terms: Terms) -> list[str]:
    orders = list(dict.fromkeys((str(fact.act), str(fact.item)) for fact in told))[:_MOST_STEPS]
    last = len(orders) - 1
    made, known = [], set[str]()
    for index, (act, item) in enumerate(orders):
        meaning = "" if item in LARGE or item in known else meaning_of(item, terms)
        known.add(item)
        start = "first" if index == 0 else "last of all," if index == last else ("then", "next,")[index % 2 - 1]
        made.append(f"{start} we {_ORDERS[act]} the {plain_name(terms, item)}{', ' if meaning else ''}{meaning}")
    return made


def _held(fact: FactRecord, named: str, terms: Terms) -> str:
    if fact.status != "explained" or fact.act != "held-by" or not (fact.item and fact.count and fact.of):
        return ""
    each = "one" if fact.item == named else plain_name(terms, fact.item)
    return f"each {each} is held by {running_number(fact.count)} {noun(fact.of, terms, fact.count)}"


def _holders(step: Step, held: dict[str, tuple[str, int, str]], terms: Terms) -> list[str]:
    found = [item for item in held if item == step.item or (step.item in LARGE and holds(item, step.item, terms))]
    return sorted(found, key=lambda item: item != step.item)
