"""The model: a general language model, and above it the layers that tell facts; the program runs them with numpy."""

import copy
import json
import math
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional
from transformers import MPNetConfig, MPNetModel

from learning.examples import Example, Goal, Sizes

LAYERS = 9  # of the base's twelve: the lower ones, which hold grammar
WIDTH = 256


def base_model(folder: Path) -> MPNetModel:
    """Return the lower layers of the base model."""
    config = MPNetConfig.from_pretrained(folder, num_hidden_layers=LAYERS, attn_implementation="eager")
    return MPNetModel.from_pretrained(folder, config=config, add_pooling_layer=False).float()


def _two(given: int, inner: int, out: int, drop: float = 0.0) -> nn.Sequential:
    between = [nn.Dropout(drop)] if drop else []
    return nn.Sequential(nn.Linear(given, inner), nn.GELU(), *between, nn.Linear(inner, out))


class Learnt(nn.Module):
    """Words in context to tellings, items, sides and fillers; the names are those of the packed weights."""

    def __init__(self, enc: MPNetModel, sizes: Sizes) -> None:
        super().__init__()
        self.enc, self.sizes = enc, sizes
        wide, tellings = enc.config.hidden_size, len(sizes.tellings)
        self.kind = nn.Embedding(len(sizes.kinds) + 1, wide)
        self.tellin = nn.Linear(sizes.hints, wide, bias=False)
        nn.init.normal_(self.kind.weight, std=0.01)
        nn.init.normal_(self.tellin.weight, std=0.01)
        self.drop = nn.Dropout(0.1)
        self.typ = nn.Embedding(tellings, wide)
        self.trig = _two(wide + sizes.hints, wide, tellings, drop=0.1)
        nn.init.constant_(self.trig[-1].bias, -6.0)  # hardly any word tells anything
        self.u = nn.Sequential(nn.Linear(2 * wide, wide), nn.GELU())
        self.stat, self.absent = nn.Linear(wide + 6, len(sizes.statuses)), nn.Linear(wide + 6, 1)
        self.q, self.k, self.kb = nn.Linear(wide, WIDTH), nn.Linear(wide + sizes.features, WIDTH), nn.Linear(WIDTH, 1)
        self.pf, self.ri = _two(sizes.features + 6, 32, 1), nn.Linear(3, 1, bias=False)
        self.sq, self.sk = nn.Linear(2 * wide, WIDTH), nn.Linear(wide, WIDTH)
        self.snull = nn.Parameter(torch.zeros(wide))
        self.sdist = _two(12 + len(sizes.sides) - 1, 32, 1)
        self.side = _two(3 * wide + 5, wide, len(sizes.sides), drop=0.1)
        self.fq, self.fk, self.fb = nn.Linear(2 * wide, WIDTH), nn.Linear(wide + 4, WIDTH), nn.Linear(WIDTH, 1)
        self.slot, self.ff = nn.Embedding(len(sizes.slots), wide), _two(14 + len(sizes.slots), 32, 1)

    def vectors(self, batch: "Batch") -> Tensor:
        """Return the word pieces in context (notes by pieces by width)."""
        given = self.enc.embeddings.word_embeddings(batch.ids) + self.kind(batch.kinds) + self.tellin(batch.hints)
        with torch.autocast("cuda", torch.bfloat16, enabled=given.is_cuda):
            found = self.enc(inputs_embeds=given, attention_mask=batch.mask).last_hidden_state
        return self.drop(found.float())

    def tellings(self, vectors: Tensor, batch: "Batch") -> Tensor:
        """Return the score of each telling at each word piece (notes by pieces by tellings)."""
        return self.trig(torch.cat([vectors, batch.hints], -1))

    def rows(
        self, vectors: Tensor, batch: "Batch", rows: Tensor, opinion: tuple[Tensor, Tensor]
    ) -> dict[str, Tensor]:
        """Judge tellings (rows of note, piece, telling): their status, whether absent, and the items of each."""
        note, at, telling = rows.unbind(1)
        teller = self.u(torch.cat([vectors[note, at], self.typ(telling)], -1))
        judged = torch.cat([teller, opinion[0]], -1)
        parts = batch.mention_spans @ vectors.flatten(0, 1)
        asked = self.q(teller)
        keys = self.k(torch.cat([parts, batch.mention_features], -1))
        features = batch.mention_features[None].expand(len(rows), -1, -1)
        near = distances(at, batch.mention_at)
        score = asked @ keys.T / math.sqrt(WIDTH) + self.kb(asked)
        score = score + self.pf(torch.cat([features, near], -1)).squeeze(-1)
        own = note[:, None] == batch.mention_note[None]
        score = score.masked_fill(~own, -1e4)
        highest = score.amax(1, keepdim=True).clamp(min=-50)
        weights = torch.exp((score - highest).clamp(min=-60)) * own
        items = torch.log((weights @ batch.of_item).clamp(min=1e-20)) + highest + self.ri(opinion[1]).squeeze(-1)
        return {
            "teller": teller,
            "statuses": self.stat(judged),
            "absent": self.absent(judged).squeeze(-1),
            "parts": parts,
            "weights": weights,
            "items": items,
            "own": note[:, None] == batch.item_note[None],
        }

    def sides(
        self, vectors: Tensor, batch: "Batch", rows: Tensor, told: dict[str, Tensor], pairs: Tensor, opinion: Tensor
    ) -> tuple[Tensor, Tensor]:
        """Return the score of each side for pairs of (row, item), and the item of each pair in context."""
        row, item = pairs.unbind(1)
        shares = told["weights"][row] * batch.of_item[:, item].T
        shares = shares / (shares.sum(-1, keepdim=True) + 1e-20)
        part = shares @ told["parts"]
        pair = torch.cat([told["teller"][row], part], -1)
        keys = torch.cat([self.snull[None], vectors.flatten(0, 1)[batch.side_piece]])
        score = self.sq(pair) @ self.sk(keys).T / math.sqrt(WIDTH)
        own = rows[row, 0][:, None] == batch.side_note[None]
        own = torch.cat([torch.ones_like(own[:, :1]), own], 1) if own.shape[1] else own.new_ones(len(row), 1)
        if len(batch.side_piece):
            spans = torch.stack([batch.side_at, batch.side_at + 1], 1)
            from_part = distances(shares @ batch.mention_at[:, 0].float(), spans)
            kinds = batch.side_kinds[None].expand(len(row), -1, -1)
            near = self.sdist(torch.cat([distances(rows[row, 1], spans), from_part, kinds], -1)).squeeze(-1)
            score = score + functional.pad(near, (1, 0))
        beside = torch.softmax(score.masked_fill(~own, -1e4), -1) @ keys
        return self.side(torch.cat([pair, beside, opinion], -1)), part

    def fillers(
        self,
        vectors: Tensor,
        batch: "Batch",
        rows: Tensor,
        told: dict[str, Tensor],
        pairs: Tensor,
        part: Tensor,
        opinion: Tensor,
    ) -> tuple[Tensor, Tensor]:
        """Return the score of each filler for pairs of (row, item), and which fillers are of the pair's note."""
        row, item = pairs.unbind(1)
        asked = self.fq(torch.cat([told["teller"][row], part], -1))
        words = batch.filler_spans @ vectors.flatten(0, 1) + self.slot(batch.filler_slot)
        keys = self.fk(torch.cat([words, batch.filler_features], -1))
        slots = functional.one_hot(batch.filler_slot, len(self.sizes.slots)).float()
        wide = (len(row), -1, -1)
        near = distances(rows[row, 1], batch.filler_at)
        counts_item = batch.counts_item[item][..., None]
        judged = [batch.filler_features[None].expand(wide), near, slots[None].expand(wide), opinion, counts_item]
        score = asked @ keys.T / math.sqrt(WIDTH) + self.fb(asked) + self.ff(torch.cat(judged, -1)).squeeze(-1)
        return score, rows[row, 0][:, None] == batch.filler_note[None]


