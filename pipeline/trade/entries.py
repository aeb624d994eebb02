"""What one line of a list of the vocabulary says, as a value."""

from typing import Literal, NamedTuple

from pydantic import Field

from pipeline.values import Value


class Part(Value):
    """A part, fastener, material or piece of lifting gear. ``broader`` is a notation or "".

    ``safe_by_pins`` says that pins through it make it safe: they do not hold it on.
    """

    notation: str
    preferred: str
    alternatives: tuple[str, ...] = ()
    kind: str
    gloss: str = ""
    broader: str = ""
    zone: str = "any"
    chapter: str = ""
    symmetrical: bool = False
    per_aircraft: int | None = None
    safe_by_pins: bool = False


class Act(Value):
    """Something that is done to parts. ``sayings`` are as in acts.csv."""

    notation: str
    preferred: str
    sayings: tuple[str, ...]
    states: tuple[str, ...] = ()
    on_fasteners: str = ""
    gloss: str = ""


class Finding(Value):
    """A condition that is seen. ``good`` is True where the part is as it should be."""

    notation: str
    preferred: str
    nouns: tuple[str, ...] = ()
    adjectives: tuple[str, ...] = ()
    verbs: tuple[str, ...] = ()
    good: bool = False
    gloss: str = ""


class Words(Value):
    """A notation with the words that stand for it (grades, sides, counted things, units, storage, schemes of place).

    ``extra`` holds the list's other columns by name.
    """

    notation: str
    words: tuple[str, ...]
    extra: dict[str, str] = Field(default_factory=dict)


class Verb(Value):
    """An irregular verb: its base form with its past forms and its past participles."""

    verb: str
    past: tuple[str, ...]
    participle: tuple[str, ...]


class Short(Value):
    """A short name that several parts share; "-" first means that nothing is read unless the talk settles it."""

    name: str
    may_be: tuple[str, ...]


class Cue(Value):
    """Words with what they mean for the status of what is said with them."""

    cue: str
    means: str


class Spelling(Value):
    """A word of a dialect as it is written down, with the common word in whose place it is read."""

    said: str
    means: str


class StationPoint(Value):
    """Where a frame, spar, rib or station of the type is.

    ``inches`` is the distance aft of the datum, or outboard of the centre line where ``measured_from`` says so;
    ``strong`` says that the type's own data lets a support stand there.
    """

    scheme: str
    at: str
    inches: float
    measured_from: str = "datum"
    strong: bool = False
    note: str = ""


class Outline(Value):
    """One outline of the aircraft as drawn: columns as in outline.csv, ``part`` a notation or "".

    ``points`` are (inches aft of the datum, inches outboard of the centre line or above the body's axis); ``line`` is
    where it stands in its list: what is listed first lies lowest.
    """

    shape: str
    view: Literal["side", "plan"]
    kind: Literal["area", "hidden", "line"] = "area"
    part: str = ""
    zone: str
    symmetry: Literal["pair", "halves", ""] = ""
    points: tuple[tuple[float, float], ...]
    line: int = 0


class Joint(Value):
    """What holds a part or joint, and what is freed before it is parted: notations throughout.

    ``count`` is how many fasteners there are for one such part, None where that depends on the type; ``about`` says
    that the number is only about right.
    """

    part: str
    joins: tuple[str, ...] = ()
    fasteners: tuple[str, ...] = ()
    count: int | None = None
    about: bool = False
    services: tuple[str, ...] = ()
    held_up: tuple[str, ...] = ()


class OrderRule(Value):
    """What is done before what when taking apart: acts, each with the notation of a part.

    ``part`` and ``before_part`` may be "services", "section", "hung" or "joint": what there is at each joint.
    """

    rule: str
    act: str
    part: str
    before_act: str
    before_part: str
    why: str
    source: str


class HoldRule(Value):
    """Where putting together stops until an authorised person has looked.

    ``after`` are steps of putting together ("connect"), ``place`` is "before" the step, "after" it, or once for the
    "system". It is for parts of ``kinds``, and for ``parts`` and what belongs to them; for every part if both are
    empty.
    """

    hold: str
    name: str
    after: tuple[str, ...]
    kinds: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    place: str
    why: str
    source: str


class PartSet(Value):
    """How many of a part make a set. ``of`` is a part's notation or "aircraft"; ``number`` None: the type says."""

    part: str
    number: int | None
    of: str


class Taught(Value):
    """What a person taught: wherever ``heard`` is heard, ``means`` is read; ``part`` is what it is a new name of.

    Where both are the same, only a name is added to the part.
    """

    heard: str
    means: str
    part: str = ""


class Chapter(Value):
    """A system chapter: two figures and its title."""

    chapter: str
    title: str


class Rule(Value):
    """When to give which advice. Columns as in rules.csv; every list may be empty.

    ``text`` is the advice, with what it is about in braces; ``kind`` says how the rest is looked at.
    """

    notation: str
    kind: str
    acts: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    answers: tuple[str, ...] = ()
    by: tuple[str, ...] = ()
    text: str = ""
    reason: str = ""
    source: str = ""


class Zone(Value):
    """Where on an aircraft a part is, in the large, with the major zones (hundreds) that it lies in."""

    notation: str
    preferred: str
    major: tuple[str, ...] = ()
    gloss: str = ""


class Name(NamedTuple):
    """A name that people say, with what it stands for."""

    text: str
    notation: str
    list: str
