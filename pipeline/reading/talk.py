"""What a note has spoken of so far: what "it" stands for, which side carries on, which place."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from pipeline.reading.confidence import confidence_of, doubts_about
from pipeline.reading.fact import Fact, Measure, Place, Stowage
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.phrases import Phrase
from pipeline.reading.short_names import settled

_OTHER = {"port": "starboard", "starboard": "port"}
_UPRIGHT = word_set("fin rudder")
_HULLS = word_set("float")  # with keels, bulkheads and hatches of their own
_BESIDE = word_set("wing gear nacelle")
SPARS = word_set("front-spar rear-spar")
_OF_THE_WHOLE = word_set("battery battery-carrier ground-supply-socket bilge-pump dinghy")
_WITH_TWO_MAGNETOS = word_set("engine propeller spinner")


def apart(lexicon: Lexicon, sided: str, item: str) -> bool:
    """Tell whether the side that was said of one part says nothing of another: they are of different assemblies.

    An engine has a port and a starboard magneto, and a rudder none of the wing's two spars. The battery is the whole
    aircraft's.
    """
    if item in _OF_THE_WHOLE and item != sided:
        return True
    if item in SPARS and lexicon.part_kind.get(sided) == "control-surface":
        return not lexicon.vocabulary.is_a(sided, "mainplane")
    if sided == "magneto" and item in _WITH_TWO_MAGNETOS:
        return True
    zones = {lexicon.zone_and_side(sided)[0], lexicon.zone_and_side(item)[0]}
    return not (len(zones) == 1 or "any" in zones or zones <= _BESIDE)


@dataclass
class Draft:
    """A fact being put together; the fields are those of ``Fact``."""

    status: str
    act: str = ""
    finding: str = ""
    item: str = ""
    side: str = ""
    words: tuple[int, int] = (0, 0)
    rule: str = ""
    places: list[Place] = field(default_factory=list)
    count: int | None = None
    of: str = ""
    about: bool = False
    measures: list[Measure] = field(default_factory=list)
    absent: bool = False
    grade: str = ""
    stowage: dict[str, str] = field(default_factory=dict)
    tag: str = ""
    inferred: list[tuple[str, str]] = field(default_factory=list)
    clause: int = -1
    sentence: int = -1
    group: int = -1

    def fact(self) -> Fact:
        """Return it as a fact, with what does not apply left out."""
        return Fact.model_validate(
            {
                "status": self.status,
                "act": self.act or None,
                "item": self.item or None,
                "side": self.side or None,
                "place": tuple(dict.fromkeys(self.places)) or None,
                "count": self.count,
                "of": self.of if self.count is not None else None,
                "about": True if self.about and self.count is not None else None,
                "measure": tuple(self.measures) or None,
                "finding": self.finding or None,
                "absent": True if self.absent else None,
                "grade": self.grade or None,
                "stowage": Stowage.model_validate(self.stowage) if self.stowage else None,
                "tag": self.tag or None,
                "words": self.words,
                "rule": self.rule,
                "inferred": tuple(self.inferred),
                "confidence": confidence_of(self.rule, self.inferred),
                "doubts": doubts_about(self.rule, self.inferred),
            }
        )


@dataclass
class Target:
    """What a fact is about: a part or fastener with its side; ``why`` says what was inferred about it."""

    item: str = ""
    side: str = ""
    side_said: bool = False
    places: tuple[Place, ...] = ()
    inferred: tuple[tuple[str, str], ...] = ()
    phrase: Phrase | None = None


@dataclass
class Talk:
    """The state of one note as it is read."""

    lexicon: Lexicon
    focus: str = ""
    focus_side: str = ""
    main: str = ""
    main_side: str = ""
    headed: bool = False
    headed_in: int = -9
    held: str = ""
    held_side: str = ""
    side: str = ""
    side_item: str = ""
    paired: str = ""
    fasteners: str = ""
    loose_in: int = -9
    mentioned: list[str] = field(default_factory=list)
    plurals: set[str] = field(default_factory=set)
    places: list[Place] = field(default_factory=list)
    place_item: str = ""
    place_heads: bool = False
    place_told: bool = False
    tagging_in: int = -9
    pending_tag: tuple[str, int] = ("", -1)
    drafts: list[Draft] = field(default_factory=list)

    def other_side(self) -> str:
        """Return the side that is not the current one, or ""."""
        return _OTHER.get(self.side or self.focus_side, "")

    def mention(self, item: str) -> None:
        """Note that a part was named."""
        if item and item not in self.lexicon.fasteners and self.mentioned[-1:] != [item]:
            self.mentioned.append(item)

    def settle(self, short: str) -> str:
        """Return the part that a short name stands for here, or ""."""
        talked_of = (self.focus, self.main, *reversed(self.mentioned))
        return settled(self.lexicon.vocabulary, self.lexicon.shorts.get(short, ()), short, talked_of)

    def taken_as(self, short: str, item: str) -> str:
        """Return how a short name was settled, and whether anything in the talk settled it."""
        preferred = self.lexicon.vocabulary.preferred
        others = [part for part in self.lexicon.shorts.get(short, ()) if part not in ("-", item)]
        named = (self.focus, self.main, *self.mentioned)
        vocabulary = self.lexicon.vocabulary
        near = any(vocabulary.is_a(item, part) or vocabulary.is_a(part, item) for part in named if part)
        if near or not others:
            return f"'{short}' taken as {preferred(item)}"
        return f"'{short}' taken as {preferred(item)}; not settled: it may be {preferred(others[0])}"

    def carried_side(self, item: str) -> tuple[str, tuple[tuple[str, str], ...]]:
        """Return the side that carries on to a part named without one, with the reason."""
        if not self.side or (self.side == "both" and item != self.side_item):
            return self._side_told(item)
        zone, symmetrical = self.lexicon.zone_and_side(item)
        kind = self.lexicon.part_kind.get(item, "")
        if kind in ("fastener", "material") or item in self.lexicon.fasteners:
            return self.side, (("side", "carried on from what was said before"),)
        before, _ = self.lexicon.zone_and_side(self.side_item)
        if self.side_item in _HULLS and self.side in _OTHER:
            return self.side, (("side", "carried on from what was said before"),)
        gear = kind == "support-equipment"
        if not symmetrical and not (not gear and zone == "any" and before in _BESIDE and self._may_be_inside(item)):
            return "", ()
        if item in _UPRIGHT and not (
            self.side_item in _UPRIGHT or self.lexicon.vocabulary.is_a(self.side_item, "fin")
        ):
            return "", ()
        if apart(self.lexicon, self.side_item, item):
            return "", ()
        return self.side, (("side", "carried on from what was said before"),)

    def _side_told(self, item: str) -> tuple[str, tuple[tuple[str, str], ...]]:
        """Return the side on which this part was told of before, where it was one side only."""
        sides = {draft.side for draft in self.drafts if draft.item == item}
        if len(sides) == 1 and sides <= set(_OTHER):
            return sides.pop(), (("side", "the side on which this part was told of before"),)
        return "", ()

    def _may_be_inside(self, item: str) -> bool:
        """Tell whether a part that is no fuselage part may sit in a wing, a nacelle or a leg ("junction box")."""
        vocabulary = self.lexicon.vocabulary
        return bool(item) and vocabulary.part(item) is not None and not vocabulary.is_a(item, "fuselage")

    def set_side(self, side: str, item: str) -> None:
        """Take a side that was said as the current one; "both" of something does not end the talk of one side."""
        if side and not (side == "both" and self.side in _OTHER):
            self.side = side
            if item:
                self.side_item = item

    def returns_to_main(self) -> tuple[str, str]:
        """Return the part that the talk is mainly of, with its side: what "it" is after a word on a lesser part."""
        return (self.main, self.main_side) if self.main else (self.focus, self.focus_side)

    def attend(self, target: Target, minor: bool = False, held_up: bool = False) -> None:
        """Make a part the one that "it" stands for.

        A ``minor`` one leaves the main one as it was; one that is only ``held_up`` leaves the side as it was.
        """
        if not target.item:
            return
        if target.item in self.lexicon.fasteners:
            self.fasteners = target.item
            return
        kind = self.lexicon.part_kind.get(target.item, "")
        if kind in ("support-equipment", "material"):
            return
        self.focus, self.focus_side = target.item, target.side
        if not (minor and self.main):
            self.main, self.main_side = target.item, target.side
        self.mention(target.item)
        if target.side_said and target.side:
            self.set_side(target.side, target.item)
        zone, symmetrical = self.lexicon.zone_and_side(target.item)
        if symmetrical:
            self.paired = target.item
        elif not held_up and not target.side and (zone != "any" or kind == "structure"):
            self.side = ""

    def last(self, *statuses: str) -> Draft | None:
        """Return the last fact with one of these statuses (any, where none is given)."""
        for draft in reversed(self.drafts):
            if not statuses or draft.status in statuses:
                return draft
        return None


def facts_of(drafts: Sequence[Draft]) -> tuple[Fact, ...]:
    """Return the drafts as facts in their order."""
    return tuple(draft.fact() for draft in drafts)
