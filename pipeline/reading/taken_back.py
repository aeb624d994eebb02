"""What a speaker takes back in the next breath, read as it was meant: "six bolts. No, hang on, eight bolts".

Recognisers set a full stop where somebody draws breath, so that what puts a word right often begins another sentence
or another utterance. Both readings are given the text as it was meant; its facts are told of the text as said.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.mending import CALLS_BACK, FOR_SURE, MENDING
from pipeline.reading.numbers import find_numbers
from pipeline.reading.pieces import DETERMINERS, Piece

DOUBT = "the speaker took something back right after this"

_LONGEST = 14  # pieces from the first mark of taking back to what is right
_ECHO = word_set("it that 's is was a the yes yeah so make")
_TAIL = word_set("in altogether of total i then so not there all actually")
_ONE = word_set("one side hand wing")
_WHERE = word_set("of on from in to at under off behind with for by into onto")
_SLOTS = {"number": "count", "measure": "measure", "place": "place", "stow": "stowage", "tag": "tag"}
_OPENING = word_set("no nope sorry correction rather actually wait hang tell")
_OPENING_PAIRS = {
    ("scrap", "that"),
    ("i", "mean"),
    ("i", "tell"),
    ("i", "beg"),
    ("or", "rather"),
    ("make", "that"),
    ("let", "me"),
}
_OPEN = word_set("lie scrap wrong correction")


class Mended(NamedTuple):
    """One thing put right, in characters of the text as said.

    The facts from ``since`` to ``until`` are those of the sentence with it, and ``key`` says what was put right in
    them: "count", "side", "item", "measure", "place", "stowage", "tag"; "" where that is not known.
    """

    since: int
    until: int
    key: str


@dataclass(frozen=True)
class Meant:
    """A text as it was meant: the text as said with ``edits`` (from, to, the words in their place), in order."""

    text: str
    pauses: tuple[int, ...]
    edits: tuple[tuple[int, int, str], ...] = ()
    mended: tuple[Mended, ...] = ()

    def as_said(self, start: int, end: int) -> tuple[int, int]:
        """Return where the characters ``start`` to ``end`` of this text are in the text as said."""
        return self._back(start, last=False), self._back(end, last=True)

    def _back(self, position: int, last: bool) -> int:
        shift = 0
        for first, after, words in self.edits:
            begins = first + shift
            if position < begins or (last and position == begins):
                break
            if position < begins + len(words) or (last and position == begins + len(words)):
                return after if last else first
            shift += len(words) - (after - first)
        return position - shift

    def told(self, fact: Fact) -> Fact:
        """Return a fact that was read in this text as one of the text as said."""
        if not (self.edits or self.mended):
            return fact
        start, end = self.as_said(*fact.words)
        inferred, doubts = list(fact.inferred), list(fact.doubts)
        for mended in self.mended:
            if not mended.since <= start < mended.until:
                continue
            if not mended.key:
                doubts.append(DOUBT)
            elif getattr(fact, mended.key) is not None:
                inferred.append((mended.key, "put right by the speaker"))
                end = max(end, mended.until)
        return fact.model_copy(
            update={"words": (start, end), "inferred": tuple(inferred), "doubts": tuple(dict.fromkeys(doubts))}
        )


@dataclass(frozen=True)
class _Right:
    """What is right: pieces ``first`` to ``last`` (exclusive); ``side`` and ``thing`` are places of its pieces."""

    kind: str
    first: int
    last: int
    side: int = -1
    thing: int = -1


def as_meant(lexicon: Lexicon, text: str, pauses: Sequence[int], pieces: Sequence[Piece]) -> Meant:
    """Return the text with what was taken back put right; of what is put right twice only the first time.

    Args:
        lexicon: of the vocabulary.
        text: as said.
        pauses: positions of the characters before which the speaker paused.
        pieces: of the text, as they were cut.
    """
    edits: list[tuple[int, int, str]] = []
    mended: list[Mended] = []
    done = 0
    for first in range(1, len(pieces)):
        if first < done or not _calls_back(pieces, first):
            continue
        found = _Mending(lexicon, text, pieces, first).found()
        if found is None:
            continue
        own, more, done = found
        if any(one[1] > other[0] for one, other in pairwise(sorted([*edits, *own]))):
            break
        mended.append(more)
        edits += own
    edits.sort()
    kept, at = [], 0
    for start, end, words in edits:
        kept += [text[at:start], words]
        at = end
    meant = Meant("".join([*kept, text[at:]]), (), tuple(edits), tuple(mended))
    return Meant(meant.text, tuple(moved(pauses, edits)), meant.edits, meant.mended)


def moved(pauses: Sequence[int], edits: Sequence[tuple[int, int, str]]) -> Iterator[int]:
    """Yield where pauses of a text are once it is edited (from, to, the words in their place)."""
    for pause in pauses:
        if not any(start < pause <= end for start, end, _ in edits):
            yield pause + sum(len(words) - (end - start) for start, end, words in edits if end < pause)


def _calls_back(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether words of taking back begin at a piece: after a mark or a breath."""
    opens = pieces[at - 1].kind == "mark" or pieces[at].pause
    after = pieces[at + 1].low if at + 1 < len(pieces) else ""
    return opens and (
        _says_actually(pieces, at) or pieces[at].low in _OPENING or (pieces[at].low, after) in _OPENING_PAIRS
    )


