"""Tags: none that was read out is lost, be it a bare number."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.confidence import confidence_of
from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import BE, DETERMINERS, Piece
from pipeline.reading.spans import Span, holds
from pipeline.reading.tags import TAGGED

_NUMBER = word_set("number no no.")
_ON_IT = DETERMINERS | _NUMBER | word_set("on it as with is 's says reads them that up and one ,")
TO = word_set("to through thru")
_READS = BE | word_set("says reads number")
_ON_WHAT = BE | DETERMINERS | word_set("on for")
_AFTER_NUMBER = TO | word_set("and on is are was were")
_AS_FAR = 7  # pieces from a tag, or from another number on one, to its number
MOST_TAGS = 40  # tags that are told by their first and last one


class _OnTag(NamedTuple):
    """A bare number that stands on a tag, of the part and the side that are named with it, "" where none is.

    ``sure`` says that it is that part and none other. ``start`` is that of the word of tagging.
    """

    number: str
    part: str
    side: str
    sure: bool
    start: int
    end: int


def with_tags(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the tags that were read out and are on none of them: no tag is lost."""
    found = list(facts)
    for by_rules in case.by_rules:
        if by_rules.tag is None or any(other.tag == by_rules.tag for other in found):
            continue
        fact = _of_noun_before(case, by_rules)
        free = [n for n, other in enumerate(found) if other.item == fact.item and not other.tag]
        same = [n for n in free if (found[n].act, found[n].finding) == (fact.act, fact.finding)]
        if same or (free and fact.act != "tag"):
            first = (same or free)[0]
            found[first] = found[first].model_copy(update={"tag": fact.tag})
        else:
            found.append(by_rules_only(fact))
    return found


def _of_noun_before(case: Case, fact: Fact) -> Fact:
    """Return a fact with a tag, without its part where a short name right before the tag stands for another."""
    before = next((case.pieces[at - 1] for at, p in enumerate(case.pieces) if at and p.digits == fact.tag), None)
    short = before.sense("short") if before is not None and before.kind == "thing" else ""
    other = short and not (before and before.sense("part")) and fact.item not in case.lexicon.shorts.get(short, ())
    return fact.model_copy(update={"item": None, "side": None}) if other else fact


