"""How the report's sentences are built: several forms for each kind of work, so that no two in a row sound alike."""

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from pipeline.writing.english import in_words, listed, plural, running_number, sentence
from pipeline.writing.supporters.steps import Step, named
from pipeline.writing.terms import Terms, belongs_to, kind_and_zone, term
from pipeline.writing.wording import UNDONE_THEMSELVES


class Said(NamedTuple):
    """An act as a supporter would hear it: "was taken off", "taking off {}", "take off"."""

    passive: str
    doing: str
    order: str


# common practice, no source
_ACTS: dict[str, Said] = {
    "remove": Said("taken off", "taking off {}", "take off"),
    "undo": Said("undone", "undoing {}", "undo"),
    "drill-out": Said("drilled out", "drilling out {}", "drill out"),
    "disconnect": Said("disconnected", "disconnecting {}", "disconnect"),
    "separate": Said("parted", "parting {}", "part"),
    "support": Said("propped up", "taking the weight of {}", "take the weight of"),
    "lift": Said("lifted", "lifting {}", "lift"),
    "lower": Said("let down", "letting down {}", "let down"),
    "move": Said("moved", "moving {}", "move"),
    "drain": Said("drained", "draining {}", "drain"),
    "open": Said("opened up", "opening up {}", "open up"),
    "clean": Said("cleaned", "cleaning {}", "clean"),
    "prime": Said("given a coat of primer", "priming {}", "prime"),
    "paint": Said("painted", "painting {}", "paint"),
    "make": Said("made new", "making {}", "make"),
    "fit": Said("put on", "fitting {}", "fit"),
    "connect": Said("joined up again", "joining up {}", "join up"),
    "tighten": Said("tightened", "tightening {}", "tighten"),
    "lock": Said("locked", "locking {}", "lock"),
    "blank": Said("capped", "capping {}", "cap"),
    "tag": Said("labelled", "labelling {}", "label"),
    "bag": Said("bagged", "bagging {}", "bag"),
    "store": Said("put away", "putting away {}", "put away"),
    "photograph": Said("photographed", "taking pictures of {}", "photograph"),
}
_REASONS = {"blank": " to keep the dirt out"}
_HANDLING = frozenset({"tag", "bag", "store"})
_AFTER_OFF = frozenset({"clean", "prime", "paint", "blank"})
# joints whose fasteners hold a part that they are not a piece of; common practice, no source
_JOINS = frozenset({("wing-joint", "outer-wing"), ("transport-joint", "rear-fuselage"), ("engine-mount", "engine")})
_PLANNED_NO_MORE = frozenset({"tag", "bag", "store"})


class Forms:
    """Hands out the forms of each kind of sentence in turn."""

    def __init__(self) -> None:
        self._used: Counter[str] = Counter()

    def next(self, kind: str, *forms: str) -> str:
        """Return the next of the forms of this kind."""
        form = forms[self._used[kind] % len(forms)]
        self._used[kind] += 1
        return form


def fasteners(step: Step, terms: Terms) -> str:
    """Return what was undone, counted: "28 nuts", "about 240 rivets and four bolts"; "" where nothing was counted."""
    shown = [f"{running_number(count)} {plural(_noun(of, terms), count)}" for of, count in step.counts]
    return ("about " if step.about and shown else "") + listed(shown)


def parts_listed(parts: Sequence[str]) -> str:
    """Join parts, saying "the port" once where all are on that side: "the port aileron, flap and outer wing"."""
    for start in ("the port ", "the starboard "):
        if len(parts) > 1 and all(part.startswith(start) for part in parts):
            return start + listed([part.removeprefix(start) for part in parts])
    return listed(parts)


def were(parts: Sequence[str]) -> str:
    """Return "were" for several parts or both of one, else "was"."""
    return "were" if len(parts) > 1 or parts[0].startswith(("both ", "the fastenings ")) else "was"


def doing(act: str, part: str) -> str:
    """Return "taking off the port aileron"."""
    return _ACTS[act].doing.format(part) if act in _ACTS else f"work on {part}"


def to_do(acts: Sequence[str], parts: Sequence[str]) -> str:
    """Return "disconnect and cap the fuel line", "" where none of the acts is one that the report plans."""
    orders = [_ACTS[act].order for act in acts if act in _ACTS and act not in _PLANNED_NO_MORE]
    return f"{listed(orders)} {parts_listed(parts)}" if orders else ""


