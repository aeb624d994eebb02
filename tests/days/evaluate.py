"""How well made days are put together again: ``python -m tests.days.evaluate [DAYS] [FIRST_SEED] [KIND]``.

Days on which one of the cameras took fewer than eight photos of what somebody pointed at, or on which fewer than one
pointing word in seven was photographed, count apart: there may be too little to tell its clock by.
"""

import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, field

from tests.days.made_days import SENTENCES, Days, make_days
from tests.days.played import Score, play_both_ways

SURE = 0.9
RIGHT_TO_S = 2.5  # two seconds, and half a second for clocks that show whole ones
_FEWEST, _SHARE = 8, 1 / 7


@dataclass
class Sum:
    """Figures of several days."""

    days: int = 0
    photos: int = 0
    right: int = 0
    strays: int = 0
    strays_linked: int = 0
    sure: int = 0
    sure_wrong: int = 0
    unsure_days: int = 0
    offsets: list[float] = field(default_factory=list)
    anchors: list[int] = field(default_factory=list)  # of each clock that was said to be sure
    wrong_hours: int = 0
    named: int = 0
    named_right: int = 0

    def add(self, score: Score) -> None:
        """Add one score."""
        self.days += 1
        self.photos += score.photos
        self.right += sum(right for _, right, _ in score.links)
        self.strays += score.strays
        self.strays_linked += score.strays_linked
        self.sure += sum(p >= SURE for p, _, _ in score.links)
        self.sure_wrong += sum(p >= SURE and not right for p, right, _ in score.links)
        self.unsure_days += score.unsure > 0
        self.offsets += score.offsets_s
        self.anchors += [clock.anchors for clock in score.clocks if clock.sure]
        self.named += sum(named for named, _ in score.sentences)
        self.named_right += sum(right for _, right in score.sentences)
        self.wrong_hours += sum(offset_s > 600 for offset_s in score.offsets_s)


def enough(days: Days) -> bool:
    """Tell whether the days hold enough to tell every camera's clock by."""
    if days.kind == SENTENCES:
        return sum(one.camera == "camera" for one in days.taken) >= _FEWEST
    of_points = [one for one in days.taken if one.of is not None and days.said[one.of].point_s is not None]
    each = [sum(one.camera == camera for one in of_points) for camera in {one.camera for one in days.taken}]
    points = sum(one.point_s is not None for one in days.said)
    return bool(each) and min(each) >= _FEWEST and len(of_points) >= _SHARE * points


def evaluate(seeds: Sequence[int], kind: str = "") -> tuple[Sum, Sum, Sum, dict[float, tuple[int, int]]]:
    """Return the figures of days with enough to go by, of the others, of the plain rule, and how sure was right.

    The last is by tenths of probability: how many links were said to be so sure, and how many of them were right.
    """
    told, little, plain = Sum(), Sum(), Sum()
    sureness: dict[float, tuple[int, int]] = {}
    for seed in seeds:
        days = make_days(seed, kind)
        score, nearest = play_both_ways(days)
        (told if enough(days) else little).add(score)
        if enough(days):
            plain.add(nearest)
        for p, right, _ in score.links:
            tenth = min(int(p * 10), 9) / 10
            links, rights = sureness.get(tenth, (0, 0))
            sureness[tenth] = (links + 1, rights + right)
    return told, little, plain, sureness


def main(arguments: Sequence[str]) -> int:
    """Print the figures."""
    number = int(arguments[0]) if arguments else 200
    first = int(arguments[1]) if len(arguments) > 1 else 0
    began = time.monotonic()
    told, little, plain, sureness = evaluate(range(first, first + number), arguments[2] if len(arguments) > 2 else "")
    for name, one in (
        ("enough to go by", told),
        ("little to go by", little),
        ("nearest words, clocks as shown", plain),
    ):
        print(
            f"{name:31} {one.days:4} days  {one.photos:6} photos  right {one.right / max(1, one.photos):.4f}  "
            f"strays linked {one.strays_linked} of {one.strays}  sure and wrong {one.sure_wrong} of {one.sure}"
        )
        print(
            f"    utterances named: {one.named}, right {one.named_right} ({one.named_right / max(1, one.named):.3f})"
        )
    far = sum(offset_s > RIGHT_TO_S for offset_s in told.offsets)
    print(
        f"clocks said to be sure: {len(told.offsets)} photos, dated more than {RIGHT_TO_S} s off {far}, "
        f"more than ten minutes off {told.wrong_hours}; days with an unsure clock {told.unsure_days} of {told.days}"
    )
    for tenth, (links, rights) in sorted(sureness.items()):
        print(f"said {tenth:.1f} to {tenth + 0.1:.1f}: {links} links, {rights / links:.3f} right")
    print(f"{time.monotonic() - began:.0f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
