"""Fits the learnt reading: ``python -m learning.fit READY.json BASE WEIGHTS [--more READY.json...]``.

``--start WEIGHTS --rate 0.25`` goes on from weights fitted before, with shorter steps.

Writes int8 weights, a row a scale, of the base's layers, and half-precision ones of the rest, to the folder WEIGHTS.
The base's word vectors and lowest layers stay as they are.
"""

import argparse
import copy
import math
import os
import random
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import torch
from tokenizers import Tokenizer
from torch import Tensor, nn
from torch.nn import functional
from torch.utils.data import DataLoader, Dataset

from learning.examples import Example, Sizes, example, read_ready
from learning.layers import Batch, Learnt, base_model, fitted, save_sizes
from learning.shares import kept_apart

BARE, TURNED, BLIND = 0.3, 0.5, 0.15  # how often a note is taken bare, with sides changed, without the rules' reading
HIDDEN = 0.1  # share of word pieces that are hidden, so that no single word decides
DROPPED = 0.2  # share of what goes into the layers above the base that is dropped
AVERAGED = 0.998  # how slowly the average of the weights, which is what is saved, follows them
LAST_MARK, MASK = 4, 30526  # numbers of the base's word pieces: up to the first are marks; the other hides a word
MAKERS = 12  # processes that make batches at most
LEFT = 3  # lowest layers of the base that are left as they are: fitted too, they learn the notes by heart
FILES = 4  # that the layers' weights are shared out over


def loss_of(model: Learnt, batch: Batch) -> Tensor:
    """Return how far the model is from what should be found in the notes."""
    if model.training:
        hidden = (torch.rand_like(batch.ids, dtype=torch.float32) < HIDDEN) & (batch.ids > LAST_MARK)
        batch.ids = batch.ids.masked_fill(hidden, MASK)
    goal = batch.goal
    vectors = model.vectors(batch)
    scores = model.tellings(vectors, batch)
    cross = functional.binary_cross_entropy_with_logits
    wanted = _marked(scores, goal.rows)
    loss = (cross(scores, wanted, reduction="none") * batch.mask[..., None]).sum() / max(1, len(goal.rows))
    if not len(goal.rows):
        return loss
    told = model.rows(vectors, batch, goal.rows, (goal.of_row, goal.of_item))
    if len(goal.statuses):
        which, status = goal.statuses.T
        loss = loss + functional.cross_entropy(told["statuses"][which], status)
    if len(goal.absents):
        loss = loss + 0.5 * cross(told["absent"][goal.absent_rows], goal.absents)
    if not len(goal.pairs):
        return loss
    wanted = _marked(told["items"], goal.pairs)
    loss = loss + (cross(told["items"], wanted, reduction="none") * told["own"]).sum() / len(goal.pairs)
    scores, part = model.sides(vectors, batch, goal.rows, told, goal.pairs, goal.of_side)
    loss = loss + functional.cross_entropy(scores, goal.sides)
    if len(batch.filler_note):
        scores, own = model.fillers(vectors, batch, goal.rows, told, goal.pairs, part, goal.of_filler)
        wanted = _marked(scores, goal.filled)
        loss = loss + (cross(scores, wanted, reduction="none") * own).sum() / max(1, len(goal.filled))
    return loss


def _marked(scores: Tensor, right: Tensor) -> Tensor:
    """Return 1 at the places that are right, and 0 elsewhere."""
    wanted = torch.zeros_like(scores)
    wanted[tuple(right.T)] = 1
    return wanted


class Notes(Dataset[Example]):
    """Notes made ready, of each of which one version is drawn at random at each look."""

    def __init__(self, sizes: Sizes, notes: Sequence[Sequence[Mapping[str, Any]]], tokenizer: Tokenizer) -> None:
        self.sizes, self.notes, self.tokenizer = sizes, notes, tokenizer

    def __len__(self) -> int:
        return len(self.notes)

    def __getitem__(self, at: int) -> Example:
        version = _drawn(self.notes[at])
        with_rules = version["with_rules"] and random.random() >= BLIND
        return example(self.sizes, self.tokenizer, version, with_rules)


def _drawn(versions: Sequence[Mapping[str, Any]]) -> Mapping[str, Any]:
    """Return one version of a note, at random; a stretch of a long one has no other."""
    if len(versions) == 1:
        return versions[0]
    bare, turned = random.random() < BARE, random.random() < TURNED and len(versions) > 2
    return versions[bare + 2 * turned]


