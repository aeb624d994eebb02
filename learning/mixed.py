"""Mixes two fits: ``python -m learning.mixed EARLIER LATER BASE SHARE WEIGHTS``.

A fit that went on from an earlier one, on notes of another sort, reads those better and the others a little worse.
With SHARE (0.75, say) of the later one's weights and the rest of the earlier one's, both are read about as well as by
the better of the two. Source: Wortsman et al., Robust fine-tuning of zero-shot models, 2022 (from memory).
"""

import json
import sys
from pathlib import Path

import torch

from learning.examples import Sizes
from learning.fit import save
from learning.layers import Learnt, fitted


def mixed(earlier: Learnt, later: Learnt, share: float) -> Learnt:
    """Return the later model with so much of its own weights, and the rest of the earlier one's."""
    before = earlier.state_dict()
    later.load_state_dict({name: torch.lerp(before[name], own, share) for name, own in later.state_dict().items()})
    return later


if __name__ == "__main__":
    if len(sys.argv) != 6:
        sys.exit(__doc__)
    first, second, base, weights = (Path(sys.argv[at]) for at in (1, 2, 3, 5))
    sizes = Sizes(**json.loads((second / "sizes.json").read_text(encoding="utf-8")))
    save(mixed(fitted(first, base), fitted(second, base), float(sys.argv[4])), sizes, weights)
