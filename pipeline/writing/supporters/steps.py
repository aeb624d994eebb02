"""The steps of a period's work: facts of one kind about one part brought together, in order."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from pipeline.english import listed, plural, running_number, with_article
from pipeline.lists.known_parts import NOT_OF_THE_AIRCRAFT
from pipeline.lists.logged import alternatives
from pipeline.reading.fact import Measure, Side
from pipeline.reading.positions import position_told
from pipeline.records import EntryRecord, FactRecord
from pipeline.writing.fact_names import is_heard_as_many
from pipeline.writing.supporters.plain_names import plain_name
from pipeline.writing.terms import Terms, kind_and_zone

# Parts that are news when they come off or are propped up, the largest first; common practice, no source.
LARGE = (
    "rear-fuselage", "front-fuselage", "centre-fuselage", "centre-section", "mainplane", "upper-wing", "lower-wing",
    "outer-wing", "tail-boom", "engine", "tailplane", "main-undercarriage", "fin", "float", "gun-turret", "canopy",
    "rudder", "propeller", "elevator", "flap", "aileron", "fuel-tank", "tail-wheel", "bomb-door",
)  # fmt: skip
PANELS = frozenset({
    "fillet-panel", "fairing", "access-panel", "door", "escape-hatch", "window", "floor", "wing-fabric",
})  # fmt: skip
_PAIRED_KINDS = frozenset({"undercarriage", "control-surface", "powerplant"})
MIDDLE = frozenset({"nose", "front", "centre", "rear"})
"""Zones of the fuselage, which has no port and no starboard one."""
# One part that is spoken of as two: "both tailplanes" are the two halves of one.
IN_HALVES = frozenset({"tailplane"})
_OF_A_WING = frozenset({"wing-fabric"})  # whose side is that of the wing: "the port fabric" is nobody's word
_BACK = re.compile(r"\bback (?:on|in|up|onto|into|in place)\b", re.IGNORECASE)
# People who do work for a team, or look at it, and are none of "us"; common practice, no source.
_BY_OTHERS = re.compile(
    r"\b(?:back|returned|collected|home) from\b"
    r"|\b(?:inspector|surveyor|contractor|specialist|firm|company|factory)s?\b",
    re.IGNORECASE,
)
_OTHERS = re.compile(r"\b(?:others?|another|more|further|remaining|rest|last)\b", re.IGNORECASE)
# Of these an aircraft has many: "the port rib" would be one that everybody knows.
_ONE_OF_MANY = frozenset({"rib", "nose-rib", "frame", "stringer", "longeron"})
_FASTENERS = "(?:bolt|nut|screw|stud|pin|rivet|washer)s?"  # "new mount bolts" are no new mount


@dataclass(frozen=True)
class Step:
    """One kind of work on one part, on one side or both.

    ``in_turn`` are its sides, in the order of the work where ``ordered``: port, starboard, or which engine it was, as
    "nose" and "port inner"; ``later`` is when else it was told. ``number`` is how many of the part itself, 0 where
    nobody said or it was said more than once; ``counts`` are (what, how many) of fasteners; ``people`` is the most
    that one fact told of; ``entries`` are the ids of the entries that tell of it; ``new`` says that it is called new,
    ``back`` that all its words tell of it going back on, ``by_others`` that some tell of people outside the team,
    ``unnamed`` that the words of none of its facts name the part itself ("we did them up").
    """

    act: str
    item: str
    in_turn: tuple[str, ...]
    ordered: bool = field(default=False, kw_only=True)
    day: date
    at: datetime
    number: int = 0
    several: bool = False
    counts: tuple[tuple[str, int], ...] = ()
    about: bool = False
    people: int = 0
    measure: tuple[Measure, ...] = ()
    entries: tuple[str, ...] = ()
    unnamed: bool = False
    new: bool = False
    back: bool = False
    by_others: bool = False
    later: tuple[datetime, ...] = ()

    @property
    def days(self) -> tuple[date, ...]:
        """The days on which it was told, in order."""
        return tuple(sorted({self.day, *(at.date() for at in self.later)}))

    @property
    def until(self) -> datetime:
        """When it was told last."""
        return max((self.at, *self.later))

    @property
    def sides(self) -> frozenset[str]:
        """The sides that were told."""
        return frozenset(self.in_turn)


def sides_of(side: Side | None) -> tuple[str, ...]:
    """Return the sides that a fact or a plan means."""
    return {None: (), "both": ("port", "starboard")}.get(side, (str(side),))


def where_of(item: str, side: Side | None, words: str, terms: Terms) -> tuple[str, ...]:
    """Return the sides that a fact or a plan means, or which engine its words name: "nose", "port inner"."""
    sides = sides_of(side)
    if kind_and_zone(terms, item)[1] != "nacelle":
        return sides
    position = position_told(words, side)
    if position.startswith("number "):  # of which there is one on the whole aircraft
        return (position,)
    return tuple(f"{one} {position}" for one in sides) or (position,) if position else sides


def steps(told: Iterable[tuple[EntryRecord, FactRecord, datetime]], terms: Terms) -> tuple[Step, ...]:
    """Bring facts together: the same act on the same part is one step, its counts added up.

    A count that is told twice in the same words (part, side, place) is taken to be one that was told again, unless
    it is of "the other two". Fasteners of one side are no number of both, nor of others of nobody
    knows which side.

    Args:
        told: facts that are done and may be told, each with its entry and the local time of it, in order.
        terms: the vocabulary.
    """
    made: dict[tuple[str, str], Step] = {}
    counted: set[object] = set()
    counted_on: dict[tuple[str, str], list[frozenset[str]]] = {}
    for entry, fact, at in told:
        if fact.act is None or fact.item is None or kind_and_zone(terms, fact.item)[0] in NOT_OF_THE_AIRCRAFT:
            continue
        key = (fact.act, fact.item)
        new = _step(entry, fact, at, terms)
        same = (*key, fact.side, fact.place, fact.count, fact.of)
        if fact.count is not None and same in counted and not _OTHERS.search(fact.said):
            new = replace(new, counts=(), number=0)
        counted.add(same)
        if new.counts:
            counted_on.setdefault(key, []).append(new.sides)
        made[key] = _joined(made[key], new) if key in made else new
    unclear = (key for key, sides in counted_on.items() if _is_unclear(sides, made[key]))
    made |= {key: replace(made[key], counts=()) for key in unclear}
    many = {step.item for step in made.values() if step.number > 1 or step.several}
    made = {key: _as_many(step) if step.item in many else step for key, step in made.items()}
    return tuple(sorted(_hands_added(made).values(), key=lambda step: step.at))


def _is_unclear(counted_on: Sequence[frozenset[str]], step: Step) -> bool:
    """Tell whether nobody knows of what a number is: eight of the port one and eight of no side, or of one of two."""
    return any(counted_on) and (not all(counted_on) or frozenset().union(*counted_on) != step.sides)


def _as_many(step: Step) -> Step:
    """Take work on a part that goes unnamed to be on all of those that were counted or told as many elsewhere."""
    lone = step.number == 0 and not step.sides and step.unnamed
    return replace(step, several=True) if lone else step


def _hands_added(made: dict[tuple[str, str], Step]) -> dict[tuple[str, str], Step]:
    """Give the removal of a part the people who took its weight, lifted it or let it down."""
    left = dict(made)
    for (act, item), step in made.items():
        key = next((key for key in (("remove", item), ("fit", item)) if key in left), None)
        if act in ("support", "lift", "lower") and key is not None and step.people:
            left[key] = replace(left[key], people=max(left[key].people, step.people))
    return left


def named(step: Step, terms: Terms, *, article: bool = True, sides: bool = True) -> str:
    """Return the part of a step: "the port aileron", "both drag struts", "two control cables"."""
    if step.number > 1:
        return f"{running_number(step.number)} {plural(plain_name(terms, step.item))}"
    if step.new:
        return _new_named(step, terms, article=article)
    if step.several:
        side = step.sides if sides and len(step.sides) == 1 else ()
        return part_named(step.item, side, terms, article=article, many=True)
    many = not sides and len(step.sides) > 1 and step.item not in IN_HALVES
    if article and step.item in _ONE_OF_MANY and len(step.sides) < 2:
        return with_article(part_named(step.item, step.sides if sides else (), terms, article=False))
    return part_named(step.item, step.sides if sides else (), terms, article=article, many=many)


def _new_named(step: Step, terms: Terms, *, article: bool) -> str:
    """Return "the new fabric", "the new port flap", "new bungee cords on both sides"."""
    name, the = plain_name(terms, step.item), "the " if article else ""
    if len(step.sides) == 1:
        (side,) = step.sides
        return f"{the}new {name} of the {side} wing" if step.item in _OF_A_WING else f"{the}new {side} {name}"
    if step.sides == {"port", "starboard"}:
        return f"new {name if step.item in _OF_A_WING else plural(name)} on both sides"
    return f"{the}new {plural(name) if step.several or step.sides else name}"


def part_named(item: str, sides: Iterable[str], terms: Terms, *, article: bool = True, many: bool = False) -> str:
    """Return a part with the sides that are meant."""
    name = plain_name(terms, item)
    kind, zone = kind_and_zone(terms, item)
    told = sorted(sides)
    found = [] if zone in MIDDLE else told
    part = terms.part(item)
    many = many or (not found and len(told) > 1 and part is not None and part.symmetrical)
    the = "the " if article else ""
    if found == ["port", "starboard"] and item in IN_HALVES:
        return f"{the}{name}"
    if found and item in _OF_A_WING:
        return f"{the}{name} of {'both wings' if len(found) > 1 else f'the {found[0]} wing'}"
    if len(found) > 1 and found != ["port", "starboard"]:
        return f"{the}{listed(found)} {plural(name)}"
    if found == ["port", "starboard"]:
        return f"both {plural(name)}" if item in LARGE or kind in _PAIRED_KINDS else f"{the}{plural(name)}"
    side = f"{found[0]} " if found else ""
    return f"{the}{side}{plural(name) if many or kind == 'fastener' else name}"


def made_named(step: Step, terms: Terms) -> str:
    """Return what was made: "a rib", "two ribs", "port ribs"."""
    if step.number > 1 or step.several or len(step.sides) > 1:
        return named(step, terms, article=False)
    return with_article(part_named(step.item, step.sides, terms, article=False))


def how_many(step: Step) -> int:
    """Return how many of its part a step is of, as a reader would count them."""
    return step.number or (1 if step.item in IN_HALVES else max(1, len(step.sides)))


def is_one(step: Step) -> bool:
    """Tell whether a step is of one thing, named as one and told once."""
    return step.number < 2 and not (step.several or step.unnamed or step.later) and len(step.sides) < 2


def is_many(step: Step, terms: Terms) -> bool:
    """Tell whether a step's part is named in the plural."""
    return is_plural(named(step, terms), step.item, terms) or step.number > 1


