"""How taking a big part off is told: what held it up, what was freed, what was undone, and what came away."""

from collections import Counter
from collections.abc import Iterable, Sequence

from pipeline.english import in_words, listed, plural, running_number
from pipeline.reading.fact import Measure
from pipeline.writing.supporters.chapters import (
    OFF_ACTS,
    SERVICES,
    Chapter,
    holds,
    is_bit,
    is_run,
    is_told_by_name,
    may_be_two,
)
from pipeline.writing.supporters.past import Past
from pipeline.writing.supporters.reasons import Reasons
from pipeline.writing.supporters.sentences import Forms, fasteners, parts_listed, principal, short
from pipeline.writing.supporters.steps import LARGE, Step, are_many, is_many, is_one, named, part_named
from pipeline.writing.supporters.told import Told, told
from pipeline.writing.terms import Terms, kind_and_zone

_FREED = frozenset({"disconnect", "separate", "undo", "remove"})
_PIPES = frozenset({"hydraulic", "pneumatic", "fuel", "instruments", "oxygen"})
_FLUIDS = {"hydraulic": "the hydraulic oil", "fuel": "the fuel", "pneumatic": "the compressed air"}
_WIRING = "wiring"
_VOLUMES = {"gal": "gallon", "l": "litre"}
# Small structure whose fasteners hold a large part that is not its owner; common practice, no source.
_HOLDING = frozenset({"retaining-flange", "spigot", "joint-fitting", "front-spar", "rear-spar"})
_MOST_PARTS = 5
_MANY_FASTENERS = 10


