"""The lists of ``out/records.json``: what the facts add up to, in the published form. See ``records``."""

from datetime import date
from typing import Literal

from pydantic import AwareDatetime, Field

from pipeline.reading.fact import Measure, Place, Side, Stowage
from pipeline.record import Record


class Move(Record):
    """One thing that happened to a part or a joint, with the entry that says so."""

    on: date
    what: str
    entry: str = Field(description="the entry that says so; of words of which no fact was read, the utterance")
    item: str | None = Field(default=None, description="the part that was worked on, where the line is of another")


class Question(Record):
    """Something that a list cannot tell: what kind of question it is, and what and whom it is about."""

    kind: str = Field(description='what is asked, by its name: "not-stowed", "one-tag-two-parts"')
    item: str | None = None
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    position: str = Field(default="", description='which engine, where no side tells: "nose", "inner", "number 3"')
    called: str = Field(default="", description='what a cable or a rod was called by: "elevator cable"')
    tag: str | None = None
    days: tuple[date, ...] = Field(default=(), description="the days that it turns on, in order")
    numbers: tuple[int, ...] = Field(default=(), description="the numbers that it turns on")
    others: tuple[tuple[str, Side | None], ...] = Field(default=(), description="the other parts that it is about")
    entries: tuple[str, ...] = Field(default=(), description="the entries that it comes from")


class Held(Record):
    """Fasteners that held a part: counted as they were undone, explained, or what is usual by the vocabulary."""

    of: str
    count: int | None = None
    about: bool = False
    place: tuple[Place, ...] | None = None
    told: Literal["undone", "explained", "usual"]
    joint: str | None = Field(
        default=None, description="the joint that they were undone at, where it is not the part"
    )
    entry: str | None = None


PartEventKind = Literal[
    "removed",
    "removed-again",
    "told-again",
    "left-on",
    "refitted",
    "replaced",
    "undone",
    "inspected",
    "finding",
    "treated",
    "painted",
    "repaired",
    "bagged",
    "tagged",
    "stowed",
    "moved",
    "other",
]


class PartEvent(Record):
    """One thing in the life of a part, with the entry that says so and what it changed."""

    on: date
    what: PartEventKind = Field(description="told-again: said to have come off while it was off already")
    entry: str
    act: str | None = None
    finding: str | None = None
    absent: bool = False
    grade: str | None = None
    measure: tuple[Measure, ...] | None = None
    count: int | None = None
    of: str | None = None
    about: bool = False
    stowage: Stowage | None = Field(default=None, description="where it is kept from then on, if that changed")
    tag: str | None = Field(default=None, description="its tag from then on, if that changed")
    tag_before: str | None = Field(default=None, description="the tag that this one took the place of")
    called: str | None = Field(default=None, description="what it was called, where its tag named it otherwise")
    inferred: str = Field(default="", description="why it is taken to be of this part, where the words do not say so")


class PartOff(Record):
    """One part that came off or is stowed or tagged: its life, and where it is now."""

    item: str
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    position: str = Field(default="", description='which engine, where no side tells: "nose", "inner", "number 3"')
    called: str = Field(default="", description='what a cable or a rod was called by: "elevator cable"')
    tag: str | None = None
    former_tags: tuple[str, ...] = Field(default=(), description="tags that were corrected; they still name it")
    state: Literal["on", "off", "refitted", "replaced", "unknown"] = Field(
        default="unknown", description="replaced: another one was fitted in its place"
    )
    removed_on: date | None = Field(default=None, description="when it came off, the last time")
    refitted_on: date | None = Field(default=None, description="when it was refitted; none once it is off again")
    replaced_on: date | None = Field(default=None, description="when another one was fitted in its place")
    attached_to: tuple[str, ...] = Field(default=(), description="what it was joined to")
    attached_by: Literal["undone", "usual", ""] = Field(
        default="", description="undone: from the joint undone with it; usual: as the vocabulary has it"
    )
    held: tuple[Held, ...] = ()
    stowage: Stowage | None = None
    kept_in_words: str = Field(default="", description="the words that tell where it is, where no list has the place")
    stowed_on: date | None = Field(default=None, description="since when it is kept there")
    moved_on: date | None = Field(default=None, description="when it was moved from there, and nobody said where to")
    life: tuple[PartEvent, ...] = ()
    questions: tuple[Question, ...] = ()


class LineQuestion(Record):
    """Something about one line that a person should ask: its kind, and the values that it turns on."""

    kind: str = Field(description='what is asked, by its name: "not-bagged", "not-blanked"')
    numbers: tuple[int, ...] = ()
    bags: tuple[str, ...] = ()
    days: tuple[date, ...] = ()


class Observation(Record):
    """One time that a condition was looked at or told of."""

    on: date
    absent: bool = False
    grade: str | None = None
    measure: tuple[Measure, ...] | None = None
    count: int | None = None
    of: str | None = None
    entry: str
    earlier: str = Field(default="", description="words that put it before the day on which it was told: October")


