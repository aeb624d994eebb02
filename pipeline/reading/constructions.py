"""Acts that are told by a whole construction: "off came the rudder", "six bolts hold it", "we left it on"."""

from collections.abc import Sequence
from typing import NamedTuple

from pipeline.reading.clauses import Clause
from pipeline.reading.fluids import HELD_IN
from pipeline.reading.forms import PAST, word_set
from pipeline.reading.lexicon import Saying
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import BE, HAVE, Piece

UNDER = "be under"
INVERTED = "off comes"
HOLDS = "hold the"
DUE = "be due"


class Said(NamedTuple):
    """An act that is said at piece ``at``; its words end before piece ``last``. ``state``: told by "is off"."""

    act: str
    at: int
    last: int
    saying: Saying | None
    state: bool = False
    state_at: int = -1
    kept: bool = False


_TURNED = {"off": "remove", "out": "remove", "away": "remove", "in": "fit", "on": "fit", "up": "lift"}


def inverted(pieces: Sequence[Piece], clause: Clause) -> Said | None:
    """Read "out came the seats", "off with the spinner", "back in it goes" and "up she went"."""
    at = clause.first
    while at < clause.last - 1 and (
        pieces[at].kind == "mark" or pieces[at].low in ("and", "then", "so", "well", "right")
    ):
        at += 1
    if at < clause.last - 2 and pieces[at].low == "back" and pieces[at + 1].low in ("in", "on"):
        at += 1
    act = _TURNED.get(pieces[at].low, "") if at < clause.last - 1 else ""
    if not act:
        return None
    comes = next(
        (step for step in range(at + 1, min(at + 3, clause.last)) if pieces[step].verb in ("come", "go")), -1
    )
    if comes < 0 and (pieces[at + 1].low != "with" or act != "remove"):
        return _heads_list(pieces, clause, at) if act == "remove" else None
    if comes == at + 2 and pieces[at + 1].low not in ("it", "they", "she", "he"):
        return None
    verb = comes if comes > 0 else at
    if act in ("fit", "lift") and pieces[verb].verb != "go":
        return None
    return Said(
        act,
        verb if comes != at + 2 else at,
        verb + 1,
        Saying("remove", INVERTED, (), frozenset()),
        comes < 0,
        at,
    )


def _heads_list(pieces: Sequence[Piece], clause: Clause, at: int) -> Said | None:
    """Read "Off the starboard nacelle: the firewall, the oil tank"."""
    colon = next((step for step in range(at + 1, min(at + 8, clause.last)) if pieces[step].low == ":"), -1)
    if colon < 0 or any(piece.kind in ("verb", "aux", "finding") for piece in pieces[at:colon]):
        return None
    return Said("remove", at, at + 1, Saying("remove", INVERTED, (), frozenset()), True, at)


