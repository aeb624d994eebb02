"""What stands beside a noun and belongs to it: its number, its side, its preposition, "both" after it."""

from collections.abc import Container, Sequence

from pipeline.reading.forms import word_set
from pipeline.reading.pieces import DETERMINERS, Piece

PREPOSITIONS = word_set(
    "of off from on in at for round around through to into onto behind under with by near above below along inside "
    "between against underneath beside than about over across beneath after before like without"
)
_ABOUT = word_set("about around roughly approximately some nearly maybe approx circa perhaps approximate")
_ABOUT_TWO = (
    ["something", "like"], ["on", "for"], ["part", "of"], ["upwards", "of"], ["just", "over"],
    ["just", "under"], ["close", "to"], ["more", "than"], ["less", "than"], ["near", "enough"], ["a", "good"],
)  # fmt: skip
_SHARES = word_set("all none any each both some either neither most half lots few several")
_BESIDE = {
    "of": word_set("aft forward ahead outboard inboard abaft astern clear short"),
    "to": word_set("next close adjacent nearest"),
}


def only_where(pieces: Sequence[Piece], at: int, past_tags: Container[str] = ()) -> bool:
    """Tell whether a noun stands after a preposition: "on the cradle" only says where.

    Args:
        pieces: of the text.
        at: where the noun stands.
        past_tags: tags of words that may stand between, beside articles and the like.
    """
    step = at - 1
    while step >= 0 and (pieces[step].low in DETERMINERS or pieces[step].tag in past_tags):
        step -= 1
    return step >= 0 and pieces[step].low in PREPOSITIONS


def compound(piece: Piece) -> bool:
    """Tell whether a word before a part belongs to its name ("waste drum")."""
    return (
        piece.kind == "word"
        and piece.tag in ("NN",)
        and piece.low.isalpha()
        and piece.low not in ("today", "lunch", "morning", "now", "side")
    )


def _modifier(piece: Piece) -> bool:
    if piece.kind in ("side", "grade", "number", "measure") or piece.low in DETERMINERS | {
        "both",
        "all",
        "other",
        "half",
        "neither",
    }:
        return True
    return (
        piece.kind in ("word", "finding")
        and piece.tag.startswith(("JJ", "VBN", "VBG", "RBR", "PRP$", "CD"))
        and (piece.low not in PREPOSITIONS)
    )


def start_of(pieces: Sequence[Piece], start: int, at: int) -> int:
    """Return the piece with which the words before the noun at ``at`` begin."""
    if at - 1 >= start and pieces[at].kind == "thing" and compound(pieces[at - 1]):
        at -= 1
    while at - 1 >= start and _modifier(pieces[at - 1]):
        at -= 1
        if pieces[at].low in DETERMINERS and not (
            at > start and pieces[at - 1].low in ("all", "both", "half", "neither")
        ):
            break
    return at


def side_before(pieces: Sequence[Piece], start: int, at: int) -> str:
    """Return the side named before the noun, or "both" where "both" stands there."""
    first = start_of(pieces, start, at)
    sides = [pieces[step].sense("sides") for step in range(first, at + 1) if pieces[step].kind in ("side", "thing")]
    sides = [side for side in sides if side]
    if sides:
        return sides[-1]
    words = {pieces[step].low for step in range(first, at)}
    words |= {pieces[first - 2].low} if first - 2 >= start and pieces[first - 1].low == "of" else set()
    return "both" if words & {"both", "neither"} else ""


def before_noun(pieces: Sequence[Piece], start: int, at: int) -> tuple[str, int | None, bool]:
    """Return the preposition before a phrase, the number in it, and whether it is only about that number."""
    first = start_of(pieces, start, at)
    number, about = None, False
    for step in range(first, at):
        value = pieces[step].whole
        if value is not None:
            if step > start and pieces[step - 1].low == "number":
                continue
            number = value
            two = [piece.low for piece in pieces[max(start, step - 2) : step]]
            about = two[-1:] != [] and (two[-1] in _ABOUT or two in _ABOUT_TWO)
            about = about or (
                pieces[step + 1].low == "odd" and number >= 20 and number % 10 == 0
            )  # not "two odd nuts"
    step = first - 1
    if about:
        step -= 1 if step >= start and pieces[step].low in _ABOUT else 0
        step -= 2 if [piece.low for piece in pieces[max(start, step - 1) : step + 1]] in _ABOUT_TWO else 0
        step -= 1 if step >= start and pieces[step].low == "getting" else 0
    of_some = number is None or pieces[first].low in ("the", "its", "their", "our", "those")  # "two of the four"
    if step > start and pieces[step].low == "of":
        value = pieces[step - 1].whole
        if value is not None and (of_some or value < (number or 0)):
            return before_noun(pieces, start, step - 1)[0], value, False
        if of_some and pieces[step - 1].low in _SHARES:
            return before_noun(pieces, start, step - 1)[0], None, False
    while step > start and pieces[step].tag == "RB" and pieces[step].low not in PREPOSITIONS:
        step -= 1
    if step > start and pieces[step].low in ("of", "to") and pieces[step - 1].low in _BESIDE[pieces[step].low]:
        return "near", number, about
    prep = pieces[step].low if step >= start and pieces[step].low in PREPOSITIONS else ""
    return prep, number, about


def both_after(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether "both" is said of a noun after it ("the flaps are both off", "... are off, the both of them")."""
    lows = [piece.low for piece in pieces[at : at + 10]]
    if lows[:2] in (["are", "both"], ["were", "both"], ["have", "both"], ["'re", "both"], [":", "both"]):
        return True
    for step, low in enumerate(lows[1:], 1):
        piece = pieces[at + step]
        if low == "both" and lows[step + 1 : step + 3] in (["of", "them"], ["of", "'em"]):
            follows = pieces[at + step + 3] if at + step + 3 < len(pieces) else None
            return follows is None or follows.kind == "mark" or follows.low in ("and", "had", "so", "now")
        led = piece.kind == "thing" and {lows[step - 1], lows[max(step - 2, 0)]} & PREPOSITIONS
        if (piece.kind in ("thing", "side", "number", "finding") and not led) or low in (".", ";", "it", "we", "i"):
            return False
    return False


def names_a_thing(pieces: Sequence[Piece], start: int, at: int, end: int) -> bool:
    """Tell whether a numbered place tells which of a noun it stands before ("frame 9 floor's rotten")."""
    if at + 1 >= end or pieces[at + 1].kind != "thing":
        return False
    head = at + 1
    while head + 1 < end and pieces[head + 1].kind == "thing":
        head += 1
    follows = pieces[head + 1] if head + 1 < end else None
    before = pieces[at - 1] if at > start else None
    opens = before is None or before.kind == "mark" or before.low in ("the", "that", "a", "and", "this")
    return opens and (follows is None or follows.kind in ("mark", "aux", "finding"))
