"""What the rules advise a look at: each cause once, with the entries that it comes from.

The rules are data (``rules.csv``); what each kind of rule looks for is in ``rule_kinds.py``. A cause is no verdict:
it says what nobody told, and goes away when a fact tells it.
"""

from collections.abc import Iterable

from pipeline.lists.logged import LoggedFact
from pipeline.lists.rule_kinds import LOOK, Evidence, Hit
from pipeline.reading.fact import Place, Side
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import SupportLine
from pipeline.trade.entries import Rule
from pipeline.values import Value


class Cause(Value):
    """What set off a rule. ``missing`` are notations of what nobody told of; ``first`` is the earliest fact."""

    rule: str
    first: LoggedFact
    item: str | None = None
    side: Side | None = None
    position: str = ""
    place: tuple[Place, ...] | None = None
    missing: tuple[str, ...] = ()
    entries: tuple[str, ...] = ()


def causes(facts: Iterable[LoggedFact], lines: Iterable[SupportLine], vocabulary: Vocabulary) -> tuple[Cause, ...]:
    """Return what the vocabulary's rules advise a look at, in order of time.

    A rule, a part, a side and an engine are one cause, however many facts set it off. What was told in the same
    entry counts as told before.

    Args:
        facts: of all days, in any order.
        lines: what holds the aircraft up, from the same facts.
        vocabulary: rules, joints, and what belongs to what.
    """
    told = Evidence(facts, lines, vocabulary)
    found: list[Cause] = []
    for rule in vocabulary.rules:
        look = LOOK.get(rule.kind)
        if look is not None:
            found += _causes_of(rule, look(rule, told))
    return tuple(sorted(found, key=lambda one: (one.first.at, one.rule, one.item or "", one.side or "")))


def _causes_of(rule: Rule, hits: Iterable[Hit]) -> list[Cause]:
    groups: dict[tuple[object, ...], list[Hit]] = {}
    for hit in hits:
        key = () if rule.kind == "hazard" else (hit.item, hit.logged.fact.side, hit.logged.position, hit.place)
        groups.setdefault(key, []).append(hit)
    return [_cause(rule, _in_order_told(group)) for group in groups.values()]


def _in_order_told(hits: list[Hit]) -> list[Hit]:
    """Return hits in the order in which their facts were told."""
    return sorted(hits, key=lambda hit: hit.logged.turn)


def _cause(rule: Rule, hits: list[Hit]) -> Cause:
    first = hits[0]
    same = len({(hit.item, hit.logged.fact.side, hit.logged.position) for hit in hits}) == 1
    return Cause(
        rule=rule.notation,
        first=first.logged,
        item=first.item if same else None,
        side=first.logged.fact.side if same else None,
        position=first.logged.position if same else "",
        place=first.place,
        missing=tuple(dict.fromkeys(name for hit in hits for name in hit.missing)),
        entries=tuple(dict.fromkeys(hit.logged.entry for hit in hits)),
    )
