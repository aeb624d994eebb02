"""Which run of the controls is meant where one name of the vocabulary stands for several: "throttle rod"."""

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

from pipeline.lists.known_parts import KnownParts
from pipeline.lists.logged import LoggedFact, alternatives
from pipeline.reading.vocabulary import Vocabulary

_NO_FLIGHT_CONTROL = (
    "brake", "hand brake", "handbrake", "parking brake", "fire bottle", "fire extinguisher", "starter", "choke",
    "tow release", "fuel cock", "rev counter", "tachometer", "tacho", "heater",
)  # fmt: skip
"""What is moved by a cable like the flight controls' and is none of them. Source: common practice, no source."""
_OF_AN_ENGINE = (
    "throttle", "mixture", "pitch", "propeller", "prop", "boost", "cut-off", "cut off", "cowl gill", "cowl flap",
    "carburettor heat",
)  # fmt: skip
_MOVED = (
    *_NO_FLIGHT_CONTROL, *_OF_AN_ENGINE, "trim", "trim tab", "tab", "tail wheel", "rudder trim",
    "elevator trim", "aileron trim", "aileron", "rudder", "elevator", "flap",
)  # fmt: skip
"""What a control's cable or rod moves, as it is called by. Source: common practice, no source."""
_BY_OTHER_NAME = {"prop": "propeller", "cut off": "cut-off", "cowl flap": "cowl gill", "handbrake": "hand brake"}
_BY_OTHER_NAME |= {"tacho": "rev counter", "tachometer": "rev counter"}
_SURFACE = "control-surface"
_RUN = r"(?:(?:control|operating|balance) )?(?:cable|wire|rod|push[- ]?rod|tube|chain|linkage|link|run|control)s?"
_WAY = r"(?:up|down)"
_ONE_WAY = rf"(?<=\bthe ){_WAY} (?:cable|wire)s?"  # "the down cable": the elevator's, a flap's or a tab's
_BOTH_WAYS = frozenset({"elevator", "flap", "trim", "trim tab", "tab", "elevator trim", "aileron", "aileron trim"})
"""What one cable moves up and another down. Source: common practice, no source."""
_AND = r"(?:,? and |, )(?:the )?(?:(?:port|starboard) )?"


def with_controls_called(
    facts: Iterable[LoggedFact], vocabulary: KnownParts, said: Mapping[str, str]
) -> tuple[LoggedFact, ...]:
    """Return the facts, those of cables and rods that say only "they" with what these were called by before.

    That is what the last fact of them called them by, or words since: "What about the down cable?" tells no fact.

    Args:
        facts: in any order; those of one entry in the order told.
        vocabulary: for which parts are controls, and the names of control surfaces.
        said: all that was said in each entry, by its id.
    """
    last: dict[tuple[str, str | None], tuple[tuple[str, ...], int]] = {}  # by entry and part: how, and till where
    kept = []
    for logged in facts:
        called = controls_called(logged, vocabulary)
        carried = any(key == "item" for key, _ in getattr(logged.fact, "inferred", ()))
        which, text = (logged.entry, logged.fact.item), said.get(logged.entry, "")
        before, until = last.get(which, ((), 0))
        start = max(0, text.find(logged.around, until)) if logged.around and (called or carried) else 0
        if called:
            last[which] = called, start
        elif carried and (meant := _called_since(text[until:start], logged, vocabulary) or before):
            logged = logged.model_copy(update={"called": meant})
        kept.append(logged)
    return tuple(kept)


def _called_since(words: str, logged: LoggedFact, vocabulary: KnownParts) -> tuple[str, ...]:
    """Return what the part of a fact was called by last in the words before it; () where it was not."""
    part = vocabulary.part(logged.fact.item or "")
    if part is None or part.kind != "controls":
        return ()
    surfaces = _surfaces(vocabulary)
    kinds = {"cable", "wire"} if part.notation.endswith("cable") else {part.notation.rpartition("-")[2]}
    told = [one.group() for one in _told(surfaces).finditer(words)]
    meant = [one for one in told if re.sub(r"\W", " ", one.lower()).split()[-1].removesuffix("s") in kinds]
    return _called(meant[-1], surfaces) if meant else ()


