"""Noun phrases: what is spoken of, how many, on which side, and after which preposition."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.reading.fact import Place
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.nouns import before_noun, both_after, compound, names_a_thing, side_before, start_of
from pipeline.reading.pieces import Piece

_AMOUNTS = word_set("column line box set bar plate stack bottle drum tube")
_ORDINALS = word_set("third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth")
_AFTER_ANOTHER = word_set("out up from in of for")
_SHE_IS_OUT = (["'s", "out"], ["'s", "off"], ["is", "out"], ["is", "off"])
_STANDS_FOR = word_set("it they them 'em that those this these")
_BETWEEN = word_set("'s up down top bottom upper lower inner outer front rear inboard outboard")
_PICKS_OUT = word_set(
    "that this the each last upper lower top bottom inner outer inboard outboard front rear forward aft"
)
_DESCRIBES = ("JJ", "NN", "RB", "IN")
_PERSON = "person"


@dataclass(frozen=True, slots=True)
class Phrase:
    """A noun phrase: pieces ``first`` to ``last`` (exclusive).

    ``item`` is a part's notation, ``short`` a short name still to be settled, ``counted`` a fastener or the like;
    ``holder`` is the part that stands before it as its owner ("wing joint bolts"). ``stands_for`` is "it", "them",
    "she", "one", "such", "other", "side" or "fasteners" where it stands for something named before. ``prep`` is the
    preposition before it, "" where there is none. ``implied`` says that a count of one was told by the singular
    alone, ``bare`` that it is a number without noun, ``beyond`` that an unknown noun follows which is the real head.
    """

    first: int
    last: int
    item: str = ""
    short: str = ""
    counted: str = ""
    holder: str = ""
    holder_short: str = ""
    stands_for: str = ""
    count: int | None = None
    about: bool = False
    side: str = ""
    prep: str = ""
    places: tuple[Place, ...] = ()
    located: bool = False
    plural: bool = False
    no: bool = False
    kind: str = ""
    implied: bool = False
    bare: bool = False
    beyond: bool = False

    @property
    def fastener(self) -> bool:
        """Whether it is of fasteners or other counted things, people left out."""
        return bool(self.counted) and self.counted != _PERSON

    @property
    def person(self) -> bool:
        """Whether it counts people."""
        return self.counted == _PERSON

    @property
    def named(self) -> bool:
        """Whether a part or a fastener is named in it."""
        return bool(self.item or self.short or self.fastener)


def find_phrases(lexicon: Lexicon, pieces: Sequence[Piece], first: int, last: int) -> list[Phrase]:
    """Return the noun phrases among ``pieces[first:last]`` in order."""
    found: list[Phrase] = []
    at = first
    while at < last:
        phrase = _phrase_at(lexicon, pieces, first, at, last)
        if phrase:
            found.append(phrase)
        at = phrase.last if phrase else at + 1
    return found


def _phrase_at(lexicon: Lexicon, pieces: Sequence[Piece], start: int, at: int, end: int) -> Phrase | None:
    piece = pieces[at]
    if piece.kind == "place" and piece.sense("part"):  # that of "the frame 9 floor" is taken from the clause
        return None if names_a_thing(pieces, start, at, end) else _place_phrase(pieces, start, at)
    if piece.kind == "thing":
        after = at + 1
        while after < end and (pieces[after].kind == "thing" or _inner(pieces, after, end)):
            after += 1
        return _thing_phrase(lexicon, pieces, start, at, after)
    if piece.kind == "side":
        return _side_phrase(pieces, start, at, end)
    follows = pieces[at + 1] if at + 1 < end else None
    if piece.whole and _bare(pieces, at, end) and not _numbers_before(pieces, start, at):
        prep, some, _about = before_noun(pieces, start, at)
        count = some or piece.whole  # "two of the three are out"
        stands = "them" if count > 1 else "fasteners"
        return Phrase(at, at + 1, stands_for=stands, count=count, prep=prep, plural=count > 1, bare=True)
    one = _word_for_one(piece, follows, [step.low for step in pieces[at + 1 : at + 3]], at)
    if one is not None:
        return one
    if (
        piece.low in ("pair", "lot", "set", "pairs")
        and at > start
        and pieces[at - 1].kind == "side"
        and not piece.verb
    ):
        prep, _number, _about = before_noun(pieces, start, at)
        return Phrase(
            start_of(pieces, start, at), at + 1, stands_for="one", side=side_before(pieces, start, at), prep=prep
        )
    if piece.low in ("one", "ones", "other", "others") and piece.kind == "word":
        return _one_phrase(pieces, start, at, end)
    if piece.low == "both" and piece.kind == "word":
        return _both_phrase(pieces, start, at, follows)
    if piece.low in _STANDS_FOR and piece.kind == "word":
        return _pronoun_phrase(pieces, start, at, end)
    return None


def _word_for_one(piece: Piece, follows: Piece | None, after: list[str], at: int) -> Phrase | None:
    """Return the phrase of "third's seized", "she's off" or "another", each a word alone for one thing."""
    if piece.low in _ORDINALS and piece.kind == "word" and follows is not None and follows.kind == "aux":
        return Phrase(at, at + 1, stands_for="fasteners", count=1, bare=True)
    if (piece.low == "she" and after in _SHE_IS_OUT) or (piece.low == "her" and after[:1] == ["off"]):
        return Phrase(at, at + 1, stands_for="she")
    if piece.low == "another" and (follows is None or follows.kind == "mark" or follows.low in _AFTER_ANOTHER):
        return Phrase(at, at + 1, stands_for="one")
    return None


def _both_phrase(pieces: Sequence[Piece], start: int, at: int, follows: Piece | None) -> Phrase | None:
    """Return the phrase of "both" as a subject ("both are off"), None where it goes with a noun."""
    if follows is None or not (follows.kind == "aux" or follows.low in ("in", "on")):
        return None
    plain = at == start or pieces[at - 1].low in ("and", ",", "but", "so", "then", "now")
    return Phrase(at, at + 1, stands_for="them", side="both", plural=True) if plain else None


def _pronoun_phrase(pieces: Sequence[Piece], start: int, at: int, end: int) -> Phrase | None:
    piece = pieces[at]
    follows = pieces[at + 1] if at + 1 < end else None
    plain = (
        follows is None
        or follows.kind not in ("thing", "side", "number", "place")
        or piece.low in ("it", "them", "they", "'em")
    )
    if follows is not None and follows.kind == "number" and piece.low in ("those", "them", "these"):
        beyond = pieces[at + 2] if at + 2 < end else None
        plain = plain or beyond is None or beyond.kind not in ("thing", "place")
    modified = (
        piece.low in ("that", "this", "those", "these")
        and follows is not None
        and (follows.kind in ("word", "finding") and follows.tag.startswith(("NN", "JJ", "PRP")))
    )
    if plain and not modified:
        own = piece.low == "it" and at > start and pieces[at - 1].kind == "number"  # "at 10 it's split"
        prep, number, about = ("", None, False) if own else before_noun(pieces, start, at)
        stands = "them" if piece.low in ("they", "them", "'em", "those", "these") else "it"
        if follows is not None and follows.kind == "number" and follows.number is not None:
            number = int(follows.number)
        both = (follows is not None and follows.low == "both") or (
            at - 2 >= start and pieces[at - 1].low == "of" and pieces[at - 2].low == "both"
        )
        return Phrase(
            at, at + 1, stands_for=stands, prep=prep, count=number, about=about, plural=stands == "them",
            side="both" if both and stands == "them" else "",
        )  # fmt: skip
    return None


_TIMES = word_set("today yesterday morning afternoon evening tomorrow weekend week time tonight lunch")


def _goes_on(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether an unknown noun follows that is the real head ("tank straps")."""
    if at >= len(pieces):
        return False
    piece = pieces[at]
    return piece.kind == "word" and piece.tag in ("NN", "NNS") and piece.low.isalpha() and piece.low not in _TIMES


