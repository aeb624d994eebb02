"""What there is to see on the airframe, in words: the list beneath the drawing, and the names of states and zones."""

from collections.abc import Iterable, Sequence

from pipeline.english import capital, listed
from pipeline.lists.airframe import STATES, Airframe, State, Thing
from pipeline.writing.standing_wording import ZONES, finding_name
from pipeline.writing.terms import Terms, term
from pipeline.writing.wording import act_words, counted, part_text

STATE_NAMES: dict[State, str] = {
    "off": "off",
    "open": "open",
    "found": "found",
    "done": "worked on",
    "support": "held up",
}
LEGEND: dict[State, str] = {
    "off": "off the aircraft",
    "open": "open: undone or disconnected",
    "found": "found, and not told to be gone",
    "done": "worked on",
    "support": "held up here",
}
_PARTED = {"disconnect": "disconnected", "open": "opened", "drain": "drained", "undo": "undone"}


def zone_text(zone: str) -> str:
    """Return what people call a zone: "Rear fuselage"; what is in none, "Elsewhere, or no place told"."""
    return ZONES.get(zone, capital(zone.replace("-", " ")))


def thing_text(thing: Thing, terms: Terms) -> str:
    """Return one thing as a line without a full stop: "Port fin", "Crack in frame 23, worked on since"."""
    part = part_text(
        thing.item, thing.side, thing.place, terms, article=False, position=thing.position, called=thing.called
    )
    if thing.state == "open":
        return capital(_open_text(thing, part, terms))
    if thing.state == "found":
        names = listed([f"{thing.grade} {name}" if thing.grade else name for name in map(finding_name, thing.what)])
        return capital(f"{part or 'part not told'}: {names}{', with work on it since' if thing.since else ''}")
    if thing.state == "done":
        return capital(f"{part}: {listed([act_words(act).past for act in thing.what])}")
    if thing.state == "support":
        gear = listed([term(terms, one) for one in thing.what])
        return capital(f"{part or 'part not told'} held up{f' by {gear}' if gear else ''}")
    return capital(part)


def _open_text(thing: Thing, part: str, terms: Terms) -> str:
    what = thing.what[0] if thing.what else "undo"
    if thing.count is not None:
        all_of = f" of {'about ' if thing.about else ''}{thing.of_all:,}" if thing.of_all else ""
        number = counted(thing.count, what, terms) if what not in _PARTED else f"{thing.count:,} fastenings"
        first, _, rest = number.partition(" ")
        return f"{part}: {first}{all_of} {rest} undone"
    if what not in _PARTED and terms.part(what) is not None:
        return f"{part}: {term(terms, what)} undone, not counted"
    at = f" at the {term(terms, thing.joint)}" if thing.joint and thing.joint != thing.item else ""
    return f"{part}: {_PARTED.get(what, act_words(what).past)}{at}"


def counts_of(things: Iterable[Thing]) -> dict[State, int]:
    """Return how many things there are in each state that has any."""
    own = list(things)
    numbers = {state: sum(one.state == state for one in own) for state in STATES}
    return {state: number for state, number in numbers.items() if number}


def counts_text(things: Iterable[Thing]) -> str:
    """Return the numbers as people say them: "5 off, 3 found"; "" for none."""
    return ", ".join(f"{number} {STATE_NAMES[state]}" for state, number in counts_of(things).items())


def worst_text(things: Sequence[Thing]) -> str:
    """Return the finding that stands first in the order of findings, "" for none."""
    found = [one for one in things if one.state == "found"]
    worst = max(found, key=lambda one: one.severity, default=None)
    return finding_name(worst.what[0]) if worst else ""


def description(frame: Airframe, terms: Terms) -> str:
    """Return the drawing in a few sentences, for people who do not see it."""
    off = sorted(
        {part_text(one.item, one.side, None, terms, article=False) for one in frame.things if one.state == "off"}
    )
    zones = list(dict.fromkeys(one.zone for one in frame.things if one.state != "support"))
    told = [f"{zone_text(zone)}: {counts_text(frame.in_zone(zone))}." for zone in zones]
    first = f"Off the aircraft: {listed(off)}." if off else "Nothing is told to be off the aircraft."
    return " ".join((first, *told))