def told(steps: Sequence[Step], terms: Terms, forms: Forms) -> tuple[str, ...]:
    """Return the sentences of one area's steps in order, handling (labels, bags, store) last."""
    work = [step for step in steps if step.act not in _HANDLING]
    made: list[str] = []
    simple: list[Step] = []
    while work:
        step = work.pop(0)
        other = _goes_with(step, work, terms)
        if other is None and _is_plain(step):
            simple.append(step)
            continue
        made += _together(simple, terms, forms)
        simple = []
        if other is not None:
            work.remove(other)
            undone, off = (other, step) if step.act == "remove" else (step, other)
            made.append(_undone_then_off(undone, off, terms, forms))
        elif step.act == "remove":
            more = _done_to(step, work)
            run = [step] if more or step.people > 1 else [step, *_removals_next(work, terms)]
            work = [one for one in work if one not in more and one not in run]
            made.append(_off(run, terms, forms, after_others=bool(made)) + _and_also(more, named(step, terms)))
        else:
            made.append(_undone(step, terms, forms) if step.act != "support" else _held(step, terms, not made))
    made += _together(simple, terms, forms)
    made += _handled([step for step in steps if step.act in _HANDLING], terms, forms)
    return tuple(sentence(_without_leading_figure(one)) for one in _not_alike(made, forms))


def _goes_with(step: Step, later: Sequence[Step], terms: Terms) -> Step | None:
    """Find the removal that an undoing led to, or the undoing that a removal needed: of one part, told near it."""
    wanted = {"undo": "remove", "drill-out": "remove", "remove": "undo"}.get(step.act)
    for index, other in enumerate(later):
        near = set(step.entries) & set(other.entries) or (index == 0 and step.act != "remove")
        if other.act != wanted or not near:
            continue
        undone, off = (other, step) if step.act == "remove" else (step, other)
        one_side = undone.sides == off.sides or not undone.sides or off.sides <= undone.sides
        if one_side and (belongs_to(terms, undone.item, off.item) or (undone.item, off.item) in _JOINS):
            return other
    return None


def _done_to(off: Step, later: Sequence[Step]) -> list[Step]:
    """Return the work on its surface that a part that came off then had."""
    return [one for one in later if one.act in _AFTER_OFF and (one.item, one.sides) == (off.item, off.sides)]


def _removals_next(later: Sequence[Step], terms: Terms) -> list[Step]:
    run: list[Step] = []
    for index, step in enumerate(later):
        rest = later[index + 1 :]
        if step.act != "remove" or step.people > 1 or _done_to(step, rest) or _goes_with(step, rest, terms):
            break
        run.append(step)
    return run


def _is_plain(step: Step) -> bool:
    """Tell whether a piece of work has no sentence of its own: nothing came off, was propped up, or was counted."""
    return step.act not in ("remove", "support") and not (step.act in ("undo", "drill-out") and step.counts)


def _without_leading_figure(clause: str) -> str:
    """Write a number in words where a sentence begins with it."""
    first, _, rest = clause.partition(" ")
    return f"{in_words(int(first))} {rest}" if first.isdigit() else clause


def _and_also(more: Sequence[Step], part: str) -> str:
    if not more:
        return ""
    acts = listed([_ACTS[step.act].passive if step.act in _ACTS else "worked on" for step in more])
    return f", and {'they were' if part.startswith('both ') else 'it was'} {acts}"


def _not_alike(made: Sequence[str], forms: Forms) -> list[str]:
    """Give a sentence that begins like the one before it another beginning."""
    changed = list(made[:1])
    for before, one in pairwise(made):
        alike = before.split()[:3] == one.split()[:3]
        changed.append(forms.next("alike", "after that, ", "later, ", "then ") + one if alike else one)
    return changed


def _together(steps: Sequence[Step], terms: Terms, forms: Forms) -> list[str]:
    """Tell plain pieces of work, two or three to a sentence; one act on many parts, or many on one, are joined."""
    clauses: list[tuple[list[str], list[Step]]] = []
    for step in steps:
        part = named(step, terms)
        if step.act in ("undo", "drill-out") and step.item not in UNDONE_THEMSELVES:
            part = f"the fastenings of {part}"
        if clauses and clauses[-1][0] == [part]:
            clauses[-1][1].append(step)
        elif clauses and len(clauses[-1][1]) == 1 and clauses[-1][1][0].act == step.act and step.people <= 1:
            clauses[-1][0].append(part)
        else:
            clauses.append(([part], [step]))
    texts = [_clause(parts, done) for parts, done in clauses]
    made = []
    while texts:
        size = 2 if len(texts) in (2, 4) else min(3, len(texts))
        group, texts = texts[:size], texts[size:]
        joined = forms.next("two", ", and ", "; ").join(group) if size == 2 else listed(group)
        made.append(joined)
    return made


