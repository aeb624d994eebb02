"""What the learnt reading makes of the words in context: what is told, of which part, on which side, how many.

The weights, by their names in ``heads.npz`` (``learning/layers.py`` fits them under the same names):

======================  =================================================================================
``trig``                does this word piece tell this act or finding?
``typ``, ``u``          a telling as a vector: its act or finding, with the word that tells it
``stat``, ``absent``    status of a telling; "no corrosion"
``q``, ``k``, ``kb``    which name is its part: asked by the telling, answered by each name; the bias
``pf``, ``ri``          the same by what is known of the name and how near it is; by what the rules read
``sq``, ``sk``,         which word says the side: asked by telling and part, answered by each side word, by
``snull``, ``sdist``    "none of them"; by how near it is
``side``                the side, from all of these
``fq``, ``fk``, ``fb``  what fills a slot: asked by telling and part, answered by each filler; the bias
``slot``, ``ff``        a slot as a vector; the filler by what is known of it and how near it is
======================  =================================================================================
"""

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pipeline.reading.forms import word_set
from pipeline.reading.learnt.encoder import Floats, Tokens
from pipeline.reading.learnt.opinion import Opinion
from pipeline.reading.learnt.prepared import (
    KINDS,
    SIDES,
    SLOTS,
    STATUSES,
    Count,
    Filler,
    Mention,
    Prepared,
    Word,
)

_TOLD_FROM = 0.05  # chance from which a word is looked at as telling something
_ITEM_FROM = 0.2
_FILLED_FROM = 0.6
_FILLED_FROM_AFAR = 0.4  # by a number whose noun or unit is elsewhere: the chance is shared among those
_CARRIED_FROM = 0.7  # for a place that was said in an earlier sentence
_FILLED_SURELY_FROM = 0.95  # for what is seldom meant where it might be
_WORD_ENDS, _WORD_BEGINS = re.compile(r"(\w['\u2019-]?)+$"), re.compile(r"(['\u2019-]?\w)+")
_REACH = 60  # letters, more than any word has: an hour of talk is one text
_TWO = word_set("both each either neither other pair pairs all three two sides same twin")
_POSSIBLE_FROM = 0.15  # share from which another status or side is told beside the likeliest


class Told(NamedTuple):
    """One thing that a note may tell, with how likely it is.

    ``words`` are the characters of the word that tells it, ``named`` those of the name that its item is read from;
    ``told`` is an act's or a finding's notation. ``chance`` is that of everything together; ``piece`` is the word
    piece, for telling what is told twice from what is not; ``rivals`` are other statuses, sides and parts that stay
    possible.
    """

    words: tuple[int, int]
    named: tuple[int, int]
    piece: int
    told: str
    finding: bool
    status: str
    absent: bool
    item: str
    side: str
    chance: float
    fillers: tuple[Filler, ...]
    rivals: tuple[str, ...] = ()


