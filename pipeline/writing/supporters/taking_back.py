"""Words that take back what was just said: "no, hang on, it's eight". What they follow gives no count and no side."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from pipeline.records import EntryRecord, FactRecord, Records
from pipeline.writing.supporters.withheld_text import sentence_spans

# How people put themselves right; common practice, no source.
_BEGINS = re.compile(
    r"^(?:(?:oh|er|erm|um|uh|ah|well|but|actually)[,. ]+)*"
    r"(?:no\b(?! (?:one|more|doubt|longer|need|sign|trouble))|nope\b|hang on|hold on|wait\b|sorry\b|correction\b"
    r"|i (?:tell a lie|mean|meant|should say|beg your)|my mistake|scratch that|make (?:that|it) (?:\w+)\b|or rather"
    r"|that's wrong|not (?:\w+, (?:it's|but)|port\b|starboard\b|the port\b|the starboard\b))",
    re.IGNORECASE,
)
_WITHIN = re.compile(
    r"\b(?:no, (?:hang on|wait|sorry|it's|that's|make|not|i)|hang on|i tell a lie|correction|i meant?|make that"
    r"|sorry, (?:it's|that's|i|the|make)|scratch that|or rather|my mistake)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Spoken:
    """What was read in each utterance, by its id, and what was said next in the same recording, "" for nothing."""

    read: Mapping[str, str]
    after: Mapping[str, str]

    @classmethod
    def of(cls, records: Records) -> "Spoken":
        """Return what the records hold."""
        said = sorted(records.utterances, key=lambda one: (one.media, one.start_at.timestamp(), one.id))
        pairs = pairwise(said)
        after = {one.id: other.read for one, other in pairs if one.media == other.media}
        return cls({one.id: one.read for one in said}, after)


def is_settled(entry: EntryRecord) -> bool:
    """Tell whether a person stands behind the facts of an entry."""
    own = [one for one in entry.decided if one.act == "accept" or (one.act == "amend" and "facts" in one.what)]
    return entry.review == "accepted" or bool(own)


def without_taken_back(entry: EntryRecord, spoken: Spoken) -> EntryRecord:
    """Return an entry whose facts have no count and no side where words near them take something back.

    Args:
        entry: any; the facts that a person stands behind stay as they are.
        spoken: all that was said.
    """
    if is_settled(entry):
        return entry
    facts = tuple(
        fact.model_copy(update={"count": None, "of": None, "side": None})
        if (fact.count is not None or fact.side is not None) and is_taken_back(fact, entry, spoken)
        else fact
        for fact in entry.facts
    )
    return entry.model_copy(update={"facts": facts})


def is_taken_back(fact: FactRecord, entry: EntryRecord, spoken: Spoken) -> bool:
    """Tell whether the words of a fact of an entry, or the next that were said, take something back."""
    own = [one for one in entry.utterances if one in fact.utterances]
    if not own:
        return _WITHIN.search(fact.said) is not None
    text = " ".join(spoken.read.get(one, "") for one in own)
    start = text.find(fact.said)
    rest = text[start:] if fact.said and start >= 0 else text
    length = len(fact.said) if fact.said and start >= 0 else 0
    sentences = [rest[first:last] for first, last in sentence_spans(rest) if last >= length]
    following = sentences[1] if len(sentences) > 1 else spoken.after.get(own[-1], "").strip()
    return bool(_BEGINS.match(following)) or any(map(_WITHIN.search, (fact.said, *sentences[:1])))
