"""The way back in plain English: what each step is, why it stands where it does, and what a hold point asks for."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from pipeline.english import capital, listed, short_date
from pipeline.reading.fact import Side
from pipeline.records import Held, HoldPoint, WayBack, WayBackReason, WayBackStep
from pipeline.writing.terms import Terms, kind_and_zone, term
from pipeline.writing.wording import counted, part_text, stowage_text

# common practice, no source
_ORDERS = {
    "fit": "fit",
    "secure": "tighten and lock",
    "release": "take the supports away from",
    "connect": "connect",
    "refill": "fill again and bleed",
    "close": "close",
}
_UNDONE = {
    "fit": "came off",
    "secure": "was undone",
    "release": "was supported",
    "connect": "was disconnected",
    "refill": "was drained",
    "close": "was opened",
}
_DONE = {
    "fit": "fitted",
    "secure": "tightened and locked",
    "release": "released",
    "connect": "connected",
    "refill": "filled and tested",
    "close": "closed",
}
_QUESTIONS = {
    "undoing-not-told": "Nobody said when it came off.",
    "parting-not-told": "Nobody spoke of undoing it; it must have been undone for the part to come off.",
    "locking-not-told": "Somebody said that it is tightened, and nobody that it is locked.",
    "tightening-not-told": "Somebody said that it is locked, and nobody that it is tightened.",
    "which-connected": "One of this name was connected again; nobody can tell which. Look at it.",
}
_ENGINES = frozenset({"engine", "propeller"})
_PLACED = re.compile(r"number|nose|centre")  # tells which engine it is without a side
AUTHORISED = "To be inspected by a person who is authorised."
NO_SOURCE = "common practice, no source"
HOW_TO_READ = (
    "An order worked out from what was said: what came off last goes back first, unless something else must come "
    "before it, and what holds parts is tightened and locked once they are in place. It is a proposal to check "
    "against the aircraft’s manuals, not an instruction. Where a reason names no source, it is common practice."  # noqa: RUF001
)


def step_text(step: WayBackStep, terms: Terms) -> str:
    """Return "Connect the port control cable at the wing joint"."""
    text = f"{_ORDERS[step.act]} {_part(step, terms)}"
    if step.parted_at:
        text += f" at the {step.parted_at}"
    elif step.joint and step.joint != step.item and step.act != "secure":
        text += f" at the {term(terms, step.joint)}"
    return capital(text)


def thing_text(step: WayBackStep, terms: Terms) -> str:
    """Return "the port control cable at the wing joint"."""
    joint = step.parted_at or (term(terms, step.joint) if step.joint else "")
    at = f" at the {joint}" if step.act == "connect" and joint else ""
    return _part(step, terms) + at


def _part(step: WayBackStep | HoldPoint, terms: Terms) -> str:
    return part_text(step.item, step.side, step.place, terms, position=step.position, called=step.called)


def undone_text(step: WayBackStep, terms: Terms) -> str:
    """Return "the port aileron came off", with the day where it is known."""
    on = f" on {short_date(step.undone_on)}" if step.undone_on else ""
    return f"{thing_text(step, terms)} {_UNDONE[step.act]}{on}"


def done_text(step: WayBackStep) -> str:
    """Return "Told as fitted on 1 Mar 2027", "" where it is not done."""
    return f"Told as {_DONE[step.act]} on {short_date(step.done_on)}" if step.done_on else ""


def notes_of(step: WayBackStep, terms: Terms) -> tuple[str, ...]:
    """Return what helps with a step: where the part is kept, its tag, what held it, what is still to be asked."""
    notes = []
    if step.act == "fit":
        kept = stowage_text(step.stowage)
        if kept:
            notes.append(f"Kept {kept}.")
        elif step.kept_in_words and step.done_on is None:
            notes.append(f"Kept, as it was said: “{step.kept_in_words}”")
        elif step.done_on is None:
            notes.append("Nobody said where it is kept.")
        if step.tag:
            notes.append(f"Tag {step.tag}.")
    if step.held and step.act == "secure":
        notes.append(f"{capital(listed([held_text(one, terms) for one in _added_up(step.held)]))}.")
    if step.act == "connect" and step.joint and not step.parted_at and step.done_on is None:
        notes.append(f"Where it was parted was not said: at the {term(terms, step.joint)} is usual.")
    if step.blanked and step.done_on is None:
        notes.append("It was blanked: take the blanks out first.")
    if step.act == "release":
        notes.append("It stays held up until then.")
    return (*notes, *(_QUESTIONS.get(one, one) for one in step.questions))


def _added_up(held: Sequence[Held]) -> list[Held]:
    """Return what holds a part, of each kind once: eight split pins at each of two spars are sixteen."""
    made: dict[tuple[object, ...], Held] = {}
    for one in held:
        key = (one.of, one.told, one.about, one.count is None)
        count = (made[key].count or 0) + one.count if key in made and one.count is not None else one.count
        made[key] = one.model_copy(update={"count": count})
    return list(made.values())


def held_text(held: Held, terms: Terms) -> str:
    """Return "16 bolts (list for the type)"."""
    number = term(terms, held.of) if held.count is None else counted(held.count, held.of, terms, about=held.about)
    return f"{number}{' (list for the type)' if held.told == 'usual' else ''}"


def hold_text(hold: HoldPoint, terms: Terms) -> str:
    """Return "Leak test: the port hydraulic line"."""
    what = _part(hold, terms)
    return f"{hold.name}: {what}" if what else hold.name


class Assembly(NamedTuple):
    """One sheet of the way back: a large part ("" for none), on which side, and which engine it is."""

    part: str
    side: Side | None = None
    position: str = ""


def assembly_text(assembly: Assembly, terms: Terms) -> str:
    """Return "Port mainplane", "Number 3 engine", or "Other parts" for what belongs to no large part."""
    part, side, position = assembly
    if not part:
        return "Other parts" if side is None else f"Other parts, {side}"
    return capital(part_text(part, side, None, terms, article=False, position=position))


def by_assembly(way: WayBack, terms: Terms) -> list[tuple[Assembly, list[str]]]:
    """Return the ids of steps and hold points by assembly; the one that begins first comes first.

    The port magneto may be one of two on a single engine. So an engine has a side only where that was told of an
    engine or a propeller, and where its position says which it is it has none.
    """
    every: tuple[WayBackStep | HoldPoint, ...] = (*way.steps, *way.hold_points)
    sided = {(one.side, one.position) for one in every if one.item in _ENGINES}
    known = {one.id: Assembly(one.assembly, one.side) for one in every}
    for one in every:
        if kind_and_zone(terms, one.assembly or None)[1] == "nacelle":
            side = None if _PLACED.match(one.position) or (one.side, one.position) not in sided else one.side
            known[one.id] = Assembly(one.assembly, side, one.position)
    found: dict[Assembly, list[str]] = {}
    for each in way.order:
        found.setdefault(known[each], []).append(each)
    return sorted(found.items(), key=lambda one: one[0].part == "")


def reason_text(reason: WayBackReason, before: WayBackStep, after: WayBackStep, terms: Terms) -> str:
    """Return why one step comes before another, as a sentence."""
    first, then = thing_text(before, terms), thing_text(after, terms)
    told = f"{undone_text(after, terms)}, and {undone_text(before, terms)} after it"
    return capital(
        {
            "told": f"what came off last goes back first: {told}.",
            "together": f"{told}. Both were told in one breath, so the order may have been another.",
            "afterwards": f"{told}, as it was told; but {first} was put away by then, and may have come off before.",
            "explained": f"so it was explained how {then} and {first} come apart.",
            "joint": "the parts are in place before what holds them is tightened and locked.",
            "rule": reason.why if reason.source == NO_SOURCE else f"{reason.why} ({reason.source})",
            "containment": f"{then} belongs to {first}, which goes on first."
            if reason.rule == "belongs"
            else f"{first} may lie behind {then}, which closes it in.",
        }[reason.kind]
    )


def strongest(reasons: Sequence[WayBackReason]) -> WayBackReason:
    """Return the reason that counts most: the records keep it first."""
    return reasons[0]
