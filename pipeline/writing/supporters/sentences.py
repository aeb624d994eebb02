"""The words of the report: acts as a supporter would hear them, parts in a list, fasteners counted, forms in turn."""

import re
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from pipeline.english import in_words, listed, plural, running_number, sentence, with_article
from pipeline.writing.supporters.plain_names import plain_name
from pipeline.writing.supporters.privacy import Gate
from pipeline.writing.supporters.told import Told
from pipeline.writing.terms import Terms


class Said(NamedTuple):
    """An act as a supporter would hear it: "took off {}", "taking off {}", "take off {}", "taken off"."""

    past: str
    doing: str
    order: str
    done: str


# common practice, no source
ACTS: dict[str, Said] = {
    "remove": Said("took off {}", "taking off {}", "take off {}", "taken off"),
    "undo": Said("undid {}", "undoing {}", "undo {}", "undone"),
    "drill-out": Said("drilled out {}", "drilling out {}", "drill out {}", "drilled out"),
    "disconnect": Said("freed {}", "freeing {}", "free {}", "freed"),
    "separate": Said("took {} apart", "taking {} apart", "take {} apart", "taken apart"),
    "support": Said("took the weight of {}", "taking the weight of {}", "take the weight of {}", "held up"),
    "lift": Said("lifted {}", "lifting {}", "lift {}", "lifted"),
    "lower": Said("let {} down", "letting {} down", "let {} down", "let down"),
    "move": Said("moved {}", "moving {}", "move {}", "moved"),
    "drain": Said("drained {}", "draining {}", "drain {}", "drained"),
    "bleed": Said("got the air out of {}", "getting the air out of {}", "get the air out of {}", "cleared of air"),
    "open": Said("opened {}", "opening {}", "open {}", "opened"),
    "clean": Said("cleaned {}", "cleaning {}", "clean {}", "cleaned"),
    "prime": Said("primed {}", "priming {}", "prime {}", "primed"),
    "paint": Said("painted {}", "painting {}", "paint {}", "painted"),
    "dope": Said("doped {}", "doping {}", "dope {}", "doped"),
    "make": Said("made {}", "making {}", "make {}", "made"),
    "fit": Said("fitted {}", "fitting {}", "fit {}", "fitted"),
    "slacken": Said("slackened {}", "slackening {}", "slacken {}", "slackened"),
    "connect": Said("connected {}", "connecting {}", "connect {}", "connected"),
    "tighten": Said("tightened {}", "tightening {}", "tighten {}", "tightened"),
    "lock": Said("locked {}", "locking {}", "lock {}", "locked"),
    "blank": Said("covered {}", "covering {}", "cover {}", "covered"),
    "tag": Said("labelled {}", "labelling {}", "label {}", "labelled"),
    "bag": Said("bagged {}", "bagging {}", "bag {}", "bagged"),
    "inspect": Said("looked over {}", "looking over {}", "look over {}", "looked over"),
    "test": Said("tested {}", "testing {}", "test {}", "tested"),
    "store": Said("put away {}", "putting away {}", "put away {}", "put away"),
}
# What a large part is called once it has been named in full.
_SHORT = {
    "outer-wing": "wing", "mainplane": "wing", "main-undercarriage": "leg", "gun-turret": "turret",
    "upper-wing": "wing", "lower-wing": "wing",
}  # fmt: skip
# The fasteners that a reader can picture; a split pin only locks a nut.
_TOLD_FIRST = ("rivet", "bolt", "nut-and-bolt", "screw", "nut")
_ABOUT = re.compile(r"(?P<part>The [a-z -]+?)(?P<rest> (?:was|got|is|went|came) [^,]*)\.")
_DOES = re.compile(r"(?P<verb>We [a-z]+(?: over)?) (?P<part>the [a-z -]+)\.")
_ENDS_WITH = re.compile(r"(?:took off|looked over|cleaned|Off came) (?P<part>the [a-z -]+)\.$")
# What nobody takes out by number: hinges are undone, and stay.
_STAYS_ON = frozenset({"hinge", "person"})
_ONLY_LOCK = frozenset({"split-pin", "lock-washer", "tab-washer", "locking-wire"})  # nobody locks a split pin
_PLAIN_NOUNS = frozenset({"person", "hinge", "pin", "clip", "clamp"})


class Forms:
    """Hands out the forms of each kind of sentence in turn; ``start`` is where the turns begin, to vary a series."""

    def __init__(self, start: int = 0) -> None:
        self._start = start
        self._used: Counter[str] = Counter()

    def next(self, kind: str, *forms: str) -> str:
        """Return the next of the forms of this kind."""
        form = forms[(self._start + self._used[kind]) % len(forms)]
        self._used[kind] += 1
        return form


