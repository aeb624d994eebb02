"""Findings: what was seen on which part, and whether it was looked for and is not there."""

from collections.abc import Sequence
from typing import NamedTuple

from pipeline.reading.clauses import Clause
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.phrases import Phrase
from pipeline.reading.pieces import BE, DETERMINERS, Piece

_LOOKED_FOR = word_set("for against")
_TIMES = word_set("today now")
_SEEMS = word_set("look looks looked seem seems seemed feel feels appear appears sounds sounded")
_TELLS = word_set("find see say know report note confirm found saw said")
_MAY = word_set("can could may might would should will 'll")
_PEOPLE = word_set("i we you he she who somebody nobody everybody")


class Seen(NamedTuple):
    """A finding at piece ``at``: ``form`` is noun, adjective or verb; ``before`` a noun for "a cracked rib"."""

    finding: str
    at: int
    form: str
    absent: bool
    grade: str
    before: bool


def find_seen(
    lexicon: Lexicon, pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], acts_at: Sequence[int]
) -> list[Seen]:
    """Return the findings of a clause in order, each kind once."""
    found: list[Seen] = []
    for at in range(clause.first, clause.last):
        seen = _seen_at(lexicon, pieces, clause, phrases, at, acts_at)
        if seen and not any(other.finding == seen.finding and other.absent == seen.absent for other in found):
            found.append(seen)
    gapped = [seen for seen in _gapped(lexicon, pieces, clause) if all(seen.finding != s.finding for s in found)]
    return sorted([*found, *gapped], key=lambda seen: seen.at) if gapped else found


def _gapped(lexicon: Lexicon, pieces: Sequence[Piece], clause: Clause) -> list[Seen]:
    """Return findings said with room between: "paint's flaking", "bit of paint gone"."""
    lows = [piece.low for piece in pieces[clause.first : clause.last]]
    for words, notation in lexicon.gapped_findings:
        first, last = words[0], words[-1]
        if first in lows:
            at = lows.index(first)
            rest = lows[at + 1 : at + 6]
            middle = [word for word in words[1:-1] if word != "~"]
            if last in rest and all(word in rest[: rest.index(last)] for word in middle):
                return [
                    Seen(
                        notation,
                        clause.first + at,
                        "noun",
                        False,
                        grade_near(pieces, clause, clause.first + at),
                        False,
                    )
                ]
    return []


def _seen_at(
    lexicon: Lexicon,
    pieces: Sequence[Piece],
    clause: Clause,
    phrases: Sequence[Phrase],
    at: int,
    acts_at: Sequence[int],
) -> Seen | None:
    piece = pieces[at]
    sounds = piece.low == "sounds" and piece.tag.startswith("VB")  # "it sounds dead" says how it sounds
    if sounds or at in acts_at or (piece.verb and at > clause.first and pieces[at - 1].low == "to"):
        return None
    if piece.verb and any(step.low in ("let", "make") for step in pieces[max(clause.first, at - 3) : at]):
        return None
    noun, adjective = piece.sense("finding-noun"), piece.sense("finding-adjective")
    verb = lexicon.finding_verbs.get(piece.verb, "") if piece.kind in ("verb", "finding") else ""
    inside = next((phrase for phrase in phrases if phrase.first <= at < phrase.last and phrase.named), None)
    follows = pieces[at + 1] if at + 1 < clause.last else None
    if piece.verb and follows is not None and (follows.low in ("it", "them") or follows.low in DETERMINERS):
        adjective = "" if adjective == "seized" else adjective  # "stuck it on"
    if adjective and (not noun or _adjectival(pieces, clause, at) or inside):
        return _adjective(
            lexicon, pieces, clause, phrases, at, adjective, bool(inside and inside.last > at + 1), acts_at
        )
    beyond = pieces[at + 2] if at + 2 < clause.last else None
    ends = beyond is None or beyond.kind == "mark"
    taken = follows is not None and follows.low in ("it", "them", "that") and not piece.low.endswith((" on", " with"))
    if noun and taken and (piece.tag.startswith("VB") or (ends and piece.low in ("scratch", "twist", "bend"))):
        return None  # "no play when I waggle it", "scratch that"
    if at > clause.first and pieces[at - 1].low in _MAY:
        return None  # "it can drip on the floor"
    absent, grade = _absent(pieces, clause, at), grade_near(pieces, clause, at)
    if clause.opener == "so" and absent and follows is not None and follows.low in ("gets", "get", "comes", "can"):
        return None  # "so no dirt gets in"
    if clause.opener == "so" and absent and any(step.low == "does" for step in pieces[clause.first : at]):
        return None
    if noun in lexicon.good and not _nothing(pieces, clause, at):
        return None
    if noun:
        unused = piece.kind == "verb" and not verb
        going_on = piece.low.endswith("ing") and at > clause.first and pieces[at - 1].low in BE
        form = "verb" if going_on else "noun"
        return (
            None
            if unused or _only_named(pieces, clause, at, acts_at) or (acts_at and _definite(pieces, clause, at))
            else Seen(noun, at, form, absent, grade, False)
        )
    if not verb or _subject_is_person(pieces, clause, at):
        return None
    return Seen(verb, at, "verb", absent, grade, False)


