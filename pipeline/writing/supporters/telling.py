"""How a chapter is told: getting ready, the big part coming off and what it took, and what came off with it."""

from collections.abc import Sequence
from datetime import date

from pipeline.reading.fact import Measure
from pipeline.writing.english import in_words, listed, plural, running_number, weekday
from pipeline.writing.supporters.chapters import IN_WORDS, OFF_ACTS, SERVICES, Chapter, holds, is_bit
from pipeline.writing.supporters.sentences import (
    ACTS,
    Forms,
    fasteners,
    finished,
    noun,
    parts_listed,
    people_taking_part,
    principal,
    short,
)
from pipeline.writing.supporters.steps import LARGE, Step, is_many, named, part_named
from pipeline.writing.terms import Terms, kind_and_zone

_FREED = frozenset({"disconnect", "separate", "undo", "remove"})
_PIPES = frozenset({"hydraulic", "pneumatic", "fuel", "instruments", "oxygen"})
_FLUIDS = {"hydraulic": "the hydraulic oil", "fuel": "the fuel", "pneumatic": "the compressed air"}
_VOLUMES = {"gal": "gallon", "l": "litre"}
_SEEN_BY_ALL = frozenset({"landing-lamp", "battery", "radio-set", "instrument-panel", "fuel-tank", "aerial"})
# Small structure whose fasteners hold a large part that is not its owner; common practice, no source.
_HOLDING = frozenset({"retaining-flange", "spigot", "joint-fitting", "front-spar", "rear-spar"})
_MOST_PARTS = 5
_MOST_SMALL_JOBS = 9
_MANY_FASTENERS = 10
_SMALL_JOBS = (
    "clean", "prime", "paint", "make", "fit", "connect", "tighten", "lock", "open", "drain", "disconnect", "blank",
)  # fmt: skip