def _numbers_before(pieces: Sequence[Piece], start: int, at: int) -> bool:
    """Tell whether a number tells which of its kind the part before it is: "blade two has a dent"."""
    return (
        at > start
        and pieces[at - 1].kind == "thing"
        and bool(pieces[at - 1].sense("part"))
        and not pieces[at - 1].plural
    )


def _bare(pieces: Sequence[Piece], at: int, end: int) -> bool:
    """Tell whether a number stands alone for things just named ("two were seized", "we've undone 20 so far")."""
    if at + 1 >= end:
        return at > 0 and (pieces[at - 1].kind == "verb" or pieces[at - 1].low in ("out", "off"))
    follows = pieces[at + 1]
    return (
        follows.kind == "finding"
        or follows.low in ("were", "are", "is", "have", "so", "'s", "which", "that", "was", "has", "had")
        or (
            follows.kind == "mark"
            and at > 0
            and (pieces[at - 1].low in ("bar", "out") or pieces[at - 1].kind == "verb")
        )
    )


def _inner(pieces: Sequence[Piece], at: int, end: int) -> bool:
    """Tell whether a side stands inside a phrase ("wing joint port bolts") or "'s" joins owner and part."""
    if pieces[at].low == "'s" and pieces[at].kind == "word":
        step = at + 1
        while (
            step < end
            and step < at + 3
            and pieces[step].kind in ("word", "side")
            and pieces[step].tag[:2] in _DESCRIBES
        ):
            step += 1
        return step < end and pieces[step].kind == "thing"
    if at and _inner_step(pieces, at):
        return at + 1 < end
    if at + 1 >= end or pieces[at + 1].kind != "thing":
        return False
    if (
        pieces[at].kind == "word"
        and pieces[at].tag == "NN"
        and pieces[at].low.isalpha()
        and pieces[at].low not in _TIMES
    ):
        return bool(pieces[at + 1].sense("counted"))
    return pieces[at].kind == "word" and pieces[at].low in _BETWEEN