class Heads:
    """The layers above the language model: small matrices, worked out with numpy."""

    def __init__(self, weights: Mapping[str, Floats], acts: Sequence[str], findings: Sequence[str]) -> None:
        self._weights = weights
        self.tellings = (*acts, *findings)
        self._number = {told: number for number, told in enumerate(self.tellings)}
        self._acts = len(acts)

    def features(self, prepared: Prepared, tokens: Tokens, opinion: Opinion) -> tuple[NDArray[np.int64], Floats]:
        """Return the kind of word of each piece, and what it may tell by the vocabulary and by the rules."""
        count = len(self.tellings)
        kinds = np.zeros(len(tokens.ids), np.int64)
        hints = np.zeros((len(tokens.ids), 2 * count + 1), np.float32)
        for piece, word in _words_at(prepared, tokens):
            kinds[piece] = 1 + KINDS.index(word.kind)
            hints[piece, [self._number[told] for told in word.tells if told in self._number]] = 1
        hints[:, -1] = 1  # the rules were asked: some notes were fitted without them
        for fact in opinion.facts:
            if fact.told in self._number:
                hints[fact.first : fact.last + 1, count + self._number[fact.told]] = 1
        return kinds, hints

    def tell(
        self, prepared: Prepared, tokens: Tokens, vectors: Floats, hints: Floats, opinion: Opinion
    ) -> list[Told]:
        """Return what the note may tell, every likely reading of it.

        Args:
            prepared: the note made ready.
            tokens: its word pieces.
            vectors: the pieces in context (pieces by width).
            hints: what each piece may tell (pieces by hints), as fed to the encoder.
            opinion: what the rules read in it.
        """
        chances = _chance(self.two_layers("trig", (0, 3), np.concatenate([vectors, hints], 1)))
        chances[0] = chances[-1] = 0
        rows = np.argwhere(chances > _TOLD_FROM)
        mentions = [(span, m) for m in prepared.mentions if (span := tokens.within(m.start, m.end))]
        if not len(rows) or not mentions:
            return []
        return _Note(self, prepared, tokens, vectors, mentions, opinion).tell(rows, chances)

    def weight(self, name: str) -> Floats:
        """Return one array of weights."""
        return self._weights[name]

    def linear(self, name: str, given: Floats) -> Floats:
        """Return a layer's output: (…, in) to (…, out)."""
        out: Floats = given @ self._weights[f"{name}.weight"].T
        return out + self._weights[f"{name}.bias"] if f"{name}.bias" in self._weights else out

    def two_layers(self, name: str, layers: tuple[int, int], given: Floats) -> Floats:
        """Return the output of two layers with a bend between: (..., in) to (..., out)."""
        return self.linear(f"{name}.{layers[1]}", gelu(self.linear(f"{name}.{layers[0]}", given)))

    def is_act(self, number: int) -> bool:
        """Tell whether a telling is an act and not a finding."""
        return number < self._acts