def _says_actually(pieces: Sequence[Piece], at: int) -> bool:
    """Tell whether a number alone is said to be the right one: "ten screws, nine actually"."""
    ends = at + 2 >= len(pieces) or pieces[at + 2].kind == "mark"
    return pieces[at].kind == "number" and ends and pieces[at + 1 : at + 2] != [] and pieces[at + 1].low == "actually"


class _Mending:
    """One place where something is taken back: the words from piece ``first`` on."""

    def __init__(self, lexicon: Lexicon, text: str, pieces: Sequence[Piece], first: int) -> None:
        self.lexicon, self.text, self.pieces, self.first = lexicon, text, pieces, first
        at, marks, denied = first, set[str](), -1
        while at < len(pieces) and at - first < _LONGEST:
            low = pieces[at].low
            if low == "not" and marks:
                denied, at = at + 1, self._mark_after(at)
            elif low in MENDING or pieces[at].kind == "mark":
                marks |= {low} & (CALLS_BACK | FOR_SURE)
                at += 1
            else:
                break
        self.at, self.marks, self.denied = at, marks, denied
        self.sure = bool(marks & FOR_SURE)
        self.only_no = marks == {"no"}

    def found(self) -> tuple[list[tuple[int, int, str]], Mended, int] | None:
        """Return the edits, what they mend and the first piece after; None where nothing is taken back."""
        before = self._sentence(self.first - 1)
        asked = self.pieces[self.first - 1].low == "?"
        right = self._right()
        if not before or (asked and self.only_no):
            return None
        if right is None or not self._fits(right):
            return self._unsettled(before) if self.marks & _OPEN and right is None else None
        end = self._end(right, before)
        if end < 0:
            return None
        edit, key = self._edit(right, before)
        if not edit and self.sure and before[0]:
            before = range(self._sentence(before[0] - 1).start, before.stop)
            edit, key = self._edit(right, before)
        if not edit:
            return self._unsettled(before) if self.marks & _OPEN else None
        last = self.pieces[self.first - 1]
        start = last.start if last.kind == "mark" else last.end
        until = self.pieces[end - 1].end
        mended = Mended(self.pieces[before.start].start, until, key)
        return [*edit, (start, until, "")], mended, end

    def _unsettled(self, before: range) -> tuple[list[tuple[int, int, str]], Mended, int] | None:
        mended = Mended(self.pieces[before.start].start, self.pieces[self.first - 1].end, "")
        return [], mended, self.first + 1

    def _mark_after(self, at: int) -> int:
        return next((n for n in range(at, len(self.pieces)) if self.pieces[n].kind == "mark"), len(self.pieces))

    def _sentence(self, last: int) -> range:
        """Return the pieces of the sentence that ends at ``last``, or before it where that is a mark."""
        while last >= 0 and self.pieces[last].kind == "mark":
            last -= 1
        first = last
        while first > 0 and not self.pieces[first - 1].ends_sentence:
            first -= 1
        return range(first, last + 1) if last >= 0 else range(0)

    def _right(self) -> _Right | None:
        at, pieces = self.at, self.pieces
        while at < len(pieces) and pieces[at].low in ("the", "a", "an"):
            at += 1
        if at >= len(pieces):
            return None
        piece = pieces[at]
        after = pieces[at + 1] if at + 1 < len(pieces) else None
        if piece.kind == "number":
            counted = after is not None and after.kind == "thing" and self._small(after)
            return _Right("number", at, at + 1 + counted, thing=at + 1 if counted else -1)
        if piece.kind in _SLOTS:
            return _Right(piece.kind, at, at + 1)
        if piece.kind == "side":
            if after is not None and after.kind == "thing" and not self._small(after):
                return _Right("part", at, at + 2, at, at + 1)
            return _Right("side", at, at + 1 + (after is not None and after.low in _ONE), at)
        if piece.kind == "thing" and not self._small(piece):
            return _Right("part", at, at + 1, thing=at)
        return None

    def _small(self, piece: Piece) -> bool:
        """Tell whether a piece names what is counted: fasteners, holes, people."""
        return bool(piece.sense("counted")) or piece.sense("part") in self.lexicon.fasteners

    def _fits(self, right: _Right) -> bool:
        """Tell whether what comes is said in place of something: "No nuts were left" and "wait, the fin" are not."""
        said = {piece.low for piece in self.pieces[self.first : self.at]}
        after = self.pieces[right.last] if right.last < len(self.pieces) else None
        if right.kind in ("part", "side"):
            sure = self.sure or self._other_of_two(right)
            return sure and "that" not in said and not self.pieces[self.at - 1].ends_sentence
        listed = after is not None and after.low in (",", "and") and self._number(right.last + 1)
        broken = self.text[self.pieces[right.last - 1].end :][:1] == "-"  # "sixty-fourth"
        return not (listed or broken or (self.only_no and self.at == self.first + 1))

    def _other_of_two(self, right: _Right) -> bool:
        """Tell whether the same is named once more, on the other side: "the left tank, hang on, the right tank"."""
        before = self._sentence(self.first - 1)
        if right.side < 0 or right.thing < 0 or len(before) < 2:
            return False
        side, thing = self.pieces[before.stop - 2], self.pieces[before.stop - 1]
        sides = {side.sense("sides"), self.pieces[right.side].sense("sides")}
        return thing.low == self.pieces[right.thing].low and sides == {"port", "starboard"}

    def _number(self, at: int) -> bool:
        return at < len(self.pieces) and self.pieces[at].kind == "number"

    def _end(self, right: _Right, before: range) -> int:
        """Return the piece after what is right and its echoes, -1 where a new statement begins with it."""
        at, pieces = right.last, self.pieces
        words = pieces[right.first : right.last]
        while True:
            step = at
            while step < len(pieces) and (pieces[step].low in _ECHO or pieces[step].low == ","):
                step += 1
            same = step < len(pieces) and step > at and any(self._alike(pieces[step], word) for word in words)
            if not same:
                break
            at = step + 1
        if at + 1 < len(pieces) and pieces[at].kind == "mark" and pieces[at + 1].low == "not":
            return self._mark_after(at + 1)  # "eight bolts, not six"
        follows = pieces[at] if at < len(pieces) else None
        if follows is None or follows.kind == "mark" or follows.pause:
            return at
        verbs = {piece.verb for piece in pieces[before.start : before.stop] if piece.verb}
        ends = self._mark_after(at)
        rest = pieces[at:ends]
        told = any(piece.kind in ("verb", "aux") for piece in rest)
        if follows.low == "of" and right.kind == "number" and right.thing < 0 and told:
            return -1  # "no, wait, two of them are the wrong way round"
        if follows.kind in ("verb", "aux") or follows.low == "that":
            again = any(piece.verb and piece.verb in verbs for piece in rest)
            denied = any(piece.low in ("not", "n't", "never") for piece in rest)
            return ends if self.sure and again and not denied else -1
        goes_on = follows.low in _WHERE | {"and", "but", "so"} or right.kind != "number" or right.thing >= 0
        return at if follows.low in _TAIL or (goes_on and self.sure and not self.only_no) else -1

    def _alike(self, piece: Piece, other: Piece) -> bool:
        if piece.kind != other.kind or piece.kind not in ("number", "measure", "side", "thing", "place", "tag"):
            return False
        if piece.kind == "number":
            return piece.number == other.number
        return bool(piece.low == other.low or (piece.kind == "side" and piece.senses == other.senses))

    def _edit(self, right: _Right, before: range) -> tuple[list[tuple[int, int, str]], str]:
        """Return what is to stand where, and which key of the facts that puts right ("" where it can be none)."""
        if right.kind == "part":
            return self._part(right, before)
        if right.kind == "side":
            return self._side(right, before), "side"
        return self._value(right, before)

    def _value(self, right: _Right, before: range) -> tuple[list[tuple[int, int, str]], str]:
        pieces, own = self.pieces, self.pieces[right.first]
        words = self.text[own.start : own.end]
        noun = pieces[right.thing].sense("counted") if right.thing >= 0 else ""
        for at in reversed(before):
            piece = pieces[at]
            if piece.kind == own.kind and own.kind != "number":
                if (piece.stow[0], [p.scheme for p in piece.places]) != (own.stow[0], [p.scheme for p in own.places]):
                    continue
                end = self._end_of_range(piece)
                if end and not self._end_of_range(own) and (numbers := find_numbers(words)):
                    return [(*end, words[numbers[0].start : numbers[0].end])], _SLOTS[own.kind]
                return [(piece.start, piece.end, words)], _SLOTS[own.kind]
            if own.kind == "number" and piece.kind == "number":
                after = pieces[at + 1] if at + 1 < before.stop else None
                told = after.sense("counted") if after is not None and after.kind == "thing" else ""
                if noun in ("", told):
                    return [(piece.start, piece.end, words)], "count"
                if not told and (after is None or after.kind in ("mark", "word")):
                    return [(piece.start, piece.end, self.text[own.start : pieces[right.last - 1].end])], "count"
            if own.kind == "number" and piece.kind in ("measure", "place", "stow") and not noun:
                numbers = find_numbers(self.text[piece.start : piece.end])
                if end := self._end_of_range(piece):
                    return [(*end, words)], _SLOTS[piece.kind]
                if len(numbers) == 1:
                    span = (piece.start + numbers[0].start, piece.start + numbers[0].end)
                    return [(*span, words)], _SLOTS[piece.kind]
            if own.kind == "measure" and piece.kind == "number" and pieces[at + 1].kind != "thing":
                return [(piece.start, piece.end, words)], "measure"
        return [], _SLOTS[own.kind]

    def _end_of_range(self, piece: Piece) -> tuple[int, int] | None:
        """Return the characters of the second number of "frame four to frame five"; None of what is no range."""
        numbers = find_numbers(self.text[piece.start : piece.end])
        if piece.kind != "place" or len(numbers) != 2 or not any("-" in place.at for place in piece.places):
            return None
        return piece.start + numbers[1].start, piece.start + numbers[1].end

    def _side(self, right: _Right, before: range) -> list[tuple[int, int, str]]:
        own = self.pieces[right.side]
        told = [self.pieces[at] for at in before if self.pieces[at].kind == "side"]
        if not told or {told[-1].sense("sides"), own.sense("sides")} != {"port", "starboard"}:
            return []
        return [(told[-1].start, told[-1].end, self.text[own.start : own.end])]

    def _part(self, right: _Right, before: range) -> tuple[list[tuple[int, int, str]], str]:
        pieces, own = self.pieces, self.pieces[right.thing]
        named = [at for at in before if pieces[at].kind == "thing" and not self._small(pieces[at])]
        named = [at for at in named if self._names(pieces[at]) and not self._equipment(pieces[at])]
        words = self.text[pieces[right.side if right.side >= 0 else right.thing].start : own.end]
        same = [at for at in named if self._names(pieces[at]) & self._names(own)]
        if same:
            if right.side < 0:
                return [], ""
            sided = self._side(right, before)
            if sided or any(pieces[at].kind == "side" for at in before):
                return sided, "side"
            return [(pieces[same[-1]].start, pieces[same[-1]].end, words)], "side"
        denied = self._names(pieces[self.denied]) if 0 <= self.denied < len(pieces) else set[str]()
        meant = [at for at in named if self._names(pieces[at]) & denied]
        plain = [at for at in named if not self._after_where(at)]
        for at in (meant or plain or named)[-1:]:
            first = at - 1 if right.side >= 0 and pieces[at - 1].kind == "side" else at
            return [(pieces[first].start, pieces[at].end, words)], "item"
        return [], "item"

    def _names(self, piece: Piece) -> set[str]:
        return {sense.notation for sense in piece.senses if sense.kind in ("part", "short")}

    def _equipment(self, piece: Piece) -> bool:
        return self.lexicon.part_kind.get(piece.sense("part"), "") in ("support-equipment", "material")

    def _after_where(self, at: int) -> bool:
        """Tell whether a part stands after a preposition: "off the wing" only says from where."""
        step = at - 1
        while step >= 0 and (self.pieces[step].kind == "side" or self.pieces[step].low in DETERMINERS):
            step -= 1
        return step >= 0 and self.pieces[step].low in _WHERE
