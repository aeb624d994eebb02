"""What somebody said or asked and the speaker settles: "Ken told me that it was drained, but it isn't"."""

from collections.abc import Iterator, Sequence

from pipeline.reading.cues import YES, says_so
from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.learnt.deciding import by_rules_only
from pipeline.reading.pieces import BE, HAVE, Piece
from pipeline.reading.spans import Span, holds, overlap

_SAID = word_set(
    "say says said tell tells told reckon reckons reckoned claim claims claimed swear swears swore think thinks"
    " thought believe believes believed assume assumed write writes wrote written"
)
_ITS = word_set("it they that those these he she i we nobody")
_LEADS = word_set("but and no well only though although which")
_ASKED = word_set("asked asks ask whether know")
_ENDS = word_set("dear mind though yet either at because cos 'cause i you any")
_STATES = word_set("off out on in apart back")


def denied_after_all(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what was only said to be so, and is not, was not done or is not there."""
    denied = list(_denied(case.pieces))
    found: list[Fact] = []
    for fact in facts:
        one = _denial_of(fact) if any(holds(said, fact.words[0]) for said in denied) else fact
        if one is not None and not (one is not fact and any(_alike(one, other) for other in (*found, *facts))):
            found.append(one)
    return found


def with_what_was_answered(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with what the rules read in a question that is answered: "have you drained it? I have".

    What is answered with a number was done to so many: "have the plugs been pulled? Eighteen of them have".
    """
    told = {(fact.act, fact.item) for fact in facts}
    answered = [
        by_rules_only(fact)
        for fact in case.by_rules
        if fact.status in ("done", "not-done") and (fact.act, fact.item) not in told and case.names_part_of(fact)
        if (answered_at(case, fact.words[0]) if fact.status == "done" else case.asks(fact.words[0]))
    ]
    return [_as_many_as_answered(case, fact) for fact in (*facts, *answered)]


def _as_many_as_answered(case: Case, fact: Fact) -> Fact:
    at = answered_at(case, fact.words[0]) if fact.status == "done" and fact.count is None else 0
    many = case.pieces[at].whole if at else None
    return fact if not many else fact.model_copy(update={"count": many, "of": fact.of or fact.item})


def answered_at(case: Case, character: int) -> int:
    """Return the first piece of the answer that says yes to what the sentence at a character asks; 0 for none.

    The sentence asks something, or tells of a question: "he asked me if it was off. It is".
    """
    sentence = case.rules.sentence(character)
    own = [at for at, piece in enumerate(case.pieces) if holds(sentence, piece.start)]
    after = own[-1] + 1 if own else len(case.pieces)
    asks = bool(own) and (case.pieces[own[-1]].low == "?" or any(case.pieces[at].low in _ASKED for at in own))
    if not asks or after >= len(case.pieces) - 1:
        return 0
    ends = says_so(case.pieces, after)
    so = bool(ends) and (ends >= len(case.pieces) or case.pieces[ends].kind == "mark")
    return after if so or case.pieces[after].low in YES else 0


def without_what_is_still_on(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "elevator off today, that was the idea, but it's still on": it did not come off."""
    still = list(_it_is_still(case.pieces))
    on = [f for f in facts if f.status == "not-done" and any(overlap(f.words, one) for one in still)]
    return [fact for fact in facts if fact.status != "done" or not any(_never_was(case, fact, one) for one in on)]


def _it_is_still(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters of each "it's still"; "one's still" speaks of one of several."""
    for at, piece in enumerate(pieces):
        before = pieces[at - 1].low if at else ""
        it = pieces[at - 2].low in _ITS if at > 1 and before in BE else before == "its"
        if piece.low == "still" and it:
            yield piece.start, piece.end


def _never_was(case: Case, fact: Fact, on: Fact) -> bool:
    """Tell whether a part is told as off, and as still on later in the sentence."""
    same = (fact.act, fact.item, fact.side or on.side) == (on.act, on.item, on.side or fact.side)
    return same and fact.act == "remove" and case.together(fact, on) and fact.words[0] < on.words[0]


def _denial_of(fact: Fact) -> Fact | None:
    """Return what a fact becomes where it is denied; None where nothing is left of it."""
    plain = {"count": None, "of": None, "about": None, "measure": None, "grade": None, "doubts": ()}
    if fact.status == "done":
        return fact.model_copy(update=plain | {"status": "not-done", "stowage": None, "rule": f"not: {fact.act}"})
    if fact.status == "seen" and not fact.absent:
        absent = fact.model_copy(update=plain | {"absent": True, "rule": "seen: denied"})
        return None if fact.finding == "sound" else absent
    return fact


def _alike(one: Fact, other: Fact) -> bool:
    return all(getattr(one, key) == getattr(other, key) for key in ("status", "act", "finding", "absent", "item"))


def _denied(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters from each "somebody said" to the bare denial in the same breath or the next."""
    for at, piece in enumerate(pieces):
        if piece.low not in _ITS or not _only_denies(pieces, at):
            continue
        first = _back_to_sentence(pieces, at)
        said = [step for step in range(first, at) if pieces[step].low in _SAID]
        if said:
            ours = (step for step in range(said[-1], at) if _goes_on_with_us(pieces, step))
            yield pieces[said[-1]].start, pieces[next(ours, at)].start


def _goes_on_with_us(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether what the speaker did begins at a piece: "Ken said it was heavy, so we took it off"."""
    return pieces[at].low in ("so", "and") and pieces[at + 1].low in ("i", "we")


def _only_denies(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether "it isn't" stands at ``at`` with nothing after it, or with a state alone: "it isn't off"."""
    before = pieces[at - 1] if at else None
    opens = before is None or before.kind == "mark" or before.low in _LEADS
    words = [piece.low for piece in pieces[at + 1 : at + 3]]
    if not opens or len(words) < 2 or words[0] not in BE | HAVE | {"did"} or words[1] not in ("n't", "not"):
        return False
    end = at + 3
    end += end < len(pieces) and pieces[end].low in _STATES
    return end >= len(pieces) or pieces[end].kind == "mark" or pieces[end].pause or pieces[end].low in _ENDS


def _back_to_sentence(pieces: Sequence[Piece], at: int) -> int:
    """Return the first piece of the sentence that a denial is in, or of the one before where it opens its own."""
    step, crossed = at, False
    while step > 0:
        before = pieces[step - 1]
        if before.ends_sentence:
            own = all(piece.low in _LEADS or piece.kind == "mark" for piece in pieces[step:at])
            if crossed or not own:
                break
            crossed = True
        step -= 1
    return step
