"""Fits the learnt reading: ``python -m learning.fit READY.json BASE WEIGHTS [--more READY.json...]``.

``--start WEIGHTS --rate 0.25`` goes on from weights fitted before, with shorter steps.

Writes int8 weights, a row a scale, of the base's layers, and half-precision ones of the rest, to the folder WEIGHTS.
The base's word vectors stay as they are.
"""

import argparse
import copy
import math
import random
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import torch
from tokenizers import Tokenizer
from torch import Tensor, nn
from torch.nn import functional

from learning.examples import Example, Sizes, read_examples
from learning.layers import Batch, Learnt, base_model, fitted, save_sizes
from learning.shares import kept_apart

BARE, TURNED, BLIND = 0.3, 0.5, 0.15  # how often a note is taken bare, with sides changed, without the rules' reading
HIDDEN = 0.1  # share of word pieces that are hidden, so that no single word decides
DROPPED = 0.2  # share of what goes into the layers above the base that is dropped
AVERAGED = 0.998  # how slowly the average of the weights, which is what is saved, follows them
LAST_MARK, MASK = 4, 30526  # numbers of the base's word pieces: up to the first are marks; the other hides a word
FILES = 4  # that the layers' weights are shared out over


def loss_of(model: Learnt, notes: Sequence[Example], device: str) -> Tensor:
    """Return how far the model is from what should be found in the notes."""
    batch = Batch(notes, device)
    if model.training:
        hidden = (torch.rand(batch.ids.shape, device=device) < HIDDEN) & (batch.ids > LAST_MARK)
        batch.ids = batch.ids.masked_fill(hidden, MASK)
    goals = [note.goal for note in notes]
    vectors = model.vectors(batch)
    scores = model.tellings(vectors, batch)
    rows = [(at, *row) for at, goal in enumerate(goals) for row in goal.rows]
    wanted = torch.zeros_like(scores)
    if rows:
        wanted[tuple(torch.tensor(rows, device=device).T)] = 1
    cross = functional.binary_cross_entropy_with_logits
    loss = (cross(scores, wanted, reduction="none") * batch.mask[..., None]).sum() / max(1, len(rows))
    if not rows:
        return loss
    told_at = torch.tensor(rows, device=device)
    first_row = np.cumsum([0, *(len(goal.rows) for goal in goals)])
    first_pair = np.cumsum([0, *(len(goal.pairs) for goal in goals)])
    of_row = torch.zeros(len(rows), 6)
    of_item = torch.zeros(len(rows), len(batch.item_note), 3)
    of_side = torch.zeros(int(first_pair[-1]), 5)
    of_filler = torch.zeros(int(first_pair[-1]), len(batch.filler_note), 3)
    statuses, absents, pairs, sides, filled = [], [], [], [], []
    for at, (note, goal) in enumerate(zip(notes, goals, strict=True)):
        row, pair, item, filler = first_row[at], first_pair[at], batch.first_item[at], batch.first_filler[at]
        of_row[row : first_row[at + 1]] = torch.from_numpy(goal.opinion[0])
        of_item[row : first_row[at + 1], item : item + len(note.items)] = torch.from_numpy(goal.opinion[1])
        of_side[pair : first_pair[at + 1]] = torch.from_numpy(goal.pair_opinion[0])
        of_filler[pair : first_pair[at + 1], filler : filler + len(note.fillers)] = torch.from_numpy(
            goal.pair_opinion[1]
        )
        statuses += [(row + one, status) for one, status in goal.statuses]
        absents += [(row + one, absent) for one, absent in goal.absents]
        pairs += [(row + one, item + other) for one, other in goal.pairs]
        filled += [(pair + one, filler + other) for one, other in goal.filled]
        sides += goal.sides
    told = model.rows(vectors, batch, told_at, (of_row.to(device), of_item.to(device)))
    if statuses:
        which, status = torch.tensor(statuses, device=device).T
        loss = loss + functional.cross_entropy(told["statuses"][which], status)
    if absents:
        which = torch.tensor([row for row, _ in absents], device=device)
        absent = torch.tensor([value for _, value in absents], device=device)
        loss = loss + 0.5 * cross(told["absent"][which], absent)
    if not pairs:
        return loss
    pair_at = torch.tensor(pairs, device=device)
    wanted = torch.zeros_like(told["items"])
    wanted[tuple(pair_at.T)] = 1
    loss = loss + (cross(told["items"], wanted, reduction="none") * told["own"]).sum() / len(pairs)
    scores, part = model.sides(vectors, batch, told_at, told, pair_at, of_side.to(device))
    loss = loss + functional.cross_entropy(scores, torch.tensor(sides, device=device))
    if len(batch.filler_note):
        scores, own = model.fillers(vectors, batch, told_at, told, pair_at, part, of_filler.to(device))
        wanted = torch.zeros_like(scores)
        if filled:
            wanted[tuple(torch.tensor(filled, device=device).T)] = 1
        loss = loss + (cross(scores, wanted, reduction="none") * own).sum() / max(1, len(filled))
    return loss


def chosen(versions: Sequence[Example]) -> Example:
    """Return one version of a note, at random; a stretch of a long one has no other."""
    if len(versions) == 1:
        return _perhaps_blind(versions[0])
    bare, turned = random.random() < BARE, random.random() < TURNED and len(versions) > 2
    return _perhaps_blind(versions[bare + 2 * turned])


def _perhaps_blind(note: Example) -> Example:
    return note.blind if note.with_rules and random.random() < BLIND else note


def fit(
    model: Learnt,
    notes: Sequence[Sequence[Example]],
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
    model.enc.embeddings.word_embeddings.weight.requires_grad_(False)
    lower = [weights for name, weights in model.named_parameters() if name.startswith("enc.")]
    upper = [weights for name, weights in model.named_parameters() if not name.startswith("enc.")]
    rates = (1.2e-4 * share, 1.2e-3 * share)
    groups = [{"params": lower}, {"params": upper}]
    optimizer = torch.optim.AdamW(groups, lr=rates[0], weight_decay=0.01)
    average = copy.deepcopy(model)
    moving = [
        (own, new) for own, new in zip(average.parameters(), model.parameters(), strict=True) if new.requires_grad
    ]
    steps, step, began = epochs * math.ceil(len(notes) / size), 0, time.monotonic()
    for epoch in range(epochs):
        order = random.sample(range(len(notes)), len(notes))
        losses = []
        for start in range(0, len(order), size):
            gone = max(step / steps, (time.monotonic() - began) / seconds)
            if gone >= 1:
                return average
            for group, rate in zip(optimizer.param_groups, rates, strict=True):
                group["lr"] = rate * min(1, gone / 0.08 + 1e-3) * max(0.02, 1 - gone)
            loss = loss_of(model, [chosen(notes[at]) for at in order[start : start + size]], device)
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
        sizes, notes = read_examples(path, tokenizer)
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
    model = fitted(asked.start, asked.base) if asked.start else Learnt(base_model(asked.base), sizes)
    model = fit(model, taken, device, asked.epochs, asked.size, asked.seconds, asked.rate)
    save(model, sizes, asked.weights)


if __name__ == "__main__":
    main()
