"""Fits the weights of ``pipeline.hearing.merge`` and ``.doubt``. A command for a developer, not a test.

    python -m tests.hearing.fit_hearing LOOKS.jsonl [FOLDER…]

FOLDERs hold speech for tuning (see ``tests.hearing.corpus``); each is heard clean and in noise. What the two looks
heard is kept in LOOKS.jsonl, so that the fit can be done again without hearing. Printed are the weights, and how well
voices are done by weights that were fitted without them.
"""

import argparse
import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from pipeline.hearing import doubt, merge
from pipeline.hearing.corrected import leaning_of
from pipeline.hearing.hear import Looks, kept_of, look_twice
from pipeline.hearing.leaning import Leaning
from pipeline.hearing.merge import Region, regions, text_of
from pipeline.hearing.models import find_model
from pipeline.hearing.recogniser import Recogniser, find_voice
from pipeline.values import HeardSegment, HeardWord
from tests.hearing.conditions import Condition, spoilt
from tests.hearing.corpus import Spoken, spoken_in
from tests.hearing.listen import vocabulary
from tests.hearing.scores import Comparison

Numbers = npt.NDArray[np.float64]
CONDITIONS = (Condition(), Condition(10, echo=True), Condition(5, echo=True))
REAL_CONDITIONS = CONDITIONS[:2]
PULL = 1.0  # towards no weight at all, so that evidence that is seldom there gets none by chance
STEPS = 30
MOST_COUNTED = 3


class Looked(NamedTuple):
    """What two looks made of one file: ``chunks`` are of both, ``voice`` the chance of voice in each 32 ms."""

    file: str
    voice_name: str
    condition: str
    said: str
    chunks: list[Looks]
    voice: Numbers


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("looks", type=Path)
    parser.add_argument("folders", type=Path, nargs="*")
    asked = parser.parse_args()
    leaning = leaning_of(vocabulary())
    if asked.folders:
        with asked.looks.open("w", encoding="utf-8") as out:
            for line in hear_all(asked.folders, leaning):
                print(line, file=out, flush=True)
    looked = list(read_looks(asked.looks))
    print_fit("merge", choices_of(looked, leaning), list(merge.WEIGHTS))
    # The words that are kept depend on the weights above: fit those first, put them in place, and fit again.
    print_fit("doubt", words_of(looked, leaning), list(doubt.WEIGHTS))


def print_fit(name: str, rows: "Rows", names: Sequence[str]) -> None:
    """Print the weights, and how well each voice is done by weights fitted to the other voices."""
    voices = np.array(rows.voices)
    chance = np.zeros(len(rows.answers))
    for voice in set(rows.voices):
        others = voices != voice
        chance[~others] = chances(rows.evidence[~others], fit(rows.evidence[others], rows.answers[others]))
    worth = np.abs(rows.answers - chance).mean()
    print(f"{name}: {len(chance)} rows, {rows.answers.mean():.1%} true; mean miss of voices left out {worth:.3f}")
    for each, weight in zip(names, fit(rows.evidence, rows.answers), strict=True):
        print(f'    "{each}": {weight:.3f},')


def hear_all(folders: Iterable[Path], leaning: Leaning) -> Iterator[str]:
    """Look twice at every file in every condition; give a line of JSON for each."""
    recogniser = Recogniser(find_model("base"), 2)

    def hear_one(task: tuple[Spoken, Condition]) -> str:
        spoken, condition = task
        voiced = find_voice(spoilt(spoken.samples(), condition, spoken.path.name))
        chunks = [one for group in recogniser.groups(voiced) for one in look_twice(group, leaning)]
        return json.dumps(
            {
                "file": spoken.path.name,
                "voice": spoken.voice,
                "condition": condition.name,
                "said": spoken.said,
                "chunks": [[look and look.model_dump() for look in looks] for looks in chunks],
                "chances": [round(float(one), 2) for one in voiced.chances],
            }
        )

    tasks = [
        (spoken, condition)
        for folder in folders
        for condition in (REAL_CONDITIONS if folder.name.startswith("real") else CONDITIONS)
        for spoken in spoken_in(folder)
    ]
    with ThreadPoolExecutor(2) as pool:
        for number, line in enumerate(pool.map(hear_one, tasks), start=1):
            print(f"\r{number} of {len(tasks)}", end="", file=sys.stderr)
            yield line


def read_looks(file: Path) -> Iterator[Looked]:
    for line in map(json.loads, file.read_text(encoding="utf-8").splitlines()):
        chunks = [tuple(look and HeardSegment.model_validate(look) for look in looks) for looks in line["chunks"]]
        yield Looked(line["file"], line["voice"], line["condition"], line["said"], chunks, np.array(line["chances"]))


class Rows(NamedTuple):
    """Evidence, shape (rows, kinds), the right answer for each row (1 or 0), and whose voice it was."""

    evidence: Numbers
    answers: Numbers
    voices: list[str]


def choices_of(looked: Iterable[Looked], leaning: Leaning) -> Rows:
    """List the regions in which the looks differ; the answer is 1 where the first is nearer to what was said.

    A region counts as often as there are words to be won or lost by the choice, three times at most.
    """
    evidence, answers, voices = [], [], []
    for one in looked:
        found = [
            region for looks in one.chunks for region in regions(*(look.words if look else () for look in looks))
        ]
        for at, region in enumerate(found):
            if region.same:
                continue
            won = _errors(one.said, found, None) - _errors(one.said, found, at)
            row = list(merge.evidence_for_first(region, leaning.trade_in).values())
            for _ in range(min(MOST_COUNTED, abs(won))):
                evidence.append(row)
                answers.append(float(won > 0))
                voices.append(one.voice_name)
    return Rows(np.array(evidence), np.array(answers), voices)


def words_of(looked: Iterable[Looked], leaning: Leaning) -> Rows:
    """List the words that are kept; the answer is 1 for each that is wrong."""
    evidence, answers, voices = [], [], []
    for one in looked:
        words: list[HeardWord] = []
        for looks in one.chunks:
            kept, _ = kept_of(looks, leaning, one.voice)
            words += [each.word for each in kept]
            evidence += [list(row.values()) for row in doubt.evidence_of(kept, looks, one.voice)]
        wrong = {word.token for word, _ in Comparison(one.said, text_of(words)).wrong()}
        answers += [float(at in wrong) for at in range(len(words))]
        voices += [one.voice_name] * len(words)
    return Rows(np.array(evidence), np.array(answers), voices)


def _errors(said: str, found: Sequence[Region], first_at: int | None) -> int:
    """Count the wrong words of the second look, with one region of the first put in its place."""
    return Comparison(
        said, text_of(word for at, one in enumerate(found) for word in (one.first if at == first_at else one.second))
    ).errors


def chances(evidence: Numbers, weights: Numbers) -> Numbers:
    return np.asarray(1 / (1 + np.exp(-evidence @ weights)))


def fit(evidence: Numbers, wrong: Numbers) -> Numbers:
    """Fit a logistic regression by Newton's method, with a pull of all weights but the first towards nothing."""
    weights = np.zeros(evidence.shape[1])
    pull = np.full(len(weights), PULL)
    pull[0] = 0.0
    for _ in range(STEPS):
        chance = chances(evidence, weights)
        slope = evidence.T @ (chance - wrong) + pull * weights
        curve = (evidence * (chance * (1 - chance))[:, None]).T @ evidence + np.diag(pull + 1e-9)
        weights -= np.linalg.solve(curve, slope)
    return weights


if __name__ == "__main__":
    main()
