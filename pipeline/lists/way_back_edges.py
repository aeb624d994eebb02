"""Which step of putting together comes before which, and why."""

from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import combinations
from typing import Literal

from pipeline.lists.logged import LoggedFact, in_order, position_of
from pipeline.lists.reassembly_order import without_detours
from pipeline.lists.reassembly_step import BACK, Step
from pipeline.lists.way_back_joints import is_held_by, is_held_up, is_parted_by
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import WayBackReason
from pipeline.trade.entries import Joint, OrderRule

STRENGTH = {"together": 0, "afterwards": 0, "rule": 1, "joint": 2, "containment": 3, "explained": 4, "told": 5}
"""How much each kind of reason weighs. What was told outranks what is usual; but what was told in one breath, or only
when the part had been put away, may have been done in another order, and yields to all else.
Source: common practice, no source."""

Edge = tuple[Step, Step]
HowTold = Literal["told", "afterwards", "together"]
Reasons = dict[Edge, list[WayBackReason]]
_Found = Iterator[tuple[Step, Step, WayBackReason]]


def edges_of(steps: Sequence[Step], facts: Iterable[LoggedFact], vocabulary: Vocabulary) -> Reasons:
    """Return (before, after) with the reasons, each pair once, the strongest reason first.

    Args:
        steps: of the way back.
        facts: of all days, in any order.
        vocabulary: for what belongs to what, the joints, the rules of order, and what closes what.
    """
    found: Reasons = {}
    rank = {step: at for at, step in enumerate(steps)}
    kin = _Kin(vocabulary)
    for before, after, reason in (
        *_told(steps, kin),
        *_explained(steps, in_order(facts), kin),
        *_joined(steps, vocabulary),
        *_ruled(steps, vocabulary),
        *_covered(steps, vocabulary),
        *_belonging(steps, vocabulary),
    ):
        _add(found, before, after, reason)
    for before, after, reason in list(_hung(found, vocabulary)):
        _add(found, before, after, reason)
    return {
        edge: sorted(reasons, key=lambda one: (-STRENGTH[one.kind], one.rule, one.entries))
        for edge, reasons in sorted(found.items(), key=lambda one: (rank[one[0][0]], rank[one[0][1]]))
    }


def _add(found: Reasons, before: Step, after: Step, reason: WayBackReason) -> None:
    reasons = found.setdefault((before, after), [])
    if reason not in reasons:
        reasons.append(reason)


def strength(reasons: Iterable[WayBackReason]) -> int:
    """Return the strength of an edge: that of its strongest reason, -1 for none."""
    return max((STRENGTH[one.kind] for one in reasons), default=-1)