class TakingOff:
    """Tells how parts came off. ``held`` is what somebody said holds a part: notation to (what, how many, entry)."""

    def __init__(
        self, terms: Terms, forms: Forms, held: dict[str, tuple[str, int, str]], reasons: Reasons, past: Past
    ) -> None:
        """Take the number of the report from ``number_of`` before telling, so that it is not told twice."""
        self._terms = terms
        self._forms = forms
        self._held = held
        self._reasons = reasons
        self._past = past
        self._fluids_told: set[str] = set()
        self._freed_told: set[str] = set()
        self.number_of = ""

    def told(self, chapter: Chapter) -> list[list[Told]]:
        """Return the paragraphs on what came off in a chapter, as clauses."""
        main = chapter.main
        ready = [*self._held_up(chapter), *self._drained(chapter.steps), *self._freed(chapter.steps)]
        ready += self._disconnected(chapter.steps)
        if main is None or main.act != "remove":
            return [ready, self._loose(chapter)]
        first, after = self._in_order(chapter, main)
        off = [*self._joint(chapter, main)]
        off += self._main_off(chapter, main, off)
        off += [*self._reasons.of(main), *self._with_it(after, main), *self._panel_screws(chapter)]
        return [self._off_before(first, main), ready, off] if first else [ready, off]

    def hands(self, step: Step, what_for: str) -> Told:
        """Return "it took five of us to …"."""
        many = f"{running_number(step.people)} of us"
        return told(self._forms.next("hands", f"it took {many} {what_for}", f"{many} were needed {what_for}"), step)

    def _held_up(self, chapter: Chapter) -> list[Told]:
        main = chapter.main
        off = {one.item: one.at for one in chapter.steps if one.act == "remove"}
        props = [
            one for one in chapter.steps
            if one.act == "support" and one.item in LARGE
            # what is off already is not held up, but put down
            and (one.item not in off or one.at < off[one.item]) and not self._past.came_off(one.item, one.sides)
            and (main is None or (one.at <= main.until and one.entries[0] != main.entries[0]))
            and (main is None or main.item not in LARGE or LARGE.index(one.item) <= LARGE.index(main.item))
        ][:3]  # fmt: skip
        if not props:
            return []
        parts = parts_listed([named(one, self._terms, sides=False) for one in props])
        return [
            told(
                f"we took the weight of {parts}",
                *props,
                other=f"the weight of {parts} had to be taken",
            )
        ]

    def _drained(self, steps: Sequence[Step]) -> list[Told]:
        drains = [one for one in steps if one.act == "drain" and self._kind(one) in _FLUIDS]
        drains = [one for one in drains if self._kind(one) not in self._fluids_told]
        kinds = list(dict.fromkeys(map(self._kind, drains)))
        self._fluids_told.update(kinds)
        if not kinds:
            return []
        fluids = [_FLUIDS[kind] for kind in kinds]
        volumes = ((one, text) for one in drains if len(kinds) == 1 and (text := _volume(one.measure)))
        much = next((f"{'about ' if one.about else ''}{text}" for one, text in volumes), "")
        what = f"{much} of {fluids[0].removeprefix('the ')}" if much else listed(fluids)
        out = f"out came {what}" if much else f"{what} {'were' if len(kinds) > 1 else 'was'} drained"
        return [told(f"we drained {what}", *drains, other=out), *self._reasons.of(drains[0])]

    def _freed(self, steps: Sequence[Step]) -> list[Told]:
        """Sum up the cables, rods, pipes and wires that were freed: "freed the pipes and capped the open ends".

        One that was freed alone is told as one: "freed a control cable".
        """
        freed = [one for one in steps if self._kind(one) in SERVICES and one.act in _FREED]
        freed = [one for one in freed if self._kind(one) == "controls" or is_run(one.item, self._terms)]
        freed = [one for one in freed if one.act != "remove" or is_run(one.item, self._terms)]
        names = [one for one in dict.fromkeys(map(self._kind_in_words, freed)) if one not in self._freed_told]
        self._freed_told.update(names)
        if not names:
            return []
        freed = [one for one in freed if self._kind_in_words(one) in names]
        caps = [one for one in steps if one.act == "blank" and self._kind(one) in _PIPES and "pipes" in names]
        capped = " and capped the open ends to keep the dirt out" if caps else ""
        comma = "," if caps and len(names) > 1 else ""
        what, many = self._freed_in_words(names, freed)
        other = f"{what} {'were' if many else 'was'} freed" + (
            ", and we capped the open ends to keep the dirt out" if caps else ""
        )
        return [told(f"we freed {what}{comma}{capped}", *freed, *caps, other=other)]

    def _disconnected(self, steps: Sequence[Step]) -> list[Told]:
        """Name the parts of systems that were disconnected, and are no cable or pipe: a battery, a jack."""
        apart = [
            one for one in steps
            if one.act == "disconnect" and self._kind(one) in SERVICES - {"controls"}
            and not is_run(one.item, self._terms)
        ]  # fmt: skip
        if not apart:
            return []
        names = parts_listed([named(one, self._terms) for one in apart], _MOST_PARTS)
        many = len(apart) > 1 or is_many(apart[0], self._terms)
        text = f"{names} {'were' if many else 'was'} disconnected"
        return [told(text, *apart, other=f"we disconnected {names}")]

    def _freed_in_words(self, names: Sequence[str], freed: Sequence[Step]) -> tuple[str, bool]:
        """Return "a control cable and the pipes", and whether that is more than one thing."""
        of_kind = {name: [one for one in freed if self._kind_in_words(one) == name] for name in names}
        lone = [name for name, own in of_kind.items() if name != "controls" and len(own) == 1 and is_one(own[0])]
        if not lone:
            return f"the {listed(names)}", list(names) != [_WIRING]
        one_of = {name: f"a {name.removesuffix('s')}" for name in lone} | {_WIRING: "some wiring"}
        told_as = [one_of[name] if name in lone else f"the {name}" for name in names]
        return listed(told_as), len(names) > 1

    def _kind_in_words(self, one: Step) -> str:
        kind = self._kind(one)
        if kind == "controls" and not is_run(one.item, self._terms):
            return "controls"
        if kind in ("electrical", "radio"):
            return _WIRING
        if kind in _PIPES:
            return "pipes"
        return "control rods" if one.item.endswith(("rod", "tube")) else "control cables"

    def _joint(self, chapter: Chapter, main: Step) -> list[Told]:
        """Tell what held the big part, and what was undone of it."""
        own = [one for one in chapter.steps if one.act in OFF_ACTS and self._frees(one, chapter)]
        undone = principal(_added_up([one for one in own if not main.sides or one.sides <= main.sides]))
        held = next((self._held[item] for item in self._held if holds(item, main.item, self._terms)), None)
        name = part_named(main.item, main.sides, self._terms)
        if held is not None and held[1] > 1 and len(main.sides) < 2:
            every = ", and we undid every one" if undone == held[:2] else ""
            text = f"{fasteners(*held[:2], self._terms)} held {name} in its place{every}"
            return [Told(text, (held[2], *told("", main, *(own if every else ())).behind))]
        if undone is None or undone[1] < 2 or main.item == self.number_of:
            return []
        counted = fasteners(*undone, self._terms, about=any(one.about for one in own))
        text = self._forms.next("joint", f"{counted} had to come out", f"we undid {counted} to free {name}")
        return [told(text, main, *own)]

    def _main_off(self, chapter: Chapter, main: Step, before: Sequence[Told]) -> list[Told]:
        name, brief = part_named(main.item, main.sides, self._terms), short(main.item, self._terms)
        if main.number > 1:
            return [told(f"{named(main, self._terms)} came off", main)]
        if len(main.sides) > 1:
            hands = f", with up to {running_number(main.people)} of us at work" if main.people > 1 else ""
            turn = f", the {main.in_turn[0]} {brief} first" if main.ordered else ""
            return [told(f"{name} came off{turn}{hands}", main)]
        after = [one for one in chapter.steps if one.item == main.item and one.at >= main.at]
        lowered = [one for one in after if one.act == "lower"][:1]
        moved = [one for one in after if one.act == "move"][:1]
        then = listed(["let it down"] * len(lowered) + ["moved it aside"] * len(moved))
        if any(name in one.text for one in before):
            name = f"the {brief}"
        again = self._past.same_came_off(main.item, main.sides, one_only=not may_be_two(main.item, self._terms))
        if main.people > 1:
            made = [self.hands(main, f"to bring {name} away")]
            return [*made, told(f"then we {then}", *lowered, *moved)] if then else made
        more = " again" if again else ""
        text = self._forms.next("off", f"{name} came away{more}", f"off came {name}{more}")
        return [told(f"{text}, and we {then}" if then else text, main, *lowered, *moved)]

    def _in_order(self, chapter: Chapter, main: Step) -> tuple[list[Step], list[Step]]:
        """Return what came off on days before the big part, and what came off with it or later."""
        others = [
            one for one in chapter.steps
            if one.act == "remove" and one is not main and is_told_by_name(one.item, self._terms)
        ]  # fmt: skip
        first = [one for one in others if one.until.date() < main.day]
        return first, [one for one in others if one not in first]

    def _names(self, steps: Sequence[Step], main: Step) -> str:
        """Name parts, without the side where it is the big part's own."""
        return parts_listed(
            [named(one, self._terms, sides=one.sides != main.sides or len(main.sides) > 1) for one in steps],
            _MOST_PARTS,
        )

    def _off_before(self, first: Sequence[Step], main: Step) -> list[Told]:
        names = self._names(first, main)
        many = len(first) > 1 or is_many(first[0], self._terms)
        return [told(f"{names} {'were' if many else 'was'} the first to come off", *first)]

    def _with_it(self, with_it: Sequence[Step], main: Step) -> list[Told]:
        if not with_it:
            return []
        names = self._names(with_it, main)
        # never "is off": it may have gone on again, and nobody was sure enough of that to tell it
        text = self._forms.next("with it", f"{names} came off as well", f"{names} came off too")
        return [told(text, *with_it)]

    def _loose(self, chapter: Chapter) -> list[Told]:
        """Tell what came off, and what was undone, in a chapter without a big part that came off."""
        taken = [one for one in chapter.steps if one.act == "remove"]
        off = [one for one in taken if is_told_by_name(one.item, self._terms)]
        # where nothing larger came off, what did is all that there is to tell: it may be the headline
        off = off or [one for one in taken if self._kind(one) not in {"fastener", *SERVICES}]
        made = []
        if off:
            names = parts_listed([named(one, self._terms) for one in off], _MOST_PARTS)
            made.append(told(f"we took off {names}", *off, other=f"off came {names}"))
            made += self._reasons.of(off[0])
        for one in chapter.steps:
            most = principal(one.counts) if one.act in ("undo", "drill-out") else None
            if most is not None and (most[1] >= _MANY_FASTENERS or not off) and one.item != self.number_of:
                counted = fasteners(*most, self._terms, about=one.about)
                verb, where = ("drilled", "out of") if one.act == "drill-out" else ("undid", "at")
                part = part_named(one.item, one.sides, self._terms)
                made.append(told(f"we {verb} {counted} {where} {part}", one, other=f"{counted} came out of {part}"))
        return made

    def _panel_screws(self, chapter: Chapter) -> list[Told]:
        """Tell of one small part that took many fasteners, where that is not the number of the report already."""
        for one in chapter.steps:
            told_elsewhere = one.act not in ("undo", "remove") or self._frees(one, chapter)
            most = None if told_elsewhere else principal(one.counts)
            if most is not None and most[1] >= _MANY_FASTENERS and one.item != self.number_of:
                counted = fasteners(*most, self._terms)
                many = are_many(one.item, chapter.steps)
                return [told(f"{part_named(one.item, (), self._terms, many=many)} alone gave up {counted}", one)]
        return []

    def _frees(self, step: Step, chapter: Chapter) -> bool:
        """Tell whether an undoing freed the chapter's main part itself, and not a smaller part that came off."""
        main = chapter.main
        if main is None or self._kind(step) in SERVICES:
            return False
        others = [one.item for one in chapter.steps if one.item != main.item and self._may_come_off(one)]
        if any(holds(step.item, other, self._terms) for other in others):
            return False
        if step.act not in OFF_ACTS:
            return False
        return holds(step.item, main.item, self._terms) or (step.item in _HOLDING and step.act != "drill-out")

    def _may_come_off(self, one: Step) -> bool:
        """Tell whether a step's part came off by itself, or would: what was undone on it freed nothing but it."""
        return one.item in LARGE or (one.act == "remove" and not is_bit(one.item, self._terms))

    def _kind(self, step: Step) -> str:
        return kind_and_zone(self._terms, step.item)[0]


def _added_up(steps: Iterable[Step]) -> tuple[tuple[str, int], ...]:
    """Add up fasteners by kind; those of one part that are told as undone and as removed with it are the same."""
    most: dict[tuple[str, str], int] = {}
    for one in steps:
        for of, count in one.counts:
            most[one.item, of] = max(count, most.get((one.item, of), 0))
    totals: Counter[str] = Counter()
    for (_, of), count in most.items():
        totals[of] += count
    return tuple(totals.items())


def _volume(measures: Sequence[Measure]) -> str:
    for one in measures:
        unit = _VOLUMES.get(one.unit)
        if unit is None or not 0 < one.value <= 999:
            continue
        whole, half = int(one.value), one.value - int(one.value) == 0.5
        if half and whole:
            return f"a {unit} and a half" if whole == 1 else f"{in_words(whole)} and a half {plural(unit)}"
        if one.value == whole:
            return f"{in_words(whole)} {plural(unit, whole)}"
        return f"{one.value:g} {plural(unit)}"
    return ""
