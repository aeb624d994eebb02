"""Utterances and lines of text after repair, with marks where the reading may still be wrong."""

import json
from collections.abc import Iterable, Iterator, Sequence

from pipeline.hearing.frequency import zipf
from pipeline.hearing.leaning import Leaning
from pipeline.hearing.repair import Repairer
from pipeline.hearing.unsure import marks
from pipeline.json_lines import Line, read_json_lines
from pipeline.reading.vocabulary import Vocabulary
from pipeline.values import Reading, Utterance

REPAIRED_LISTS = ("parts", "counted")
# Words of the other lists that are this rare (zipf scale) and this long may be repaired too.
RARE, SHORTEST_RARE = 3.8, 6


class _HeardLine(Line):
    heard: str


def repairer_of(vocabulary: Vocabulary, team: Iterable[Sequence[str]] = ()) -> Repairer:
    """Make the repairer of a vocabulary and a team, of each of whom is given what they may be called.

    Names of parts and of things counted may be read where something else was heard, and so may the rarer of the acts,
    findings and sides. The vocabulary's everyday words are heard well: they are only kept from change.
    """
    names = vocabulary.names()
    lists = (vocabulary.grades, vocabulary.storage, vocabulary.units, vocabulary.places, vocabulary.sides)
    others = [name for name in names if name.list not in REPAIRED_LISTS]
    return Repairer(
        [(name.text, name.notation) for name in names if name.list in REPAIRED_LISTS],
        zipf,
        known=[
            *(name.text for name in others),
            *(text for entries in lists for entry in entries for text in entry.words),
        ],
        counted=[name.text for name in names if name.list == "counted"],
        single_words=[
            *(form for name in others for form in rare_forms(name.text, name.list == "acts")),
            *(form for entry in vocabulary.sides for text in entry.words for form in rare_forms(text)),
        ],
        taught=[(one.heard, one.means) for one in vocabulary.taught],
        team=team,
    )


def rare_forms(text: str, is_act: bool = False) -> tuple[str, ...]:
    """Give a word, an act with its past form, if it is one that everyday English prepares no recogniser for."""
    if not text.isalpha() or len(text) < SHORTEST_RARE or zipf(text) > RARE:
        return ()
    past = text + "d" if text.endswith("e") else text + "ed"
    return (text, past) if is_act and (text.endswith("e") or zipf(past)) else (text,)


def leaning_of(vocabulary: Vocabulary, names: Iterable[str] = ()) -> Leaning:
    """Make what the recogniser leans towards: the vocabulary's names that may be repaired too, and others.

    Args:
        vocabulary: the trade's words.
        names: of people and of the aircraft.
    """
    return Leaning((name.text for name in vocabulary.names() if name.list in REPAIRED_LISTS), names)


def read_utterance(utterance: Utterance, repairer: Repairer) -> Reading:
    """Repair one utterance, and mark what may be wrong in it.

    Args:
        utterance: as it was heard.
        repairer: the vocabulary's names.
    """
    words = utterance.words
    repaired = repairer.repair(utterance.heard, [word.probability for word in words], [word.other for word in words])
    return Reading(
        utterance=utterance.id,
        read=repaired.read,
        corrections=repaired.corrections,
        unsure=marks(words, repaired.corrections),
    )


def correct_lines(lines: Iterable[str], repairer: Repairer, source: str = "the file") -> Iterator[str]:
    """Repair lines of JSON: the work of ``saidseen correct``.

    Args:
        lines: each {"id": text, "heard": text}; empty lines are passed over.
        repairer: the vocabulary's names.
        source: what the lines are from, for messages.

    Returns:
        For each line {"id", "read", "corrections": [{"from", "to", "heard", "read", "score", "why"}]}: ``from`` and
        ``to`` are positions in ``heard``, and only corrections that were applied are listed.

    Raises:
        WrongCommand: a line is not of that form; the message names it.
    """
    for given in read_json_lines(lines, _HeardLine, source):
        repaired = repairer.repair(given.heard)
        corrections = [
            {
                "from": one.start,
                "to": one.end,
                "heard": one.heard,
                "read": one.read,
                "score": one.score,
                "why": one.why,
            }
            for one in repaired.corrections
            if one.applied
        ]
        yield json.dumps({"id": given.id, "read": repaired.read, "corrections": corrections}, ensure_ascii=False)
