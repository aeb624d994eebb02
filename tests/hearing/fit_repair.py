"""Fit the weights of the evidence for a repair. A command for a developer, not a test.

    python -m tests.hearing.fit_repair --heard FILE.jsonl… --notes FILE… --everyday FILE… [--write]

``--heard`` are recordings of notes, one a line, as ``tests.hearing.dump`` writes them: "file" (its name begins with
the note's number), "voice", "condition", "said", and "a" and "b", the words of two decodes, each [start_s, end_s,
text, probability]. ``--notes`` and ``--everyday`` are texts in which nothing is wrong, of the trade and not, one a
line, or JSON Lines with "text". Prints what would be repaired at several thresholds, each third of the notes and
texts being judged with weights that were fitted on the other two thirds; then fits on all, and with ``--write``
writes ``pipeline/hearing/repair_weights.py``. Only notes and voices meant for tuning may be given.
"""

import argparse
import difflib
import json
import pprint
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from rapidfuzz.distance import Levenshtein

from pipeline.hearing import repair_weights
from pipeline.hearing.corrected import repairer_of
from pipeline.hearing.evidence import chance
from pipeline.hearing.heard_text import words_of
from pipeline.hearing.repair import Repairer
from pipeline.reading.vocabulary import load_vocabulary

VOCAB = Path(__file__).parent.parent.parent / "vocab"
TABLE = Path(repair_weights.__file__)
PARTS = 3
THRESHOLDS = (0.2, 0.25, 0.3, 0.4, 0.5)
# A text is read in several ways (alone, with probabilities, with the other look), which count as one together.
# Right texts are there to show what must stay; most of what is heard is right too, so they count for less.
WEIGHTS_OF = {"heard": 1 / 3, "notes": 0.15, "everyday": 0.1}
SURE = 0.95
RIDGE = 3.0
# Where the data say little, what common sense says holds: the ridge pulls weights towards these, and others to 0.
EXPECTED = {
    "trade beside": 0.7, "no trade near": -1.0, "count before a plural": 1.0, "count before a singular": -0.7,
    "other look differs": 0.5, "other look is the name": 1.5, "other look nearer": 1.0,
    "rarity": 1.0, "commonness": -1.0, "everyday word": -1.0, "side before": 1.0,
    "held by before": 2.0, "each after": 1.0,
    "count before what is counted": 1.5,
}  # fmt: skip
# Which way a piece of evidence must point, whatever the data say: 1 for, -1 against.
SIGNS = {
    "sound": 1, "sound near the same": 1, "misfit": -1, "consonants": 1, "first sound": 1, "last sound": 1,
    "spelling": 1, "unknown word": 1, "rarity": 1, "commonness": -1, "everyday word": -1,
    "surprise": 1, "small word first": -1,
    "small word last": -1, "capital": -1, "trade near": 1, "trade beside": 1, "no trade near": -1,
    "count before what is counted": 1,
    "count before a plural": 1, "count before a singular": -1, "article before": 1, "doubt": 1, "trust": -1,
    "other look differs": 1, "other look nearer": 1, "other look is the name": 1,
    "name is everyday": -1, "side before": 1, "held by before": 1, "each after": 1, "state after": 1,
}  # fmt: skip


@dataclass(frozen=True)
class Text:
    """A heard text with what was said, of ``kind`` "heard", "notes" or "everyday"; ``part`` is the third it is in."""

    heard: str
    said: str
    probabilities: tuple[float, ...] | None
    others: tuple[str | None, ...] | None
    part: int
    kind: str
    source: str


@dataclass(frozen=True)
class Weighed:
    """A candidate in its text: where, its evidence, whether it is exactly right, and right but for a plural's s."""

    start: int
    end: int
    found: dict[str, float]
    exact: bool | None
    right: bool | None


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--heard", type=Path, nargs="+", required=True)
    parser.add_argument("--notes", type=Path, nargs="+", default=[])
    parser.add_argument("--everyday", type=Path, nargs="+", default=[])
    parser.add_argument("--write", action="store_true")
    asked = parser.parse_args()
    repairer = repairer_of(load_vocabulary([VOCAB / "base", VOCAB / "crew-trainer"]))
    texts = [*dumped(asked.heard), *right_texts(asked.notes, "notes"), *right_texts(asked.everyday, "everyday")]
    weighed = [(text, weigh(text, repairer)) for text in texts]
    print_figures(weighed)
    weights = fit(weighed)
    pprint.pprint(weights)
    if asked.write:
        write(weights)