def distances(points: Tensor, spans: Tensor) -> Tensor:
    """Return how far each span lies from each point, in six figures (points by spans by 6)."""
    point, first, last = points[:, None].float(), spans[None, :, 0].float(), spans[None, :, 1].float() - 1
    away = torch.where(first > point, first - point, torch.where(last < point, last - point, 0.0))
    far = torch.log1p(away.abs()) / 3
    figures = [away > 0, away < 0, far * (away > 0), far * (away < 0), away.abs() < 4, away.abs() < 12]
    return torch.stack([figure.float() for figure in figures], -1)


def fitted(weights: Path, base: Path) -> Learnt:
    """Return the model with its fitted weights."""
    sizes = Sizes(**json.loads((weights / "sizes.json").read_text(encoding="utf-8")))
    model = Learnt(base_model(base), sizes)
    state = model.state_dict()
    for path in sorted(weights.glob("*.npz")):
        with np.load(path) as arrays:
            for name in (name for name in arrays.files if not name.endswith("|scale")):
                values = arrays[name].astype(np.float32)
                if f"{name}|scale" in arrays.files:
                    values = values * arrays[f"{name}|scale"][:, None]
                state[name] = torch.from_numpy(values)
    model.load_state_dict(state)
    return model.eval()


class Batch:
    """Several notes side by side, with all their mentions, side words and fillers in one row each, and their goals.

    Put together on the processor; ``to`` moves it to where the model is.
    """

    def __init__(self, notes: Sequence[Example]) -> None:
        sizes, longest = notes[0].sizes, max(len(note.ids) for note in notes)
        shape = (len(notes), longest)
        self.ids, self.mask, self.kinds = (torch.zeros(shape, dtype=torch.long) for _ in range(3))
        self.hints = torch.zeros(*shape, sizes.hints)
        mentions: list[Any] = []
        fillers: list[Any] = []
        counted: list[int] = []
        sides: list[tuple[int, int]] = []
        item_note: list[int] = []
        first_item, first_filler = [], []
        for row, note in enumerate(notes):
            size = len(note.ids)
            self.ids[row, :size], self.mask[row, :size] = torch.tensor(note.ids), 1
            self.kinds[row, :size], self.hints[row, :size] = map(torch.from_numpy, (note.kinds, note.hints))
            first_item.append(len(item_note))
            first_filler.append(len(fillers))
            number = {item: len(item_note) + at for at, item in enumerate(note.items)}
            mentions += [(row, span, number[item], features) for span, item, features in note.mentions]
            fillers += [(row, span, sizes.slots.index(slot), features) for span, slot, _, features in note.fillers]
            counted += [number.get(value[1], -1) if slot == "count" else -1 for _, slot, value, _ in note.fillers]
            sides += [(row, at) for at in note.side_words]
            item_note += [row] * len(note.items)

        def ends(spans: Sequence[tuple[int, tuple[int, int]]]) -> Tensor:
            return numbers([(row * longest + first, row * longest + last) for row, (first, last) in spans], 2)

        self.mention_note = numbers([row for row, *_ in mentions])
        self.mention_at = numbers([span for _, span, *_ in mentions], 2)
        self.mention_spans = ends([(row, span) for row, span, *_ in mentions])
        self.mention_features = figures([features for *_, features in mentions], sizes.features)
        self.of_item = torch.zeros(len(mentions), len(item_note))
        for at, (_, _, item, _) in enumerate(mentions):
            self.of_item[at, item] = 1
        self.item_note = numbers(item_note)
        self.side_note, self.side_at = numbers([row for row, _ in sides]), numbers([at for _, at in sides])
        self.side_piece = numbers([row * longest + at for row, at in sides])
        named = [1 + sizes.kinds.index(side) for side in sizes.sides[1:]]
        self.side_kinds = figures(
            [[float(self.kinds[row, at] == kind) for kind in named] for row, at in sides], len(named)
        )
        self.filler_note = numbers([row for row, *_ in fillers])
        self.filler_at = numbers([span for _, span, *_ in fillers], 2)
        self.filler_spans = ends([(row, span) for row, span, *_ in fillers])
        self.filler_slot = numbers([slot for _, _, slot, _ in fillers])
        self.filler_features = figures([features for *_, features in fillers], 4)
        self.counts_item = (torch.arange(len(item_note))[:, None] == torch.tensor(counted)[None]).float()
        self.goal = Goals(notes, first_item, first_filler, len(item_note), len(fillers))

    def to(self, device: str) -> "Batch":
        """Return the same on a device, where spans become weights of the word pieces (spans by pieces)."""
        moved = copy.copy(self)
        moved.__dict__ |= {name: value.to(device) for name, value in vars(self).items()}
        moved.mention_spans = moved.averaged(moved.mention_spans)
        moved.filler_spans = moved.averaged(moved.filler_spans)
        return moved

    def averaged(self, ends: Tensor) -> Tensor:
        """Return the share of each word piece in each span."""
        firsts, lasts = ends[:, :1], ends[:, 1:]
        pieces = torch.arange(self.ids.numel(), device=ends.device)
        return ((firsts <= pieces) & (pieces < lasts)) / (lasts - firsts)


