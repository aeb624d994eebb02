"""How well clocks are known over two winters: ``python -m tests.days.winters [BOOKS] [FIRST_SEED]``.

For each sort of clock: how many photos of something stand with what they are of, how many photos with anything else,
and how many of something with nothing; how many are dated more than ten minutes wrong though they are said to be
right to fifteen (misdated), and of how many it is said that they may be out by more (doubted); and how many stretches
of the clock are called sure, and how many of those are out by more than ten minutes.
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.values import Clock
from tests.days.made_winters import CLOCKS, make_winters
from tests.days.played import Score, play

_WRONG_S, _SAID_S = 600.0, 900.0


@dataclass
class Winters:
    """Figures of several books."""

    of_something: int = 0
    right: int = 0
    wrong: int = 0
    unplaced: int = 0
    photos: int = 0
    misdated: int = 0
    of_sure: int = 0
    doubted: int = 0
    clocks: int = 0
    sure: int = 0
    sure_wrong: int = 0

    def add(self, score: Score) -> None:
        """Add one book."""
        self.of_something += score.photos
        self.right += sum(right for _, right, _ in score.links)
        self.wrong += sum(not right for _, right, _ in score.links)
        self.unplaced += score.photos - sum(not stray for _, _, stray in score.links)
        self.photos += len(score.dated)
        self.misdated += sum(out_s > _WRONG_S and said_s <= _SAID_S for _, out_s, said_s in score.dated)
        self.doubted += sum(said_s > _SAID_S for _, _, said_s in score.dated)
        own = [clock for clock in score.clocks if clock.device == "camera"]
        self.clocks += len(own)
        self.sure += sum(clock.sure for clock in own)
        self.sure_wrong += sum(clock.sure and _is_wrong(clock, score) for clock in own)
        self.of_sure += sum(_misdated(clock, score)[0] for clock in own if clock.sure)

    def __str__(self) -> str:
        """Return the figures in a line."""
        return (
            f"{self.of_something:5} photos of something: right {self.right}, wrong {self.wrong}, unplaced "
            f"{self.unplaced}; {self.photos} photos: misdated {self.misdated} ({self.of_sure} by clocks called "
            f"sure), doubted {self.doubted}; "
            f"{self.clocks} stretches: sure {self.sure}, of these wrong {self.sure_wrong}"
        )


def _is_wrong(clock: Clock, score: Score) -> bool:
    """Tell whether most photos of a stretch of a clock are out by more than ten minutes."""
    wrong, photos = _misdated(clock, score)
    return wrong > photos / 2


def _misdated(clock: Clock, score: Score) -> tuple[int, int]:
    """Return how many photos of a stretch of a clock are out by more than ten minutes, and how many there are."""
    if clock.since is None or clock.until is None:
        return 0, 0
    own = [out_s for shown_at, out_s, _ in score.dated if clock.since <= shown_at <= clock.until]
    return sum(out_s > _WRONG_S for out_s in own), len(own)


def figures(seeds: Sequence[int], clock: str) -> Winters:
    """Return the figures of books whose camera has such a clock."""
    whole = Winters()
    for seed in seeds:
        made = make_winters(seed, clock)
        whole.add(play(made))
    return whole


def main(arguments: Sequence[str]) -> int:
    """Print the figures."""
    number = int(arguments[0]) if arguments else 40
    first = int(arguments[1]) if len(arguments) > 1 else 0
    for clock in CLOCKS:
        print(f"{clock:11}", figures(range(first, first + number), clock))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