class _Kin:
    """Which parts have to do with each other: one belongs to the other, both to a third, or one joint joins them."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.joints_of = cache(self._joints_of)
        self.related_parts = cache(self._related_parts)

    def related(self, one: Step, other: Step) -> bool:
        if not one.is_alongside(other):
            return False
        if self.related_parts(one.item, other.item):
            return True
        joints = [{step.joint} - {""} | self.joints_of(step.item) for step in (one, other)]
        return not joints[0].isdisjoint(joints[1])

    def _joints_of(self, item: str) -> frozenset[str]:
        return frozenset(one.part for one in self.vocabulary.joints if item == one.part or item in one.joins)

    def _related_parts(self, one: str, other: str) -> bool:
        if self.vocabulary.is_a(one, other) or self.vocabulary.is_a(other, one):
            return True
        parts = [self.vocabulary.part(item) for item in (one, other)]
        above = {part.broader if part else "" for part in parts}
        return len(above) == 1 and above != {""}


def _told(steps: Sequence[Step], kin: _Kin) -> _Found:
    """Yield what came off last before what came off earlier, where the two have to do with each other."""
    timed = [step for step in steps if step.at is not None and step.act not in ("release", "refill")]
    offs = [step for step in timed if step.act == "fit"]
    timed = [step for step in timed if not (step.act == "secure" and _goes_with(step, offs))]
    timed.sort(key=lambda step: -step.turn)
    found: dict[HowTold, list[Edge]] = {}
    for later, earlier in combinations(timed, 2):
        same = later.is_same(earlier)
        # of a joint of which some was undone before a line was freed, and some after, nobody told which came first
        bit_by_bit = earlier.act == "secure" and earlier.last_turn > later.turn
        if same or bit_by_bit or later.turn == earlier.turn or _was_back(earlier, later):
            continue
        if not kin.related(later, earlier):
            continue
        found.setdefault(_how_told(later, earlier), []).append((later, earlier))
    for kind, edges in found.items():
        for later, earlier in without_detours(timed, edges):
            entries = tuple(dict.fromkeys((earlier.undone_in, later.undone_in)))
            yield later, earlier, WayBackReason(kind=kind, entries=entries)


def _was_back(earlier: Step, later: Step) -> bool:
    """Tell whether what came off first was on again when the other came off: then neither waits for the other."""
    return earlier.done_on is not None and later.at is not None and earlier.done_on <= later.at.date()


def _goes_with(secure: Step, fits: Sequence[Step]) -> bool:
    """Tell whether its part came off in the same breath: then what is told of the part is enough."""
    return any(fit.undone_in == secure.undone_in and fit.is_same(secure) for fit in fits)


def _how_told(later: Step, earlier: Step) -> HowTold:
    if later.undone_in == earlier.undone_in:
        return "together"
    return "afterwards" if later.told_afterwards else "told"


def _explained(steps: Sequence[Step], facts: Sequence[LoggedFact], kin: _Kin) -> _Found:
    """Yield the steps of an explanation backwards, and what was to be got off before the steps that free it."""
    by_entry: dict[str, list[LoggedFact]] = {}
    for logged in facts:
        if logged.fact.status == "explained" and logged.fact.act in BACK and logged.fact.item:
            by_entry.setdefault(logged.entry, []).append(logged)
    for entry, explained in by_entry.items():
        meant = [(logged, _meant(steps, logged, kin.vocabulary)) for logged in explained]
        reason = WayBackReason(kind="explained", entries=(entry,))
        for (_, firsts), (_, thens) in combinations(meant, 2):
            for first in firsts:
                for then in thens:
                    if first != then and kin.related(first, then):
                        yield then, first, reason
        named = {step for _, found in meant for step in found}
        for step in sorted(named, key=steps.index):
            for goal in steps:
                if goal not in named and goal.act == "fit" and _is_freed_by(goal, step, kin.vocabulary):
                    yield goal, step, reason


def _meant(steps: Sequence[Step], logged: LoggedFact, vocabulary: Vocabulary) -> list[Step]:
    fact = logged.fact
    act = BACK[str(fact.act)]
    what = fact.item, fact.side, fact.place, position_of(logged, vocabulary)
    return [step for step in steps if step.act == act and step.is_at(*what)]


def _is_freed_by(goal: Step, step: Step, vocabulary: Vocabulary) -> bool:
    if goal.item == step.item or not goal.is_alongside(step):
        return False
    return vocabulary.is_a(step.item, goal.item) or step.joint == goal.item


def _joined(steps: Sequence[Step], vocabulary: Vocabulary) -> _Found:
    """Yield each part before its joint is made, and a line before its own fastening is locked."""
    joints = {joint.part: joint for joint in vocabulary.joints}
    for secure in steps:
        if secure.act != "secure":
            continue
        joint = joints.get(secure.item)
        for step in steps:
            own = step.is_same(secure) or is_held_by(step, secure, vocabulary)
            joins = joint is not None and is_parted_by(joint, step.item) and step.is_alongside(secure)
            if (step.act == "fit" and (own or joins)) or (step.act == "connect" and own):
                rule = joint.part if joint is not None else ""
                yield step, secure, WayBackReason(kind="joint", rule=rule, entries=secure.entries[:1])


def _ruled(steps: Sequence[Step], vocabulary: Vocabulary) -> _Found:
    """Yield the rules of the trade backwards: what comes off first goes back last."""
    for rule in vocabulary.order:
        reason = WayBackReason(kind="rule", rule=rule.rule, why=rule.why, source=rule.source)
        for joint in vocabulary.joints if _is_of_joints(rule) else (None,):
            firsts = [step for step in steps if _is_meant(step, rule.act, rule.part, joint, vocabulary)]
            thens = [step for step in steps if _is_meant(step, rule.before_act, rule.before_part, joint, vocabulary)]
            for first in firsts:
                for then in thens:
                    if first != then and first.is_alongside(then):
                        yield then, first, reason


def _hung(found: Reasons, vocabulary: Vocabulary) -> _Found:
    """Yield, of two parts that go on one after the other, the fastenings of the first before the second.

    Not where the second must be in place for those fastenings, nor where only a weak reason puts it second.
    """
    made: dict[Step, list[Step]] = {}
    for (before, after), reasons in found.items():
        if after.act == "secure" and before.act == "fit" and any(one.kind == "joint" for one in reasons):
            made.setdefault(before, []).append(after)
    for rule in (one for one in vocabulary.order if one.part == "hung"):
        reason = WayBackReason(kind="rule", rule=rule.rule, why=rule.why, source=rule.source)
        for (before, after), reasons in found.items():
            against = strength(found.get((after, before), ()))
            if before.act != "fit" or after.act != "fit" or strength(reasons) <= max(STRENGTH["together"], against):
                continue
            for secure in made.get(before, ()):
                if (after, secure) not in found:
                    yield secure, after, reason


def _is_of_joints(rule: OrderRule) -> bool:
    return not {rule.part, rule.before_part}.isdisjoint(("services", "section", "joint"))


def _is_meant(step: Step, act: str, part: str, joint: Joint | None, vocabulary: Vocabulary) -> bool:
    if joint is not None and part == "services":
        return step.joint == joint.part and step.act in (BACK.get(act), "fit")
    if step.act != BACK.get(act):
        return False
    if joint is not None and part == "section":
        return any(is_held_up(vocabulary, step.item, one) for one in joint.held_up)
    return step.item == (joint.part if joint is not None and part == "joint" else part)


def _covered(steps: Sequence[Step], vocabulary: Vocabulary) -> _Found:
    """Yield what lies behind a cover before the cover is closed.

    A cover hides what its engine has, what runs across the same joint, and what was undone after it in one breath.
    """
    for cover in steps:
        if not is_cover(cover, vocabulary):
            continue
        for step in steps:
            if step.act in ("release", "refill") or is_cover(step, vocabulary) or not cover.is_alongside(step):
                continue
            if step.item == cover.item or not _is_behind(step, cover, vocabulary):
                continue
            entries = tuple(dict.fromkeys((*cover.entries[:1], *step.entries[:1])))
            yield step, cover, WayBackReason(kind="containment", rule="cover", entries=entries)


def is_cover(step: Step, vocabulary: Vocabulary) -> bool:
    """Tell whether a step closes something: a cover before which the vocabulary wants an inspection."""
    return any(
        rule.place == "before"
        and step.act in rule.after
        and any(vocabulary.is_a(step.item, one) for one in rule.parts)
        for rule in vocabulary.holds
    )


def _is_behind(step: Step, cover: Step, vocabulary: Vocabulary) -> bool:
    known = vocabulary.part(cover.item)
    host = vocabulary.part(known.broader) if known else None
    if host is not None and host.kind != "structure" and vocabulary.is_a(step.item, host.notation):
        return True
    if cover.joint and cover.joint == step.joint:
        return True
    return cover.undone_in != "" and cover.undone_in == step.undone_in and cover.turn < step.turn


def _belonging(steps: Sequence[Step], vocabulary: Vocabulary) -> _Found:
    """Yield a part before what belongs to it, where nobody told which of the two came off first."""
    fits = [step for step in steps if step.act == "fit"]
    for whole in fits:
        for part in fits:
            if whole.item == part.item or not vocabulary.is_a(part.item, whole.item):
                continue
            told = whole.at is not None and part.at is not None and whole.turn != part.turn
            if whole.is_alongside(part) and not told:
                entries = tuple(dict.fromkeys((*whole.entries[:1], *part.entries[:1])))
                yield whole, part, WayBackReason(kind="containment", rule="belongs", entries=entries)
