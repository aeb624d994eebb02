"""How the report's sentences are built: several forms for each kind of work, so that no two in a row sound alike."""

from collections.abc import Sequence

from pipeline.writing.english import listed, plural, running_number, sentence
from pipeline.writing.supporters.steps import Step, named
from pipeline.writing.terms import Terms, term

# "came off" for "remove", and so on: how a supporter would say it. Common practice, no source.
_PASSIVE = {
    "remove": "taken off",
    "undo": "undone",
    "drill-out": "drilled out",
    "disconnect": "disconnected",
    "separate": "parted",
    "support": "propped up",
    "lift": "lifted",
    "lower": "let down",
    "move": "moved",
    "drain": "drained",
    "open": "opened up",
    "clean": "cleaned",
    "prime": "given a first coat of primer",
    "paint": "painted",
    "make": "made new",
    "fit": "put on",
    "connect": "joined up again",
    "tighten": "tightened",
    "lock": "locked",
    "blank": "capped",
    "photograph": "photographed",
}
_DOING = {
    "remove": "taking off {}",
    "undo": "undoing {}",
    "drill-out": "drilling out {}",
    "disconnect": "disconnecting {}",
    "separate": "parting {}",
    "support": "taking the weight of {}",
    "lift": "lifting {}",
    "lower": "letting down {}",
    "move": "moving {}",
    "drain": "draining {}",
    "open": "opening up {}",
    "clean": "cleaning {}",
    "prime": "priming {}",
    "paint": "painting {}",
    "make": "making {}",
    "fit": "fitting {}",
    "connect": "joining up {}",
    "tighten": "tightening {}",
    "lock": "locking {}",
    "blank": "capping {}",
    "photograph": "taking pictures of {}",
    "tag": "labelling {}",
    "bag": "bagging {}",
    "store": "putting {} into store",
}
_TO_DO = {
    "remove": "take off",
    "undo": "undo",
    "drill-out": "drill out",
    "disconnect": "disconnect",
    "separate": "part",
    "support": "take the weight of",
    "lift": "lift",
    "lower": "let down",
    "move": "move",
    "drain": "drain",
    "open": "open up",
    "clean": "clean",
    "prime": "prime",
    "paint": "paint",
    "make": "make",
    "fit": "fit",
    "connect": "join up",
    "tighten": "tighten",
    "lock": "lock",
    "blank": "cap",
    "tag": "label",
    "photograph": "photograph",
}
_HANDLING = frozenset({"tag", "bag", "store"})


def fasteners(step: Step, terms: Terms) -> str:
    """Return what was undone, counted: "28 nuts", "about 240 rivets and four bolts"; "" where nothing was counted."""
    shown = [f"{running_number(count)} {plural(_noun(of, terms), count)}" for of, count in step.counts]
    return ("about " if step.about and shown else "") + listed(shown)


def passive(steps: Sequence[Step], terms: Terms) -> str:
    """Return "the port aileron and the port flap were taken off" for steps of one act."""
    parts = [named(step, terms) for step in steps]
    many = len(parts) > 1 or parts[0].startswith("both ")
    return f"{listed(parts)} {'were' if many else 'was'} {_PASSIVE.get(steps[0].act, steps[0].act + 'ed')}"


def doing(act: str, part: str) -> str:
    """Return "taking off the port aileron"."""
    return _DOING.get(act, "work on {}").format(part)


def to_do(act: str, parts: Sequence[str]) -> str:
    """Return "take off the starboard wing and the starboard flap", "" for an act that the report does not plan."""
    return f"{_TO_DO[act]} {listed(parts)}" if act in _TO_DO else ""


def told(steps: Sequence[Step], terms: Terms, turn: int) -> tuple[str, ...]:
    """Return the sentences of one area's steps in order, handling (labels, bags, store) last.

    Args:
        steps: one area's, in order.
        terms: the vocabulary.
        turn: which form to begin with, so that two paragraphs do not run alike.
    """
    work = [step for step in steps if step.act not in _HANDLING]
    made: list[str] = []
    at = 0
    while at < len(work):
        step = work[at]
        after = work[at + 1] if at + 1 < len(work) else None
        if step.act in ("undo", "drill-out") and after is not None and after.act == "remove":
            made.append(_undone_then_off(step, after, terms, turn + len(made)))
            at += 2
            continue
        run = at + 1
        while run < len(work) and _go_together(step, work[run]):
            run += 1
        made.append(_told_run(work[at:run], terms, turn + len(made)))
        at = run
    made += _handled([step for step in steps if step.act in _HANDLING], terms)
    return tuple(sentence(one) for one in made)


