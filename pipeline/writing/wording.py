"""Facts in plain English, in the trade's words: "Undid 14 nuts at the port wing joint, front spar".

Nothing is added to what the fact holds: a part that was not named stays unnamed, a count that was not said is not
given.
"""

import re
from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

from pipeline.english import capital, listed, plural
from pipeline.reading.fact import Place, Side, Stowage
from pipeline.reading.fluids import is_bled
from pipeline.records import FactRecord
from pipeline.writing.fact_names import AS_LISTED, FactNames
from pipeline.writing.fastened import is_of_fastenings
from pipeline.writing.measures import measure_text
from pipeline.writing.terms import Terms, term

_A_NUMBER = re.compile(r"\d+[A-Za-z]?|[A-Za-z]")


class ActWords(NamedTuple):
    """An act as it is written: "removed", "remove"; passive "was removed" uses ``past`` too."""

    past: str
    order: str


# common practice, no source
ACTS: dict[str, ActWords] = {
    "remove": ActWords("removed", "remove"),
    "undo": ActWords("undid", "undo"),
    "drill-out": ActWords("drilled out", "drill out"),
    "disconnect": ActWords("disconnected", "disconnect"),
    "separate": ActWords("separated", "separate"),
    "support": ActWords("supported", "support"),
    "lift": ActWords("lifted", "lift"),
    "lower": ActWords("lowered", "lower"),
    "move": ActWords("moved", "move"),
    "drain": ActWords("drained", "drain"),
    "open": ActWords("opened", "open"),
    "inspect": ActWords("inspected", "inspect"),
    "measure": ActWords("measured", "measure"),
    "clean": ActWords("cleaned", "clean"),
    "strip-finish": ActWords("stripped the finish from", "strip the finish from"),
    "treat": ActWords("treated", "treat"),
    "prime": ActWords("primed", "prime"),
    "paint": ActWords("painted", "paint"),
    "repair": ActWords("repaired", "repair"),
    "make": ActWords("made", "make"),
    "fit": ActWords("fitted", "fit"),
    "connect": ActWords("connected", "connect"),
    "tighten": ActWords("tightened", "tighten"),
    "lock": ActWords("locked", "lock"),
    "test": ActWords("tested", "test"),
    "blank": ActWords("blanked", "blank"),
    "bag": ActWords("bagged", "bag"),
    "tag": ActWords("tagged", "tag"),
    "store": ActWords("stored", "store"),
    "photograph": ActWords("photographed", "photograph"),
    "held-by": ActWords("held by", "held by"),
}

STATUS_HEADINGS = (
    ("done", "Work done"),
    ("seen", "Seen"),
    ("not-done", "Not done"),
    ("planned", "To do"),
    ("explained", "How it goes"),
)
"""Statuses in the order in which facts are shown by them, each with its heading."""
FASTENER_ACTS = frozenset({"undo", "drill-out", "fit", "tighten", "lock"})
UNDONE_THEMSELVES = frozenset((
    "bolt", "nut", "castellated-nut", "split-pin", "taper-pin", "clevis-pin", "rivet", "screw", "anchor-nut",
    "washer", "hose-clip", "pin", "clip", "clamp", "nut-and-bolt", "turnbuckle",
))  # fmt: skip
# What is slack itself, and not what holds it.
_SLACK_THEMSELVES = ("cable", "wire", "chain", "belt", "strap", "bungee")
_SLACKENED = re.compile(r"\bslack(?:en(?:s|ed|ing)?|ed)\b", re.IGNORECASE)
_SLACKEN = ActWords("slackened", "slacken")
_BLEED = ActWords("bled", "bleed")
_COUNTED = {"nut-and-bolt": "nut and bolt", "split-pin": "split pin"}


class FindingWords(NamedTuple):
    """A finding as a heading ("Crack"), and as looked for and not there ("No cracks in")."""

    seen: str
    absent: str