def short(item: str, terms: Terms) -> str:
    """Return what a part is called once it has been named in full: "wing" for the outer wing."""
    return _SHORT.get(item) or plain_name(terms, item)


def principal(counts: Sequence[tuple[str, int]]) -> tuple[str, int] | None:
    """Return the kind of fastener that is told of, and how many; None where none was counted."""
    counts = [one for one in counts if one[0] not in _STAYS_ON]
    by_kind = dict(counts)
    first = max((of for of in _TOLD_FIRST if of in by_kind), key=lambda of: by_kind[of], default=None)
    if first is None:
        return max(counts, key=lambda one: one[1], default=None)
    return first, by_kind[first]


def noun(of: str, terms: Terms, count: int | None = None) -> str:
    """Return the name of a fastener, in the plural for any count but one."""
    if of == "nut-and-bolt":
        return plural("nut and bolt", count)
    return plural(of.replace("-", " ") if of in _PLAIN_NOUNS else plain_name(terms, of), count)


def fasteners(of: str, count: int, terms: Terms, *, about: bool = False) -> str:
    """Return "28 nuts", "about 240 rivets", "one bolt"."""
    return f"{'about ' if about else ''}{running_number(count)} {noun(of, terms, count)}"


def what_holds(name: str, terms: Terms, counts: Sequence[tuple[str, int]] = ()) -> str:
    """Return "the bolts of the engine", "a nut of it", "the fastenings of it" where nobody said of which kind.

    Args:
        name: the part with its article, "the engine".
        terms: the vocabulary.
        counts: the fasteners that were counted, as (kind, how many).
    """
    counted = principal([one for one in counts if one[0] not in _ONLY_LOCK])
    if counted and counted[1] == 1:
        return f"{with_article(noun(counted[0], terms, 1))} of {name}"
    return f"the {noun(counted[0], terms) if counted else 'fastenings'} of {name}"


def parts_listed(parts: Sequence[str], most: int = 99) -> str:
    """Join parts, saying "the port" once where all are on that side: "the port aileron, flap and outer wing".

    Of more than ``most`` parts the rest are counted: "the door, the seat and four more".
    """
    parts = list(dict.fromkeys(parts))
    if len(parts) > most:
        return f"{', '.join(parts[: most - 1])} and {running_number(len(parts) - most + 1)} more"
    for start in ("the port ", "the starboard "):
        if len(parts) > 1 and all(part.startswith(start) for part in parts):
            return start + listed([part.removeprefix(start) for part in parts])
    return listed(parts)


def doing(act: str, part: str) -> str:
    """Return "taking off the port aileron"."""
    return ACTS[act].doing.format(part) if act in ACTS else f"work on {part}"


def finished(clauses: Sequence[Told], gate: Gate | None = None, where: str = "") -> tuple[Told, ...]:
    """Make clauses sentences: none begins with a figure, and none like the one before it where it can be helped.

    Args:
        clauses: what is told, without capital and stop.
        gate: lets clauses through or keeps them back, None for no gate.
        where: what the clauses belong to, for the list of what was kept back.
    """
    made: list[Told] = []
    for clause in clauses:
        if gate is not None and not gate.text(_sentence(clause.text), where):
            continue
        begun = _sentence(clause.text)
        if made:
            begun = _with_it(begun, made[-1].text)
        if made and _opening(begun) == _opening(made[-1].text):
            other = clause.other if gate is None or not gate.reasons(_sentence(clause.other)) else ""
            begun = _with_it(_sentence(other or _also(clause.text)), made[-1].text)
        made.append(Told(begun, clause.behind))
    return tuple(made)


def _with_it(text: str, before: str) -> str:
    """Say "it" of the one part that the sentence before ended with, or was about."""
    found = _ABOUT.fullmatch(text) or _DOES.fullmatch(text)
    last = _ENDS_WITH.search(before) or _ABOUT.fullmatch(before)
    if found is None or last is None or last["part"].lower() != found["part"].lower():
        return text
    return sentence(f"it{found['rest']}" if text.startswith("The ") else f"{found['verb']} it")


def _sentence(clause: str) -> str:
    return sentence(_without_leading_figure(clause))


def _opening(text: str) -> str:
    """Return how a sentence begins: "we" whatever follows, else its first two words."""
    first, *rest = text.lower().split()[:2]
    return first if first == "we" else " ".join([first, *rest])


def _also(clause: str) -> str:
    """Begin a clause otherwise without saying that it came later."""
    return f"as well as that, {clause}"


def _without_leading_figure(clause: str) -> str:
    """Write a number in words where a sentence begins with it."""
    first, _, rest = clause.partition(" ")
    return f"{in_words(int(first))} {rest}" if first.isdigit() else clause
