"""Inspections told as nouns: "the duplicate on the ailerons is done", "second inspection still outstanding"."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.pieces import WEEKDAYS, Piece
from pipeline.reading.spans import Span, holds, overlap

_SECOND = word_set("duplicate second independent dual double")
_LOOK = word_set("inspection inspections check checks look")
_OWED = word_set("outstanding overdue owed owing pending due awaited needed")
_STILL = (("to", "come"), ("to", "do"), ("to", "be"), ("not", "done"), ("n't", "done"))
_DONE = word_set("done complete completed finished made signed passed")
_CARRIED = ("carried", "out")
_OPEN = WEEKDAYS | word_set(
    "if when once until till before unless should would might could can may must will 'll shall going wants needs "
    "tomorrow next later soon tonight n't not never no nobody"
)


class _Look(NamedTuple):
    """An inspection of a part on a side ("" for none): done, or owed; and the sentence that tells of it."""

    part: str
    side: str
    owed: bool
    words: Span


def with_second_looks(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts; an inspection that is said to be outstanding is planned and not done, and none is lost."""
    found = list(facts)
    for look in _looks(case):
        own = [n for n, f in enumerate(found) if f.act == "inspect" and holds(look.words, f.words[0])]
        if look.owed:
            for n in own:
                found[n] = found[n].model_copy(update={"status": "planned"})
        if not own and look.part:
            status = "planned" if look.owed else "done"
            told = {"status": status, "act": "inspect", "item": look.part, "side": look.side or None}
            found.append(by_law("told as a noun: inspect", (), **told, words=look.words))
    return found


def _looks(case: Case) -> Iterator[_Look]:
    """Yield what each sentence tells of an inspection that is named as a noun."""
    for sentence in case.sentences():
        own = [case.pieces[at] for at in sentence]
        noun = next((n for n in range(len(own)) if _is_inspection(own, n)), None)
        if noun is None or own[-1].low == "?":
            continue
        owed, done = _is_owed(own, noun), _is_done(own)
        barred = any(overlap((own[0].start, own[-1].end), span) for span in case.rules.not_done)
        if owed or (done and not barred):
            part, side = _part_of(case, own)
            yield _Look(part, side, owed, (own[0].start, own[-1].end))


def _is_inspection(own: Sequence[Piece], at: int) -> bool:
    """Tell whether a piece names an inspection: "duplicate", "inspection", "second check"; no part."""
    low = own[at].low.split()
    before = own[at - 1].low if at else ""
    named = low[-1] in ("duplicate", "duplicates", "inspection", "inspections") or (
        low[-1] in _LOOK and (before in _SECOND or low[0] in _SECOND)
    )
    after = own[at + 1] if at + 1 < len(own) else None
    names_part = after is not None and after.kind == "thing" and low[-1] in ("inspection", "duplicate")
    return named and own[at].kind in ("word", "thing", "verb") and not own[at].sense("part") and not names_part


def _lows(own: Sequence[Piece]) -> list[str]:
    return [low for piece in own for low in piece.low.split()]


def _is_owed(own: Sequence[Piece], noun: int) -> bool:
    """Tell whether an inspection is said to be outstanding, or not yet done."""
    lows = _lows(own[noun:])
    return bool(_OWED & set(lows)) or any(tuple(lows[n : n + 2]) in _STILL for n in range(len(lows) - 1))


def _is_done(own: Sequence[Piece]) -> bool:
    """Tell whether an inspection is said to be done, with nothing that leaves it open."""
    lows = _lows(own)
    carried = any(tuple(lows[n : n + 2]) == _CARRIED for n in range(len(lows) - 1))
    had = any(tuple(lows[n : n + 2]) in (("had", "its"), ("had", "their")) for n in range(len(lows) - 1))
    return not (_OPEN & set(lows)) and (carried or had or bool(_DONE & set(lows)))


def _part_of(case: Case, own: Sequence[Piece]) -> tuple[str, str]:
    """Return the one part that a sentence names, with its side; "" where it names none or several."""
    named = [(n, case.part_named(piece)) for n, piece in enumerate(own) if piece.kind == "thing"]
    parts = [(n, part) for n, part in named if part and part not in case.lexicon.fasteners]
    if len({part for _n, part in parts}) != 1:
        return "", ""
    at, part = parts[0]
    side = own[at - 1].sense("sides") if at else ""
    return part, side
