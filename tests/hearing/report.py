"""Scores as lines to read."""

from collections.abc import Mapping

from tests.hearing.scores import Flagging, Score, brier, marked, most_doubtful, reliability


def print_scores(title: str, by_voice: Mapping[str, Score]) -> None:
    """Print a line for each voice, then all in full."""
    print(title)
    everything = Score()
    for voice, scored in sorted(by_voice.items()):
        everything.add(scored)
        print(f"  {voice}: {_words(scored)}")
    print(f"  all: {_words(everything)}")
    for line in _doubts(everything):
        print(f"  {line}")


def _words(scored: Score) -> str:
    counts = scored.counts
    words, strict = max(1, counts["words"]), max(1, counts["strict words"])
    bad = counts["repairs bad"] + counts["repairs false"]
    parts = (
        f"{counts['words']} words",
        f"WER {_share(counts['heard errors'], words)} heard, {_share(counts['read errors'], words)} read "
        f"(parted words wrong: {_share(counts['strict errors'], strict)})",
        f"{counts['read terms']} terms, recall {_share(counts['heard terms found'], counts['heard terms'])} heard, "
        f"{_share(counts['read terms found'], counts['read terms'])} read, precision "
        f"{_share(counts['read terms right'], counts['read terms claimed'])}",
        f"runs of three lost {counts['runs lost']}, invented {counts['runs invented']}",
        f"repairs {counts['repairs good']} good, {counts['repairs same']} same, {bad} bad "
        f"({1000 * bad / words:.1f} per 1,000 words), {counts['repairs false']} of these false "
        f"({1000 * counts['repairs false'] / words:.1f})",
    )
    return "; ".join(parts)


def _doubts(scored: Score) -> list[str]:
    doubts, counts = scored.doubts, scored.counts
    lines = [
        f"most doubtful tenth: {_flagging(most_doubtful(doubts))}",
        f"as marked: {_flagging(marked(doubts))}",
        f"wrong numbers, sides, frames, bags and tags: {counts['key words wrong']}, marked "
        f"{_share(counts['key words wrong and marked'], counts['key words wrong'])}",
        f"Brier score {brier(doubts):.4f}; chance of being wrong, as said and as found:",
    ]
    return lines + [
        f"  {low:.2f} to {high:.2f}: {count} words, {mean:.3f} said, {found:.3f} found"
        for low, high, count, mean, found in reliability(doubts)
    ]


def _flagging(flagging: Flagging) -> str:
    return (
        f"{flagging.flagged} of {flagging.words} words ({_share(flagging.flagged, flagging.words)}), finding "
        f"{flagging.recall:.1%} of {flagging.wrong} wrong words at {flagging.precision:.1%} precision, "
        f"{flagging.share_of_most:.1%} of the most that so many can hold"
    )


def _share(part: int, whole: int) -> str:
    return f"{part / whole:.1%}" if whole else "none"