def _adjective(
    lexicon: Lexicon,
    pieces: Sequence[Piece],
    clause: Clause,
    phrases: Sequence[Phrase],
    at: int,
    finding: str,
    before_noun: bool,
    acts_at: Sequence[int],
) -> Seen | None:
    absent, grade = _absent(pieces, clause, at), grade_near(pieces, clause, at)
    if finding in lexicon.good:
        good = _good(pieces, clause, at) and not absent
        return Seen(finding, at, "adjective", False, "", False) if good else None
    follows = pieces[at + 1].low if at + 1 < clause.last else ""
    if before_noun or (follows in ("one", "ones") and _definite(pieces, clause, at)):
        told_before = _definite(pieces, clause, at)
        return None if told_before else Seen(finding, at, "adjective", absent, grade, True)
    if absent and any(step.low == "nothing" for step in pieces[clause.first : at]) and not acts_at and not phrases:
        return None  # "nothing's bent" after a job is talk
    if _brought_about(pieces, clause, at, acts_at):
        return None
    if _subject_is_person(pieces, clause, at) or not _predicative(pieces, clause, phrases, at):
        return None
    return Seen(finding, at, "adjective", absent, grade, False)


def _brought_about(pieces: Sequence[Piece], clause: Clause, at: int, acts_at: Sequence[int]) -> bool:
    """Tell whether a condition is what the work did to its object ("cracked the nuts loose")."""
    act = next((step for step in reversed(acts_at) if step < at), None)
    if act is None or not pieces[act].verb or "past" not in pieces[act].forms or at - act > 4:
        return False
    between = pieces[act + 1 : at]
    return (
        pieces[at - 1].kind == "thing"
        and between[0].low in DETERMINERS
        and not any(piece.kind in ("aux", "mark", "verb") for piece in between)
    )


