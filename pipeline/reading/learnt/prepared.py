"""A note made ready for the learnt reading: what each word may be, what may be the item, what may fill the slots."""

from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from pipeline.reading.fact import Measure, Place
from pipeline.reading.forms import singular, word_set
from pipeline.reading.learnt.bare_numbers import (
    NUMBERED,
    counted_alone,
    places_as_before,
    sizes_as_before,
    whole_numbers,
)
from pipeline.reading.learnt.left_unsaid import names_left_unsaid, stores_left_unsaid, tags_left_unsaid
from pipeline.reading.lexicon import Lexicon, Sense
from pipeline.reading.phrases import Phrase, find_phrases
from pipeline.reading.pieces import Piece
from pipeline.reading.sizes import sizes
from pipeline.reading.spans import within
from pipeline.reading.unlisted import Unlisted

KINDS = (
    "part", "short", "counted", "number", "measure", "place", "stow", "tag", "port", "starboard", "both",
    "finding", "grade", "verb", "aux", "mark", "word",
)  # fmt: skip
FEATURES = (
    "short", "sole", "first", "fastener", "said in full", "akin", "above", "below", "place", "owner", "paired",
)  # fmt: skip
STATUSES = ("done", "planned", "explained", "not-done")
SIDES = ("", "port", "starboard", "both")
SLOTS = ("place", "measure", "count", "stowage", "tag", "grade")

_NEAR, _AFTER, _NEAREST = 24, 4, 4  # pieces before and after a bare number, and parts among them, that it may count

_REST = word_set("rest remaining others other left except bar but")
_OF_EACH = word_set("each side both every")
_OVAL = "elongated-hole"

LONGEST = 130  # pieces of a note that is read in one go
FRESH, BEFORE = 60, 60  # pieces of a longer one that are read together, and of what came before for them


class Word(NamedTuple):
    """A piece of the text as the learnt reading sees it.

    ``kind`` is one of KINDS, ``tells`` the notations of acts and findings that the vocabulary has for it.
    """

    start: int
    end: int
    kind: str
    tells: tuple[str, ...]


class Mention(NamedTuple):
    """A part that a name in the text may stand for; ``features`` are 0 or 1, in the order of FEATURES."""

    start: int
    end: int
    item: str
    features: tuple[int, ...]


class Count(NamedTuple):
    """How many of what."""

    number: int
    of: str
    about: bool


class Kept(NamedTuple):
    """Where something is kept: "rack", "3"."""

    key: str
    name: str


class Filler(NamedTuple):
    """Something that may fill a slot of a fact: ``slot`` is the slot's key, ``value`` what it would hold.

    A tag and a grade are texts. ``own`` says that a count's noun stands beside its number, or a size's unit, or a
    place's scheme; ``said`` that the number itself was said, ``implied`` that a count of one is told by "the" alone.
    """

    start: int
    end: int
    slot: str
    value: Place | Measure | Count | Kept | str
    own: bool = True
    said: bool = True
    implied: bool = False


class Prepared(NamedTuple):
    """A note, or a stretch of a long one, with everything that the learnt reading chooses from.

    The stretch is ``text[start:end]``; what is told before ``fresh`` was read with the stretch before.
    """

    text: str
    start: int
    end: int
    fresh: int
    words: tuple[Word, ...]
    mentions: tuple[Mention, ...]
    fillers: tuple[Filler, ...]


def prepare(
    lexicon: Lexicon, text: str, pieces: Sequence[Piece], unlisted: Sequence[Unlisted] = ()
) -> Iterator[Prepared]:
    """Yield the note made ready: a short one as it is, a long one in stretches.

    Args:
        lexicon: of the vocabulary.
        text: of the note.
        pieces: of the text, as they were cut.
        unlisted: names that no list has: a short name inside one ("the gizmo plate") stands for nothing.
    """
    for first, fresh, last in _stretches(pieces):
        own = pieces[first:last]
        words = tuple(Word(p.start, p.end, _kind(p), tuple(_tells(lexicon, p))) for p in own)
        phrases = find_phrases(lexicon, own, 0, len(own))
        start = own[0].start if first else 0
        end = own[-1].end if last < len(pieces) else len(text)
        mentions = tuple(m for m in _mentions(lexicon, own) if not _inside(m, unlisted))
        fillers = tuple(_fillers(lexicon, own, phrases))
        yield Prepared(text, start, end, pieces[fresh].start if fresh else 0, words, mentions, fillers)


def _inside(mention: Mention, unlisted: Sequence[Unlisted]) -> bool:
    short = mention.features[FEATURES.index("short")]
    named = (mention.start, mention.end)
    return bool(short) and any(within(named, (one.start, one.end)) for one in unlisted)