# common practice, no source
FINDINGS: dict[str, FindingWords] = {
    "corrosion": FindingWords("corrosion", "No corrosion on"),
    "crack": FindingWords("crack", "No cracks in"),
    "dent": FindingWords("dent", "No dents in"),
    "wear": FindingWords("wear", "No wear on"),
    "play": FindingWords("play", "No play in"),
    "leak": FindingWords("leak", "No leaks from"),
    "distortion": FindingWords("distortion", "No distortion in"),
    "scoring": FindingWords("scoring", "No scoring on"),
    "chafing": FindingWords("chafing", "No chafing on"),
    "elongated-hole": FindingWords("elongated hole", "No elongated holes in"),
    "contamination": FindingWords("contamination", "No contamination on"),
    "paint-loss": FindingWords("paint loss", "No paint loss on"),
    "missing": FindingWords("missing:", "Not missing:"),
    "loose": FindingWords("loose:", "Not loose:"),
    "perished": FindingWords("perished:", "Not perished:"),
    "broken": FindingWords("broken:", "Not broken:"),
    "seized": FindingWords("seized:", "Not seized:"),
    "sound": FindingWords("looked at and good:", "Looked at, and not good:"),
}


_COUNTABLE = frozenset({"crack", "dent", "leak", "elongated-hole"})


def act_words(act: str) -> ActWords:
    """Return an act's forms; an act that the table lacks is written as its notation."""
    plain = act.replace("-", " ")
    return ACTS.get(act, ActWords(f"{plain}:", f"{plain}:"))


def is_slackened(fact: FactRecord) -> bool:
    """Tell whether a fact that is marked as undone tells of making slack alone: what is slack is not free."""
    return fact.act == "undo" and _SLACKENED.search(fact.said) is not None


def fact_text(fact: FactRecord, terms: Terms, names: FactNames = AS_LISTED) -> str:
    """Return one fact as a line of the logbook, without a full stop.

    Args:
        fact: what was told.
        terms: the vocabulary.
        names: what the words call its part beyond that: which engine, which control, and whether several.
    """
    if fact.status == "seen":
        return _seen(fact, terms, names)
    if fact.act is None:
        return capital(_part(fact, terms, names))
    words = _SLACKEN if is_slackened(fact) else _BLEED if is_bled(fact.act, fact.said) else act_words(fact.act)
    if fact.status == "done":
        return capital(_clause(words.past, fact, terms, names))
    if fact.act == "held-by":
        return f"How: {_held_by(fact, terms, names)}"
    order = _clause(words.order, fact, terms, names)
    return {"planned": "To do: ", "not-done": "Not done: ", "explained": "How: "}[fact.status] + order


def _part(fact: FactRecord, terms: Terms, names: FactNames, *, article: bool = True) -> str:
    return part_text(
        fact.item,
        fact.side,
        fact.place,
        terms,
        article=article,
        many=names.many,
        position=names.position,
        called=names.called,
    )


def part_text(
    item: str | None,
    side: Side | None,
    place: Sequence[Place] | None,
    terms: Terms,
    *,
    article: bool = True,
    many: bool = False,
    position: str = "",
    called: str = "",
) -> str:
    """Return a part with its side and place: "the port longeron at frame 15", "" where nothing is known.

    Args:
        position: which engine, where its words told: "nose", "number 3".
        called: a narrower name that was said, which the vocabulary does not tell apart: "throttle rod"; "new" at its
            front stands before the side: "the new port exhaust stack".
        article: put "the" before a part that has no number of its own ("stringer 5" never gets one).
        many: name more than one of it.
    """
    places = list(place or ())
    if item is None:
        return _places_text(places).strip(", ")
    own = next((one for one in places if one.scheme == item), None)
    if own is not None:
        places.remove(own)
    places = [one for one in places if not (one.scheme == "spar" and item == f"{one.at}-spar")]
    name, numbered = _numbered(called.removeprefix("new ") or term(terms, item), own)
    if (many or side == "both") and not numbered:
        name = plural(name)
    sides = {"port": "port ", "starboard": "starboard ", "both": "port and starboard ", None: ""}[side]
    the = "the " if article and not numbered else ""
    new = "new " if called.startswith("new ") else ""
    return f"{the}{new}{sides}{position + ' ' if position else ''}{name}{_places_text(places)}"