def write(weights: dict[str, float]) -> None:
    """Replace the table of weights, and leave the thresholds as they are."""
    head = TABLE.read_text(encoding="utf-8").split("WEIGHTS: ")[0]
    lines = [f'    "{name}": {weight},' for name, weight in weights.items()]
    TABLE.write_text(head + "\n".join(["WEIGHTS: dict[str, float] = {", *lines, "}"]) + "\n", encoding="utf-8")


def dumped(files: Iterable[Path]) -> Iterator[Text]:
    """Read the dumps: of each recording text alone, text with probabilities, and each look beside the other."""
    for file in files:
        for line in file.read_text(encoding="utf-8").splitlines():
            row = json.loads(line)
            yield from texts_of_row(row)


def texts_of_row(row: dict[str, Any]) -> Iterator[Text]:
    number = (
        int(row["file"].split("-")[0]) if row["file"].split("-")[0].isdigit() else zlib.crc32(row["file"].encode())
    )
    for look, other in (("a", "b"), ("b", "a")):
        words = [word for word in row[look] if word[2].split()]
        pieces, probabilities = [word[2] for word in words], tuple(word[3] for word in words)
        others = tuple(other_look(pieces, [word[2] for word in row[other]]))
        kinds = (("text", None, None), ("one look", probabilities, None), ("two looks", probabilities, others))
        for name, sure, second in kinds if look == "a" else kinds[2:]:
            source = f"{row['condition']}, {look}, {name}"
            yield Text(" ".join(pieces), row["said"], sure, second, number % PARTS, "heard", source)


def right_texts(files: Iterable[Path], kind: str) -> Iterator[Text]:
    """Read texts in which nothing is wrong: as text alone, and as two looks that agree and were sure."""
    for file in files:
        for at, line in enumerate(file.read_text(encoding="utf-8").splitlines()):
            text = json.loads(line)["text"] if line.startswith("{") else line
            count, part = len(text.split()), at % PARTS
            if count:
                yield Text(text, text, None, None, part, kind, f"right {kind}, text")
                yield Text(text, text, (SURE,) * count, (None,) * count, part, kind, f"right {kind}, two looks")


def other_look(pieces: Sequence[str], other: Sequence[str]) -> list[str | None]:
    """Say for each piece what the other look heard there: None for the same, "" for nothing."""

    def plain(words: Iterable[str]) -> list[str]:
        return [squeezed(word) for word in words]

    found: list[str | None] = [None] * len(pieces)
    matcher = difflib.SequenceMatcher(None, plain(pieces), plain(other), autojunk=False)
    for kind, a, a_end, b, b_end in matcher.get_opcodes():
        if kind == "replace" or kind == "delete":
            for at in range(a, a_end):
                found[at] = ""
            found[a] = " ".join(other[b:b_end])
    return found


def is_right(text: Text, start: int, end: int, read: str, exactly: bool = False) -> bool | None:
    """Say whether reading a name there is right; None if it only joins or parts words.

    A plural's s does not count unless ``exactly``.
    """
    if text.heard == text.said:
        return False
    heard, said = text.heard, squeezed(text.said)
    if squeezed(heard[start:end]).removesuffix("s") == squeezed(read).removesuffix("s"):
        return None
    before, name, after = squeezed(heard[:start]), squeezed(read), squeezed(heard[end:])
    other = name.removesuffix("s") if name.endswith("s") else name + "s"
    wrong = Levenshtein.distance(squeezed(heard), said)
    left, left_other = (Levenshtein.distance(before + form + after, said) for form in (name, other))
    if min(left, left_other) >= wrong or (exactly and left > left_other):
        return False
    return any(_stands(before, form, after, said) for form in (name, other))


