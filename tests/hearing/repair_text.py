"""Repair of text alone, without sound: of right text, which must stay, and of misheard text."""

import json
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

from pipeline.hearing.corrected import repairer_of
from pipeline.reading.vocabulary import Vocabulary
from tests.hearing.listen import trade_names
from tests.hearing.scores import Comparison, Repair, effect, terms_in, terms_of


def count_false_repairs(files: Iterable[Path], vocabulary: Vocabulary) -> None:
    """Repair texts that are right, and print every change."""
    repairer, words, applied, suggested = repairer_of(vocabulary), 0, 0, 0
    for text in _texts(files):
        words += len(text.split())
        for one in repairer.repair(text).corrections:
            applied, suggested = applied + one.applied, suggested + (not one.applied)
            if one.applied:
                print(f"{one.heard!r} -> {one.read!r} {one.score}: {one.why}")
    per = 1000 / max(1, words)
    print(f"{words} words: {applied} false repairs ({applied * per:.2f} per 1,000), {suggested} false suggestions")


def score_repairs(file: Path, vocabulary: Vocabulary, show: bool) -> None:
    """Repair misheard texts, and print how many misheard names came right and how many repairs are bad."""
    repairer, terms, total = repairer_of(vocabulary), terms_of(trade_names(vocabulary)), Counter[str]()
    for line in file.read_text(encoding="utf-8").splitlines():
        pair = json.loads(line)
        said, heard = pair["said"], pair["heard"]
        repaired = repairer.repair(heard, pair.get("probabilities"))
        before, after = Comparison(said, heard), Comparison(said, repaired.read)
        total["words"] += len(before.said)
        total["missed"] += len(_missed(before, terms))
        total["still missed"] += len(_missed(after, terms))
        for one in repaired.corrections:
            did = effect(said, heard, Repair(one.start, one.end, one.read))
            total[f"{did}" if one.applied else f"suggested {did}"] += 1
            if show:
                print(f"{did if one.applied else 'suggested, ' + did}: {one.heard!r} -> {one.read!r} {one.score}")
    bad, per = total["bad"] + total["false"], 1000 / max(1, total["words"])
    mended = total["missed"] - total["still missed"]
    print(
        f"{total['words']} words: {mended} of {total['missed']} misheard names repaired "
        f"({mended / max(1, total['missed']):.1%}); {total['good']} good repairs, {total['same']} same, {bad} bad "
        f"({bad * per:.2f} per 1,000), {total['false']} of these false ({total['false'] * per:.2f}); suggestions: "
        f"{total['suggested good']} good, {total['suggested bad'] + total['suggested false']} bad"
    )


def _missed(comparison: Comparison, terms: frozenset[tuple[str, ...]]) -> list[str]:
    return [
        name for start, end, name in terms_in(comparison.said, terms) if not comparison.has_name(start, end, name)
    ]


def _texts(files: Iterable[Path]) -> Iterator[str]:
    for file in files:
        for line in file.read_text(encoding="utf-8").splitlines():
            given = json.loads(line) if line.startswith("{") else {"text": line}
            yield given.get("text") or given["said"]