def stowage_text(stowage: Stowage | None) -> str:
    """Return "on rack 3, top shelf", or "" for none."""
    if stowage is None:
        return ""
    shelf = stowage.shelf
    named_shelf = "{} shelf" if shelf and not shelf[:1].isdigit() else "shelf {}"
    if shelf and stowage.rack is None:
        named_shelf = "on " + named_shelf.replace("{} shelf", "the {} shelf")
    shown = (
        ("on rack {}", stowage.rack),
        (named_shelf, shelf),
        ("in box {}", stowage.box),
        ("in bag {}", stowage.bag),
        ("on pallet {}", stowage.pallet),
        ("on stand {}", stowage.stand),
        (_room_form(stowage.room or ""), stowage.room),
    )
    return ", ".join(form.format(value) for form, value in shown if value is not None)


def _room_form(room: str) -> str:
    """Return "in room {}" for a number or a letter alone, "in {}" for "bay 3", "in the {}" for "paint store"."""
    if _A_NUMBER.fullmatch(room):
        return "in room {}"
    return "in {}" if _A_NUMBER.fullmatch(room.rpartition(" ")[2]) else "in the {}"


def place_text(place: Sequence[Place] | None) -> str:
    """Return "frame 15, front spar", "ribs 1 to 7", or "" for none."""
    return ", ".join(_numbered(one.scheme, one)[0] for one in place or ())


def counted(count: int, of: str, terms: Terms, *, about: bool = False) -> str:
    """Return "14 nuts", "about 240 rivets", "1 bolt"."""
    noun = _COUNTED.get(of) or (of.replace("-", " ") if of in ("person", "hinge", "hole") else term(terms, of))
    return f"{'about ' if about else ''}{count:,} {plural(noun, count)}"


def finding_text(finding: str, *, absent: bool = False, grade: str | None = None, count: int | None = None) -> str:
    """Return the name of what was found: "Heavy corrosion", "Elongated holes (11)", "No cracks in"."""
    plain = finding.replace("-", " ")
    words = FINDINGS.get(finding, FindingWords(plain, f"No {plain} on"))
    if absent:
        return words.absent
    seen = plural(words.seen) if (count or 0) > 1 and finding in _COUNTABLE else words.seen
    number = f" ({count:,})" if count is not None and count > 1 and not words.seen.endswith(":") else ""
    return capital(f"{grade} {seen}" if grade else seen) + number


def _seen(fact: FactRecord, terms: Terms, names: FactNames) -> str:
    finding = fact.finding or "looked at"
    part = _part(fact, terms, names, article=False)
    own_count = fact.count if fact.of in (None, "hole", fact.item) else None
    head = finding_text(finding, absent=bool(fact.absent), grade=fact.grade, count=own_count)
    if head.endswith(":") and fact.count is not None and fact.of is not None:
        number = counted(fact.count, fact.of, terms, about=bool(fact.about))
        if fact.of == fact.item:
            about, _, noun = number.rpartition(f"{fact.count:,} ")
            side = {None: "", "both": "port and starboard "}.get(fact.side, f"{fact.side} ")
            part = f"{about}{fact.count:,} {side}{noun}{_places_text(list(fact.place or ()))}"
        else:
            part = f"{number}, {part}" if part else number
    elif fact.count is not None and fact.of not in (None, "hole", fact.item):
        head += f" ({counted(fact.count, fact.of or '', terms, about=bool(fact.about))})"
    joined = f"{head} {part}" if head.endswith(":") or fact.absent else ", ".join(filter(None, (head, part)))
    return (joined.rstrip(" :") if not part else joined) + _measures(fact, before=", ") + _tag(fact)


def _clause(verb: str, fact: FactRecord, terms: Terms, names: FactNames) -> str:
    people = ""
    if fact.count is not None and fact.of == "person":
        people = f", with {counted(fact.count, 'person', terms, about=bool(fact.about))}"
    whole = f"{verb} {_object(fact, terms, names)}".rstrip()
    whole += _stowed(fact)
    before = " to " if fact.act == "tighten" else ", "
    return whole + _measures(fact, before=before) + people + _tag(fact)