def _clause(parts: Sequence[str], done: Sequence[Step]) -> str:
    acts = listed([_ACTS[step.act].passive if step.act in _ACTS else "worked on" for step in done])
    people = max(step.people for step in done)
    helped = f" by {running_number(people)} people" if people > 1 else ""
    return f"{parts_listed(parts)} {were(parts)} {acts}{helped}{_REASONS.get(done[-1].act, '')}"


def _held(step: Step, terms: Terms, is_first: bool) -> str:
    part = named(step, terms)
    if is_first:
        return f"the first job was to take the weight of {part}, so that nothing could drop"
    return f"the weight of {part} was taken"


def _undone(step: Step, terms: Terms, forms: Forms) -> str:
    part = named(step, terms)
    counted, verb = fasteners(step, terms), _ACTS[step.act].passive
    joint = "from" if step.act == "drill-out" else "at"
    return forms.next(
        "undo",
        f"{counted} {_was(step)} {verb} {joint} {part}",
        f"at {part}, {counted} had to be {verb}",
        f"{part} gave up {counted}",
    )


def _off(run: Sequence[Step], terms: Terms, forms: Forms, *, after_others: bool) -> str:
    names = [named(step, terms) for step in run]
    parts, number = parts_listed(names), running_number(run[0].people)
    if run[0].people > 1:
        return forms.next(
            "off with people",
            f"it took {number} people to take off {parts}",
            f"{parts} came away with {number} people on the job",
            f"{number} people took off {parts} between them",
        )
    if not after_others:
        return f"{parts} came off"
    return forms.next("off", f"then {parts} came off", f"we took off {parts} too", f"off came {parts} as well")


def _undone_then_off(undone: Step, off: Step, terms: Terms, forms: Forms) -> str:
    counted = fasteners(undone, terms) or "the fastenings"
    part, number = named(off, terms), running_number(off.people)
    verb = _ACTS[undone.act].passive
    near = undone.item == off.item or undone.item.startswith(off.item)
    counted += "" if near else f" at {named(undone, terms)}"
    was = _was(undone)
    if off.people > 1:
        return forms.next(
            "undone, off with people",
            f"with {counted} {verb}, {number} people took off {part}",
            f"once {counted} {was} {verb}, it took {number} people to take off {part}",
        )
    return forms.next(
        "undone, off",
        f"once {counted} {was} {verb}, {part} came off",
        f"{part} came off after {counted} {was} {verb}",
    )


def _handled(steps: Sequence[Step], terms: Terms, forms: Forms) -> list[str]:
    """Tell of labels, bags and store: a part that was labelled and put away is told of once."""
    acts: dict[tuple[str, frozenset[str]], set[str]] = {}
    for step in steps:
        acts.setdefault((step.item, step.sides), set()).add(step.act)
    names = {(step.item, step.sides): named(step, terms) for step in steps}

    def those(*wanted: str) -> list[str]:
        return [names[key] for key, found in acts.items() if found == set(wanted)]

    # small parts that share a bag are no news; loose fasteners kept together are
    bagged = [key for key, found in acts.items() if "bag" in found and kind_and_zone(terms, key[0])[0] == "fastener"]
    both, stored, tagged = those("tag", "store"), those("store"), those("tag")
    made = []
    if both:
        made.append(
            f"{parts_listed(both)} {were(both)} labelled and put away, to go back where {_they(both)} came from"
        )
    if stored:
        now, away = ("are", "have") if were(stored) == "were" else ("is", "has")
        made.append(
            forms.next(
                "store",
                f"{parts_listed(stored)} {now} now in store",
                f"for now, {parts_listed(stored)} {away} been put away",
            )
        )
    if tagged:
        label = "labels went on" if were(tagged) == "were" else "a label went on"
        made.append(f"{label} {parts_listed(tagged)}, so that it is clear where {_they(tagged)} {_go(tagged)} back")
    if bagged:
        made.append(f"{parts_listed([names[key] for key in bagged])} went into a bag, so that none get lost")
    return made


def _they(names: Sequence[str]) -> str:
    return "they" if were(names) == "were" else "it"


def _go(names: Sequence[str]) -> str:
    return "go" if were(names) == "were" else "goes"


def _was(step: Step) -> str:
    return "was" if sum(count for _, count in step.counts) == 1 else "were"


def _noun(of: str, terms: Terms) -> str:
    if of == "nut-and-bolt":
        return "nut and bolt"
    return of.replace("-", " ") if of in ("person", "hinge", "hole", "pin", "clip", "clamp") else term(terms, of)
