"""How sure a fact is, by how often its rule was right on marked notes, and what a person should look at."""

from collections.abc import Sequence

from pipeline.reading.rule_shares import SHARES

# A rule that was seen seldom is taken to be about as good as all rules together.
_PRIOR_WEIGHT = 4.0
# The notes that shares are measured on are known to the rules; on notes kept back, right facts were fewer by so much.
_ON_NEW_NOTES = 0.92
CHECK_BELOW = 0.6
_INFERRED = " with the part inferred"
_TWO_READINGS = {
    "order": "said like an order: still to be done, or how it goes in general",
    "told as it goes": "told in the present: done now, or how it goes in general",
    "past or order": "the verb's past sounds like its order: done, or still to be done",
    "meant to, but": "meant, and then a 'but': not done, or done in another way",
    "can now": "'can' may be a plan, or only say that it is possible",
}


def rule_family(rule: str) -> str:
    """Return a rule's name without the act that it read ("past: remove" is "past")."""
    if rule.startswith("seen"):
        return rule
    if rule.startswith("repeated"):
        return "repeated"
    return rule.rpartition(": ")[0] or rule


def share_names(rule: str, inferred: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """Return the names that a fact counts under, the widest first."""
    family = rule_family(rule)
    return ("", family, family + _INFERRED) if any(key == "item" for key, _ in inferred) else ("", family)


def confidence_of(rule: str, inferred: Sequence[tuple[str, str]]) -> float:
    """Return the share of facts that this rule may be expected to read right, from 0 to 1.

    It is the share of those read right so far, drawn to that of all rules where they are few, and lessened for notes
    that nobody has tuned the rules on.

    Source: measured on marked notes by ``python -m tests.reading.measure_rules``.
    """
    share = 0.5
    for name in share_names(rule, inferred):
        right, read = SHARES.get(name, (0, 0))
        share = (right + _PRIOR_WEIGHT * share) / (read + _PRIOR_WEIGHT)
    return round(share * _ON_NEW_NOTES, 2)


def doubts_about(rule: str, inferred: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """Return why a person should check a fact, in plain words; nothing where one reading stands."""
    doubts = [_TWO_READINGS[rule_family(rule)]] if rule_family(rule) in _TWO_READINGS else []
    doubts += [why for key, why in inferred if key == "item" and "not settled" in why]
    sure = confidence_of(rule, inferred)
    if sure < CHECK_BELOW:
        doubts.append(f"said like this, it is read right about {round(sure * 100)} times in a hundred")
    return tuple(doubts)
