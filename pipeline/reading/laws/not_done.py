"""Work that only seems to be told: denied, still to come, coming back from elsewhere, or owed to nobody."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import BASE, ING, word_set
from pipeline.reading.laws.case import PARTING, Case
from pipeline.reading.learnt.deciding import RULE
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import BE, DETERMINERS, Piece
from pipeline.reading.reader import ReadByRule
from pipeline.reading.spans import Span, holds, overlap, within

_TAKES_OFF = ("remove", "separate", "undo")
_KEEPERS = word_set("stand rack bench shelf trestle trestles trolley cradle pallet jack jacks floor blocks")
_GLUES = word_set("glue bond stick varnish laminate")
_ANY = word_set("one ones rest lot other others thing things bit bits whole")  # may stand for the part itself
_OPENS_ORDER = word_set("and so but please then mind")
_HOLDS_ON = word_set("stays stay stayed staying remains remain still left leave leaving keep kept keeping")
_EXCEPT = word_set("except excepting bar barring")
_IT = word_set("it them that both all")
_COATS = word_set("paint primer dope varnish filler grease oil")
_LEFT = {"disconnected": "disconnect", "unplugged": "disconnect", "undone": "undo", "loose": "undo", "open": "open"}
_PUTS_RIGHT = {"disconnect": "connect", "undo": "tighten"}
_ORDERS = word_set("told asked")
_THEN_WE = word_set("and but so then which instead")
_AS_FAR = 6  # pieces from "left" to "on"


def without_what_was_not_done(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts without those of the learnt reading that go against what the rules say beyond doubt.

    They say done what was not, or not yet, or not by us, or what we were only told to do; planned what a part only
    might do; removed what was taken off its trestles; or not done what nobody is to do: "don't pull the pin yet".
    """
    return [fact for fact in facts if fact.rule != RULE or not _forbidden(case.rules, fact)]


def _forbidden(rules: ReadByRule, fact: Fact) -> bool:
    barred = {"done": rules.not_done, "planned": rules.supposed}.get(fact.status, ())
    let_down = fact.act == "remove" and any(holds(stretch, fact.words[0]) for stretch in rules.let_down)
    warned = fact.status == "not-done" and any(holds(one, fact.words[0]) for one in _warned_of(rules.pieces))
    ordered = fact.status == "done" and any(holds(one, fact.words[0]) for one in _ordered(rules.pieces))
    return let_down or warned or ordered or any(within(fact.words, stretch) for stretch in barred)


