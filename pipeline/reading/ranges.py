"""How the two ends of a range are joined: "4 to 9", "2 out to 5", "12 back as far as 19"."""

from collections.abc import Sequence

from pipeline.reading.forms import word_set

_UP_TO = word_set("to through thru till until")
_ON_THE_WAY = word_set(
    "back out along on up down in across forward forwards aft rearwards inboard outboard clear right all the way over"
)
_AS_FAR_AS = ["as", "far", "as"]


def other_end(lows: Sequence[str], at: int) -> int:
    """Return where the other end stands of a range whose first end stands right before a word, 0 where none does."""
    step = at
    while step < len(lows) and lows[step] in _ON_THE_WAY:
        step += 1
    if list(lows[step : step + 3]) == _AS_FAR_AS:
        step += 3
    elif step < len(lows) and lows[step] in _UP_TO:
        step += 1
    else:
        return 0
    step += 2 if list(lows[step : step + 2]) == ["and", "including"] else 0
    while step < len(lows) and lows[step] in _ON_THE_WAY:
        step += 1
    return step if step < len(lows) else 0