class FindingLine(Record):
    """One condition that was looked at: as it was last seen, with every earlier telling of it."""

    on: date = Field(description="the day on which it was first told")
    item: str | None
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    position: str = Field(default="", description='which engine, where no side tells: "nose", "inner", "number 3"')
    called: str = Field(default="", description='what a small part was called after another: "canopy seal"')
    finding: str
    absent: bool = Field(default=False, description="when it was last looked at, it was not there")
    grade: str | None = None
    measure: tuple[Measure, ...] | None = None
    count: int | None = None
    of: str | None = None
    entry: str = Field(description="the entry in which it was last told")
    photos: tuple[str, ...] = ()
    zone: str = Field(default="any", description="where on the aircraft, as zones.csv names it")
    severity: int = Field(default=0, description="for the order of the list only; no verdict")
    seen: tuple[Observation, ...] = Field(default=(), description="every time it was told, in order")
    worst: int | None = Field(default=None, description="which of ``seen`` was the worst, from 0")
    closed_on: date | None = Field(default=None, description="seen before, and looked for in vain on this day")
    done: tuple[Move, ...] = Field(default=(), description="work on that part since")
    planned: tuple[Move, ...] = Field(default=(), description="work on that part that was said to be planned since")
    questions: tuple[LineQuestion, ...] = ()


class FastenerLine(Record):
    """What holds one joint or part, of one kind: how many there are, and what has become of them."""

    item: str | None = Field(default=None, description="what they hold; none where nobody said")
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    position: str = Field(default="", description='which engine, where no side tells: "nose", "inner", "number 3"')
    of: str = Field(default="", description='kind of fastener; "" where only "the fastenings" were spoken of')
    expected: int | None = Field(default=None, ge=0)
    expected_about: bool = False
    expected_from: Literal["said", "vocabulary", ""] = ""
    undone: int | None = Field(default=None, ge=0)
    drilled_out: int | None = Field(default=None, ge=0)
    bagged: int | None = Field(default=None, ge=0)
    fitted: int | None = Field(default=None, ge=0, description="fitted again")
    tightened: int | None = Field(default=None, ge=0)
    missing: int | None = Field(default=None, ge=0, description="found missing")
    broken: int | None = Field(default=None, ge=0, description="found broken")
    about: tuple[str, ...] = Field(default=(), description="which of these numbers are only about right")
    uncounted: tuple[str, ...] = Field(default=(), description="which of these were told without a number too")
    bags: tuple[str, ...] = ()
    in_bag: int | None = Field(default=None, ge=0, description="how many are there, where that was told again later")
    in_bag_on: date | None = Field(default=None, description="when that was told")
    emptied_on: date | None = Field(default=None, description="when every one of its bags was said to be empty")
    left: int | None = Field(default=None, ge=0, description="expected less undone less drilled out, where known")
    not_bagged: int | None = Field(default=None, ge=0, description="undone less bagged, where known")
    to_account_for: int | None = Field(
        default=None, ge=0, description="expected less bagged, of a part that is off and whose undoing nobody counted"
    )
    part_numbers: tuple[str, ...] = ()
    moves: tuple[Move, ...] = ()
    questions: tuple[LineQuestion, ...] = ()


class DisconnectionLine(Record):
    """One service or control that was disconnected or opened, and whether it is connected again."""

    item: str | None
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    position: str = Field(default="", description='which engine, where no side tells: "nose", "inner", "number 3"')
    called: str = Field(default="", description="what a control was called by what it moves: throttle rod")
    parted_at: str = Field(default="", description="where it was parted, in the speaker's words: firewall")
    joint: str | None = Field(default=None, description="the joint or part at which it was parted")
    joint_inferred: bool = Field(default=False, description="from what else was told in the same entry")
    act: str = ""
    count: int | None = None
    disconnected_on: date | None = None
    blanked_on: date | None = None
    blanked_with: str = ""
    must_be_blanked: bool = Field(default=False, description="a line that should not stay open (pipeline/lists)")
    tag: str | None = None
    tagged_on: date | None = None
    connected_on: date | None = None
    inspect_independently: str = Field(
        default="", description="the control that it belongs to, for which that is usual"
    )
    moves: tuple[Move, ...] = ()
    questions: tuple[LineQuestion, ...] = ()


class WaitsFor(Record):
    """What a piece of work waits for: other work that is still owed, or a part that must be off or in place first."""

    act: str
    item: str
    side: Side | None = None
    why: Literal["said", "owed-before"]
    entry: str