class _Note:
    """One note while it is worked out."""

    def __init__(
        self,
        heads: Heads,
        prepared: Prepared,
        tokens: Tokens,
        vectors: Floats,
        mentions: Sequence[tuple[tuple[int, int], Mention]],
        opinion: Opinion,
    ) -> None:
        self.heads, self.tokens, self.vectors = heads, tokens, vectors
        self.opinion = opinion
        self.names = [(m.start, m.end) for _, m in mentions]
        self.spans = np.array([span for span, _ in mentions])
        self.features = np.array([m.features for _, m in mentions], np.float32)
        self.items = list(dict.fromkeys(m.item for _, m in mentions))
        self.of_item = np.array([[m.item == item for item in self.items] for _, m in mentions], np.float32)
        self.mentions = np.stack([vectors[first:last].mean(0) for first, last in self.spans])
        fillers = [(span, f) for f in prepared.fillers if (span := tokens.within(f.start, f.end))]
        self.fillers = [filler for _, filler in fillers]
        self.sentence_ends = [mark.end() for mark in re.finditer(r"[.?!]\s", prepared.text)]
        self.filler_spans = np.array([span for span, _ in fillers]).reshape(-1, 2)
        counted = [f.value.of if isinstance(f.value, Count) else None for f in self.fillers]
        self.counts_item = np.array([[item == of for of in counted] for item in self.items], np.float32)
        sides = [(piece, word.kind) for piece, word in _words_at(prepared, tokens) if word.kind in SIDES]
        self.sides = np.array([piece for piece, _ in sides], np.int64)
        self.side_kinds = np.array([[kind == side for side in SIDES[1:]] for _, kind in sides], np.float32)
        self.sided = bool(sides) or any(read.fact.side for read in opinion.facts)
        self.text = prepared.text
        self.two_told = any(word in _TWO for word in re.findall(r"\w+", prepared.text.lower()))

    def tell(self, rows: NDArray[np.int64], chances: Floats) -> list[Told]:
        """Return the readings for pairs of (piece, telling)."""
        heads = self.heads
        told = heads.weight("typ.weight")[rows[:, 1]]
        tellers = gelu(heads.linear("u.0", np.concatenate([self.vectors[rows[:, 0]], told], 1)))
        names = [heads.tellings[number] for number in rows[:, 1]]
        by_rules = np.array(
            [self.opinion.status(int(at), name) for at, name in zip(rows[:, 0], names, strict=True)], np.float32
        )
        judged = np.concatenate([tellers, by_rules], 1)
        statuses, absent = _shares(heads.linear("stat", judged)), _chance(heads.linear("absent", judged))[:, 0]
        weights, items = self._items(rows, names, tellers)
        best = items.argmax(1)
        pairs = [
            (row, item)
            for row in range(len(rows))
            for item in range(len(self.items))
            if items[row, item] > _ITEM_FROM or item == best[row]
        ]
        beside = self._beside(pairs, rows, names, tellers, weights)
        sides = self._possible(_shares(heads.two_layers("side", (0, 3), beside.sides)))
        filled = self._filled(pairs, rows, names, tellers, beside.parts)
        found = []
        for number, (row, item) in enumerate(pairs):
            at, telling = rows[row]
            act = heads.is_act(telling)
            side = int(sides[number].argmax())
            status = STATUSES[int(statuses[row].argmax())] if act else "seen"
            sure = statuses[row].max() if act else max(absent[row], 1 - absent[row])
            chance = chances[at, telling] * items[row, item] * sure * sides[number, side]
            found.append(
                Told(
                    words=_whole_words(self.text, *self.tokens.spans[at]),
                    named=self.names[int((weights[row] * self.of_item[:, item]).argmax())],
                    piece=int(at),
                    told=names[row],
                    finding=not act,
                    status=status,
                    absent=not act and bool(absent[row] > 0.5),
                    item=self.items[item],
                    side=SIDES[side],
                    chance=float(chance),
                    fillers=tuple(self._chosen(int(at), status, filled[number])),
                    rivals=(*(_rivals(statuses[row], STATUSES) if act else ()), *_rivals(sides[number], SIDES)),
                )
            )
        return found

    def _possible(self, sides: Floats) -> Floats:
        """Return the shares of sides: where none was named and none carries on, both at most, where two are told of.

        A plural alone tells nothing: aircraft have more than two engines, and recognisers write "engines off".
        """
        if self.sided:
            return sides
        may_be = {"", "both"} if self.two_told else {""}
        shares: Floats = sides * np.array([side in may_be for side in SIDES], np.float32)
        whole: Floats = shares.sum(1, keepdims=True)
        return shares / whole

    def _items(self, rows: NDArray[np.int64], names: Sequence[str], tellers: Floats) -> tuple[Floats, Floats]:
        """Return the weight of each mention (rows by mentions), and the chance of each item (rows by items)."""
        heads = self.heads
        keys = heads.linear("k", np.concatenate([self.mentions, self.features], 1))
        asked = heads.linear("q", tellers)
        scores = asked @ keys.T / np.sqrt(keys.shape[1]) + heads.linear("kb", asked)
        near = _distances(rows[:, 0], self.spans)
        features = np.broadcast_to(self.features, (len(rows), *self.features.shape))
        scores = scores + heads.two_layers("pf", (0, 2), np.concatenate([features, near], 2))[:, :, 0]
        highest = np.maximum(scores.max(1, keepdims=True), -50)
        weights = np.exp(np.maximum(scores - highest, -60))
        of_items = np.log(np.maximum(weights @ self.of_item, 1e-20)) + highest
        by_rules = [
            [self.opinion.item(int(at), name, item) for item in self.items]
            for at, name in zip(rows[:, 0], names, strict=True)
        ]
        of_items = of_items + heads.linear("ri", np.array(by_rules, np.float32))[:, :, 0]
        return weights, _chance(of_items)

    def _beside(
        self,
        pairs: Sequence[tuple[int, int]],
        rows: NDArray[np.int64],
        names: Sequence[str],
        tellers: Floats,
        weights: Floats,
    ) -> "_Beside":
        """Return what the side of each pair is judged by, and the part of each pair in context."""
        heads = self.heads
        of = [row for row, _ in pairs]
        shares = weights[of] * self.of_item[:, [item for _, item in pairs]].T
        shares = shares / (shares.sum(1, keepdims=True) + 1e-20)
        parts = shares @ self.mentions
        pair = np.concatenate([tellers[of], parts], 1)
        keys = np.concatenate([heads.weight("snull")[None], self.vectors[self.sides]])
        scores = heads.linear("sq", pair) @ heads.linear("sk", keys).T / np.sqrt(heads.weight("sk.weight").shape[0])
        if len(self.sides):
            spans = np.stack([self.sides, self.sides + 1], 1)
            kinds = np.broadcast_to(self.side_kinds, (len(pairs), *self.side_kinds.shape))
            near = [_distances(rows[of, 0], spans), _distances(shares @ self.spans[:, 0], spans), kinds]
            scores[:, 1:] += heads.two_layers("sdist", (0, 2), np.concatenate(near, 2).astype(np.float32))[:, :, 0]
        by_rules = [self.opinion.side(int(rows[row, 0]), names[row], self.items[item]) for row, item in pairs]
        judged = [pair, _shares(scores) @ keys, np.array(by_rules, np.float32)]
        return _Beside(np.concatenate(judged, 1), parts)

    def _filled(
        self,
        pairs: Sequence[tuple[int, int]],
        rows: NDArray[np.int64],
        names: Sequence[str],
        tellers: Floats,
        parts: Floats,
    ) -> Floats:
        """Return the chance of each filler for each pair (pairs by fillers)."""
        if not self.fillers:
            return np.zeros((len(pairs), 0), np.float32)
        heads = self.heads
        of = [row for row, _ in pairs]
        slots = [SLOTS.index(filler.slot) for filler in self.fillers]
        about = [isinstance(f.value, Count) and f.value.about for f in self.fillers]
        features = np.array(
            [(f.own, f.said, a, f.implied) for f, a in zip(self.fillers, about, strict=True)], np.float32
        )
        words = np.stack([self.vectors[first:last].mean(0) for first, last in self.filler_spans])
        keys = heads.linear("fk", np.concatenate([words + heads.weight("slot.weight")[slots], features], 1))
        asked = heads.linear("fq", np.concatenate([tellers[of], parts], 1))
        scores = asked @ keys.T / np.sqrt(keys.shape[1]) + heads.linear("fb", asked)
        shape = (len(pairs), len(self.fillers))
        by_rules = [
            [self.opinion.filler(int(rows[row, 0]), names[row], self.items[item], filler) for filler in self.fillers]
            for row, item in pairs
        ]
        judged = [
            np.broadcast_to(features, (*shape, features.shape[1])),
            _distances(rows[of, 0], self.filler_spans),
            np.broadcast_to(np.eye(len(SLOTS), dtype=np.float32)[slots], (*shape, len(SLOTS))),
            np.array(by_rules, np.float32),
            self.counts_item[[item for _, item in pairs]][:, :, None],
        ]
        return _chance(scores + heads.two_layers("ff", (0, 2), np.concatenate(judged, 2).astype(np.float32))[:, :, 0])

    def _chosen(self, piece: int, status: str, chances: Floats) -> list[Filler]:
        """Return the fillers that are taken, the likeliest first; one count and one grade at most."""
        order = [
            at for at in np.argsort(-chances) if chances[at] > self._filled_from(self.fillers[at], piece, status)
        ]
        taken: list[Filler] = []
        for filler in (self.fillers[at] for at in order):
            single = filler.slot in ("count", "grade", "tag")
            if not any(other.slot == filler.slot and (single or other.value == filler.value) for other in taken):
                taken.append(filler)
        return taken

    def _filled_from(self, filler: Filler, piece: int, status: str) -> float:
        """Return the chance from which a filler is taken.

        A place carries on from sentence to sentence for work that was done and for what was seen, and never back; and
        "you pull the pin" counts no pins.
        """
        on = self._sentence(filler.start) - self._sentence(self.tokens.spans[piece][0])
        astray = filler.slot == "place" and (on > 0 or (on < 0 and status not in ("done", "seen")))
        if astray or (filler.implied and status == "explained") or (filler.slot == "tag" and not filler.own):
            return _FILLED_SURELY_FROM
        if filler.slot == "place" and on < 0:
            return _CARRIED_FROM
        return _FILLED_FROM if filler.own or filler.slot == "measure" else _FILLED_FROM_AFAR

    def _sentence(self, character: int) -> int:
        return bisect_right(self.sentence_ends, character)