def there_are(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> Said | None:
    """Read "there's about 240 nuts and bolts round it" as what holds the part."""
    for at in range(clause.first, min(clause.first + 4, clause.last - 1)):
        if pieces[at].low == "there" and pieces[at + 1].low in ("'s", "are", "is", "'re"):
            counted = next(
                (p for p in phrases if p.fastener and p.count is not None and not p.implied and p.first >= at), None
            )
            if counted is None or any(
                piece.kind in ("finding", "verb", "stow") for piece in pieces[at : clause.last]
            ):
                return None
            held = [
                p
                for p in phrases
                if p.first >= counted.last and p.prep in ("round", "around", "through", "in", "on", "along", "to")
            ]
            if held and (held[0].named or held[0].stands_for) and counted.counted not in ("hole", "hinge"):
                return Said("held-by", at + 1, at + 2, Saying("held-by", HOLDS, (), frozenset()))
    return None


def left(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> Said | None:
    """Read "the pitot head I left on", "we left the other one alone"."""
    for at in range(clause.first, clause.last):
        if pieces[at].low in _STAYS and any(p.last <= at and not p.prep for p in phrases):
            follows = pieces[at + 1].low if at + 1 < clause.last else ""
            if follows in _WHERE_IT_IS and not any(piece.kind == "stow" for piece in pieces[at : clause.last]):
                return Said("remove", at, at + 2, Saying("remove", "leave", (), frozenset()), kept=True)
        if pieces[at].low not in ("left", "leave", "leaving", "kept") or pieces[at].kind == "side":
            continue
        alone = at + 2 >= clause.last or pieces[at + 2].kind == "mark" or pieces[at + 2].low in _LEFT_SO
        if at + 1 < clause.last and alone and pieces[at + 1].low in ("it", "them", "that", "those"):
            return Said("remove", at, at + 2, Saying("remove", "leave", (), frozenset()), kept=True)
        for step in range(at + 1, min(at + 7, clause.last)):
            if pieces[step].kind in ("verb", "stow"):
                break
            if pieces[step].low == "where" and step + 1 < clause.last and pieces[step + 1].low in ("it", "they"):
                return Said("remove", at, step, Saying("remove", "leave", (), frozenset()), kept=True)
            if pieces[step].low in ("on", "in", "alone", "be") and (
                step + 1 >= clause.last
                or pieces[step + 1].kind == "mark"
                or pieces[step + 1].low
                in ("for", "and", "because", "but", "as", "place", "situ", "where", "until", "till", "today", "so")
            ):
                return Said("remove", at, step + 1, Saying("remove", "leave", (), frozenset()), kept=True)
    return None


def under(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> Said | None:
    """Read "the trestles are under the wing", "we've put a trestle under it", "there's one jack under the spar"."""
    equipment = next((phrase for phrase in phrases if phrase.kind == "support-equipment" and not phrase.prep), None)
    if equipment is None:
        return None
    for at in range(equipment.last, clause.last):
        if pieces[at].low not in ("under", "beneath", "underneath"):
            continue
        if not any(phrase.prep == pieces[at].low for phrase in phrases):
            return None
        verbs = [step for step in range(clause.first, at) if pieces[step].kind in ("verb", "aux")]
        doing = [step for step in verbs if pieces[step].kind == "verb"]
        if any(pieces[step].verb not in _PUT_UNDER for step in doing):
            return None
        verb = (doing or verbs or [at])[-1]
        return Said("support", verb, at + 1, Saying("support", UNDER, (), frozenset()), not doing, at)
    return None


def refuses(pieces: Sequence[Piece], clause: Clause) -> Said | None:
    """Read "wouldn't come" and "couldn't shift it": it is still on."""
    for at in range(clause.first + 2, clause.last):
        if pieces[at].verb not in ("come", "shift") or pieces[at - 1].low not in ("n't", "not"):
            continue
        rest = [piece.low for piece in pieces[at + 1 : clause.last] if piece.kind != "mark"]
        own = rest in (["it"], ["them"]) if pieces[at].verb == "shift" else not rest
        if pieces[at - 2].low in ("would", "wo", "could", "ca", "will") and own:
            return Said("remove", at, at + 1, Saying("remove", "come", (), frozenset()))
    return None


def run_out(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> Said | None:
    """Read "eleven gallons of it out of the oil tank", said without a verb."""
    if any(piece.kind in ("verb", "aux", "finding") for piece in pieces[clause.first : clause.last]):
        return None
    for at in range(clause.first, clause.last - 2):
        if not any(measure.unit in ("gal", "l") for measure in pieces[at].measures):
            continue
        for step in range(at + 1, min(at + 5, clause.last - 1)):
            if pieces[step].low in ("out", "from") and any(p.first > step and p.named for p in phrases):
                return Said("drain", step, step + 1, Saying("drain", INVERTED, (), frozenset()), True, step)
    return None


def drained_out(pieces: Sequence[Piece], clause: Clause) -> Said | None:
    """Read "the fuel's out of the tank", "got all the oil out": it was drained."""
    for at in range(clause.first, clause.last):
        if pieces[at].low not in HELD_IN:
            continue
        out = at + 1
        while out < clause.last and pieces[out].low in _UP_TO_OUT:
            out += 1
        if out >= clause.last or pieces[out].low != "out":
            continue
        verbs = [step for step in range(clause.first, at) if pieces[step].verb or pieces[step].kind == "aux"]
        taken = all(PAST in pieces[step].forms or pieces[step].low in HAVE for step in verbs)
        stated = bool(verbs) or any(piece.low in BE for piece in pieces[at:out])
        if taken and stated and _ends_out(pieces, clause, out + 1):
            return Said("drain", out, out + 1, Saying("drain", INVERTED, (), frozenset()), True, out)
    return None


def _ends_out(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether "out" ends what is said, or goes on with what it is out of: "out of the tank", not "of date"."""
    follows = pieces[at] if at < clause.last else None
    if follows is None or follows.kind in ("mark", "measure") or follows.low in _AFTER_OUT:
        return True
    return follows.low in ("of", "from") and any(p.kind == "thing" for p in pieces[at + 1 : min(at + 5, clause.last)])


def due(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> Said | None:
    """Read "clamps next", "engine nuts after dinner" and "paint's Monday": work that is only named, and put off."""
    inside = pieces[clause.first : clause.last]
    if any(piece.kind in ("verb", "finding", "stow", "measure") for piece in inside):
        return None
    lows = [piece.low for piece in inside if piece.kind != "mark" and piece.low not in ("and", "then", "the")]
    first = next((at for at in range(clause.first, clause.last) if pieces[at].low in lows[:1]), -1)
    act = _NAMED_WORK.get(lows[0], "") if lows and len(lows) < 6 else ""
    if act and not any(phrase.named and not phrase.prep and phrase.first != first for phrase in phrases):
        return Said(act, first, first + 1, Saying(act, DUE, (), frozenset()))
    main = [phrase for phrase in phrases if not phrase.prep]
    if (
        len(main) == 1
        and main[0].last < clause.last
        and main[0].fastener
        and main[0].counted not in _NOT_UNDONE
        and len(lows) < 6
    ):
        return Said("undo", main[0].last, main[0].last, Saying("undo", DUE, (), frozenset()))
    return None


_UP_TO_OUT = BE | HAVE | word_set("all now just first already not n't never come came")
_AFTER_OUT = word_set("and now already again too both first so")
_NOT_UNDONE = word_set("hole hinge locking-wire split-pin")
_NAMED_WORK = {
    "paint": "paint", "painting": "paint", "topcoat": "paint", "primer": "prime", "priming": "prime",
    "undercoat": "prime", "etching": "treat", "cleaning": "clean", "degreasing": "clean",
}  # fmt: skip


def still_on(pieces: Sequence[Piece], clause: Clause) -> Said | None:
    """Read "Still on there." and "Still in.": the part that was spoken of has not come off."""
    lows = [piece.low for piece in pieces[clause.first : clause.last] if piece.kind != "mark"]
    if lows in (["still", "on"], ["still", "in"], ["still", "on", "there"], ["still", "in", "there"]):
        at = next(step for step in range(clause.first, clause.last) if pieces[step].low in ("on", "in"))
        return Said("remove", at, at + 1, None, True, at, kept=True)
    return None


_LEFT_SO = word_set("for because cos till until but and as so where")
_STAYS = word_set("stays stayed remains remained")
_WHERE_IT_IS = word_set("on put fitted attached installed in where there")
_PUT_UNDER = word_set("go come put sit get place slide stick be have stand")


def stands_on(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase]) -> Said | None:
    """Read "the rear fuselage is on two trestles"."""
    gear = next(
        (
            p
            for p in phrases
            if (p.kind == "support-equipment" and p.prep in ("on", "in") and not p.stands_for)
            or (p.short == "jack" and p.plural and p.prep == "on")
        ),
        None,
    )
    if (
        gear is None
        or "stand" in pieces[gear.last - 1].low
        or (gear.last < clause.last and pieces[gear.last].low in ("and", "by"))
    ):
        return None
    verbs = [at for at in range(clause.first, gear.first) if pieces[at].kind in ("verb", "aux")]
    subjects = [p for p in phrases if p.last <= gear.first and not p.fastener and not p.prep]
    if not verbs and subjects and subjects[-1].plural and pieces[subjects[-1].last].low == gear.prep:
        return Said(
            "support", gear.first - 1, gear.last, None, True, gear.first
        )  # "the section's" heard as "sections"
    named = any(p.last <= (verbs[0] if verbs else 0) for p in subjects)
    if not named or len(verbs) != 1 or pieces[verbs[0]].low not in ("is", "are", "'s", "was", "were"):
        return None
    return Said("support", verbs[0], gear.last, None, True, gear.first)


def fasteners_hold(pieces: Sequence[Piece], phrases: Sequence[Phrase], at: int) -> bool:
    """Tell whether fasteners are the subject: "six bolts hold the fin", "two bolts holding the jack"."""
    before = [phrase for phrase in phrases if phrase.last <= at]
    after = [phrase for phrase in phrases if phrase.first > at and not phrase.prep]
    if not before or not after or not before[-1].fastener or before[-1].prep in ("by", "with"):
        return False
    passive = any(piece.kind == "aux" for piece in pieces[before[-1].last : at])
    return not passive and (after[0].named or bool(after[0].stands_for)) and after[0].first <= at + 2