def of_what_they_are_on(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with each tag on the part that it is said to be on: "the tag on the engine is P-0210"."""
    found = list(facts)
    for tag, part, side, words in _told_on(case):
        if any((fact.tag, fact.item) == (tag, part) for fact in found):
            continue
        found = [
            f.model_copy(update={"tag": None}) if f.tag == tag else f for f in found if (f.act, f.tag) != ("tag", tag)
        ]
        rule = "tag read out: tag"
        told = {"status": "done", "act": "tag", "item": part, "side": side or None, "tag": tag, "words": words}
        found.append(Fact.model_validate(told | {"rule": rule, "confidence": confidence_of(rule, ())}))
    return found


def on_the_side_said_of_each(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each act of tagging on the side said with its tag: "port one's K-1, starboard one's K-2"."""
    sides = dict(_side_of_each(case))
    return [
        fact.model_copy(update={"side": sides[fact.tag]}) if fact.act == "tag" and fact.tag in sides else fact
        for fact in facts
    ]


def _side_of_each(case: Case) -> Iterator[tuple[str, str]]:
    """Yield each tag before which one side is said of "one", since the tag before it or where its sentence begins."""
    since = 0
    for at, tag in enumerate(case.pieces):
        if tag.kind != "tag":
            continue
        start = case.rules.sentence(tag.start)[0]
        own = [n for n in range(since, at) if case.pieces[n].start >= start and case.pieces[n].kind == "side"]
        if len(own) == 1 and case.pieces[own[0] + 1].low in ("one", "ones"):
            yield tag.digits, case.pieces[own[0]].sense("sides")
        since = at + 1


def _told_on(case: Case) -> Iterator[tuple[str, str, str, Span]]:
    """Yield each tag that is read out after "the tag on" a part, with part, side ("" for none) and words."""
    pieces = case.pieces
    for at, tag in enumerate(pieces):
        step = at - 1
        while step > 0 and pieces[step].low in _READS:
            step -= 1
        if 1 < step < at - 1 and pieces[step].low in TAGGED and pieces[step - 1].low == "'s" and tag.kind == "tag":
            part = _part(case.lexicon, pieces[step - 2])  # "port leg's tag is L-110"
            side = pieces[step - 3].sense("sides") if step > 2 else ""
            if part:
                yield tag.digits, part, side, (pieces[step - 2].start, tag.end)
            continue
        part = _part(case.lexicon, pieces[step]) if 0 <= step < at - 1 else ""
        first = step - 1
        while first > 0 and (pieces[first].low in _NUMBER | DETERMINERS or pieces[first].kind in ("side", "number")):
            first -= 1
        led = [piece.low for piece in pieces[max(0, first - 1) : first + 1]]
        if tag.kind == "tag" and part and len(led) == 2 and led[0] in TAGGED and led[1] in ("on", "of", "for"):
            side = next((piece.sense("sides") for piece in pieces[first:step] if piece.kind == "side"), "")
            yield tag.digits, part, side, (pieces[first - 1].start, tag.end)


def with_numbers_on_tags(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with the bare numbers that were read out as tags: "put a tag on it, number 47", "tag 19"."""
    found, last, start = list(facts), None, -1
    for one in _numbers_on_tags(case):
        own = [n for n, fact in enumerate(found) if holds(case.rules.sentence(one.start), fact.words[0])]
        if any(found[n].tag == one.number for n in own if one.part in ("", found[n].item) or not one.sure):
            continue
        tagged = _tagged_with(found, own, one)
        if tagged is not None:
            found = [f.model_copy(update={"tag": None}) if f.tag == one.number else f for f in found]
            found[tagged] = last = found[tagged].model_copy(update={"tag": one.number})
        elif any(found[n].status not in ("done", "seen") for n in own):
            continue  # "tags 4 to 9 go on the cowlings tomorrow"
        elif one.sure or (last is not None and start == one.start):
            part, side = (one.part, one.side) if one.sure or last is None else (last.item, last.side)
            found.append(_tagged(one, part, side))
        start = one.start
    return found


def _tagged_with(facts: Sequence[Fact], own: Sequence[int], one: _OnTag) -> int | None:
    """Return which fact of a sentence's own may bear a tag and has none: its act of tagging, or its part's first."""
    sided = [n for n in own if one.side in ("", facts[n].side)]
    acts = [n for n in sided if facts[n].act == "tag" and not facts[n].tag]
    of_part = [n for n in sided if facts[n].item == one.part]
    before = [n for n in own if facts[n].item and facts[n].words[0] < one.end]
    first = [n for n in sided if before and facts[n].item == facts[before[-1]].item]
    may_bear = [*(n for n in acts if n in of_part), *of_part[:1], *(() if one.sure else (*acts, *first[:1]))]
    return next((n for n in may_bear if not facts[n].tag), None)


def _tagged(one: _OnTag, part: str | None, side: str | None) -> Fact:
    rule = "tag read out: tag"
    return Fact.model_validate(
        {"status": "done", "act": "tag", "item": part, "side": side or None, "tag": one.number, "rule": rule}
        | {"words": (one.start, one.end), "confidence": confidence_of(rule, ())}
    )


def _numbers_on_tags(case: Case) -> Iterator[_OnTag]:
    """Yield each bare number that stands on a tag; "tagged the bolts, eight" counts bolts.

    One word may tell of several: "tagged the carburettor 16 and the starter 17", "tags 4 to 9".
    """
    pieces = case.pieces
    for at, tag in enumerate(pieces):
        if tag.low not in TAGGED:
            continue
        since, (part, side), sure = at, _named_before(case, at), at > 0 and pieces[at - 1].low in BE
        while (number := _number_after(pieces, since)) is not None:
            between, last = pieces[since + 1 : number], _last_of_range(pieces, number)
            if any(piece.plural for piece in between) and between[-1].kind == "mark" and last == number:
                break
            named, sided = _named(case.lexicon, between)
            if not (named or sure):
                named, sided = _named_after(case.lexicon, pieces, last, sided)
            part, side, sure = named or part, sided or side, sure or bool(named)
            for digits in _range(pieces[number].digits, pieces[last].digits):
                yield _OnTag(digits, part, side, sure and bool(part), tag.start, pieces[last].end)
            since = last


def _range(first: str, last: str) -> Iterator[str]:
    """Yield what stands on the tags from the first to the last one."""
    yield first
    yield from map(str, range(int(first) + 1, int(last) + 1))


def _named(lexicon: Lexicon, between: Sequence[Piece]) -> tuple[str, str]:
    """Return the part and the side that pieces name, "" for what they do not."""
    part = next((name for piece in between if (name := _part(lexicon, piece))), "")
    return part, next((piece.sense("sides") for piece in between if piece.kind == "side"), "")


def _named_before(case: Case, at: int) -> tuple[str, str]:
    """Return the part and the side that are named last before the word of tagging at a piece, in its sentence."""
    pieces, sentence = case.pieces, case.rules.sentence(case.pieces[at].start)
    for step in range(at - 1, -1, -1):
        if not holds(sentence, pieces[step].start):
            break
        if part := _part(case.lexicon, pieces[step]):
            return part, pieces[step - 1].sense("sides") if step else ""
    return "", ""


def _named_after(lexicon: Lexicon, pieces: Sequence[Piece], at: int, side: str) -> tuple[str, str]:
    """Return the part and the side of "tags 4 to 9 on the port cowlings", of which the last number is at a piece."""
    step = at + 1
    while step < len(pieces) and pieces[step].low in _ON_WHAT:
        step += 1
    if step == at + 1:
        return "", side
    while step < len(pieces) and (pieces[step].kind == "side" or pieces[step].tag == "JJ"):
        step += 1
    return _named(lexicon, pieces[at + 1 : step + 1])


def _part(lexicon: Lexicon, piece: Piece) -> str:
    """Return the part that a piece names, the first of those that a short name may be; "" where it names none."""
    return piece.sense("part") or lexicon.likeliest(piece.sense("short")) if piece.kind == "thing" else ""


def _number_after(pieces: Sequence[Piece], at: int) -> int | None:
    """Return which piece is the next number on a tag after a piece, None where no other one follows."""
    step = at + 1
    while step < min(len(pieces) - 1, at + _AS_FAR) and _leads_to_number(pieces[step]):
        step += 1
    if step >= len(pieces) or pieces[step].kind != "number" or not pieces[step].digits.isdigit():
        return None
    follows = pieces[step + 1] if step + 1 < len(pieces) else None
    ends = follows is None or follows.kind == "mark" or follows.low in _AFTER_NUMBER
    return step if ends else None


def _last_of_range(pieces: Sequence[Piece], first: int) -> int:
    """Return which piece is the last number of "4 to 9", the first itself where it stands alone."""
    last = first + 2
    joined = last < len(pieces) and pieces[first + 1].low in TO
    if not joined or not pieces[last].digits.isdigit():
        return first
    return last if 0 < int(pieces[last].digits) - int(pieces[first].digits) <= MOST_TAGS else first


def _leads_to_number(piece: Piece) -> bool:
    """Tell whether a piece may stand between a tag and its number."""
    return piece.low in _ON_IT or piece.kind in ("side", "thing")