def are_many(item: str, all_steps: Iterable[Step]) -> bool:
    """Tell whether any work is on several of a part: what was counted on it is then of them all."""
    return any(step.item == item and (step.number > 1 or step.several) for step in all_steps)


def is_plural(name: str, item: str, terms: Terms) -> bool:
    """Tell whether this name of a part is its plural."""
    name = name.partition(" of ")[0] if item in _OF_A_WING else name.removesuffix(" on both sides")
    return not name.endswith(plain_name(terms, item)) or name.startswith("both ")


def _step(entry: EntryRecord, fact: FactRecord, at: datetime, terms: Terms) -> Step:
    counts: tuple[tuple[str, int], ...] = ()
    people = number = 0
    if fact.count is not None and fact.of == "person":
        people = fact.count
    elif fact.count is not None and fact.of == fact.item:
        number = fact.count
    elif fact.count is not None and fact.of not in (None, "hole"):
        counts = ((str(fact.of), fact.count),)
    in_turn = where_of(str(fact.item), fact.side, fact.said, terms)
    return Step(
        act=str(fact.act),
        item=str(fact.item),
        in_turn=in_turn,
        day=at.date(),
        at=at,
        number=number,
        several=fact.side != "both" and (fact.count is None or bool(counts)) and _said_as_many(fact, terms),
        counts=counts,
        about=bool(fact.about),
        people=people,
        measure=fact.measure or (),
        entries=(entry.id,),
        new=_is_new(fact, terms),
        back=_BACK.search(fact.said) is not None,
        by_others=_BY_OTHERS.search(fact.said) is not None,
        unnamed=not _is_named(fact, terms),
    )