def _go_together(step: Step, other: Step) -> bool:
    return step.act == other.act and not (step.counts or other.counts or step.people or other.people)


def _told_run(run: Sequence[Step], terms: Terms, turn: int) -> str:
    step = run[0]
    part = named(step, terms)
    if step.act in ("undo", "drill-out"):
        counted = fasteners(step, terms)
        if not counted:
            return f"the fastenings of {part} were {_PASSIVE[step.act]}"
        single = sum(count for _, count in step.counts) == 1
        place = "out of" if step.act == "drill-out" else "at"
        return (
            f"{counted} {'was' if single else 'were'} {_PASSIVE[step.act]} {place} {part}",
            f"at {part}, {counted} had to be {_PASSIVE[step.act]}",
        )[turn % 2]
    if step.act == "remove":
        return _off(run, terms, turn)
    if step.act == "support":
        parts = listed([named(one, terms) for one in run])
        return (
            f"the first job was to take the weight of {parts}, so that nothing could drop",
            f"before anything else, the weight of {parts} was taken",
        )[turn % 2] if turn == 0 or turn % 2 else f"the weight of {parts} was taken"
    if step.act == "blank":
        return f"{passive(run, terms)} to keep the dirt out"
    people = f", with {running_number(step.people)} people helping" if step.people > 1 else ""
    return passive(run, terms) + people


def _off(run: Sequence[Step], terms: Terms, turn: int) -> str:
    step = run[0]
    parts = listed([named(one, terms) for one in run])
    if step.people > 1:
        number = running_number(step.people)
        return (
            f"it took {number} people to take off {parts}",
            f"{parts} came away with {number} people on the job",
        )[turn % 2]
    return (f"{parts} came off", f"next to come off: {parts}", f"then we took off {parts}")[turn % 3]


def _undone_then_off(undone: Step, off: Step, terms: Terms, turn: int) -> str:
    counted = fasteners(undone, terms) or "the fastenings"
    part = named(off, terms)
    single = len(undone.counts) == 1 and undone.counts[0][1] == 1
    verb = _PASSIVE[undone.act]
    where = "" if undone.item == off.item or undone.item.startswith(off.item) else f" at {named(undone, terms)}"
    first = f"once {counted}{where} {'was' if single else 'were'} {verb}, "
    if off.people > 1:
        return first + f"it took {running_number(off.people)} people to take off {part}"
    return (first + f"{part} came off", f"{part} came off after {counted}{where} {'was' if single else 'were'} {verb}")[
        turn % 2
    ]


def _handled(steps: Sequence[Step], terms: Terms) -> list[str]:
    made = []
    tagged = [step for step in steps if step.act == "tag"]
    stored = [step for step in steps if step.act == "store"]
    bagged = [step for step in steps if step.act == "bag"]
    if tagged:
        made.append(f"{_label(tagged)} on {_those(tagged, terms)}, so that it is clear where it all goes back")
    if bagged:
        made.append(f"{_those(bagged, terms)} went into a bag, so that none get lost")
    if stored:
        many = len(stored) > 1 or named(stored[0], terms).startswith("both ")
        made.append(f"{_those(stored, terms)} {'are' if many else 'is'} now in store")
    return made


def _label(steps: Sequence[Step]) -> str:
    return "labels went" if len(steps) > 1 else "a label went"


def _those(steps: Sequence[Step], terms: Terms) -> str:
    return listed([named(step, terms) for step in steps])


def _noun(of: str, terms: Terms) -> str:
    if of == "nut-and-bolt":
        return "nut and bolt"
    return of.replace("-", " ") if of in ("person", "hinge", "hole", "pin", "clip", "clamp") else term(terms, of)
