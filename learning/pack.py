"""Packs the fitted model as the program loads it: ``python -m learning.pack WEIGHTS BASE READY.json FOLDER``.

FOLDER gets ``encoder.onnx`` (the language model, its layers in int8), ``tokens.json`` (word pieces: those of the
notes and of common English), ``heads.npz`` (the rest, half precision) and ``tells.json`` (the acts and findings that
it knows).
"""

import json
import math
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import torch
from onnxruntime.quantization import QuantType, quantize_dynamic
from tokenizers import Tokenizer
from torch import Tensor, nn
from torch.nn import functional
from wordfreq import top_n_list

from learning.examples import Sizes
from learning.layers import Learnt, fitted
from pipeline.reading.learnt.encoder import FIRST_POSITION, buckets

COMMON = 9_000  # words of common English whose pieces are kept
_LETTERS = 384  # code points up to which single letters are kept, so that any name can be spelt
_INPUTS = ("ids", "mask", "kind", "tells", "pos", "bias")


class Encoder(nn.Module):
    """The forward pass of MPNet with the weights of distances as an input, so that notes of any length go through."""

    def __init__(self, model: Learnt) -> None:
        super().__init__()
        self.enc, self.kind, self.tellin = model.enc, model.kind, model.tellin
        self.heads = model.enc.config.num_attention_heads
        self.wide = model.enc.config.hidden_size // self.heads

    def forward(self, ids: Tensor, mask: Tensor, kind: Tensor, tells: Tensor, pos: Tensor, bias: Tensor) -> Tensor:
        """Return the word pieces in context."""
        given = self.enc.embeddings
        x = given.word_embeddings(ids) + self.kind(kind) + self.tellin(tells) + given.position_embeddings(pos)
        x = given.LayerNorm(x)
        hidden = (1.0 - mask.float())[:, None, None, :] * -1e4
        for layer in self.enc.encoder.layer:
            own = layer.attention.attn
            q, k, v = (self._apart(part(x)) for part in (own.q, own.k, own.v))
            shares = torch.softmax(q @ k.transpose(-1, -2) / math.sqrt(self.wide) + bias + hidden, -1)
            seen = (shares @ v).transpose(1, 2).reshape(x.shape[0], -1, self.heads * self.wide)
            x = layer.attention.LayerNorm(own.o(seen) + x)
            x = layer.output.LayerNorm(layer.output.dense(functional.gelu(layer.intermediate.dense(x))) + x)
        return x

    def _apart(self, x: Tensor) -> Tensor:
        return x.reshape(x.shape[0], -1, self.heads, self.wide).transpose(1, 2)


def fewer_pieces(base: Path, texts: Sequence[str]) -> tuple[dict[str, Any], list[int]]:
    """Return the tokenizer with fewer word pieces, and the old number of each piece that is kept."""
    whole = json.loads((base / "tokenizer.json").read_text(encoding="utf-8"))
    tokenizer = Tokenizer.from_file(str(base / "tokenizer.json"))
    tokenizer.no_padding()
    tokenizer.no_truncation()
    numbers: dict[str, int] = whole["model"]["vocab"]
    kept = {number for piece, number in numbers.items() if len(_bare(piece)) == 1 and ord(_bare(piece)) < _LETTERS}
    kept |= {added["id"] for added in whole["added_tokens"]} | {numbers[whole["model"]["unk_token"]]}
    for encoded in tokenizer.encode_batch([*texts, *top_n_list("en", COMMON)]):
        kept.update(encoded.ids)
    old = sorted(kept)
    new = {number: at for at, number in enumerate(old)}
    whole["model"]["vocab"] = {piece: new[number] for piece, number in numbers.items() if number in new}
    for added in whole["added_tokens"]:
        added["id"] = new[added["id"]]
    for end in ("sep", "cls"):
        piece, number = whole["post_processor"][end]
        whole["post_processor"][end] = [piece, new[number]]
    whole["truncation"] = whole["padding"] = None
    return whole, old


def _bare(piece: str) -> str:
    return piece.removeprefix("##")


def pack(weights: Path, base: Path, ready: Path, folder: Path) -> None:
    """Write the packed model."""
    folder.mkdir(parents=True, exist_ok=True)
    model = fitted(weights, base)
    notes = json.loads(ready.read_text(encoding="utf-8"))["notes"]
    tokens, old = fewer_pieces(base, [version["text"] for note in notes for version in note["versions"]])
    (folder / "tokens.json").write_text(json.dumps(tokens, ensure_ascii=False, separators=(",", ":")), "utf-8")
    words = model.enc.embeddings.word_embeddings
    model.enc.embeddings.word_embeddings = nn.Embedding.from_pretrained(words.weight[old])
    table = model.enc.encoder.relative_attention_bias.weight.detach().numpy()
    _write_encoder(Encoder(model).eval(), table, model.sizes, folder / "encoder.onnx")
    below = ("enc.", "kind.", "tellin.")
    heads = {
        name: values.detach().numpy().astype(np.float16)
        for name, values in model.state_dict().items()
        if not name.startswith(below)
    }
    np.savez_compressed(folder / "heads.npz", far=table, **heads)
    tells = {"acts": model.sizes.acts, "findings": model.sizes.findings}
    (folder / "tells.json").write_text(json.dumps(tells), encoding="utf-8")


def _write_encoder(encoder: Encoder, table: Any, sizes: Sizes, path: Path) -> None:
    size = 24
    given = (
        torch.zeros(2, size, dtype=torch.long),
        torch.ones(2, size, dtype=torch.long),
        torch.zeros(2, size, dtype=torch.long),
        torch.zeros(2, size, sizes.hints),
        torch.arange(size)[None] + FIRST_POSITION,
        torch.from_numpy(table[buckets(size)]).permute(2, 0, 1)[None],
    )
    long = {name: {0: "notes", 1: "pieces"} for name in ("ids", "mask", "kind", "tells", "vectors")}
    any_length = {**long, "pos": {1: "pieces"}, "bias": {2: "pieces", 3: "pieces"}}
    exact = path.with_name("exact.onnx")
    torch.onnx.export(
        encoder, given, str(exact), input_names=list(_INPUTS), output_names=["vectors"], dynamic_axes=any_length,
        opset_version=17, dynamo=False,
    )  # fmt: skip
    # Without signs: with them, processors without instructions of their own for int8 would overflow.
    quantize_dynamic(exact, path, weight_type=QuantType.QUInt8, per_channel=True)
    exact.unlink()


if __name__ == "__main__":
    if len(sys.argv) != 5:
        sys.exit(__doc__)
    pack(*map(Path, sys.argv[1:]))
