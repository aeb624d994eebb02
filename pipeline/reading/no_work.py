"""Verbs that are no work on a part: people who come and go, things that do something by themselves."""

from collections.abc import Sequence

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.pieces import DETERMINERS, Piece

UNACCUSATIVE = word_set("come go drop fall")
_MOVING = word_set("come go drop fall slide lift pull draw split part want need")
_WHO_GOES = word_set("i we he you who")


def no_work(pieces: Sequence[Piece], clause: Clause, at: int, verb: str) -> bool:
    """Tell whether a verb is no work ("I came out backwards", "the crack runs for an inch", "it locks up")."""
    if verb not in _MOVING and "s" in pieces[at].forms and _lone_thing(pieces, clause, at):
        return True
    if verb == "make" and at + 1 < clause.last and pieces[at + 1].low in ("sure", "certain", "do", "it"):
        return True
    if verb == "get" and "s" in pieces[at].forms and _alone_after(pieces, clause, at):
        return True  # "no dirt gets in"
    if verb == "carry" and "s" in pieces[at].forms and pieces[at - 1].low not in ("he", "she"):
        return True  # "this one carries an old patch"
    if verb == "run":
        return pieces[at].low == "runs"  # "the crack runs for an inch"
    if verb not in UNACCUSATIVE or at == clause.first:
        return False
    joined = verb == "come" and pieces[at - 1].low in ("and", "then") and _told_of_people(pieces, at)
    if pieces[at - 1].low not in _WHO_GOES and not joined:
        return False
    let_fall = verb == "drop" and at + 1 < clause.last and _object_like(pieces, at + 1)
    return not let_fall or _dropped_somewhere(pieces, clause, at)


def _alone_after(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether nothing but a particle follows a verb."""
    particle = at + 1 < clause.last and pieces[at + 1].low in ("in", "out", "off", "on", "through")
    return particle and (at + 2 >= clause.last or pieces[at + 2].kind == "mark")


def _told_of_people(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether the subject of what was said just before is a person ("I went under it and came out")."""
    step = at - 2
    while step >= 0 and pieces[step].low not in (".", "?", "!", ",", "and", "so", "but"):
        step -= 1
    return step + 1 < at and pieces[step + 1].low in _WHO_GOES


def _object_like(pieces: Sequence[Piece], at: int) -> bool:
    return pieces[at].kind in ("thing", "side", "number") or pieces[at].low in DETERMINERS | {"it", "them", "both"}


def _dropped_somewhere(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether something was only let fall ("I dropped the cock in the grass")."""
    things = [step for step in range(at + 1, clause.last) if pieces[step].kind == "thing"]
    after = things[0] + 1 if things else clause.last
    return (
        after + 1 < clause.last
        and pieces[after].low in ("in", "into", "on", "down", "behind", "under")
        and (
            pieces[after + 1].low in DETERMINERS
            and pieces[after + 2 if after + 2 < clause.last else after].kind == "word"
        )
    )


def _lone_thing(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether a thing does it by itself ("it locks up fine"): no work on a part."""
    before = pieces[at - 1] if at > clause.first else None
    after = pieces[at + 1] if at + 1 < clause.last else None
    has_object = after is not None and (
        after.kind in ("thing", "number", "side") or after.low in DETERMINERS | {"it", "them"}
    )
    alone = before is not None and (before.low in ("it", "one") or before.kind in ("thing", "side", "mark"))
    return alone and not has_object