def fit(
    model: Learnt,
    notes: Notes,
    device: str,
    epochs: int,
    size: int,
    seconds: float,
    share: float = 1.0,
) -> Learnt:
    """Fit the model to the versions of the notes, for so many epochs or seconds, whichever ends first.

    Returns:
        The model with the average of its weights over the last steps.
    """
    model.to(device).train()
    for name, part in model.named_modules():
        if isinstance(part, nn.Dropout) and not name.startswith("enc."):
            part.p = DROPPED
    for part in (model.enc.embeddings.word_embeddings, *model.enc.encoder.layer[:LEFT]):
        part.requires_grad_(False)
    free = [(name, weights) for name, weights in model.named_parameters() if weights.requires_grad]
    lower = [weights for name, weights in free if name.startswith("enc.")]
    upper = [weights for name, weights in free if not name.startswith("enc.")]
    rates = (1.2e-4 * share, 1.2e-3 * share)
    groups = [{"params": lower}, {"params": upper}]
    optimizer = torch.optim.AdamW(groups, lr=rates[0], weight_decay=0.01)
    average = copy.deepcopy(model)
    moving = [
        (own, new) for own, new in zip(average.parameters(), model.parameters(), strict=True) if new.requires_grad
    ]
    makers = min(MAKERS, os.cpu_count() or 1)
    batches = DataLoader(
        notes, size, shuffle=True, num_workers=makers, collate_fn=Batch, prefetch_factor=4, persistent_workers=True
    )
    steps, step, began = epochs * len(batches), 0, time.monotonic()
    for epoch in range(epochs):
        losses = []
        for batch in batches:
            gone = max(step / steps, (time.monotonic() - began) / seconds)
            if gone >= 1:
                return average
            for group, rate in zip(optimizer.param_groups, rates, strict=True):
                group["lr"] = rate * min(1, gone / 0.08 + 1e-3) * max(0.02, 1 - gone)
            loss = loss_of(model, batch.to(device))
            optimizer.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(model.parameters(), 1.0)
            optimizer.step()
            step += 1
            with torch.no_grad():
                for own, new in moving:
                    own.lerp_(new, 1 - min(AVERAGED, (1 + step) / (10 + step)))
            losses.append(loss.detach())
        mean = float(torch.stack(losses).mean())
        print(f"epoch {epoch + 1}: {mean:.3f}, {time.monotonic() - began:.0f} s", flush=True)
    return average


def save(model: Learnt, sizes: Sizes, folder: Path) -> None:
    """Write the weights to a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    layers: dict[str, np.ndarray] = {}
    rest: dict[str, np.ndarray] = {}
    for name, weights in model.state_dict().items():
        values = weights.cpu().numpy()
        if name == "enc.embeddings.word_embeddings.weight":
            continue
        if name.startswith("enc.encoder.layer") and values.ndim == 2:
            scale = np.abs(values).max(1) / 127 + 1e-12
            layers |= {name: np.round(values / scale[:, None]).astype(np.int8), f"{name}|scale": scale}
        else:
            rest[name] = values.astype(np.float16)
    names = sorted(name for name in layers if not name.endswith("|scale"))
    for number in range(FILES):
        own = {key: layers[key] for name in names[number::FILES] for key in (name, f"{name}|scale")}
        np.savez_compressed(folder / f"layers{number}.npz", **own)
    np.savez_compressed(folder / "rest.npz", **rest)
    save_sizes(sizes, folder / "sizes.json")


def main() -> None:
    """Fit and save."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name in ("ready", "base", "weights"):
        parser.add_argument(name, type=Path)
    parser.add_argument("--more", type=Path, nargs="*", default=(), help="more notes made ready, same vocabulary")
    parser.add_argument("--most", type=int, help="take so many notes of each file made ready, at random")
    parser.add_argument("--start", type=Path, help="weights to go on from")
    parser.add_argument("--rate", type=float, default=1.0, help="share of the usual step")
    parser.add_argument(
        "--without", default="", help="files of notes left out, with commas between; dev:1/3: every third of dev"
    )
    parser.add_argument("--often", default="", help="files of notes taken three times each, with commas between")
    parser.add_argument("--epochs", type=int, default=8)
    parser.add_argument("--size", type=int, default=32, help="notes taken together")
    parser.add_argument("--seconds", type=float, default=math.inf)
    parser.add_argument("--seed", type=int, default=0)
    asked = parser.parse_args()
    random.seed(asked.seed)
    torch.manual_seed(asked.seed)
    tokenizer = Tokenizer.from_file(str(asked.base / "tokenizer.json"))
    tokenizer.no_padding()
    tokenizer.no_truncation()
    often = set(asked.often.split(","))
    taken = []
    for path in (asked.ready, *asked.more):
        sizes, notes = read_ready(path)
        left_out = kept_apart(notes, asked.without)
        own = [
            versions
            for note, file, versions in notes
            if note not in left_out
            for _ in range(3 if file in often else 1)
        ]
        taken += random.sample(own, min(len(own), asked.most or len(own)))
    print(f"{len(taken)} notes", flush=True)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.set_float32_matmul_precision("high")
    model = fitted(asked.start, asked.base) if asked.start else Learnt(base_model(asked.base), sizes)
    model = fit(model, Notes(sizes, taken, tokenizer), device, asked.epochs, asked.size, asked.seconds, asked.rate)
    save(model, sizes, asked.weights)


if __name__ == "__main__":
    main()
