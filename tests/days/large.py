"""How long dating and matching take as a book grows: ``python -m tests.days.large``."""

import math
import sys
import time

from tests.days.made_days import make_days
from tests.days.played import play

SEED = 29  # days on which much is said and much photographed
DAYS = (10, 20, 40, 80)


def main() -> int:
    """Print photos, utterances and seconds for books of more and more days, and how steeply the time grows."""
    points = []
    for number in DAYS:
        days = make_days(SEED, "minutes", number)
        began = time.monotonic()
        score = play(days)
        seconds = time.monotonic() - began
        points.append((math.log(len(days.taken) * 1.0), math.log(seconds)))
        print(
            f"{number:3} days  {len(days.taken):6} photos  {len(days.said):6} utterances  "
            f"{seconds:5.1f} s  {score.right:.3f} right"
        )
    (first, took_first), (last, took_last) = points[0], points[-1]
    print(f"time grows as photos to the power of {(took_last - took_first) / (last - first):.2f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