def _stands(before: str, name: str, after: str, said: str) -> bool:
    if name not in said:
        return False
    whole = before + name + after
    first, last = len(before), len(before) + len(name)
    return not any(
        first <= one.src_pos < last or (one.tag == "insert" and first < one.src_pos < last)
        for one in Levenshtein.editops(whole, said)
    )


def weigh(text: Text, repairer: Repairer) -> list[Weighed]:
    weighed = []
    for candidate in repairer.candidates(text.heard, text.probabilities, text.others):
        words, name = candidate.window.words, candidate.name.text
        start, end = words[0].start, words[-1].end
        exact = is_right(text, start, end, name, exactly=True)
        weighed.append(Weighed(start, end, candidate.found, exact, exact or is_right(text, start, end, name)))
    return weighed


def fit(texts: Iterable[tuple[Text, list[Weighed]]]) -> dict[str, float]:
    """Fit a logistic model with a ridge and with the signs held, by gradient steps with a diagonal of curvature."""
    made = [(one, WEIGHTS_OF[text.kind]) for text, weighed in texts for one in weighed if one.exact is not None]
    names = sorted({name for one, _ in made for name in one.found})
    found = np.array([[one.found.get(name, 0.0) for name in names] for one, _ in made])
    right = np.array([one.exact for one, _ in made], dtype=float)
    share = np.array([weight for _, weight in made])
    ridge = np.array([0.0 if name == "always" else RIDGE for name in names])
    low = np.array([0.0 if SIGNS.get(name) == 1 else -np.inf for name in names])
    high = np.array([0.0 if SIGNS.get(name) == -1 else np.inf for name in names])
    expected = np.array([EXPECTED.get(name, 0.0) for name in names])
    weights = expected.copy()
    for _ in range(200):
        chances = 1 / (1 + np.exp(-found @ weights))
        slope = found.T @ (share * (right - chances)) - ridge * (weights - expected)
        # A weight that stands at its bound and is pushed against it stays there.
        free = ~(((weights <= low) & (slope < 0)) | ((weights >= high) & (slope > 0)))
        curvature = (found[:, free].T * (share * chances * (1 - chances))) @ found[:, free] + np.diag(
            ridge[free] + 1e-6
        )
        step = np.zeros(len(names))
        step[free] = np.linalg.solve(curvature, slope[free])
        after = np.clip(weights + np.clip(step, -2, 2), low, high)
        if np.abs(after - weights).max() < 1e-5:
            break
        weights = after
    return {name: round(float(weight), 3) + 0.0 for name, weight in zip(names, weights, strict=True)}


def print_figures(texts: Sequence[tuple[Text, list[Weighed]]]) -> None:
    """Print, for each kind of text, the repairs that would be right and wrong at each threshold."""
    totals: dict[str, dict[float, Counter[str]]] = {}
    words: Counter[str] = Counter()
    for part in range(PARTS):
        weights = fit([one for one in texts if one[0].part != part])
        for text, weighed in texts:
            if text.part != part:
                continue
            words[text.source] += len(text.heard.split())
            ranked = sorted(((chance(one.found, weights), one) for one in weighed), key=lambda pair: -pair[0])
            for threshold in THRESHOLDS:
                total = totals.setdefault(text.source, {}).setdefault(threshold, Counter())
                total.update(_judged(one for found, one in ranked if found >= threshold))
    for source, by_threshold in sorted(totals.items()):
        figures = "; ".join(f"{at}: {one['right']} right {one['wrong']} wrong" for at, one in by_threshold.items())
        print(f"{source}, {words[source]} words: {figures}")


def _judged(ranked: Iterable[Weighed]) -> Iterator[str]:
    """Take the best that do not overlap; one that only joins or parts words is neither right nor wrong."""
    taken: list[Weighed] = []
    for one in ranked:
        if all(one.end <= other.start or one.start >= other.end for other in taken):
            taken.append(one)
            yield "joined" if one.right is None else "right" if one.right else "wrong"


def squeezed(text: str) -> str:
    """Give a text's words as they sound, with nothing between them."""
    return "".join(word.plain for word in words_of(text))


if __name__ == "__main__":
    main()