def _definite(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether a condition only picks out a part that was told of before ("the cracked bracket")."""
    return at > clause.first and pieces[at - 1].low in ("the", "that", "those", "this", "these", "our")


def _only_named(pieces: Sequence[Piece], clause: Clause, at: int, acts_at: Sequence[int]) -> bool:
    """Tell whether a finding is only looked for ("checked for cracks") or worked on ("blend out the scoring")."""
    step = at - 1
    while step >= clause.first and (
        pieces[step].kind == "grade" or pieces[step].tag.startswith("JJ") or pieces[step].low in DETERMINERS
    ):
        step -= 1
    before = {pieces[place].low for place in (at - 1, step) if place >= clause.first}
    return bool(before & _LOOKED_FOR) or step in acts_at


def _adjectival(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    before = pieces[at - 1] if at > clause.first else None
    if before is None:
        return pieces[at].tag.startswith(("VB", "JJ"))
    if before.low in DETERMINERS or (before.kind in ("grade", "number") and pieces[at].tag.startswith("NN")):
        return False
    return before.kind == "aux" or pieces[at].tag in ("VBN", "VBD", "JJ", "VBG")


def _predicative(pieces: Sequence[Piece], clause: Clause, phrases: Sequence[Phrase], at: int) -> bool:
    """Tell whether an adjective says something of a subject: after "is", "has gone", a noun, or alone."""
    for step in range(at - 1, max(clause.first, at - 6) - 1, -1):
        piece = pieces[step]
        if piece.kind == "aux" and piece.low in BE | {"has", "have", "had", "'ve"}:
            return True
        if piece.low in _SEEMS:
            return True
        if piece.kind == "verb":
            return piece.verb in ("look", "come", "seem", "go", "find", "feel", "get", "be", "work")
        if piece.kind in ("thing", "place", "side") or piece.low in ("one", "of", "them", "it"):
            return True
    return at - clause.first <= 2 or pieces[at - 1].kind == "mark"


def _good(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether "good" or "fine" judges a part and not the talk."""
    if at - 2 >= clause.first and pieces[at - 1].low == ":":
        return True
    follows = pieces[at + 1] if at + 1 < clause.last else None
    if follows is not None and follows.kind == "word" and follows.tag == "NN" and follows.low not in _TIMES:
        return False  # "it's a good question"
    lows = [piece.low for piece in pieces[clause.first : at]]
    if "rest" in lows and lows[lows.index("rest") + 1 : lows.index("rest") + 3] == ["of", "it"]:
        return False  # a part with a fault is not sound, however good the rest of it
    if pieces[at - 1].kind == "number" and at > clause.first:
        return at - 1 == clause.first or pieces[at - 2].kind == "mark" or pieces[at - 2].low in ("and", "but")
    for step in range(at - 1, max(clause.first, at - 5) - 1, -1):
        piece = pieces[step]
        if (piece.kind == "aux" and piece.low in BE) or piece.low in _SEEMS:
            subject = _own_subject(pieces[clause.first : step])
            if any(p.low in _PEOPLE and p.kind == "word" for p in subject):
                return False
            return any(
                p.kind in ("thing", "place", "side", "finding", "number")
                or p.low in ("it", "one", "rest", "they", "ones", "both", "all", "others")
                for p in subject
            ) or (step == clause.first)
        if piece.kind == "thing" and at - step <= 3:
            ends = at + 1 >= clause.last or pieces[at + 1].kind == "mark" or pieces[at + 1].low == "and"
            return step == at - 1 and (pieces[at].tag.startswith(("JJ", "RB")) or ends)
    if at == clause.first and pieces[at].low in ("sound", "serviceable", "undamaged"):
        return True
    if clause.opener in ("but", "and") and at - clause.first <= 2:
        return pieces[at].low not in ("good", "fine", "ok", "okay") or at + 1 >= clause.last
    return False


def _own_subject(before: Sequence[Piece]) -> Sequence[Piece]:
    """Return the subject of what was found or said: "we've found that the ribs are sound" is of the ribs."""
    for step in range(len(before) - 1, 0, -1):
        low = before[step - 1].low
        if before[step].low == "that" and (before[step - 1].verb in _TELLS or low in _TELLS):
            return before[step + 1 :]
        if before[step].verb == "find" or low == "found":
            return before[step + 1 :] if before[step].verb == "find" else before[step:]
    return before


def _subject_is_person(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    for step in range(at - 1, clause.first - 1, -1):
        if pieces[step].kind in ("thing", "side", "place"):
            return False
        if pieces[step].kind == "word" and pieces[step].low in _PEOPLE:
            chain = pieces[step + 1 : at]
            return not any(
                piece.verb in ("find", "see", "have", "get", "notice") or piece.low in ("had", "got", "have", "'ve")
                for piece in chain
            )
    return False


def _absent(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    start = clause.first
    if pieces[at].kind == "finding" and pieces[at].low.endswith(" with"):
        return False  # "nothing wrong with it"
    if pieces[start].low in ("or", "nor"):
        start = max(0, start - 6)  # "no play or leaks": the first clause's "no" counts for both
    after = [piece.low for piece in pieces[at + 1 : min(at + 4, clause.last)]]
    if after[-1:] and after[-1] in _NIL and all(low in (",", ":", "now", "is", "-") for low in after[:-1]):
        return True
    if at + 1 < clause.last and pieces[at + 1].low == "free" and pieces[at].low != "free":
        return at + 2 >= clause.last or pieces[at + 2].low not in ("of", "from", "play")
    for step in range(at - 1, max(start, at - 8) - 1, -1):
        low = pieces[step].low
        if low == "no" and (_objects(pieces[step + 1]) or (step and pieces[step - 1].low in ("oh", "no", "er"))):
            continue
        if low == "no" and pieces[at].low.startswith("missing") and _is_there(pieces[step + 1 : at]):
            return False  # "no gasket in it, missing altogether"
        if low in _DENIES or (low == "hardly" and pieces[step + 1].low == "any"):
            return not (low in ("not", "n't") and pieces[step + 1].low in ("just", "only", "sure"))
        if (pieces[step].kind == "mark" and low != ",") or low in ("but", "which"):
            return False
        if low in ("free", "clear") and pieces[step + 1].low in ("of", "from"):
            return True
    return False


_DENIES = word_set("no none without nothing neither never n't not nor nae zero nowt nary")
_NIL = word_set("nil none zero nought")
_NOTHING = word_set("nothing nowt nil no not never n't nobody none")


def _nothing(pieces: Sequence[Piece], clause: Clause, at: int) -> bool:
    """Tell whether a good finding told by what is not there ("nothing wrong with it") is said outright."""
    if pieces[at].low.endswith((" with", " on", " in", " to", " about")):
        after = pieces[at + 1 : min(at + 6, clause.last)]
        if not any(p.kind in ("thing", "place", "side") or p.low in ("it", "them", "that", "those") for p in after):
            return False
    if set(pieces[at].low.split()) & _NOTHING:
        return True
    return any(piece.low in _NOTHING for piece in pieces[max(clause.first, at - 6) : at])


def _is_there(between: Sequence[Piece]) -> bool:
    """Tell whether the words between "no" and "missing" name a part without saying "is" of it."""
    return any(piece.kind == "thing" for piece in between) and not any(piece.kind == "aux" for piece in between)


def _objects(piece: Piece) -> bool:
    """Tell whether "no" before this piece only takes something back ("no, sorry", "no I mean")."""
    return piece.kind in ("mark", "number") or piece.low in ("sorry", "wait", "hang", "i", "it", "not", "that")


def grade_near(pieces: Sequence[Piece], clause: Clause, at: int) -> str:
    """Return how bad it is said to be, in the words around a finding, or ""."""
    loose = [
        step for step in range(at + 1, clause.last)
        if pieces[step].sense("grades") and pieces[step - 1].low == ","
        and (step + 1 == clause.last or pieces[step + 1].kind == "mark")
    ]  # fmt: skip
    if loose and not any(piece.kind == "finding" for piece in pieces[at + 1 : loose[0]]):
        return pieces[loose[0]].sense("grades")
    around: list[int] = [at - 1, at - 2, at - 3, *range(at + 1, at + 9)]
    for step in around:
        if clause.first <= step < clause.last and pieces[step].sense("grades"):
            between = pieces[min(step, at) + 1 : max(step, at)]
            if not any(
                piece.kind in ("measure", "finding", "verb") or piece.low in ("and", "but") for piece in between
            ) and not (step > at + 5 and any(piece.kind == "thing" or piece.low == "," for piece in between)):
                return pieces[step].sense("grades")
    return ""
