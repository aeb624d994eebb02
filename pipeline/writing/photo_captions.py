"""What stands under a photo of an entry: what was told as it was taken. It says what was said, not what is seen."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from pipeline.records import EntryRecord, FactRecord, UtteranceRecord
from pipeline.writing.plain_text import cut_short

_SHOWN = ("seen", "done")
_MOST = 2
_LETTERS = 110


def photo_caption(
    at: datetime,
    entry: EntryRecord,
    texts: Sequence[tuple[FactRecord, str]],
    utterances: Mapping[str, UtteranceRecord],
) -> str:
    """Return a caption: what was seen or done by the words nearest to the photo, else these words themselves.

    Args:
        at: when the photo was taken.
        entry: the entry that it stands with.
        texts: the entry's facts, each as it is written.
        utterances: everything said, by id.
    """
    said = [utterances[one] for one in entry.utterances if one in utterances]
    if not said:
        return "; ".join(text for _, text in texts[:_MOST])
    nearest = min(said, key=lambda one: (_away_s(at, one), one.start_at))
    told = [(fact.status, text) for fact, text in texts if nearest.id in fact.utterances]
    for status in _SHOWN:
        found = list(dict.fromkeys(text for of, text in told if of == status))
        if found:
            later = [f"{text[:1].lower()}{text[1:]}" for text in found[1:_MOST]]
            return "; ".join((found[0], *later)) + ("; …" if len(found) > _MOST else "")
    return f"“{cut_short(nearest.read, _LETTERS)}”"


def _away_s(at: datetime, said: UtteranceRecord) -> float:
    """Return how far a photo is from words, 0 within them; what comes later is farther: who points speaks first."""
    before_s = (said.start_at - at).total_seconds()
    after_s = (at - said.end_at).total_seconds()
    return max(before_s * 2, after_s, 0.0)
