"""Tags: none that was read out is lost, be it a bare number or the second of two."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.confidence import confidence_of
from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.pieces import DETERMINERS, Piece
from pipeline.reading.spans import holds

_TAGGED = word_set("tag label tagged labelled labeled")
_NUMBER = word_set("number no no.")
_ON_IT = DETERMINERS | _NUMBER | word_set("on it as with is 's says reads them that up ,")
_AS_FAR = 7  # pieces from a tag to its number


class _OnTag(NamedTuple):
    """A bare number that stands on a tag, of the part that is named between the two, "" where none is."""

    number: str
    part: str
    start: int
    end: int


def with_tags(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the tags that were read out and are on none of them: no tag is lost."""
    found = list(facts)
    for fact in case.by_rules:
        if fact.tag is None or any(other.tag == fact.tag for other in found):
            continue
        free = [n for n, other in enumerate(found) if other.item == fact.item and not other.tag]
        same = [n for n in free if (found[n].act, found[n].finding) == (fact.act, fact.finding)]
        if same or (free and fact.act != "tag"):
            first = (same or free)[0]
            found[first] = found[first].model_copy(update={"tag": fact.tag})
        else:
            found.append(by_rules_only(fact))
    return found


def with_numbers_on_tags(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the bare numbers that were read out as tags: "put a tag on it, number 47", "tag 19"."""
    found = list(facts)
    for one in _numbers_on_tags(case.pieces):
        own = [n for n, fact in enumerate(found) if holds(case.rules.sentence(one.start), fact.words[0])]
        if not own and one.part:
            found.append(_tagged(one))
        tagged = _tagged_with(found, own, one)
        if tagged is not None and not found[tagged].tag and all(found[n].tag != one.number for n in own):
            found[tagged] = found[tagged].model_copy(update={"tag": one.number})
    return found


def _tagged_with(facts: Sequence[Fact], own: Sequence[int], one: _OnTag) -> int | None:
    """Return which fact of a sentence's own a number is the tag of: its act of tagging, or its part's first fact."""
    acts = [n for n in own if facts[n].act == "tag"]
    of_part = [n for n in acts if facts[n].item == one.part]
    before = [n for n in own if facts[n].item and facts[n].words[0] < one.end]
    first = [n for n in own if before and facts[n].item == facts[before[-1]].item]
    return next(iter([*of_part, *acts, *first]), None)


def _tagged(one: _OnTag) -> Fact:
    rule = "tag read out: tag"
    return Fact(
        status="done", act="tag", item=one.part, tag=one.number, words=(one.start, one.end), rule=rule,
        confidence=confidence_of(rule, ()),
    )  # fmt: skip


def _numbers_on_tags(pieces: Sequence[Piece]) -> Iterator[_OnTag]:
    """Yield each bare number that stands on a tag; "tagged the bolts, eight" counts bolts."""
    for at, tag in enumerate(pieces):
        if tag.low not in _TAGGED:
            continue
        step = at + 1
        while step < min(len(pieces) - 1, at + _AS_FAR) and _leads_to_number(pieces[step]):
            step += 1
        number, between = pieces[min(step, len(pieces) - 1)], pieces[at + 1 : step]
        follows = pieces[step + 1] if step + 1 < len(pieces) else None
        ends = follows is None or follows.kind == "mark" or follows.low in ("and", "on")
        counts = any(piece.plural for piece in between) and between[-1].kind == "mark"
        if number.kind == "number" and number.digits.isdigit() and ends and not counts:
            part = next((piece.sense("part") for piece in between if piece.kind == "thing"), "")
            yield _OnTag(number.digits, part, tag.start, number.end)


def _leads_to_number(piece: Piece) -> bool:
    """Tell whether a piece may stand between a tag and its number."""
    return piece.low in _ON_IT or piece.kind in ("side", "thing")


def with_second_tags(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with the second of two tags that one act of tagging tells: "tagged them K-12 and K-13"."""
    found = list(facts)
    for first, joint, second in zip(case.pieces, case.pieces[1:], case.pieces[2:], strict=False):
        if first.kind != "tag" or second.kind != "tag" or joint.low != "and":
            continue
        told = [f for f in found if f.act == "tag" and f.tag == first.digits and case.sentence(f)[0] <= first.start]
        if told and all(fact.tag != second.digits for fact in found):
            own = {"tag": second.digits, "count": None, "of": None, "words": (second.start, second.end)}
            found.append(told[0].model_copy(update=own))
    return found