def _stretches(pieces: Sequence[Piece]) -> Iterator[tuple[int, int, int]]:
    """Yield stretches of pieces: the first one, the first that is fresh, one after the last."""
    if len(pieces) <= LONGEST:
        if pieces:
            yield 0, 0, len(pieces)
        return
    breaks = [at + 1 for at, p in enumerate(pieces[:-1]) if p.ends_sentence or pieces[at + 1].pause]
    fresh = 0
    while fresh < len(pieces):
        last = fresh + FRESH if len(pieces) - fresh > FRESH else len(pieces)
        last = max((at for at in breaks if fresh < at <= last), default=last) if last < len(pieces) else last
        first = min((at for at in breaks if fresh - BEFORE <= at < fresh), default=max(0, fresh - BEFORE))
        yield first, fresh, last
        fresh = last


def _kind(piece: Piece) -> str:
    if piece.kind == "thing":
        kinds = [sense.kind for sense in piece.senses]
        return next((kind for kind in ("part", "short", "counted") if kind in kinds), "word")
    if piece.kind == "side":
        return piece.sense("sides") or "word"
    return piece.kind


def _tells(lexicon: Lexicon, piece: Piece) -> list[str]:
    """Return what a piece may tell: findings by their names, acts by the sayings of its verb and by its states."""
    told = [sense.notation for sense in piece.senses if sense.kind.startswith("finding")]
    if piece.verb:
        told += [saying.act for saying in lexicon.sayings.get(piece.verb, ())]
        told += [lexicon.finding_verbs[piece.verb]] if piece.verb in lexicon.finding_verbs else []
    states = lexicon.states.longest(piece.low.split(), 0)[1]
    return list(dict.fromkeys([*told, *(state.notation for state in states)]))


def _mentions(lexicon: Lexicon, pieces: Sequence[Piece]) -> tuple[Mention, ...]:
    named = {s.notation for p in pieces for s in p.senses if s.kind == "part"}
    spoken_of = named | {item for p in pieces for item, _ in _items(lexicon, p)[:1]}
    found = []
    for at, piece in enumerate(pieces):
        items = _nearest_first(lexicon, _items(lexicon, piece), spoken_of)
        items += _by_last_word(lexicon, piece, [item for item, _ in items], named)
        owns = at + 1 < len(pieces) and bool(_items(lexicon, pieces[at + 1]))
        for rank, (item, sense) in enumerate(items):
            features = (
                sense.kind == "short",
                len(items) == 1,
                rank == 0,
                item in lexicon.fasteners,
                item in named,
                sense.kind == "short" and _akin(item, named),
                any(lexicon.vocabulary.is_a(other, item) for other in named if other != item),
                any(lexicon.vocabulary.is_a(item, other) for other in named if other != item),
                bool(piece.places),
                owns,
                lexicon.zone_and_side(item)[1],
            )
            found.append(Mention(piece.start, piece.end, item, tuple(map(int, features))))
    return tuple(found)


def _items(lexicon: Lexicon, piece: Piece) -> list[tuple[str, Sense]]:
    """Return the parts that a piece may name, the likeliest first."""
    items: dict[str, Sense] = {}
    for sense in piece.senses:
        if sense.kind == "part" or (sense.kind == "counted" and lexicon.vocabulary.part(sense.notation)):
            items.setdefault(sense.notation, sense)
        if sense.kind == "short":
            for item in lexicon.shorts[sense.notation]:
                if item != "-":
                    items.setdefault(item, sense)
    return list(items.items())


def _nearest_first(
    lexicon: Lexicon, items: Sequence[tuple[str, Sense]], spoken_of: Collection[str]
) -> list[tuple[str, Sense]]:
    """Return what a piece may name, where its list leaves that to the talk first parts of what is spoken of.

    "The boom" is a tail boom, unless a spar was named.
    """
    own = {item for item, _ in items}
    others = [one for one in spoken_of if one not in own]

    def stays_behind(one: tuple[str, Sense]) -> bool:
        left_open = one[1].kind == "short" and lexicon.shorts[one[1].notation][:1] == ("-",)
        return left_open and not any(lexicon.vocabulary.is_a(one[0], other) for other in others)

    return sorted(items, key=stays_behind)


def _by_last_word(
    lexicon: Lexicon, piece: Piece, known: Sequence[str], named: Collection[str]
) -> list[tuple[str, Sense]]:
    """Return the parts that a noun may name by the last word of their names, but for those it is known to name."""
    if not piece.tag.startswith("NN") or piece.sense("sides"):
        return []
    word = singular(piece.low)
    parts = lexicon.vocabulary.named_by_last_word(word, named)
    return [
        (part, Sense("short", word)) for part in parts if part not in known and not (known and not _akin(part, named))
    ]


def _akin(item: str, named: Collection[str]) -> bool:
    return any(set(item.split("-")) & set(other.split("-")) for other in named)


