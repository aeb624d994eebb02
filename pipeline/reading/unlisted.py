"""Nouns that behave like parts but stand in no list: kept for a person to add, never made into an item of a fact."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipeline.reading.forms import PARTICIPLE, word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.pieces import BE, DETERMINERS, HAVE, Piece

# What is done to parts and to little else: "cleaned the bench" and "checked the rota" tell nothing of an aircraft.
_DONE_TO_PARTS = word_set(
    "remove undo drill-out disconnect separate fit connect tighten lock blank repair prime paint treat strip-finish"
)
# Nouns and what goes before them that a hangar is full of, and that are no parts wherever they stand.
_EVERYDAY = word_set(
    "kettle tea coffee cake biscuit lunch photo photograph picture camera phone radio-show book diary file paperwork "
    "drawing manual list label tag note card form order price quote money cash rota budget job work task way time "
    "day week weekend month year morning afternoon evening night season winter idea question answer problem trouble "
    "mistake plan rule reason fault bit piece thing stuff lot rest end side half pair couple set kit number size "
    "length weight top bottom front back middle inside outside edge corner face surface spot place area hole gap "
    "water oil fuel petrol grease paint varnish dust dirt muck rust air heat hand finger thumb foot head eye knee "
    "arm body man woman lad chap fella bloke boy girl people person team crew gang volunteer apprentice fitter "
    "engineer inspector museum committee hangar workshop bench floor-space room shed tent lorry van car trailer "
    "weather rain snow wind noise smell torch spanner hammer drill screwdriver wrench socket-set lathe vice rag rope "
    "glove hat coat aircraft aeroplane airplane plane job-card one ones other others same new old whole own next "
    "last first second third fourth final big small little long short good bad nice proper right wrong left best "
    "worst main inner outer upper lower top-most rear bare spare extra loose odd few several many only original "
    "port starboard matching usual broken missing damaged inboard outboard forward aft centre center heavy light "
    "single double entire complete offending various rotten stubborn awkward stuck seized remaining tired current "
    "wood metal wooden steel brass alloy rubber temporary permanent real actual old-style lovely ruddy blasted "
    "blooming flipping horrible wretched daft tiny huge massive tall wide narrow thin thick black white red green "
    "blue yellow grey silver hope load weld rivetting thread bolt-hole hairline patch repair scrap swap"
)
_BEFORE = word_set("the this that these those our its both each every a an another my your") | DETERMINERS
_MOST_WORDS = 3


class Unlisted(NamedTuple):
    """A name that no list has, as it was said in small letters: characters ``start`` to ``end`` (exclusive)."""

    name: str
    start: int
    end: int


def find_unlisted(lexicon: Lexicon, pieces: Sequence[Piece]) -> tuple[Unlisted, ...]:
    """Find nouns that are treated as parts are, and that the vocabulary does not know.

    A noun counts where something is done to it that is done to parts ("took the wotsit off"), or where it is in a
    state or condition that parts are in ("the gizmo plate is cracked"). A short name that several parts share
    ("plate") counts with an unknown word before it.

    Args:
        lexicon: the vocabulary ready for looking up.
        pieces: the pieces of one note.

    Returns:
        Each name once, where it was said first, in the order said.
    """
    found: dict[str, Unlisted] = {}
    for first, last in _unknown_nouns(pieces):
        if _is_acted_on(lexicon, pieces, first, last) or _is_in_a_state(lexicon, pieces, last):
            name = " ".join(piece.low for piece in pieces[first:last])
            found.setdefault(name, Unlisted(name, pieces[first].start, pieces[last - 1].end))
    return tuple(found.values())


def _unknown_nouns(pieces: Sequence[Piece]) -> Iterator[tuple[int, int]]:
    """Yield where the unknown nouns with a determiner, a side or a number before them begin and end."""
    at = 1
    while at < len(pieces):
        before = pieces[at - 1]
        if before.low in _BEFORE or before.kind in ("side", "number"):
            last = at
            while last < len(pieces) and last - at < _MOST_WORDS and _unknown(pieces[last]):
                last += 1
            if last > at and last < len(pieces) and last - at < _MOST_WORDS and _shared_short(pieces[last]):
                last += 1
            if last > at and _ends_as_noun(pieces, last):
                yield at, last
                at = last
        at += 1


def _unknown(piece: Piece) -> bool:
    return (
        piece.kind == "word"
        and piece.low.isalpha()
        and not piece.capital
        and piece.low not in _EVERYDAY
        and piece.low.rstrip("s") not in _EVERYDAY
        and piece.tag in ("NN", "NNS", "JJ", "NNP", "NNPS")
    )


def _shared_short(piece: Piece) -> bool:
    """Tell whether a piece is a short name that several parts share, and no part's own name."""
    return piece.kind == "thing" and bool(piece.sense("short")) and not piece.sense("part")


def _ends_as_noun(pieces: Sequence[Piece], last: int) -> bool:
    head = pieces[last - 1]
    follows = pieces[last] if last < len(pieces) else None
    if follows is not None and (follows.kind in ("thing", "place", "stow") or follows.tag.startswith("NN")):
        return False
    return head.kind == "thing" or head.tag.startswith("NN")


def _is_acted_on(lexicon: Lexicon, pieces: Sequence[Piece], first: int, last: int) -> bool:
    """Tell whether a verb before the noun, with what follows the noun, says something that is done to parts."""
    at = first - 1
    while at >= 0 and (pieces[at].low in _BEFORE or pieces[at].kind in ("side", "number") or pieces[at].low == "of"):
        at -= 1
    if at < 0 or pieces[at].kind != "verb":
        return False
    after = tuple(piece.low for piece in pieces[last : last + 2])
    for saying in lexicon.sayings.get(pieces[at].verb, ()):
        gapped = "~" in saying.tail
        tail = saying.tail[saying.tail.index("~") + 1 :] if gapped else saying.tail
        fits = after[: len(tail)] == tail if gapped else not tail
        if fits and not saying.objects and saying.act in _DONE_TO_PARTS:
            return True
    return False


def _is_in_a_state(lexicon: Lexicon, pieces: Sequence[Piece], last: int) -> bool:
    """Tell whether a state, a condition or what was done is said of the noun before piece ``last``."""
    at = last
    while at < len(pieces) and (pieces[at].low in BE | HAVE or (pieces[at].tag == "RB" and at > last)):
        if lexicon.states.longest([pieces[at].low], 0)[0]:
            break
        at += 1
    if at == last or at == len(pieces):
        return False
    if pieces[at].kind == "finding":
        return True
    if any(sense.notation in _DONE_TO_PARTS for sense in lexicon.states.longest([pieces[at].low], 0)[1]):
        return True
    acts = {saying.act for saying in lexicon.sayings.get(pieces[at].verb, ())}
    return pieces[at].kind == "verb" and PARTICIPLE in pieces[at].forms and bool(acts & _DONE_TO_PARTS)
