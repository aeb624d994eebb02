"""Sides: one is carried on to no part of another assembly, and to all of a kind only with a doubt."""

from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import ONLY_RULES, RULE
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import holds, overlap
from pipeline.reading.talk import apart

_OF_SIDES = ("by the rules on", "it may be no side")  # beginnings of doubts
_OTHER = {"port": "starboard", "starboard": "port"}
_LOOKS = word_set("see seen look looking looks view views photo photos picture pictures shot")
_STATES = word_set("off out on in back")
_DO = word_set("do 're are 'm start")
_WE_DID = word_set("the for on we i did with")
_GOES_ON = word_set("next now then over today turn start begin started")
_HEADING = 6  # pieces of "and the port flap now."
_VIEW = 12  # pieces from a word of looking to the side from which it is looked
_LIKELY = 0.6
_SOON = 3  # pieces
_WHICH_OF_TWO = ("outer", "inner", "outboard", "inboard", "upper", "lower")


class _Said(NamedTuple):
    """A side that was said at a character of the text, with the part that it was said of ("" where of none)."""

    start: int
    side: str
    part: str


def within_one_assembly(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without the side of one where that was last said of a part of another assembly."""
    said = list(_sides_said(case))
    return [_of_its_assembly(case, said, fact) for fact in facts]


def _sides_said(case: Case) -> Iterator[_Said]:
    for at, piece in enumerate(case.pieces):
        if piece.kind == "side":
            after = next((one for one in case.pieces[at + 1 : at + 3] if one.low not in _WHICH_OF_TWO), piece)
            part = after.sense("part") or case.lexicon.likeliest(after.sense("short"))
            yield _Said(piece.start, piece.sense("sides"), part)


def _of_its_assembly(case: Case, said: Sequence[_Said], fact: Fact) -> Fact:
    if fact.item is None or fact.side not in ("port", "starboard"):
        return fact
    sentence = case.sentence(fact)
    before = [one for one in said if one.start < fact.words[1]]
    if not before or any(holds(sentence, one.start) for one in said):
        return fact
    last, own = before[-1], {one.side for one in before if one.part == fact.item}
    if last.side != fact.side or not last.part:
        return fact
    if own:  # "starboard magneto off. Port wing on trestles. The magneto isn't back": unless of "port engine"
        whole = case.lexicon.vocabulary.is_a(fact.item, last.part)
        return fact if whole or not case.names_part_of(fact) else _on_its_own_side(fact, own)
    if not apart(case.lexicon, last.part, fact.item):
        return fact
    doubts = (doubt for doubt in fact.doubts if not doubt.startswith(_OF_SIDES))
    inferred = tuple(one for one in fact.inferred if one[0] != "side")
    why = f"{last.side} was said of the {last.part.replace('-', ' ')}"
    return fact.model_copy(update={"side": None, "inferred": inferred, "doubts": (*doubts, why)})


def _on_its_own_side(fact: Fact, said: Collection[str]) -> Fact:
    """Return a fact on the one side that was ``said`` of its part, not on that of another part named since."""
    side = next(iter(said)) if len(said) == 1 else fact.side
    if side in (fact.side, "both"):
        return fact
    others = tuple(one for one in fact.inferred if one[0] != "side")
    return fact.model_copy(
        update={"side": side, "inferred": (*others, ("side", "the side that was said of it before"))}
    )


def without_side_of_another_part(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "starboard wheel's off, and the port upper leg" takes off no port wheel."""
    said = list(_sides_said(case))
    return [fact for fact in facts if not (_told_on_other_side(case, facts, fact) and _of_another(case, said, fact))]


def told_of_one_side(_case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without what only the rules read where the same words tell it of the other side."""
    carried = [fact for fact in facts if ONLY_RULES in fact.doubts and fact.inferred]
    return [fact for fact in facts if not (fact in carried and _on_other_side(facts, fact))]


def kept_on_one_side(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is put away in a sentence that says no side is put away once, on the side said of it."""
    said = list(_sides_said(case))
    return [fact for fact in facts if not any(_is_kept_rather(case, said, other, fact) for other in facts)]


def _is_kept_rather(case: Case, said: Sequence[_Said], one: Fact, other: Fact) -> bool:
    """Tell whether the first of two facts that put the same part into the same store is the one to be believed."""
    if (
        one is other
        or one.stowage is None
        or (one.act, one.item, one.stowage) != (other.act, other.item, other.stowage)
    ):
        return False
    if {one.side, other.side} != {"port", "starboard"} or not case.together(one, other):
        return False
    sentence = case.sentence(one)
    of_it = [at.side for at in said if at.part == one.item and at.start < sentence[0]]
    return not any(holds(sentence, at.start) for at in said) and of_it[-1:] == [one.side]


def _on_other_side(facts: Sequence[Fact], fact: Fact) -> bool:
    same = [
        f for f in facts if (f.status, f.act, f.finding, f.item) == (fact.status, fact.act, fact.finding, fact.item)
    ]
    return any({f.side, fact.side} == {"port", "starboard"} and overlap(f.words, fact.words) for f in same)


def not_on_the_side_compared_with(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what is told with "same as port" was done on the starboard side, each fact once."""
    found: list[Fact] = []
    for fact in facts:
        other = _OTHER.get(_compared_with(case, fact))
        if other is not None and fact.side in _OTHER:
            settled = (*_OF_SIDES, f"it may be {other}")
            doubts = tuple(doubt for doubt in fact.doubts if not doubt.startswith(settled))
            fact = fact.model_copy(update={"side": other, "doubts": doubts})
        same = [n for n, one in enumerate(found) if _told(one) == _told(fact) and case.together(one, fact)]
        if other is None or not same:
            found.append(fact)
        elif len(fact.doubts) < len(found[same[0]].doubts):
            found[same[0]] = fact
    return found


def _told(fact: Fact) -> tuple[str | None, ...]:
    return fact.status, fact.act, fact.finding, fact.item, fact.side


def _compared_with(case: Case, fact: Fact) -> str:
    """Return the side that the sentence of a fact names in "same as port" and nowhere else, or ""."""
    own = case.own_pieces(fact)
    named = [(own[at].sense("sides"), _led_by_same_as(own, at)) for at in range(len(own)) if own[at].kind == "side"]
    compared = {side for side, led in named if led}
    return compared.pop() if len(compared) == 1 and all(led or side not in compared for side, led in named) else ""


def _led_by_same_as(pieces: Sequence[Piece], at: int) -> bool:
    return [piece.low for piece in pieces[:at] if piece.low not in _WE_DID][-2:] == ["same", "as"]


def of_no_side_it_is_seen_from(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without the side from which something is only looked at: "seen from the port side"."""
    said = [piece for piece in case.pieces if piece.kind == "side"]
    seen = {at for at in range(len(case.pieces)) if case.pieces[at].kind == "side" and _seen_from(case.pieces, at)}
    only = {case.pieces[at].sense("sides") for at in seen}
    only -= {piece.sense("sides") for piece in said if all(piece is not case.pieces[at] for at in seen)}
    return [fact.model_copy(update={"side": None}) if fact.side in only else fact for fact in facts]


def _seen_from(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether the side at a piece is where a camera or an eye is."""
    led = [piece.low for piece in pieces[max(0, at - 2) : at]] == ["from", "the"]
    return led and any(piece.low in _LOOKS for piece in pieces[max(0, at - _VIEW) : at])


def _told_on_other_side(case: Case, facts: Sequence[Fact], fact: Fact) -> bool:
    """Tell whether only the learnt reading has a fact, and the same is told of the other side in its sentence."""
    if fact.rule != RULE or fact.side not in ("port", "starboard") or fact.confidence > _LIKELY:
        return False
    same = [f for f in facts if (f.status, f.act, f.item) == (fact.status, fact.act, fact.item)]
    return bool(fact.act) and any(f.side not in (None, fact.side) and case.together(f, fact) for f in same)


def _of_another(case: Case, said: Sequence[_Said], fact: Fact) -> bool:
    """Tell whether the side of a fact is only said of other parts in its sentence."""
    own = [one for one in said if one.side == fact.side and holds(case.sentence(fact), one.start)]
    return bool(own) and all(one.part and not _names_soon(case, one.start, fact.item) for one in own)


def _names_soon(case: Case, start: int, item: str | None) -> bool:
    """Tell whether a part is named soon after a side: "the starboard tab push rod" is a push rod."""
    after = [piece for piece in case.pieces if piece.start > start][:_SOON]
    return any(item in (p.sense("part"), *case.lexicon.shorts.get(p.sense("short"), ())) for p in after)


def not_right_as_against_wrong(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; where bolts were the wrong ones, "the right ones" are on no side."""
    return [
        f.model_copy(update={"side": None, "doubts": _of_no_side(f)}) if _is_correct(case, f) else f for f in facts
    ]


def _of_no_side(fact: Fact) -> tuple[str, ...]:
    return tuple(doubt for doubt in fact.doubts if not doubt.startswith(_OF_SIDES))


def _is_correct(case: Case, fact: Fact) -> bool:
    """Tell whether all that puts a fact on the starboard side is a "right" that is the other of "wrong"."""
    if fact.side != "starboard":
        return False
    start, end = case.since_sentence_before(fact)[0], case.sentence(fact)[1]
    near = [piece for piece in case.pieces if holds((start, end), piece.start)]
    wrong = any(piece.low == "wrong" for piece in near)
    sides = [piece.low for piece in near if piece.kind == "side" and piece.sense("sides") == "starboard"]
    return wrong and bool(sides) and all(low == "right" for low in sides) and all(p.low != "left" for p in near)


def not_from_an_aside(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "the pitot is only on starboard" puts nothing else that comes after it on that side."""
    found: list[Fact] = []
    for fact in facts:
        side = _before_the_aside(case, found, fact)
        if side:
            doubts = (*_of_no_side(fact), f"it may be {fact.side}")
            fact = fact.model_copy(update={"side": side, "doubts": doubts})
            if any(_told(f) == _told(fact) and case.together(f, fact) for f in found):
                continue
        found.append(fact)
    return found


def _before_the_aside(case: Case, before: Sequence[Fact], fact: Fact) -> str:
    """Return the side of the work before, where that of a fact was last said only aside; "" elsewhere."""
    earlier = [piece for piece in case.pieces if piece.start < fact.words[1] and piece.kind == "side"]
    if fact.side not in _OTHER or not earlier or earlier[-1].sense("sides") != fact.side:
        return ""
    said = case.rules.sentence(earlier[-1].start)
    there = [f for f in before if f.act and f.side == fact.side and holds(said, f.words[0])]
    still_on = bool(there) and all(f.status == "not-done" for f in there) and fact.act in ("bag", "store")
    if holds(said, fact.words[0]) or (there and not still_on) or _moves_on(case, said):
        return ""
    headed = [piece for piece in earlier if _announces(case, piece)]
    if headed:
        return headed[-1].sense("sides") if headed[-1].sense("sides") == _OTHER[fact.side] else ""
    worked = [f for f in before if f.status == "done" and f.side in _OTHER and f.words[0] < said[0]]
    other = bool(worked) and worked[-1].side != fact.side and (still_on or _is_aside(case, said))
    return worked[-1].side or "" if other else ""


def _moves_on(case: Case, sentence: tuple[int, int]) -> bool:
    """Tell whether a sentence goes on to its side: "on to the starboard wing", "the starboard one is next"."""
    own = [piece for piece in case.pieces if holds(sentence, piece.start)]
    verbs = any(piece.kind in ("verb", "aux") for piece in own)
    return not verbs or any(piece.low in _GOES_ON for piece in own)


def _announces(case: Case, side: Piece) -> bool:
    """Tell whether the sentence of a side only says what comes now: "port flap now", "we do the port wing"."""
    own = [piece for piece in case.pieces if holds(case.rules.sentence(side.start), piece.start)]
    lows = [piece.low for piece in own]
    if sum(piece.kind == "side" for piece in own) != 1 or all(p.kind != "thing" for p in own) or lows[-1] == "?":
        return False
    verbs = {piece.verb or piece.low for piece in own if piece.kind in ("verb", "aux")}
    doing = bool(verbs) and verbs <= _DO and bool({"we", "i"} & set(lows))
    bare = not verbs and len(own) <= _HEADING and not any(p.kind in ("finding", "number", "stow") for p in own)
    return not set(lows) & _STATES and (bare or doing)


def _is_aside(case: Case, sentence: tuple[int, int]) -> bool:
    lows = [piece.low for piece in case.pieces if holds(sentence, piece.start)]
    return "only" in lows or any(lows[at : at + 3] == ["by", "the", "way"] for at in range(len(lows)))


def of_both_that_are_said(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "brake pipes connected, both" is of both sides, whichever was talked of before."""
    return [
        f.model_copy(update={"side": "both", "doubts": _of_no_side(f)}) if _says_both(case, f) else f for f in facts
    ]


def _says_both(case: Case, fact: Fact) -> bool:
    """Tell whether the sentence of a fact on one side names no side, but its parts and "both" between marks."""
    own = case.own_pieces(fact)
    if fact.side not in _OTHER or not fact.act or any(piece.kind == "side" for piece in own):
        return False
    plural = any(piece.plural and (piece.sense("part") == fact.item or piece.sense("short")) for piece in own)
    between = zip(own, own[1:], own[2:], strict=False)
    return plural and any(a.low == "," and b.low == "both" and c.kind == "mark" for a, b, c in between)


def of_the_one_after_all(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "both bled. Well, port's bled" was done on the port side alone."""
    ones = [f for f in facts if f.side in _OTHER and f.act and case.own_pieces(f)[0].low == "well"]
    left = [f for f in facts if not any(_was_both(case, f, one) for one in ones)]
    return [f.model_copy(update={"side": _only_one(case, f) or f.side}) if f.side == "both" else f for f in left]


def _only_one(case: Case, fact: Fact) -> str:
    """Return the side of which "well, port is" says right after a fact that it was done there alone, or ""."""
    end = case.sentence(fact)[1]
    after = [piece for piece in case.pieces if piece.start >= end][:6]
    lows = [piece.low for piece in after if piece.low not in (",", "the", "one")]
    side = next((piece for piece in after if piece.kind == "side"), None)
    if side is None or not fact.act or lows[:1] != ["well"] or lows[3:4] not in ([], ["."], [","]):
        return ""
    return side.sense("sides") if lows[2:3] and lows[2] in ("is", "are", "has", "was") else ""


def _was_both(case: Case, fact: Fact, one: Fact) -> bool:
    """Tell whether a fact tells of both sides what the sentence after it tells of one."""
    same = (fact.status, fact.act, fact.side) == (one.status, one.act, "both")
    return same and fact.item == one.item and case.since_sentence_before(one) == case.sentence(fact)


def of_the_rest(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; the rest are not those that were done: "undone the port ones. I've not touched the rest"."""
    return [fact.model_copy(update={"side": None}) if _of_others(case, facts, fact) else fact for fact in facts]


def _of_others(case: Case, facts: Sequence[Fact], fact: Fact) -> bool:
    """Tell whether the side of what is left is only carried on from what was done on that side."""
    own = case.own_pieces(fact)
    rest = any(piece.low in ("rest", "others") for piece in own) and all(piece.kind != "side" for piece in own)
    if fact.status not in ("not-done", "planned") or not fact.side or not rest:
        return False
    done = [f for f in facts if f.status == "done" and f.words[0] < fact.words[0]]
    sides = {f.side for f in done if (f.act, f.item) == (fact.act, fact.item)} & {"port", "starboard"}
    return fact.side in sides or (fact.side == "both" and bool(sides))


def asked_of_all(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with a doubt where one side was carried on to all of them: "cleaned all the cowlings"."""
    return [_asked_of_all(case, fact) for fact in facts]


def _asked_of_all(case: Case, fact: Fact) -> Fact:
    if fact.side not in ("port", "starboard"):
        return fact
    own = case.own_pieces(fact)
    if any(piece.kind == "side" for piece in own):
        return fact
    for at, piece in enumerate(own):
        lows = [before.low for before in own[max(0, at - 3) : at] if before.low not in ("of", "the", "our")]
        if piece.plural and piece.sense("part") == fact.item and lows[-1:] == ["all"]:
            return fact.model_copy(update={"doubts": (*fact.doubts, f"all of them: not only {fact.side}?")})
    return fact