def _fillers(lexicon: Lexicon, pieces: Sequence[Piece], phrases: Sequence[Phrase]) -> list[Filler]:
    found = []
    for piece in pieces:
        where = (piece.start, piece.end)
        found += [Filler(*where, "place", place) for place in piece.places]
        if piece.stow[0]:
            found.append(Filler(*where, "stowage", Kept(*piece.stow)))
        if piece.kind == "tag":
            found.append(Filler(*where, "tag", piece.digits))
        if piece.sense("grades"):
            found.append(Filler(*where, "grade", piece.sense("grades")))
    for piece, measures in sizes(pieces, 0, len(pieces)):
        found += [Filler(piece.start, piece.end, "measure", measure) for measure in measures]
    found += [Filler(p.start, p.end, "measure", measure, own=False) for p, measure in sizes_as_before(pieces)]
    found += [Filler(p.start, end.end, "place", place, own=False) for p, end, place in places_as_before(pieces)]
    found += [Filler(p.start, p.end, "place", place, own=False) for p, place in names_left_unsaid(pieces)]
    found += [Filler(p.start, p.end, "stowage", Kept(*at), own=False) for p, at in stores_left_unsaid(pieces)]
    found += [Filler(p.start, p.end, "tag", tag, own=False) for p, tag in tags_left_unsaid(pieces)]
    return [*found, *_counts(lexicon, pieces, phrases)]


def _counts(lexicon: Lexicon, pieces: Sequence[Piece], phrases: Sequence[Phrase]) -> list[Filler]:
    """Return the counts that may be meant: each number with its own noun, or with a counted noun or part near it."""
    nouns = list(dict.fromkeys(sense.notation for p in pieces for sense in p.senses if sense.kind == "counted"))
    nouns += ["hole"] if "hole" not in nouns and any(_OVAL in _tells(lexicon, p) for p in pieces) else []
    nouns += ["nut-and-bolt"] if {"nut", "bolt"} <= {*nouns} and "nut-and-bolt" not in nouns else []
    found: dict[tuple[int, int, int, str], Filler] = {}
    told = (
        *_counted_by_name(pieces, phrases, nouns),
        *_people(pieces),
        *_counted_nearby(lexicon, pieces, nouns),
        *_sums(pieces, nouns),
    )
    for filler in told:
        if isinstance(filler.value, Count):
            found.setdefault((filler.start, filler.end, filler.value.number, filler.value.of), filler)
    return list(found.values())


def _counted_by_name(pieces: Sequence[Piece], phrases: Sequence[Phrase], nouns: Sequence[str]) -> Iterator[Filler]:
    """Yield the counts of phrases: "four bolts", "the pin", "both" of what is named elsewhere."""
    named = list(dict.fromkeys(p.item for p in phrases if p.item))
    for phrase in phrases:
        own = phrase.counted or phrase.item
        count = 2 if phrase.side == "both" and phrase.count is None else phrase.count
        count = 1 if count is None and phrase.counted and not phrase.plural else count
        start, end = pieces[phrase.first].start, pieces[phrase.last - 1].end
        said = phrase.count is not None
        for of in [own] if own else [*nouns, *named]:
            if count:
                counts = Count(count, of, phrase.about)
                yield Filler(start, end, "count", counts, bool(own), said, phrase.implied)


def _people(pieces: Sequence[Piece]) -> Iterator[Filler]:
    """Yield two people for each "Tess and me", "me and the lad"."""
    for first, second in pairwise(pieces):
        if {first.low, second.low} == {"me", "and"}:
            yield Filler(first.start, second.end, "count", Count(2, "person", False), own=False, said=False)


def _counted_nearby(lexicon: Lexicon, pieces: Sequence[Piece], nouns: Sequence[str]) -> Iterator[Filler]:
    """Yield what bare numbers may count of the parts near them, and one for each "number three is bent"."""
    numbers = whole_numbers(pieces)
    for at, piece in enumerate(pieces):
        number = numbers.get(at) or counted_alone(piece)
        near = _parts_near(lexicon, pieces, at) if number else ()
        for of in [*nouns, *near] if number and at not in numbers else near:
            yield Filler(piece.start, piece.end, "count", Count(number, of, False), own=False)
        for of in near if at and pieces[at - 1].low in NUMBERED else ():
            yield Filler(piece.start, piece.end, "count", Count(1, of, False), own=False, said=False)


def _sums(pieces: Sequence[Piece], nouns: Sequence[str]) -> Iterator[Filler]:
    """Yield what numbers may come to with the others that were said: added, taken away, so many times."""
    numbers, words = whole_numbers(pieces), {piece.low for piece in pieces}
    told = set(numbers.values())
    for at, value in numbers.items():
        counts = {value, *(value * times for times in told if 1 < times < 5), *(value + more for more in told)}
        counts |= {value * 2} if words & _OF_EACH else set()
        counts |= {more - value for more in told if more > value} if words & _REST else set()
        for count in sorted(counts) if value < 100 else [value]:
            for of in nouns:
                counted = Count(count, of, False)
                yield Filler(pieces[at].start, pieces[at].end, "count", counted, own=False, said=count == value)


def _parts_near(lexicon: Lexicon, pieces: Sequence[Piece], at: int) -> list[str]:
    """Return what a bare number may count: the last few parts named before it, and what is named right after."""
    before = [item for piece in reversed(pieces[max(0, at - _NEAR) : at]) for item, _ in _items(lexicon, piece)[:2]]
    after = [item for piece in pieces[at + 1 : at + _AFTER] for item, _ in _items(lexicon, piece)[:1]]
    return list(dict.fromkeys([*list(dict.fromkeys(before))[:_NEAREST], *after]))
