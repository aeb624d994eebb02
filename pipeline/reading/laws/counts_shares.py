"""Numbers told as a share of others, or roughly: "all but one of the twelve", "another five to go", "sixty or so"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case
from pipeline.reading.laws.counts import has_no_noun, noun_of, number_of
from pipeline.reading.pieces import BE, DETERMINERS, Piece
from pipeline.reading.spans import holds

_BUT = word_set("but bar except")
_MORE = word_set("another further other last remaining")
_STILL = BE | word_set("still left yet")
_TO_GO = (("to", "go"), ("to", "do"), ("to", "come"))
_ROUGHLY = word_set("about around roughly approximately approx maybe perhaps circa say")
_AT_THE_END = (("give", "or", "take"), ("more", "or", "less"), ("at", "a", "guess"))  # also far behind the number
_OR_SO = (*_AT_THE_END, ("or", "so"), ("or", "thereabouts"), ("near", "enough"), ("-", "ish"), ("ish",))
_AS_FAR = 4  # pieces from a number to what tells the fact, or to what makes it a rough one


class _Share(NamedTuple):
    """A share of so many (``whole``, 0 where that was told before): all but ``left`` of them, or half (None)."""

    left: int | None
    whole: int
    of: str
    start: int

    def number(self, whole: int) -> int:
        """Return how many it comes to."""
        return whole // 2 if self.left is None else whole - self.left


def shares_of_all(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with the share that is told of it: "all but one of the twelve screws are undone"."""
    found = list(facts)
    for share in _shares(case.pieces):
        sentence = case.rules.sentence(share.start)
        own = [n for n, f in enumerate(found) if holds(sentence, f.words[0]) and f.words[1] + 1 >= share.start]
        if not own:
            continue
        fact = found[own[0]]
        told = [f for f in found[: own[0]] if f.item == fact.item and f.count]
        beside, noun = _counted_before(case, share.start) if not (share.whole or told) else (0, "")
        whole = share.whole or (told[-1].count if told else beside) or 0
        if 0 < share.number(whole) < whole:
            of = share.of or noun or (told[-1].of if told else fact.of) or fact.item
            why = (*fact.inferred, ("count", f"a share of {whole}"))
            found[own[0]] = fact.model_copy(update={"count": share.number(whole), "of": of, "inferred": why})
        elif not whole and fact.count is not None and fact.count == share.left:
            found[own[0]] = fact.model_copy(update={"count": None, "of": None})  # "all but one of the screws are in"
    return found


def _counted_before(case: Case, start: int) -> tuple[int, str]:
    """Return the last number of fasteners in a sentence before a character, with its noun; 0 and "" for none."""
    first = case.rules.sentence(start)[0]
    own = [at for at, piece in enumerate(case.pieces) if first <= piece.start < start]
    pairs = [(case.pieces[at].whole or 0, noun_of(case.pieces[at + 1])) for at in own if case.pieces[at].whole]
    counted = [pair for pair in pairs if pair[1] in case.lexicon.fasteners]
    return counted[-1] if counted else (0, "")


def _shares(pieces: Sequence[Piece]) -> Iterator[_Share]:
    """Yield each "all but one of the twelve screws", "all bar two", "half of the twenty rivets"."""
    for at, piece in enumerate(pieces):
        left: int | None = None
        if piece.low == "all" and at + 2 < len(pieces) and pieces[at + 1].low in _BUT:
            left, step = number_of(pieces[at + 2]), at + 3
            if left is None:
                continue
        elif piece.low == "half":
            step = at + 1
        else:
            continue
        while step < len(pieces) and (pieces[step].low == "of" or pieces[step].low in DETERMINERS):
            step += 1
        whole = pieces[step].whole if step < len(pieces) else None
        of = noun_of(pieces[step + 1]) if whole and step + 1 < len(pieces) else ""
        if whole or left is not None:
            yield _Share(left, whole or 0, of, piece.start)


def some_more(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, each with its own number, not that of another: "three are in, another five to go"."""
    found: list[Fact] = []
    for fact in facts:
        told = [f for f in found if f.item == fact.item and f.count]
        number = _more(case, fact)
        if number and told and fact.count in (None, told[-1].count) and number != told[-1].count:
            why = (*fact.inferred, ("count", "of those told of before"))
            fact = fact.model_copy(update={"count": number, "of": told[-1].of, "about": None, "inferred": why})
        found.append(fact)
    return found


def _more(case: Case, fact: Fact) -> int | None:
    """Return the number of "another five", "the other two", "four to go" where a fact is told, None where none is."""
    pieces = case.pieces
    first = next((at for at in case.own(fact) if pieces[at].start >= fact.words[0]), None)
    for at in range(max(1, (first or 0) - _AS_FAR), (first or 0) + 1):
        more = pieces[at - 1].low in _MORE and pieces[at].whole and has_no_noun(pieces, at)
        step = at + 1
        while step < len(pieces) and pieces[step].low in _STILL:
            step += 1
        if more or tuple(piece.low for piece in pieces[step : step + 2]) in _TO_GO:
            return number_of(pieces[at])
    return None


def only_about(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, their numbers marked as rough where they were told so: "about sixty of the bolts"."""
    return [f.model_copy(update={"about": True}) if f.count and _is_rough(case, f) else f for f in facts]


def _is_rough(case: Case, fact: Fact) -> bool:
    """Tell whether the one number of a fact's count in its sentence has "about" before it, or "or so" soon after."""
    pieces, own = case.pieces, case.own(fact)
    told = [at for at in own if pieces[at].whole == fact.count]
    if len(told) != 1:
        return False
    lows = tuple(piece.low for piece in pieces[told[0] + 1 : told[0] + 1 + _AS_FAR])
    after = any(lows[at : at + len(words)] == words for words in _OR_SO for at in range(3))
    ending = tuple(pieces[at].low for at in own if pieces[at].kind != "mark")[-3:] in _AT_THE_END
    only = sum(pieces[at].kind == "number" for at in own) == 1
    either = told[0] > 1 and pieces[told[0] - 1].low == "or" and pieces[told[0] - 2].whole is not None
    return after or either or (ending and only) or (told[0] > 0 and pieces[told[0] - 1].low in _ROUGHLY)