class Teller:
    """Tells chapters in sentences. ``held`` is what somebody said holds a part: notation to (what, how many)."""

    def __init__(self, terms: Terms, forms: Forms, held: dict[str, tuple[str, int]], number_of: str) -> None:
        """Take the part whose count stands as the number of the report, so that it is not told twice."""
        self._terms = terms
        self._forms = forms
        self._held = held
        self._number_of = number_of
        self._fluids_told: set[str] = set()

    def paragraphs(self, chapter: Chapter, before: Chapter | None) -> list[tuple[str, ...]]:
        """Return the paragraphs of a chapter, each a tuple of sentences; none where there is nothing to tell."""
        if chapter.main is None:
            jobs = self._jobs(chapter.steps)
            opener = "" if chapter.area == "small" else self._opener(chapter, before)
            return [finished([opener, *jobs] if opener and jobs else jobs, self._forms)] if jobs else []
        ready = [self._opener(chapter, before), *self._ready(chapter, chapter.main)]
        off = [*self._off(chapter, chapter.main), *([chapter.why] if chapter.why else [])]
        if len(ready) < 3:
            return [finished([*ready, *off], self._forms)]
        return [finished(ready, self._forms), finished(off, self._forms)]

    def left_over(self, chapter: Chapter) -> tuple[Step, ...]:
        """Return a chapter's steps that its story does not tell and that may be told as small jobs."""
        if chapter.main is None:
            return ()
        told = frozenset({"clean", "prime", "paint", "make", "fit", "connect", "tighten", "lock"})
        return tuple(
            step
            for step in chapter.steps
            if step.act in told or (step.act == "drill-out" and not self._frees(step, chapter))
        )

    def labels(self, all_steps: Sequence[Step]) -> str:
        """Return the one sentence that tells of labels and bags, "" where there were none."""
        acts = {step.act for step in all_steps}
        bagged = {step.item for step in all_steps if step.act == "bag"}
        loose = [item for item in sorted(bagged) if kind_and_zone(self._terms, item)[0] == "fastener"]
        done = []
        if "tag" in acts:
            done.append("labelled the parts")
        if loose:
            done.append(f"bagged the {listed([noun(item, self._terms) for item in loose[:2]])}")
        return f"we {listed(done)}, so that each can go back where it came from" if done else ""

    def _opener(self, chapter: Chapter, before: Chapter | None) -> str:
        begun, words = _begun(chapter), IN_WORDS[chapter.area]
        day = weekday(begun)
        if before is None:
            return f"{words} came first, on {day}"
        if begun > _begun(before):
            return f"on {day} we turned to {words}"
        return self._forms.next(
            "opener", f"{words} had our attention too", f"there was work on {words} as well", f"next came {words}"
        )

    def _ready(self, chapter: Chapter, main: Step) -> list[str]:
        """Tell what was done before the big part could come off."""
        made = []
        held_up = [one for one in chapter.steps if one.act == "support" and one.item in LARGE and one.at <= main.at]
        if held_up and held_up[0].entries[0] != main.entries[0]:
            parts = parts_listed([named(one, self._terms, sides=False) for one in held_up[:3]])
            made.append(
                self._forms.next(
                    "support",
                    f"before anything was undone, we took the weight of {parts}, so that nothing could drop",
                    f"again the first job was to hold up {parts}",
                )
            )
        drained = self._drained([one for one in chapter.steps if one.act == "drain"])
        if drained:
            made.append(drained)
        freed = self._freed([one for one in chapter.steps if self._kind(one) in SERVICES])
        if freed:
            made.append(
                self._forms.next("freed", "then we {}", "next we {}").format(freed) if made else f"we {freed}"
            )
        return made

    def _drained(self, steps: Sequence[Step]) -> str:
        kinds = [kind for kind in dict.fromkeys(map(self._kind, steps)) if kind in _FLUIDS]
        kinds = [kind for kind in kinds if kind not in self._fluids_told]
        self._fluids_told.update(kinds)
        if not kinds:
            return ""
        if len(kinds) == 1:
            much = next((text for one in steps if (text := _volume(one.measure))), "")
            fluid = _FLUIDS[kinds[0]]
            return f"we drained {much} of {fluid.removeprefix('the ')}" if much else f"we drained {fluid}"
        return f"we drained {listed([_FLUIDS[kind] for kind in kinds])}"

    def _freed(self, steps: Sequence[Step]) -> str:
        """Sum up the cables, rods, pipes and wires that were freed: "freed the pipes and capped the open ends"."""
        freed = [one for one in steps if one.act in _FREED]
        names = dict.fromkeys(
            "wires" if kind in ("electrical", "radio")
            else "pipes" if kind in _PIPES
            else "control rods" if one.item.endswith(("rod", "tube"))
            else "control cables"
            for one in freed
            for kind in [self._kind(one)]
        )  # fmt: skip
        if not names:
            return ""
        done = [f"freed the {listed(list(names))}"]
        capped = any(one.act == "blank" and self._kind(one) in _PIPES for one in steps)
        if capped:
            done.append("capped the open ends to keep the dirt out")
        return (", and " if len(names) > 1 else " and ").join(done)

    def _off(self, chapter: Chapter, main: Step) -> list[str]:
        made = self._joint(chapter, main)
        name = part_named(main.item, main.sides, self._terms)
        made += self._main_off(chapter, main, bool(made), any(name in one for one in made))
        with_it = [
            one for one in chapter.steps
            if one.act == "remove" and one is not main and not is_bit(one.item, self._terms)
            and (self._kind(one) not in SERVICES or one.item in _SEEN_BY_ALL)
        ]  # fmt: skip
        if with_it:
            names = [named(one, self._terms, sides=one.sides != main.sides or len(main.sides) > 1) for one in with_it]
            many = len(names) > 1 or is_many(with_it[0], self._terms)
            made.append(
                self._forms.next(
                    "with it",
                    f"{listed(names[:_MOST_PARTS])} came off as well",
                    f"{listed(names[:_MOST_PARTS])} {'have' if many else 'has'} come off too",
                )
            )
        made += self._panel_screws(chapter)
        return made

    def _joint(self, chapter: Chapter, main: Step) -> list[str]:
        """Tell what held the big part, and what was undone of it."""
        own = [one for one in chapter.steps if one.act in OFF_ACTS and self._frees(one, chapter)]
        totals: dict[str, int] = {}
        for one in own:
            for of, count in one.counts:
                totals[of] = totals.get(of, 0) + count
        undone = principal(tuple(totals.items()))
        held = next((self._held[item] for item in self._held if holds(item, main.item, self._terms)), None)
        name = part_named(main.item, main.sides, self._terms)
        if held is not None and held[1] > 1 and len(main.sides) < 2:
            every = "we undid every one" if undone == held else "each of them had to come out"
            return [f"{fasteners(*held, self._terms)} hold {name} on, and {every}"]
        if undone is None or undone[1] < 2:
            return []
        counted = fasteners(*undone, self._terms, about=any(one.about for one in own))
        return [self._forms.next("joint", f"{counted} had to come out first", f"we undid {counted} to free {name}")]

    def _main_off(self, chapter: Chapter, main: Step, after_others: bool, named_before: bool) -> list[str]:
        name, brief = part_named(main.item, main.sides, self._terms), short(main.item, self._terms)
        if len(main.sides) > 1:
            hands = f", with up to {running_number(main.people)} of us at work" if main.people > 1 else ""
            turn = f", the {main.in_turn[0]} {brief} first" if main.ordered else ""
            return [f"{name} came off{turn}{hands}"]
        lowered = any(one.act == "lower" and one.item == main.item and one.at >= main.at for one in chapter.steps)
        moved = any(one.act == "move" and one.item == main.item and one.at >= main.at for one in chapter.steps)
        then = listed(["let it down"] * lowered + ["moved it aside"] * moved)
        who = people_taking_part(main)
        name = f"the {brief}" if named_before else name
        text = (
            f"it took {who} to bring {name} away" if main.people > 1 else f"{'then ' * after_others}{name} came away"
        )
        return [text, *([f"we {then}"] if then and main.people > 1 else [])]

    def _panel_screws(self, chapter: Chapter) -> list[str]:
        """Tell of one small part that took many fasteners, where that is not the number of the report already."""
        for one in chapter.steps:
            told_elsewhere = one.act not in ("undo", "remove") or self._frees(one, chapter)
            most = None if told_elsewhere else principal(one.counts)
            if most is not None and most[1] >= _MANY_FASTENERS and one.item != self._number_of:
                return [f"{part_named(one.item, (), self._terms)} alone gave up {fasteners(*most, self._terms)}"]
        return []

    def _frees(self, step: Step, chapter: Chapter) -> bool:
        """Tell whether an undoing freed the chapter's main part itself, and not a smaller part that came off."""
        main = chapter.main
        if main is None or self._kind(step) in SERVICES:
            return False
        others = [one.item for one in chapter.steps
                  if one.act == "remove" and one.item != main.item and not is_bit(one.item, self._terms)]  # fmt: skip
        if any(holds(step.item, other, self._terms) for other in others):
            return False
        if step.act not in OFF_ACTS:
            return False
        return holds(step.item, main.item, self._terms) or (step.item in _HOLDING and step.act != "drill-out")

    def _jobs(self, steps: Sequence[Step]) -> list[str]:
        """Tell small jobs by what was done, a few to a sentence."""
        off = [one for one in steps if one.act == "remove" and not is_bit(one.item, self._terms)]
        made = []
        if off:
            made.append(f"we took off {parts_listed([named(one, self._terms) for one in off[:_MOST_PARTS]])}")
        for one in steps:
            most = principal(one.counts) if one.act in ("undo", "drill-out") else None
            if most is not None and (most[1] >= _MANY_FASTENERS or not off) and one.item != self._number_of:
                counted = fasteners(*most, self._terms, about=one.about)
                verb, where = ("drilled", "out of") if one.act == "drill-out" else ("undid", "at")
                made.append(f"we {verb} {counted} {where} {part_named(one.item, one.sides, self._terms)}")
        clauses = self._by_acts(steps)
        while clauses:
            size = 3 if len(clauses) != 4 else 2
            made.append(f"we {listed(clauses[:size])}")
            clauses = clauses[size:]
        return made

    def _by_acts(self, steps: Sequence[Step]) -> list[str]:
        """Return small jobs as clauses: all that was done to a part together, parts with the same work together."""
        done: dict[str, list[Step]] = {}
        for act in _SMALL_JOBS:
            for one in steps:
                if one.act == act and self._kind(one) != "fastener":
                    done.setdefault(named(one, self._terms), []).append(one)
        parts: dict[tuple[str, ...], list[str]] = {}
        for part, own in list(done.items())[:_MOST_SMALL_JOBS]:
            parts.setdefault(tuple(one.act for one in own), []).append(part)
        return [f"{listed([_past(act) for act in acts])} {parts_listed(same)}" for acts, same in parts.items()]

    def _kind(self, step: Step) -> str:
        return kind_and_zone(self._terms, step.item)[0]


def _past(act: str) -> str:
    return ACTS[act].past.replace(" {}", "")


def hands(all_steps: Sequence[Step]) -> int:
    """Return the most people that any piece of work took."""
    return max((step.people for step in all_steps), default=0)


def _volume(measures: Sequence[Measure]) -> str:
    for one in measures:
        unit = _VOLUMES.get(one.unit)
        if unit is None or not 0 < one.value <= 999:
            continue
        whole, half = int(one.value), one.value - int(one.value) == 0.5
        if half:
            return f"a {unit} and a half" if whole == 1 else f"{in_words(whole)} and a half {plural(unit)}"
        if one.value == whole:
            return f"{in_words(whole)} {plural(unit, whole)}"
        return f"{one.value:g} {plural(unit)}"
    return ""


def _begun(chapter: Chapter) -> date:
    return chapter.main.day if chapter.main is not None else chapter.steps[0].day