def not_fitted_by_us(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what "we have not fitted" was not fitted: "not fitted" tells here of work, and of no lack."""
    spans = list(_have_not_fitted(case.pieces))
    found: list[Fact] = []
    for fact in facts:
        if _told_in(fact, spans):
            if fact.finding == "missing":
                continue
            if fact.act == "fit" and fact.status == "done":
                fact = fact.model_copy(update={"status": "not-done", "rule": "not: fit", "doubts": ()})
        if fact not in found:
            found.append(fact)
    return found


def _have_not_fitted(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters of each "we have not fitted the fin" and "Ted never fitted it", up to the next mark."""
    for at in range(1, len(pieces) - 1):
        have = pieces[at - 1].low in ("have", "'ve", "had", "has")
        of_it = pieces[at - 1].low not in BE and pieces[at + 1].kind != "mark"
        if (pieces[at].low == "not fitted" and have) or (pieces[at].low == "never fitted" and (have or of_it)):
            ends = next((n for n in range(at, len(pieces)) if pieces[n].kind == "mark"), len(pieces) - 1)
            yield pieces[at - 1].start, pieces[ends].end


def _warned_of(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters of each "don't pull the pin" that is said to somebody, up to the next mark."""
    for at, piece in enumerate(pieces[:-2]):
        told = pieces[at + 1].low in ("n't", "not") and BASE in pieces[at + 2].forms
        opens = not at or pieces[at - 1].kind == "mark" or pieces[at - 1].low in _OPENS_ORDER
        if piece.low == "do" and told and opens:
            ends = next((n for n in range(at + 2, len(pieces)) if pieces[n].kind == "mark"), len(pieces) - 1)
            yield piece.start, pieces[ends].end


def _ordered(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters of each "told us to take it off", up to what was done; none where "we did" follows."""
    for at, piece in enumerate(pieces[:-3]):
        if piece.low not in _ORDERS or pieces[at + 1].low not in ("me", "us") or pieces[at + 2].low != "to":
            continue
        rest = range(at + 3, len(pieces))
        ends = next((n for n in rest if pieces[n].low in _THEN_WE or pieces[n].ends_sentence), len(pieces) - 1)
        after = [one.low for one in pieces[ends + 1 : ends + 3]]
        if not (after[:1] in (["i"], ["we"]) and after[1:] in (["did"], ["have"], ["'ve"], ["had"])):
            yield piece.start, pieces[ends].start


def not_what_it_only_looks_like(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "it's a crack. Not paint." says what was seen, and not that nothing was painted."""
    return [fact for fact in facts if fact.status != "not-done" or not _named_after_not(case, fact)]


def _named_after_not(case: Case, fact: Fact) -> bool:
    """Tell whether the word that tells a fact only names a thing after "not", up to the next mark."""
    own = case.own_pieces(fact)
    for at, piece in enumerate(own[:-1]):
        ends = at + 2 >= len(own) or own[at + 2].kind == "mark"
        noun = own[at + 1].low in _COATS
        if piece.low == "not" and noun and ends and overlap(fact.words, (piece.start, own[at + 1].end)):
            return True
    return False


def left_as_it_is(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what was left disconnected, open or undone is so, and was not put right again."""
    left = list(_left_so(case.pieces))
    found: list[Fact] = []
    for fact in facts:
        if any(act == fact.act and overlap(fact.words, words) for words, act in left):
            put_right = _PUTS_RIGHT.get(fact.act or "")
            if put_right is None or fact.status != "not-done":
                continue
            fact = fact.model_copy(update={"act": put_right})
        if fact not in found:
            found.append(fact)
    return found


def _left_so(pieces: Sequence[Piece]) -> Iterator[tuple[Span, str]]:
    """Yield the characters of each "left the pitot disconnected", and the act that it was left by."""
    for at, piece in enumerate(pieces[:-2]):
        if piece.verb != "leave" and piece.low != "left":
            continue
        for step in range(at + 2, min(at + _AS_FAR, len(pieces))):
            if pieces[step].kind == "mark":
                break
            act = _LEFT.get(pieces[step].low)
            if act:
                yield (piece.start, pieces[step].end), act
                break


def leaves_on(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; where "you leave the fairing on", the job does not take it off."""
    leaves = {piece.start for piece in case.pieces if piece.verb in ("leave", "keep") and piece.kind == "verb"}
    kept = (fact.words[0] not in leaves or fact.act not in PARTING for fact in facts)
    return [fact for fact, stays in zip(facts, kept, strict=True) if stays or fact.status != "explained"]


def done_just_now(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "we're after taking the wheel off" tells in Ireland what was done just now."""
    done = list(_after_doing(case.pieces))
    return [
        f.model_copy(update={"status": "done", "doubts": ()}) if f.status == "planned" and _told_in(f, done) else f
        for f in facts
    ]


def _after_doing(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters of each "are after taking"."""
    for first, after, verb in zip(pieces, pieces[1:], pieces[2:], strict=False):
        if first.low in BE and after.low == "after" and ING in verb.forms:
            yield after.start, verb.end


def without_what_comes_back(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what comes back from elsewhere comes off nothing: "the propeller comes back next week"."""
    back = list(_comes_back(case.pieces))
    return [fact for fact in facts if fact.act not in PARTING or not _told_in(fact, back)]


def _comes_back(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters that tell that something comes back from elsewhere, off nothing."""
    for at, piece in enumerate(pieces):
        after = [one.low for one in pieces[at + 1 : at + 4]]
        if piece.verb == "come" and "back" in after[:2] and not {"off", "out", "apart"} & set(after):
            yield piece.start, pieces[at + 1 + after.index("back")].end


def without_what_stays(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, without work that seems owed and is not.

    What is "still on its stand" came off already. Where the clamps were left on the ribs, the ribs owe nothing.
    """
    kept = list(_still_kept(case.lexicon, case.pieces))
    others = list(_left_on(case))
    return [fact for fact in facts if fact.status != "not-done" or not (_off(fact, kept) or _told_in(fact, others))]


def not_refitted_where_still_off(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; what stays off, or is still off, was not put back: it neither comes off now nor never did."""
    off = list(_stays_off(case.pieces))
    found: list[Fact] = []
    for fact in facts:
        if fact.status in ("done", "not-done", "planned") and fact.act == "remove" and _told_in(fact, off):
            fact = fact.model_copy(update={"status": "not-done", "act": "fit", "rule": "state: fit", "doubts": ()})
        if fact not in found:
            found.append(fact)
    return found


def without_what_was_excepted(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "all off apart from the tail wheel" tells that the tail wheel is not off."""
    excepted = list(_excepted(case.pieces))
    found: list[Fact] = []
    for fact in facts:
        once = sum(piece.sense("part") == fact.item for piece in case.own_pieces(fact)) == 1
        for start, item, side in excepted:
            after = holds(case.sentence(fact), start) and fact.words[0] < start
            if fact.status == "done" and once and item == fact.item and after:
                told = {"status": "not-done", "side": side or None, "count": None, "of": None}
                fact = fact.model_copy(update=told | {"rule": "not: excepted"})
        if fact not in found:
            found.append(fact)
    return found


def _excepted(pieces: Sequence[Piece]) -> Iterator[tuple[int, str, str]]:
    """Yield the first character of each "apart from" or "except" with a part after it, the part and its side."""
    for at, piece in enumerate(pieces[:-1]):
        apart = piece.low == "apart" and pieces[at + 1].low == "from"
        if not (apart or piece.low in _EXCEPT):
            continue
        noun = at + (2 if apart else 1)
        while noun < len(pieces) - 1 and (pieces[noun].low in DETERMINERS | {"for"} or pieces[noun].kind == "side"):
            noun += 1
        if noun < len(pieces) and pieces[noun].sense("part"):
            side = pieces[noun - 1].sense("sides") if pieces[noun - 1].kind == "side" else ""
            yield piece.start, pieces[noun].sense("part"), side


def _stays_off(pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters of each "stays off", "is still out", "off still" and "left it off"."""
    for at, piece in enumerate(pieces):
        if piece.low == "still" and at and pieces[at - 1].low in ("off", "out"):
            yield pieces[at - 1].start, piece.end
        if piece.low not in _HOLDS_ON or piece.kind == "side":
            continue
        off = at + 1
        while off < min(len(pieces), at + _AS_FAR) and (
            pieces[off].low in DETERMINERS | _IT or (pieces[off].kind in ("thing", "side") and piece.low != "still")
        ):
            off += 1
        if off < len(pieces) and pieces[off].low in ("off", "out"):
            yield pieces[max(0, at - 2)].start, pieces[off].end


def _off(fact: Fact, kept: Sequence[Span]) -> bool:
    return fact.act in _TAKES_OFF and _told_in(fact, kept)


def _told_in(fact: Fact, stretches: Sequence[Span]) -> bool:
    return any(overlap(fact.words, stretch) for stretch in stretches)


def _still_kept(lexicon: Lexicon, pieces: Sequence[Piece]) -> Iterator[Span]:
    """Yield the characters of each "still on its stand"."""
    for at, piece in enumerate(pieces[:-2]):
        if piece.low != "still" or pieces[at + 1].low not in ("on", "in"):
            continue
        step = at + 2
        while step < len(pieces) - 1 and (pieces[step].low in DETERMINERS or pieces[step].tag in ("JJ", "CD")):
            step += 1
        gear = lexicon.part_kind.get(pieces[step].sense("part")) == "support-equipment"
        if gear or pieces[step].kind == "stow" or any(word in _KEEPERS for word in pieces[step].low.split()):
            yield piece.start, pieces[step].end


def _left_on(case: Case) -> Iterator[Span]:
    """Yield the characters of "left the clamps on", where what was left is no part of the aircraft."""
    pieces = case.pieces
    for at, piece in enumerate(pieces[:-2]):
        if piece.low not in ("left", "leave", "leaving") or piece.kind == "side":
            continue
        for step in range(at + 2, min(at + _AS_FAR, len(pieces))):
            if pieces[step].kind in ("verb", "aux", "mark", "stow"):
                break
            if pieces[step].low in ("on", "in"):
                if _is_no_part(case, at, step):
                    yield piece.start, pieces[step].end
                break


def _is_no_part(case: Case, at: int, particle: int) -> bool:
    """Tell whether what is named between "left" and "on" is no part, or a clamp that only holds while glue sets."""
    noun, between = case.pieces[particle - 1], case.pieces[at + 1 : particle]
    if between[0].low not in DETERMINERS or any(piece.kind in ("side", "place") for piece in between):
        return False
    if noun.kind == "thing" and (noun.sense("counted") or noun.sense("part")) == "clamp":
        sentence = case.rules.sentence(case.pieces[at].start)
        return any(holds(sentence, piece.start) and piece.verb in _GLUES for piece in case.pieces)
    plain = all(piece.kind == "word" for piece in between)
    return plain and noun.tag in ("NN", "NNS") and noun.low not in _ANY and noun.low not in case.lexicon.shorts