def _is_named(fact: FactRecord, terms: Terms) -> bool:
    nouns = {name.split()[-1] for name in (plain_name(terms, str(fact.item)), *_other_names(terms, str(fact.item)))}
    return re.search(rf"\b(?:{alternatives(nouns)})\b", fact.said, re.IGNORECASE) is not None


def _other_names(terms: Terms, item: str) -> Iterable[str]:
    part = terms.part(item)
    return () if part is None else part.alternatives


def _is_new(fact: FactRecord, terms: Terms) -> bool:
    """Tell whether the words of a fact call its part new: "put new fabric on", "new port exhaust stack's on"."""
    *first, noun = map(re.escape, plain_name(terms, str(fact.item)).split())
    name = "".join(f"(?:{one} )?" for one in first) + noun
    new = re.search(rf"\bnew (?:\w+ )?{name}s?\b(?! (?:{_FASTENERS})\b)", fact.said, re.IGNORECASE)
    return new is not None


def _said_as_many(fact: FactRecord, terms: Terms) -> bool:
    """Tell whether the words of a fact name several of its part: "flying wires are off", "every cable end"."""
    if kind_and_zone(terms, fact.item)[0] == "fastener":
        return False
    noun = plain_name(terms, str(fact.item)).split()[-1]
    many = plural(noun)
    if is_heard_as_many(many, fact.said, str(fact.item), fact.side, terms):
        return False
    named = rf"\b(?:{re.escape(many)}|(?:every|each)(?: of the)?(?: \w+)? {re.escape(noun)})\b"
    return many != noun and re.search(named, fact.said, re.IGNORECASE) is not None


def _joined(old: Step, new: Step) -> Step:
    totals = dict(old.counts)
    for of, count in new.counts:
        totals[of] = totals.get(of, 0) + count
    again = old.number > 0 and new.number > 0
    one_then_the_other = len(old.in_turn) == 1 == len(new.in_turn) and old.sides != new.sides
    return replace(
        old,
        in_turn=tuple(dict.fromkeys((*old.in_turn, *new.in_turn))),
        later=(*old.later, new.at),
        new=old.new and new.new,
        back=old.back and new.back,
        by_others=old.by_others or new.by_others,
        unnamed=old.unnamed and new.unnamed,
        ordered=old.ordered or one_then_the_other,
        number=0 if again else max(old.number, new.number),
        several=(old.several and new.several) or again,
        counts=tuple(totals.items()),
        about=old.about or new.about,
        people=max(old.people, new.people),
        measure=old.measure or new.measure,
        entries=tuple(dict.fromkeys((*old.entries, *new.entries))),
    )
