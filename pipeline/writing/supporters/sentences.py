"""The words of the report: acts as a supporter would hear them, parts in a list, fasteners counted, forms in turn."""

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from pipeline.writing.english import in_words, listed, plural, running_number, sentence
from pipeline.writing.supporters.steps import Step
from pipeline.writing.terms import Terms, term


class Said(NamedTuple):
    """An act as a supporter would hear it: "took off {}", "taking off {}", "take off {}"."""

    past: str
    doing: str
    order: str


# common practice, no source
ACTS: dict[str, Said] = {
    "remove": Said("took off {}", "taking off {}", "take off {}"),
    "undo": Said("undid {}", "undoing {}", "undo {}"),
    "drill-out": Said("drilled out {}", "drilling out {}", "drill out {}"),
    "disconnect": Said("freed {}", "freeing {}", "free {}"),
    "separate": Said("took {} apart", "taking {} apart", "take {} apart"),
    "support": Said("took the weight of {}", "taking the weight of {}", "take the weight of {}"),
    "lift": Said("lifted {}", "lifting {}", "lift {}"),
    "lower": Said("let {} down", "letting {} down", "let {} down"),
    "move": Said("moved {}", "moving {}", "move {}"),
    "drain": Said("drained {}", "draining {}", "drain {}"),
    "open": Said("opened {}", "opening {}", "open {}"),
    "clean": Said("cleaned {}", "cleaning {}", "clean {}"),
    "prime": Said("primed {}", "priming {}", "prime {}"),
    "paint": Said("painted {}", "painting {}", "paint {}"),
    "make": Said("made {}", "making {}", "make {}"),
    "fit": Said("fitted {}", "fitting {}", "fit {}"),
    "connect": Said("joined up {}", "joining up {}", "join up {}"),
    "tighten": Said("tightened {}", "tightening {}", "tighten {}"),
    "lock": Said("locked {}", "locking {}", "lock {}"),
    "blank": Said("covered {}", "covering {}", "cover {}"),
    "tag": Said("labelled {}", "labelling {}", "label {}"),
    "bag": Said("bagged {}", "bagging {}", "bag {}"),
    "store": Said("put away {}", "putting away {}", "put away {}"),
}
HANDLING = frozenset({"tag", "bag", "store", "photograph"})
# What a large part is called once it has been named in full.
_SHORT = {
    "outer-wing": "wing", "mainplane": "wing", "main-undercarriage": "leg", "rear-fuselage": "body",
    "front-fuselage": "body", "gun-turret": "turret", "tailplane": "tailplane",
}  # fmt: skip
# The fasteners that a reader can picture; a split pin only locks a nut.
_TOLD_FIRST = ("rivet", "bolt", "nut-and-bolt", "screw", "nut")
_PLAIN_NOUNS = frozenset({"person", "hinge", "pin", "clip", "clamp"})


class Forms:
    """Hands out the forms of each kind of sentence in turn."""

    def __init__(self) -> None:
        self._used: Counter[str] = Counter()

    def next(self, kind: str, *forms: str) -> str:
        """Return the next of the forms of this kind."""
        form = forms[self._used[kind] % len(forms)]
        self._used[kind] += 1
        return form


def short(item: str, terms: Terms) -> str:
    """Return what a part is called once it has been named in full: "wing" for the outer wing."""
    return _SHORT.get(item) or term(terms, item)


def principal(counts: Sequence[tuple[str, int]]) -> tuple[str, int] | None:
    """Return the kind of fastener that is told of, and how many; None where none was counted."""
    by_kind = dict(counts)
    first = max((of for of in _TOLD_FIRST if of in by_kind), key=lambda of: by_kind[of], default=None)
    if first is None:
        return max(counts, key=lambda one: one[1], default=None)
    return first, by_kind[first]


def noun(of: str, terms: Terms, count: int | None = None) -> str:
    """Return the name of a fastener, in the plural for any count but one."""
    name = "nut and bolt" if of == "nut-and-bolt" else of.replace("-", " ") if of in _PLAIN_NOUNS else term(terms, of)
    return plural(name, count)


def fasteners(of: str, count: int, terms: Terms, *, about: bool = False) -> str:
    """Return "28 nuts", "about 240 rivets", "one bolt"."""
    return f"{'about ' if about else ''}{running_number(count)} {noun(of, terms, count)}"


def parts_listed(parts: Sequence[str]) -> str:
    """Join parts, saying "the port" once where all are on that side: "the port aileron, flap and outer wing"."""
    for start in ("the port ", "the starboard "):
        if len(parts) > 1 and all(part.startswith(start) for part in parts):
            return start + listed([part.removeprefix(start) for part in parts])
    return listed(parts)


def doing(act: str, part: str) -> str:
    """Return "taking off the port aileron"."""
    return ACTS[act].doing.format(part) if act in ACTS else f"work on {part}"


def finished(clauses: Sequence[str], forms: Forms) -> tuple[str, ...]:
    """Make clauses sentences: none begins with a figure, and none like the one before it."""
    made: list[str] = []
    for clause in clauses:
        begun = sentence(_without_leading_figure(clause))
        if made and begun.split()[:2] == made[-1].split()[:2]:
            begun = sentence(forms.next("alike", "after that, ", "later, ", "then ") + clause)
        made.append(begun)
    return tuple(made)


def people_taking_part(step: Step) -> str:
    """Return "seven of us" or, where nobody counted, "we"."""
    return f"{running_number(step.people)} of us" if step.people > 1 else "we"


def _without_leading_figure(clause: str) -> str:
    """Write a number in words where a sentence begins with it."""
    first, _, rest = clause.partition(" ")
    return f"{in_words(int(first))} {rest}" if first.isdigit() else clause