def _inner_step(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a word describes a part between its owner's "'s" and the part ("the rudder's bottom hinge")."""
    step = at
    while step > 0 and pieces[step].kind in ("word", "side") and pieces[step].tag[:2] in _DESCRIBES:
        step -= 1
    return step < at and pieces[step].low == "'s" and pieces[step].kind == "word"


def _place_phrase(pieces: Sequence[Piece], start: int, at: int) -> Phrase:
    piece = pieces[at]
    prep, _number, _about = before_noun(pieces, start, at)
    side = side_before(pieces, start, at)
    plural = len(piece.places) > 1 or "-" in piece.places[0].at
    return Phrase(
        at, at + 1, item=piece.sense("part"), prep=prep, side=side, places=piece.places, located=True, plural=plural
    )


def _owner(lexicon: Lexicon, things: Sequence[Piece]) -> tuple[str, str]:
    """Return the part, or the short name of one, that stands before the head as its owner ("wing joint bolts")."""
    for owner in reversed(things):
        if owner.sense("part") and owner.sense("part") not in lexicon.fasteners:
            return owner.sense("part"), ""
        if owner.sense("short"):
            return "", owner.sense("short")
    return "", ""


def _no_part(pieces: Sequence[Piece], start: int, at: int, after: int, short: str) -> bool:
    """Tell whether a short name is none of a part: "waste drum", "two columns of holes", "a box of split pins"."""
    amount = short in _AMOUNTS and after < len(pieces) and pieces[after].low == "of"
    return amount or (at > start and compound(pieces[at - 1]))


def _thing_phrase(lexicon: Lexicon, pieces: Sequence[Piece], start: int, at: int, after: int) -> Phrase:
    things = [piece for piece in pieces[at:after] if piece.kind == "thing"]
    head = things[-1]
    counted, item, short = head.sense("counted"), head.sense("part"), head.sense("short")
    if counted and (item in lexicon.fasteners or not item):
        item = item if item in lexicon.fasteners else ""
        if counted != "hinge":
            short = ""
    if item in lexicon.fasteners and not counted:
        counted = item
    if short and not item and len(things) == 1 and _no_part(pieces, start, at, after, short):
        short = ""
    holder, holder_short = _owner(lexicon, things[:-1])
    if counted == "hinge" and lexicon.part_kind.get(f"{holder}-hinge", "detail") != "detail":
        item, short, counted = f"{holder}-hinge", "", ""
    kind = lexicon.part_kind.get(item, "")
    pair = any(pieces[step].low == "both" for step in range(start_of(pieces, start, at), at))
    hoop = item == "frame" and bool(holder) and not head.places  # "the windscreen frame" is none of the fuselage's
    if (kind == "detail" or hoop) and (holder or holder_short):
        item, short, kind = holder, holder_short, lexicon.part_kind.get(holder, "")
    prep, number, about = before_noun(pieces, start, at)
    first = start_of(pieces, start, at)
    no = any(pieces[step].low in ("no", "any") for step in range(first, at))
    places = tuple(place for piece in things for place in piece.places)
    words = {pieces[step].low for step in range(first, at)}
    sided = side_before(pieces, start, at)
    twice = (
        short in ("pipe", "line", "hose", "end", "cable") or item.endswith("-line") or counted in lexicon.fasteners
    )
    if [piece.low for piece in pieces[after : after + 2]] == [",", "both"] and head.plural and not sided:
        follows = pieces[after + 2] if after + 2 < len(pieces) else None
        sided = "both" if follows is None or follows.kind == "mark" else sided
    if head.plural and not sided and both_after(pieces, after):
        sided, pair = "both", True
    if pair and sided == "both" and twice:
        sided, number = "", 2
    countable = counted and counted not in ("hole", "hinge") and not head.plural and number is None
    implied = bool(countable and not no and not words & {"each", "every", "another", "a", "an"})
    number = 1 if implied else number
    followed = pieces[after].low if after < len(pieces) else ""
    if places and followed in ("one", "ones"):
        plural = followed == "ones"
        return Phrase(first, after + 1, stands_for="fasteners", prep=prep, count=number, places=places, plural=plural)
    if item in lexicon.fasteners:
        item, short = "", ""
    return Phrase(
        first, after, item, short, counted, holder, holder_short, "", number, about, sided, prep,
        places, False, head.plural, no, kind, implied, False, _goes_on(pieces, after),
    )  # fmt: skip


def _side_phrase(pieces: Sequence[Piece], start: int, at: int, end: int) -> Phrase | None:
    """Return the phrase of a side that stands alone ("the starboard isn't"), or None where it goes with a noun."""
    follows = pieces[at + 1] if at + 1 < end else None
    before = pieces[at - 1].low if at > start else ""
    alone = before in ("the", "not", "both") or (
        follows is not None and follows.low in ("is", "'s", "has", "was", "we", "i")
    )
    if not alone or pieces[at].low.endswith(("side", "sides")):
        return None
    if follows and (
        follows.kind in ("thing", "place") or follows.low in ("side", "one", "ones", "hand", "and", "inner", "outer")
    ):
        return None
    if follows and (follows.tag.startswith(("NN", "JJ")) and follows.kind == "word"):
        return None
    prep, _number, _about = before_noun(pieces, start, at)
    return Phrase(start_of(pieces, start, at), at + 1, stands_for="side", side=pieces[at].sense("sides"), prep=prep)


def _one_phrase(pieces: Sequence[Piece], start: int, at: int, end: int) -> Phrase | None:
    before = pieces[at - 1] if at > start else None
    if before is None:
        return None
    prep, _number, _about = before_noun(pieces, start, at)
    side = side_before(pieces, start, at)
    first = start_of(pieces, start, at)
    words = {pieces[step].low for step in range(first, at + 1)}
    follows = pieces[at + 1] if at + 1 < end else None
    if "other" in words or "others" in words:
        if follows and follows.low in ("one", "ones"):
            return Phrase(first, at + 2, stands_for="other", prep=prep)
        if follows and follows.kind == "number":
            return _other_some(pieces, first, at, end, prep)
        if follows and (follows.kind == "thing" or (follows.kind == "word" and follows.tag.startswith("NN"))):
            return None
        return Phrase(first, at + 1, stands_for="other", prep=prep)
    if "every" in words or words & {"all"}:
        return Phrase(first, at + 1, stands_for="them", prep=prep, plural=True)
    described = follows is not None and follows.low in ("with", "that", "which", "by")
    if described and pieces[at].low == "one" and not side and first > start and pieces[first - 1].kind == "mark":
        return None  # "the bracket, the one with the crack in it, is off"
    if not side and (words & {"new", "fresh", "old"} or before.kind == "verb"):
        return Phrase(first, at + 1, stands_for="such", prep=prep)
    if side or words & _PICKS_OUT:
        return Phrase(
            first, at + 1, stands_for="one", side=side, prep=prep, count=_number, plural=pieces[at].low == "ones"
        )
    return None


def _other_some(pieces: Sequence[Piece], first: int, at: int, end: int, prep: str) -> Phrase | None:
    """Return the phrase of "the other two", which are more of the things just counted and not of the other side."""
    value = pieces[at + 1].number
    beyond = pieces[at + 2] if at + 2 < end else None
    if value is None or (beyond is not None and (beyond.kind in ("thing", "side", "place") or beyond.tag == "NNS")):
        return None
    return Phrase(first, at + 2, stands_for="them", prep=prep, count=int(value), plural=value > 1, bare=True)