def _rivals(shares: Floats, names: Sequence[str]) -> list[str]:
    """Return the names, but for the likeliest, that stay possible."""
    best = int(shares.argmax())
    return [name or "no side" for at, name in enumerate(names) if at != best and shares[at] > _POSSIBLE_FROM]


def _whole_words(text: str, start: int, end: int) -> tuple[int, int]:
    """Return where the words begin and end of which some characters are given: a word piece ends inside them."""
    before, after = (
        _WORD_ENDS.search(text[max(0, start - _REACH) : start]),
        _WORD_BEGINS.match(text[end : end + _REACH]),
    )
    return start - len(before[0] if before else ""), end + len(after[0] if after else "")


class _Beside(NamedTuple):
    sides: Floats
    parts: Floats


def _words_at(prepared: Prepared, tokens: Tokens) -> Iterator[tuple[int, Word]]:
    """Yield (piece, word) for the word pieces that belong to a word of the note."""
    words = iter(prepared.words)
    word = next(words, None)
    for piece, (start, end) in enumerate(tokens.spans):
        if end <= start:
            continue
        while word is not None and word.end <= start:
            word = next(words, None)
        if word is not None and word.start < end:
            yield piece, word


def _distances(points: NDArray[np.int64] | Floats, spans: NDArray[np.int64]) -> Floats:
    """Return how far each span lies from each point, in six figures (points by spans by 6)."""
    point = points[:, None].astype(np.float32)
    first, last = spans[None, :, 0].astype(np.float32), spans[None, :, 1].astype(np.float32) - 1
    away = np.where(first > point, first - point, np.where(last < point, last - point, 0))
    far = np.log1p(np.abs(away)) / 3
    figures = [away > 0, away < 0, far * (away > 0), far * (away < 0), np.abs(away) < 4, np.abs(away) < 12]
    return np.stack(figures, 2).astype(np.float32)


def _chance(scores: Floats) -> Floats:
    return (1 / (1 + np.exp(-np.clip(scores, -60, 60)))).astype(np.float32)


def _shares(scores: Floats) -> Floats:
    raised = np.exp(scores - scores.max(-1, keepdims=True))
    out: Floats = raised / raised.sum(-1, keepdims=True)
    return out


def gelu(given: Floats) -> Floats:
    """Return the Gaussian error linear unit.

    Source: Hendrycks and Gimpel 2016; the error function by Abramowitz and Stegun 1964, 7.1.26.
    """
    scaled = np.abs(given) / np.sqrt(2, dtype=np.float32)
    step = 1 / (1 + 0.3275911 * scaled)
    tail = (((1.061405429 * step - 1.453152027) * step + 1.421413741) * step - 0.284496736) * step + 0.254829592
    erf = np.sign(given) * (1 - tail * step * np.exp(-scaled * scaled))
    out: Floats = (given * (0.5 * (1 + erf))).astype(np.float32)
    return out