class Goals:
    """What should be found in the notes of a batch: rows are (note, word piece, telling), pairs (row, item)."""

    def __init__(
        self,
        notes: Sequence[Example],
        first_item: Sequence[int],
        first_filler: Sequence[int],
        items: int,
        fillers: int,
    ) -> None:
        goals = [Goal.of(note) for note in notes]
        first_row = np.cumsum([0, *(len(goal.rows) for goal in goals)])
        first_pair = np.cumsum([0, *(len(goal.pairs) for goal in goals)])
        rows, pairs = int(first_row[-1]), int(first_pair[-1])
        self.of_row, self.of_item = torch.zeros(rows, 6), torch.zeros(rows, items, 3)
        self.of_side, self.of_filler = torch.zeros(pairs, 5), torch.zeros(pairs, fillers, 3)
        statuses: list[tuple[int, int]] = []
        absents: list[tuple[int, float]] = []
        joined: list[tuple[int, int]] = []
        filled: list[tuple[int, int]] = []
        for note, goal, row, pair, item, filler in zip(
            notes, goals, first_row, first_pair, first_item, first_filler, strict=False
        ):
            own, of_pair = slice(row, row + len(goal.rows)), slice(pair, pair + len(goal.pairs))
            self.of_row[own] = torch.from_numpy(goal.opinion[0])
            self.of_item[own, item : item + len(note.items)] = torch.from_numpy(goal.opinion[1])
            self.of_side[of_pair] = torch.from_numpy(goal.pair_opinion[0])
            self.of_filler[of_pair, filler : filler + len(note.fillers)] = torch.from_numpy(goal.pair_opinion[1])
            statuses += [(row + one, status) for one, status in goal.statuses]
            absents += [(row + one, absent) for one, absent in goal.absents]
            joined += [(row + one, item + other) for one, other in goal.pairs]
            filled += [(pair + one, filler + other) for one, other in goal.filled]
        self.rows = numbers([(at, *row) for at, goal in enumerate(goals) for row in goal.rows], 3)
        self.statuses = numbers(statuses, 2)
        self.absent_rows, self.absents = numbers([row for row, _ in absents]), figures([how for _, how in absents])
        self.pairs, self.filled = numbers(joined, 2), numbers(filled, 2)
        self.sides = numbers([side for goal in goals for side in goal.sides])

    def to(self, device: str) -> "Goals":
        """Return the same on a device."""
        moved = copy.copy(self)
        moved.__dict__ |= {name: value.to(device) for name, value in vars(self).items()}
        return moved


def numbers(values: Sequence[Any], *tail: int) -> Tensor:
    """Return whole numbers as a tensor, also where there are none."""
    return torch.tensor(np.array(values, np.int64)).reshape(-1, *tail)


def figures(values: Sequence[Any], *tail: int) -> Tensor:
    """Return figures as a tensor, also where there are none."""
    return torch.tensor(np.array(values, np.float32)).reshape(-1, *tail)


def save_sizes(sizes: Sizes, path: Path) -> None:
    """Write the sizes beside the weights."""
    path.write_text(json.dumps(asdict(sizes)), encoding="utf-8")
