"""An "on" or "off" that tells something else: a cock is shut, a battery off charge, a pipe on at the tank."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import RUNS, Case, by_law
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import BE, DETERMINERS
from pipeline.reading.slots import NOT_IN_PLACE
from pipeline.reading.spans import Span, holds, overlap

MAY_BE_SHUT = "'off' may only say that it is shut"  # a doubt
_OFF_WHAT = word_set("charge limits centre center song colour balance line test song load duty key tune")
_SHUT = ("-cock", "-valve", "-switch")
_SWITCHED = word_set("switch switches ignition master fuel petrol mags")
_NOT_YET = word_set("if once when until till unless still")
_NEAR = 6  # pieces from "got" to "on"
_ON_NOTHING = word_set("the a an its his her their our my that this at top it them bench floor trestles rack")


def without_what_is_off_charge(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a battery "off charge" and a propeller "off limits" came off nothing."""
    return [fact for fact in facts if fact.act != "remove" or not _off_what(case, fact)]


def _off_what(case: Case, fact: Fact) -> bool:
    own = case.own_pieces(fact)
    return any(
        off.low == "off" and what.low in _OFF_WHAT and holds((fact.words[0], fact.words[1] + 1), off.start)
        for off, what in pairwise(own)
    )


def off_or_shut(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; a cock that "is off" may only be shut, and magnetos beside switches are switched off."""
    found: list[Fact] = []
    for fact in facts:
        if fact.act == "remove" and fact.status == "done" and _is_state(case, fact):
            if fact.item == "magneto" and any(piece.low in _SWITCHED for piece in case.own_pieces(fact)):
                continue
            if (fact.item or "").endswith(_SHUT) and not _taken_off(case, facts, fact):
                fact = fact.model_copy(update={"doubts": (*fact.doubts, MAY_BE_SHUT)})
        found.append(fact)
    return found


def _is_state(case: Case, fact: Fact) -> bool:
    """Tell whether a fact is told by "off" and no verb."""
    said = [piece for piece in case.pieces if holds(fact.words, piece.start)]
    return any(piece.low == "off" for piece in said) and not any(piece.kind == "verb" for piece in said)


def _taken_off(case: Case, facts: Sequence[Fact], fact: Fact) -> bool:
    """Tell whether fasteners or a place where it is kept show that a part was taken off."""
    kept = any(f.act in NOT_IN_PLACE and f.item == fact.item for f in facts)
    return kept or fact.count is not None or any(p.sense("counted") for p in case.own_pieces(fact))


def put_on_with_get(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; "we got the boom on first thing" puts it on, whatever else its words were read as."""
    found = list(facts)
    for phrase, words in _got_on(case):
        item = case.part_of(phrase)
        if item is None or item in case.lexicon.fasteners or any(overlap(words, one) for one in case.rules.not_done):
            continue
        own = [f for f in found if overlap(f.words, words) and f.act in ("remove", "fit") and f.item == item]
        for fact in own:
            if fact.act == "remove":
                found[found.index(fact)] = fact.model_copy(update={"act": "fit", "doubts": ()})
        if not own:
            told = {"item": item, "side": phrase.side or None, "words": words}
            found.append(by_law("past: fit", (), status="done", act="fit", **told))
    return found


def _got_on(case: Case) -> Iterator[tuple[Phrase, Span]]:
    """Yield the part of each "we got the boom on" that goes on with nothing it might be on, and the words."""
    pieces = case.pieces
    for at, piece in enumerate(pieces[:-2]):
        got = piece.low == "got" or (piece.low == "had" and piece.kind in ("verb", "aux"))
        if not got or pieces[at + 1].low not in DETERMINERS:
            continue
        ends = next((n for n in range(at + 1, len(pieces)) if pieces[n].low == "on" or pieces[n].kind == "mark"), at)
        if pieces[ends].low != "on" or ends > at + _NEAR:
            continue
        named = [p for p in find_phrases(case.lexicon, pieces, at + 1, ends) if p.item or p.short]
        after = pieces[ends + 1] if ends + 1 < len(pieces) else None
        on_it = after is not None and (
            after.kind in ("thing", "stow", "place", "side", "number")
            or after.low in _ON_NOTHING
            or (after.tag.startswith(("NN", "VB", "PRP")) and not after.low.endswith("day") and after.kind != "mark")
            or (after.tag == "JJ" and after.low != "first")
        )
        if len(named) == 1 and named[0].last == ends and not on_it:
            yield named[0], (piece.start, pieces[ends].end)


def with_pipes_on_at(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts with what is "on at the tank": a pipe or a cable is connected there."""
    found = list(facts)
    for phrase, words in _on_at(case):
        item = case.part_of(phrase) or ""
        told = [f for f in found if f.act and overlap(f.words, words) and f.item == item]
        found = [f.model_copy(update={"act": "connect"}) if f in told and f.act == "fit" else f for f in found]
        if item.endswith((*RUNS, "-wire")) and not told:
            side = {"item": item, "side": phrase.side or None, "words": words}
            found.append(by_law("state: connect", (), status="done", act="connect", **side))
    return found


def _on_at(case: Case) -> Iterator[tuple[Phrase, Span]]:
    """Yield the part of each "oil pipes are on at the tank", and the words."""
    pieces = case.pieces
    for at in range(1, len(pieces) - 2):
        if pieces[at].low not in ("on", "back on") or pieces[at + 1].low != "at":
            continue
        first = max(n + 1 for n in range(-1, at) if n < 0 or pieces[n].kind == "mark")
        lows = [piece.low for piece in pieces[first:at]]
        named = [p for p in find_phrases(case.lexicon, pieces, first, at) if (p.item or p.short) and not p.prep]
        between = lows[named[0].last - first :] if len(named) == 1 else ["?"]
        if all(low in BE | {"both", "all", "back", "now", "again"} for low in between) and not (
            set(lows) & _NOT_YET or any(overlap((pieces[at].start, pieces[at].end), s) for s in case.rules.not_done)
        ):
            yield named[0], (pieces[named[0].first].start, pieces[at].end)
