"""Tags read out beside what they are on, without a verb: "rudder R-12, fin R-13", "P-0412 for the port elevator"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import PARTING, Case, by_law
from pipeline.reading.pieces import BE, DETERMINERS, Piece
from pipeline.reading.spans import Span, holds, overlap
from pipeline.reading.tags import TAGGED

_TO_NAME = word_set("for on is 's to goes")  # from a tag to what it is on
_TO_TAG = BE | DETERMINERS | TAGGED | word_set("on has got with number wears bears carries , : -")
_COMES = ("come", "fall", "drop", "blow", "peel")
_AS_FAR = 5  # pieces between a tag and what it is on


class _Beside(NamedTuple):
    """A tag with the part and the side that are named beside it ("" for none), and where that stands."""

    tag: str
    part: str
    side: str
    words: Span


def with_tags_beside_names(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with each tag that none of them has on the part that is named right beside it.

    It goes to the first fact of that part which its sentence tells, or is told as an act of tagging.
    """
    found = list(facts)
    for one in _beside(case):
        if any(fact.tag == one.tag for fact in found) or any(holds(s, one.words[0]) for s in case.rules.not_done):
            continue
        sentence = case.rules.sentence(one.words[0])
        own = [n for n, fact in enumerate(found) if fact.item == one.part and holds(sentence, fact.words[0])]
        own = [n for n in own if found[n].side in (None, one.side) or not one.side]
        free = [n for n in own if found[n].status == "done" and not found[n].tag]
        if free:
            found[free[0]] = found[free[0]].model_copy(update={"tag": one.tag})
            continue
        side, rule = one.side or None, "tag read out: tag"
        told = by_law(rule, status="done", act="tag", item=one.part, side=side, tag=one.tag, words=one.words)
        found.append(told)
    return found


def without_what_only_lost_its_tag(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without the removal of a part off which its tag came: "P-0220 came off the fin"."""
    came_off = list(_came_off(case))
    return [
        fact
        for fact in facts
        if not (fact.act in PARTING and any(fact.tag == tag or _is_off(fact, part, at) for tag, part, at in came_off))
    ]


def _came_off(case: Case) -> Iterator[tuple[str, str, Span]]:
    """Yield each tag that came off a part, with the part ("" where none is named) and where "came off" stands."""
    pieces = case.pieces
    for at, piece in enumerate(pieces[:-2]):
        if piece.kind == "tag" and pieces[at + 1].verb in _COMES and pieces[at + 2].low == "off":
            step = at + 3
            while step < len(pieces) - 1 and (pieces[step].low in DETERMINERS or pieces[step].kind == "side"):
                step += 1
            part = case.part_named(pieces[step]) if step < len(pieces) else ""
            yield piece.digits, part, (pieces[at + 1].start, pieces[at + 2].end)


def _is_off(fact: Fact, part: str, words: Span) -> bool:
    """Tell whether a fact takes off the part that only lost its tag, by the words that tell so."""
    return fact.tag is None and fact.item == part and overlap(words, fact.words)


def _beside(case: Case) -> Iterator[_Beside]:
    """Yield each tag with the name beside it: behind "P-0412 is on", else before it; "one" is the part named last."""
    pieces, part, first = case.pieces, "", 0
    names_follow = False
    for at, piece in enumerate(pieces):
        if piece.ends_sentence:
            first, part, names_follow = at + 1, "", False
        if piece.kind == "thing" and not piece.sense("counted"):
            part = case.part_named(piece) or part
        if piece.kind != "tag":
            continue
        named = _named_after(case, at, part)
        if named is not None:
            part, names_follow = named.part, True
            yield named
        elif not names_follow and (named := _named_before(case, first, at, part)) is not None:
            yield named


def _named_after(case: Case, at: int, part: str) -> _Beside | None:
    """Return what a tag is said to be on: "P-0412 is on the port elevator", "P-0413 on the starboard one"."""
    pieces, step, led = case.pieces, at + 1, False
    while step < min(len(pieces), at + _AS_FAR) and (pieces[step].low in _TO_NAME or pieces[step].low in DETERMINERS):
        led = led or pieces[step].low in ("for", "on")
        step += 1
    if not led:
        return None
    side, step = _side_at(pieces, step)
    named = case.part_named(pieces[step]) if step < len(pieces) and pieces[step].kind == "thing" else ""
    if not named and not side:
        return None
    end = pieces[min(step, len(pieces) - 1) if named else step - 1].end
    return _Beside(pieces[at].digits, named or part, side, (pieces[at].start, end)) if named or part else None


def _side_at(pieces: Sequence[Piece], at: int) -> tuple[str, int]:
    """Return the side that a piece says, "" for none, and the piece after it."""
    side = pieces[at].sense("sides") if at < len(pieces) else ""
    return (side, at + 1) if side else ("", at)


def _named_before(case: Case, first: int, at: int, part: str) -> _Beside | None:
    """Return what is named right before a tag: "rudder R-12", "the starboard one's on P-0301"."""
    pieces, step = case.pieces, at - 1
    while step > max(first, at - _AS_FAR) and pieces[step].low in _TO_TAG:
        step -= 1
    one = pieces[step].low in ("one", "ones") and step > first
    named = (
        case.part_named(pieces[step]) if pieces[step].kind == "thing" and not pieces[step].sense("counted") else ""
    )
    if not (named or (one and part)):
        return None
    side = pieces[step - 1].sense("sides") if step > first else ""
    after, last = _side_at(pieces, at + 1)
    if not side and after and (last >= len(pieces) or pieces[last].kind == "mark" or pieces[last].low == "and"):
        side = after
    if step > first and pieces[step - 1].low == "both":
        side = "both"
    return _Beside(pieces[at].digits, named or part, side, (pieces[step].start, pieces[at].end))