def _stowed(fact: FactRecord) -> str:
    stowed = stowage_text(fact.stowage)
    if not stowed:
        return ""
    if fact.act == "bag":
        return ": " + stowed.removeprefix("in ")
    bare = stowed.removeprefix("on ").removeprefix("in ")
    return {"move": f" to {bare}", "lower": f" onto {bare}"}.get(str(fact.act), f" {stowed}")


def _object(fact: FactRecord, terms: Terms, names: FactNames) -> str:
    part = _part(fact, terms, names)
    if fact.count is None or fact.of is None or fact.of == "person":
        if fact.item is None:
            return f"(part not named){' ' + part if part else ''}"
        if fact.item in UNDONE_THEMSELVES:
            return _part(fact, terms, names._replace(many=True))
        if is_slackened(fact) and fact.item.endswith(_SLACK_THEMSELVES):
            return part
        if fact.act in ("undo", "drill-out") or is_of_fastenings((str(fact.act),), fact.item, terms):
            return f"the fastenings of {part}"
        return part
    number = counted(fact.count, fact.of, terms, about=bool(fact.about))
    if fact.item is None or fact.of == fact.item:
        side = {None: "", "both": ", both sides"}.get(fact.side, f" on the {fact.side} side")
        return f"{number}{side}{_places_text(list(fact.place or ()))}"
    if fact.act in FASTENER_ACTS and not names.whole:
        if fact.side == "both":
            single = part_text(fact.item, None, fact.place, terms, position=names.position, called=names.called)
            return f"{number} at {single}, both sides"
        return f"{number} at {part}"
    return f"{part} ({number})"


def _held_by(fact: FactRecord, terms: Terms, names: FactNames) -> str:
    part = _part(fact.model_copy(update={"place": None}), terms, names) or "it"
    where = _places_text(list(fact.place or ()))
    verb = "are" if fact.side == "both" or names.many else "is"
    if fact.count is None or fact.of is None:
        return f"how {part} {verb} held{where}"
    return f"{part} {verb} held by {counted(fact.count, fact.of, terms, about=bool(fact.about))}{where}"


def _measures(fact: FactRecord, *, before: str) -> str:
    shown = ", ".join(measure_text(one) for one in fact.measure or ())
    return before + shown if shown else ""


def _tag(fact: FactRecord) -> str:
    if fact.tag is None:
        return ""
    return f": {fact.tag}" if fact.act == "tag" else f", tag {fact.tag}"


def _numbered(name: str, own: Place | None) -> tuple[str, bool]:
    if own is None:
        return name, False
    if not own.at[:1].isdigit():
        return f"{own.at} {name}", False
    if "-" in own.at:
        low, high = own.at.split("-", 1)
        return f"{plural(name)} {low} to {high}", True
    return f"{name} {own.at}", True


def _place(place: Place) -> tuple[str, str]:
    """Return how a place is joined to a part, and its name."""
    if place.scheme == "spar" or not place.at[:1].isdigit():
        return ", ", f"{place.at} {place.scheme}"
    if "-" in place.at:
        low, high = place.at.split("-", 1)
        return " between ", f"{plural(place.scheme)} {low} and {high}"
    return (" in " if place.scheme == "bay" else " at "), f"{place.scheme} {place.at}"


def _places_text(places: Sequence[Place]) -> str:
    """Return places as they follow a part; two of one scheme are told together: " at stations 201 and 214"."""
    told = []
    for scheme, same in groupby(places, key=lambda one: one.scheme):
        group = list(same)
        if len(group) > 1 and all("-" not in one.at for one in group):
            joiner, _ = _place(group[0])
            names = listed([one.at for one in group])
            numbered = group[0].at[:1].isdigit()
            told.append(joiner + (f"{plural(scheme)} {names}" if numbered else f"{names} {plural(scheme)}"))
        else:
            told += ["".join(_place(one)) for one in group]
    return "".join(told)
