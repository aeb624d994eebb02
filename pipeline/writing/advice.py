"""Cautions in words: what nobody told, why it matters, and what a person answered. Advice, never a verdict."""

from collections.abc import Iterable, Mapping

from pipeline.english import listed, plural
from pipeline.lists.cautions import Cause
from pipeline.records import AnswerRecord, Caution
from pipeline.settings import Answer
from pipeline.trade.entries import Rule
from pipeline.writing.terms import Terms, term
from pipeline.writing.wording import part_text, place_text


def cautions(
    causes: Iterable[Cause], rules: Iterable[Rule], answers: Iterable[Answer], terms: Terms
) -> tuple[Caution, ...]:
    """Return each cause as a caution, in the same order.

    Args:
        causes: what set off the rules.
        rules: the vocabulary's rules, among them those of the causes.
        answers: what people said to cautions, from the book's history and settings.
        terms: the vocabulary.
    """
    by_notation = {rule.notation: rule for rule in rules}
    said = tuple(answers)
    return tuple(_caution(cause, by_notation, said, terms) for cause in causes)


def _caution(cause: Cause, rules: Mapping[str, Rule], answers: tuple[Answer, ...], terms: Terms) -> Caution:
    rule = rules[cause.rule]
    return Caution(
        rule=cause.rule,
        text=_text(rule, cause, terms),
        entries=cause.entries,
        item=cause.item,
        side=cause.side,
        place=cause.place,
        on=cause.first.at.date(),
        reason=rule.reason,
        source=rule.source,
        answer=answer_to(cause, answers),
    )


def _text(rule: Rule, cause: Cause, terms: Terms) -> str:
    if rule.kind == "hazard":
        return rule.text
    place = cause.place if cause.place is not None else cause.first.fact.place
    named = {
        "part": part_text(cause.item, cause.side, cause.place, terms, position=cause.position)
        if cause.item
        else place_text(place),
        "work": _work(cause, terms),
        "missing": _missing(rule, cause, terms),
        "place": place_text(place),
    }
    text = rule.text
    for name, words in named.items():
        text = text.replace(f"{{{name}}}", words)
    return text


def _work(cause: Cause, terms: Terms) -> str:
    """Return what was done, as it follows "before": "bolts of the transport joint were undone"."""
    fact = cause.first.fact
    part = part_text(fact.item, fact.side, None, terms, position=cause.first.position)
    done = term(terms, str(fact.act))
    if fact.act in ("undo", "drill-out"):
        of = fact.of if fact.of not in (None, "person", fact.item) else None
        fasteners = plural(term(terms, of)) if of else "fastenings"
        return f"{fasteners} of {part} were {done}"
    return f"{part} {'were' if fact.side == 'both' else 'was'} {done}"


def _missing(rule: Rule, cause: Cause, terms: Terms) -> str:
    if rule.kind == "services":
        return listed([plural(term(terms, name)) for name in cause.missing])
    return " or ".join(f"the {term(terms, name)}" for name in cause.missing)


def answer_to(cause: Cause | Caution, answers: Iterable[Answer]) -> AnswerRecord | None:
    """Return the answer that names the most of what the caution is about."""
    fit = [
        one
        for one in answers
        if one.rule == cause.rule
        and one.item in ("", cause.item)
        and one.side in ("", cause.side)
        and one.entry in ("", *cause.entries)
    ]
    best = max(fit, key=lambda one: (bool(one.entry), bool(one.item), bool(one.side)), default=None)
    return None if best is None else AnswerRecord(reason=best.reason, who=best.who)