def controls_called(logged: LoggedFact, vocabulary: KnownParts) -> tuple[str, ...]:
    """Return what the cables or rods of a fact were called by what they move, in the order said.

    ("throttle rod", "mixture rod") for "disconnected the throttle rod and the mixture rod"; () where nobody said. The
    fact's own words count before those of its sentence, and these before what was said of "them" before.

    Args:
        logged: of one control or of several that have one name in the vocabulary.
        vocabulary: for which parts are controls, and the names of control surfaces.
    """
    part = vocabulary.part(logged.fact.item or "")
    if part is None or part.kind != "controls":
        return ()
    surfaces = _surfaces(vocabulary)
    sentence = logged.sentence
    start = max(0, sentence.find(logged.said))
    end = start + len(logged.said)
    told = list(_told(surfaces).finditer(sentence))
    own = [one for one in told if one.start() < end and one.end() > start]
    before = [one for one in told if one.end() <= start]
    meant = own or before[-1:] or told
    name = part.preferred.lower()
    if (by_its_name := _told(surfaces).fullmatch(name)) is not None:
        meant = [by_its_name]
    if not meant:
        return logged.called
    return _called(meant[0].group(), surfaces) if len(meant) == 1 else ()


def same_name(one: str, other: str) -> bool:
    """Tell whether one part can be called both: "aileron cable" and "aileron wire"; who says nothing may mean any.

    "The down cable" can be the elevator's, and the elevator cable it can be too, but never its up cable. What is no
    control is another one under another name: "canopy seal" and "door seal".
    """
    if not (one and other):
        return True
    (moved, way), (other_moved, other_way) = _moved_and_way(one), _moved_and_way(other)
    if way and other_way and way != other_way:
        return False
    if moved and other_moved:
        return moved == other_moved
    return (moved or other_moved) in {"", *_BOTH_WAYS}


@lru_cache(maxsize=1000)
def _moved_and_way(called: str) -> tuple[str, str]:
    """Return what a control moves, and up or down: ("elevator", "down"), ("throttle", "")."""
    found = re.fullmatch(rf"(?P<moved>.*?) ?(?P<way>\b{_WAY})? {_RUN}", called)
    return (_BY_OTHER_NAME.get(found["moved"], found["moved"]), found["way"] or "") if found else (called, "")


def is_no_flight_control(called: str) -> bool:
    """Tell whether a cable or rod is called by something that flies nothing: "fire bottle cable"."""
    return any(called.startswith(f"{moved} ") for moved in _NO_FLIGHT_CONTROL)


def is_engine_control(called: str) -> bool:
    """Tell whether a cable or rod is called by something of an engine or a propeller: "propeller control cable"."""
    return any(called.startswith(f"{moved} ") for moved in _OF_AN_ENGINE)


def may_cross(called: str, joint: str, vocabulary: Vocabulary) -> bool:
    """Tell whether a cable or rod of that name can run across a joint: an elevator's does not cross an aileron's.

    Args:
        called: as told by ``controls_called``; "" can be any.
        joint: the part, or the joint of another name, that is parted there.
        vocabulary: for which parts are control surfaces, and where they are.
    """
    at = vocabulary.part(joint)
    if not called or at is None:
        return True
    moved = next(
        (one for one in vocabulary.parts if one.kind == _SURFACE and called.startswith(f"{one.preferred.lower()} ")),
        None,
    )
    if at.kind == _SURFACE:
        return at == moved
    return moved is None or {moved.zone, at.zone} != {"wing", "tail"}


@lru_cache(maxsize=8)
def _surfaces(vocabulary: KnownParts) -> frozenset[str]:
    return frozenset(one.preferred.lower() for one in vocabulary.parts if one.kind == _SURFACE)


@lru_cache(maxsize=8)
def _told(surfaces: frozenset[str]) -> re.Pattern[str]:
    """Return the pattern of a list of controls that one thing is said of: "the throttle and the mixture rod"."""
    one = rf"(?:{_moved(surfaces)})s?(?: {_WAY})?(?: {_RUN})?"
    last = rf"(?:{_moved(surfaces)})(?: {_WAY})? {_RUN}"
    return re.compile(rf"\b(?:{one}{_AND})*{last}\b|{_ONE_WAY}\b", re.IGNORECASE)


@lru_cache(maxsize=8)
def _moved(surfaces: frozenset[str]) -> str:
    return alternatives((*_MOVED, *surfaces))


def _called(words: str, surfaces: frozenset[str]) -> tuple[str, ...]:
    one = rf"\b(?:({_moved(surfaces)})s?(?: ({_WAY}))?|({_WAY}))(?: ({_RUN}))?(?![\w-])"
    found = [(moved, way or alone, run) for moved, way, alone, run in re.findall(one, words.lower())]
    last = next((run for *_, run in reversed(found) if run), "control")
    names = (" ".join(filter(None, (moved, way, (run or last).removesuffix("s")))) for moved, way, run in found)
    return tuple(dict.fromkeys(names))