class ToDo(Record):
    """Something said to be planned, or not done, and not done since."""

    said_on: date
    status: Literal["planned", "not-done"]
    act: str
    item: str | None = None
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    position: str = Field(default="", description='which engine, where no side tells: "nose", "inner", "number 3"')
    called: str = Field(default="", description='what a cable or a rod was called by: "elevator cable"')
    count: int | None = Field(default=None, ge=0, description="how many of ``of`` are still to be worked on")
    of: str | None = None
    words: str = Field(description="the sentence in which it was said")
    owed_since: date | None = Field(
        default=None, description="when it was first said not to be done, where it was planned on a later day"
    )
    entry: str
    age_days: int = Field(default=0, ge=0, description="from when it was first said to the last day of the book")
    waits_for: tuple[WaitsFor, ...] = ()


SupportQuestion = Literal["may-be-gone", "moved-on", "gear-moved", "came-off", "fitted-since", "never-told"]


class SupportLine(Record):
    """One support, from when it was told of until it was told to be gone."""

    item: str | None = Field(default=None, description="what stands on it or hangs from it")
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    position: str = Field(default="", description='which engine, where no side tells: "nose", "inner", "number 3"')
    by: tuple[str, ...] = Field(default=(), description="lifting gear that was named, as notations or plain words")
    how: Literal["support", "lift"] = "support"
    since: AwareDatetime
    until: AwareDatetime | None = None
    ended_by: str = Field(default="", description="the act that ended it")
    moves: tuple[Move, ...] = ()
    questions: tuple[SupportQuestion, ...] = ()


class WayBackStep(Record):
    """One step of putting together again. ``secure`` is to tighten and lock; ``release`` to take supports away."""

    id: str
    act: Literal["fit", "secure", "release", "connect", "refill", "close"]
    item: str
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    position: str = Field(default="", description='which engine, where no side tells: "nose", "inner", "number 3"')
    called: str = Field(default="", description="what a control was called by what it moves: throttle rod")
    joint: str = Field(default="", description="for what runs across a joint: the joint, or the part that came off")
    parted_at: str = Field(default="", description="where it was parted, in the speaker's words: firewall")
    assembly: str = Field(default="", description="the large part that it belongs to, '' for none")
    undone_on: date | None = Field(default=None, description="when it came off, was undone, disconnected or opened")
    held: tuple[Held, ...] = ()
    tag: str | None = None
    stowage: Stowage | None = None
    kept_in_words: str = Field(default="", description="as in parts off")
    blanked: bool = False
    done_on: date | None = Field(default=None, description="when somebody said that it is done again")
    questions: tuple[str, ...] = Field(default=(), description='what nobody told, by name: "locking-not-told"')
    entries: tuple[str, ...] = ()


class WayBackReason(Record):
    """Why one step comes before another. ``rule`` names the line of the vocabulary's list, or is ''."""

    kind: Literal["told", "explained", "containment", "joint", "rule", "together", "afterwards"] = Field(
        description="together: told in one breath; afterwards: told when it had been put away; both are weak"
    )
    rule: str = ""
    why: str = Field(default="", description="as the vocabulary's list gives it")
    source: str = ""
    entries: tuple[str, ...] = ()


class WayBackEdge(Record):
    """``before`` comes before ``after``. ``left_out``: it is on a cycle, and the order does without it."""

    before: str
    after: str
    reasons: tuple[WayBackReason, ...]
    left_out: bool = False


class WayBackCycle(Record):
    """Steps each of which should come before the next, and the last before the first; one edge was left out."""

    steps: tuple[str, ...]
    left_out: tuple[str, str]


class HoldPoint(Record):
    """Where putting together stops: to be inspected by a person who is authorised. It is never marked as done."""

    id: str
    hold: str
    name: str
    item: str | None = None
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    position: str = Field(default="", description='which engine, where no side tells: "nose", "inner", "number 3"')
    called: str = Field(default="", description="what a control was called by what it moves: throttle rod")
    assembly: str = ""
    after: tuple[str, ...] = Field(default=(), description="steps that come first")
    before: tuple[str, ...] = Field(default=(), description="steps that wait for it")
    why: str
    source: str


class WayBack(Record):
    """The order of putting together again, worked out from what was told: advice, never an instruction."""

    steps: tuple[WayBackStep, ...] = ()
    edges: tuple[WayBackEdge, ...] = ()
    cycles: tuple[WayBackCycle, ...] = ()
    hold_points: tuple[HoldPoint, ...] = ()
    order: tuple[str, ...] = Field(default=(), description="ids of steps and hold points, first to last")


class Lists(Record):
    """What the facts add up to."""

    parts_off: tuple[PartOff, ...] = ()
    fasteners: tuple[FastenerLine, ...] = ()
    disconnections: tuple[DisconnectionLine, ...] = ()
    findings: tuple[FindingLine, ...] = ()
    to_do: tuple[ToDo, ...] = ()
    way_back: WayBack = WayBack()
    holding_up: tuple[SupportLine, ...] = ()
