"""What stands under a photo of an entry: what the words told that it stands with, not what is seen in it.

A false caption is worse than none, so a photo of one label never stands over words about another.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from pipeline.english import listed, plural
from pipeline.plain_text import cut_short
from pipeline.records import EntryRecord, FactRecord, MediaRecord, PhotoLink, UtteranceRecord

_SHOWN = ("seen", "done")
_MOST = 2
_LETTERS = 110
_TURNED_S = 3.0  # so soon after a sentence begins a photo is still of the one before
_NEAR_S = 90.0  # no further than photos and words are matched by their times


def photo_caption(
    media: MediaRecord,
    link: PhotoLink,
    entry: EntryRecord,
    texts: Sequence[tuple[FactRecord, str]],
    utterances: Mapping[str, UtteranceRecord],
) -> str:
    """Return a caption: what was seen or done by the words that the link rests on, else these words themselves.

    A photo of a label that these words do not read out has its label's number alone. Where a person placed it, the
    words nearest to it stand there, if they were said about then. "" where other words had come in between, or where
    it is not clear of which words it is.

    Args:
        media: the photo.
        link: by which it stands with the entry.
        entry: that entry.
        texts: the entry's facts, each as it is written.
        utterances: everything said, by id.
    """
    if media.labels and link.label is None:
        return f"{plural('Label', len(media.labels))} {listed(list(media.labels))}"
    if link.utterance == "":
        return ""
    said = [utterances[one] for one in entry.utterances if one in utterances]
    if not said:
        return "; ".join(text for _, text in texts[:_MOST])
    words = next((one for one in said if one.id == link.utterance), None)
    if words is None:
        words = min(said, key=lambda one: (_away_s(media.taken_at, one), one.start_at))
        if _away_s(media.taken_at, words) > _NEAR_S:
            return ""
    if link.label is None and any(_said_since(words, one, media.taken_at) for one in said):
        return ""
    told = [(fact, text) for fact, text in texts if words.id in fact.utterances and _may_show(fact, link)]
    for status in _SHOWN:
        found = list(dict.fromkeys(text for fact, text in told if fact.status == status))
        if found:
            later = [f"{text[:1].lower()}{text[1:]}" for text in found[1:_MOST]]
            return "; ".join((found[0], *later)) + ("; …" if len(found) > _MOST else "")
    return f"“{cut_short(words.read, _LETTERS)}”"


def _may_show(fact: FactRecord, link: PhotoLink) -> bool:
    """Tell whether a photo of the label that its link rests on may show what a fact tells of another tag or none."""
    return link.label is None or fact.tag in (None, link.label)


def _said_since(words: UtteranceRecord, other: UtteranceRecord, at: datetime) -> bool:
    """Tell whether something else was already being said as the photo was taken: it may show that as well."""
    return words.end_at <= other.start_at <= at - timedelta(seconds=_TURNED_S)


def _away_s(at: datetime, said: UtteranceRecord) -> float:
    """Return how far a photo is from words, 0 within them; what comes later is farther: who points speaks first."""
    before_s = (said.start_at - at).total_seconds()
    after_s = (at - said.end_at).total_seconds()
    return max(before_s * 2, after_s, 0.0)
