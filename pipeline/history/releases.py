"""What may go out to supporters: findings, names and quotations that a person who may say so has let out.

No finding and no quotation goes out by default, and no name. What ``book.toml`` says counts as let out there; the
last word in the history goes before it. Anybody of the team may keep something in; letting it out is for
those listed.
"""

from collections.abc import Iterable, Mapping
from typing import Any, Literal

from pydantic import TypeAdapter

from pipeline.history.decisions import withdrawn
from pipeline.history.events import Event
from pipeline.settings import Quoted, Released, Settings
from pipeline.values import Value

_ACTS = ("release", "keep-in")


class FindingOut(Value):
    """A finding on a part: notations; ``side`` "" where none was told."""

    kind: Literal["finding"] = "finding"
    item: str
    finding: str
    side: Literal["port", "starboard", "both", ""] = ""

    @property
    def name(self) -> str:
        """What the history calls it."""
        return f"finding: {self.finding} on {self.side + ' ' if self.side else ''}{self.item}"


class NameOut(Value):
    """The name of a person of the team, who has agreed to it."""

    kind: Literal["name"] = "name"
    person: str

    @property
    def name(self) -> str:
        """What the history calls it."""
        return f"name: {self.person}"


class QuotationOut(Value):
    """Words of one utterance, letter for letter; ``by`` is who said them, "" for one of the team."""

    kind: Literal["quotation"] = "quotation"
    utterance: str
    words: str
    by: str = ""

    @property
    def name(self) -> str:
        """What the history calls it."""
        return f"quotation: {self.utterance}"


Thing = FindingOut | NameOut | QuotationOut
_THING: TypeAdapter[Thing] = TypeAdapter(Thing)


def last_said(acts: Iterable[Event]) -> dict[str, Event]:
    """Return the last act that stands on each thing that was let out or kept in, by the thing's name."""
    acts = tuple(acts)
    gone = withdrawn(acts)
    return {act.on: act for act in acts if act.act in _ACTS and act.n not in gone}


def is_release(act: Event) -> bool:
    """Tell whether an event holds what it lets out: a history that was changed may lack it."""
    try:
        return thing_of(act).name == act.on
    except ValueError:
        return False


def thing_of(act: Event) -> Thing:
    """Return what an act lets out or keeps in; raises ValueError where it holds none."""
    return _THING.validate_python(act.after)


def with_releases(settings: Settings, acts: Iterable[Event]) -> Settings:
    """Return a book's settings with what people let out and kept in, as its history has it."""
    people, released, quoted = list(settings.people), list(settings.released), list(settings.quoted)
    for act in last_said(acts).values():
        out, thing = act.act == "release", thing_of(act)
        if isinstance(thing, NameOut):
            people = [one.model_copy(update={"consent": out}) if one.name == thing.person else one for one in people]
        elif isinstance(thing, FindingOut):
            released = [one for one in released if not covers(one, thing)]
            if out:
                more = thing.model_dump(exclude={"kind"})
                released.append(Released.model_validate({**more, "who": act.who, "on": act.at.date()}))
        else:
            quoted = [one for one in quoted if one.utterance != thing.utterance]
            if out:
                quoted.append(Quoted.model_validate({**thing.model_dump(exclude={"kind"}), "who": act.who}))
    update: Mapping[str, Any] = {"people": tuple(people), "released": tuple(released), "quoted": tuple(quoted)}
    return settings.model_copy(update=dict(update))


def covers(one: Released, thing: FindingOut) -> bool:
    """Tell whether what the settings let out holds a finding; what is wider does, and so is kept in with it."""
    return one.item == thing.item and one.finding in ("", thing.finding) and one.side in ("", thing.side)
