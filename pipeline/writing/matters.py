"""What is to be settled by a person, as values, whatever list or reading it comes from.

Any list hands in its questions by having ``questions`` in its lines: values of ``Question`` or ``LineQuestion``.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pipeline.english import sentence
from pipeline.reading.fact import Place, Side
from pipeline.records import FastenerLine, LineQuestion, Question, Record, Records
from pipeline.writing.before_the_start import told_of_days_before
from pipeline.writing.decision_wording import read_otherwise
from pipeline.writing.doubt_wording import doubts_told
from pipeline.writing.fact_names import names_told
from pipeline.writing.part_wording import question_text
from pipeline.writing.said_matters import said_matters
from pipeline.writing.standing_wording import fasteners_question
from pipeline.writing.standing_wording import question_text as line_question_text
from pipeline.writing.support_wording import question_text as support_question
from pipeline.writing.terms import Terms, kind_and_zone
from pipeline.writing.waiting_photos import photos_waiting
from pipeline.writing.wording import fact_text

# The most pressing first: what may hurt somebody, then what loses a part, then what makes a number doubtful, then
# what may have been read wrong. Common practice, no source.
_PRESSING = {
    "caution": 0,
    "holding-up": 1,
    "which-was-connected": 1,
    "off-with-some-left": 1,
    "some-still-off": 1,
    "fast-while-off": 1,
    "one-tag-two-parts": 2,
    "tag-read-elsewhere": 2,
    "not-stowed": 3,
    "moved-not-stowed": 3,
    "not-blanked": 3,
    "removed-twice": 4,
    "not-removed": 4,
    "not-removed-but-refitted": 4,
    "gone-not-mended": 4,
    "put-back-not-mended": 4,
    "read-otherwise": 4,
    "changed-since-signed": 4,
    "takes-back": 4,
    "clock": 4,
    "unlisted": 4,
    "to-check": 8,
}
_OTHERWISE = 5
# Of two that press alike, what a wrong answer would cost: a control or a support more than a bag of screws.
_COSTS = dict.fromkeys(("controls", "control-surface", "support-equipment", "fuel"), 0) | {"fastener": 2}
_USUAL_COST = 1
_AROUND = 50  # letters


@dataclass(frozen=True)
class Matter:
    """One thing to settle.

    ``kind`` names what is asked, ``text`` asks it; ``why`` says what makes it doubtful. The part may not be known.
    """

    kind: str
    text: str
    entries: tuple[str, ...]
    item: str | None = None
    side: Side | None = None
    place: tuple[Place, ...] | None = None
    tag: str | None = None
    why: str = ""
    position: str = ""
    called: str = ""

    @property
    def pressing(self) -> int:
        """How pressing it is: 0 the most."""
        return _PRESSING.get(self.kind, _OTHERWISE)


def matters(records: Records, terms: Terms) -> tuple[Matter, ...]:
    """Return all that is to be settled, each once: the most pressing first, then the dearest, then in order of time.

    A fact that a person has accepted, amended or rejected is not to be checked again, nor is a caution that somebody
    has answered.
    """
    found = [
        *_cautions(records),
        *_of_lists(records, terms),
        *_decided_upon(records, terms),
        *_to_check(records, terms),
        *(Matter(kind, text, entries, item) for kind, text, entries, item in said_matters(records)),
        *_clocks(records),
    ]
    when = {entry.id: number for number, entry in enumerate(records.entries)}
    found = list(dict.fromkeys(found))

    def turn(one: Matter) -> tuple[int, int, int]:
        costs = _COSTS.get(kind_and_zone(terms, one.item)[0], _USUAL_COST)
        return one.pressing, costs, min((when.get(id_, 0) for id_ in one.entries), default=0)

    return tuple(sorted(found, key=turn))


def _cautions(records: Records) -> Iterator[Matter]:
    for one in records.cautions:
        if one.answer is None:
            yield Matter("caution", one.text, one.entries, one.item, one.side, one.place, why=one.reason)


def _clocks(records: Records) -> Iterator[Matter]:
    yield from (Matter("clock", text, ()) for text in told_of_days_before(records))
    for device, number in photos_waiting(records).items():
        wait = "photo waits" if number == 1 else "photos wait"
        text = (
            f"{number:,} {wait} for the clock of {device}, which is not known. Photograph the clock card with it "
            "(saidseen clock), or write what its clock shows too much into the settings."
        )
        yield Matter("clock", text, ())


def _of_lists(records: Records, terms: Terms) -> Iterator[Matter]:
    for support in records.lists.holding_up:
        for asked in support.questions:
            yield _of_line(support, "holding-up", support_question(asked))
    for name in sorted(set(type(records.lists).model_fields) - {"holding_up"}):
        lines = getattr(records.lists, name)
        for line in lines if isinstance(lines, tuple) else ():
            for question in getattr(line, "questions", ()):
                if isinstance(question, Question):
                    yield _asked(question, terms)
                elif isinstance(question, LineQuestion):
                    if isinstance(line, FastenerLine):
                        text = fasteners_question(question, line, terms)
                    else:
                        text = line_question_text(question)
                    yield _of_line(line, question.kind, text)


def _of_line(line: Record, kind: str, text: str) -> Matter:
    """Return a question about a line of any list, as far as that line names a part."""
    item, side, place, tag = (getattr(line, name, None) for name in ("item", "side", "place", "tag"))
    position, called = getattr(line, "position", ""), getattr(line, "called", "")
    return Matter(kind, text, _entries(line), item, side, place, tag, position=position, called=called)


def _asked(question: Question, terms: Terms) -> Matter:
    return Matter(
        question.kind,
        question_text(question, terms),
        question.entries,
        question.item,
        question.side,
        question.place,
        question.tag,
        position=question.position,
        called=question.called,
    )


def _entries(line: Record) -> tuple[str, ...]:
    """Return the entries that a line of any list comes from."""
    told: Iterable[Record] = getattr(line, "moves", ()) or getattr(line, "seen", ())
    found = [one.entry for one in told if hasattr(one, "entry")] or [getattr(line, "entry", "")]
    return tuple(dict.fromkeys(one for one in found if one))


def _to_check(records: Records, terms: Terms) -> Iterator[Matter]:
    read = {one.id: one.read for one in records.utterances}
    for entry in records.entries:
        doubted = entry.review == "unread" and any(fact.check for fact in entry.facts)
        names = names_told(entry, read, terms) if doubted else ()
        for fact, name in zip(entry.facts, names, strict=False):
            if fact.check:
                said = _in_context(fact.said, " ".join(read.get(one, "") for one in fact.utterances))
                text = f"{sentence(fact_text(fact, terms, name))} Said: \u201c{said}\u201d"
                why = "; ".join(doubts_told(fact))
                yield Matter(
                    "to-check",
                    text,
                    (entry.id,),
                    fact.item,
                    fact.side,
                    fact.place,
                    fact.tag,
                    why,
                    position=name.position,
                    called=name.called,
                )


def _decided_upon(records: Records, terms: Terms) -> Iterator[Matter]:
    """Yield what a person decided upon or signed and is to look at again, because it has changed since."""
    said = {one.id: one for one in records.utterances}
    for entry in records.entries:
        item = next((fact.item for fact in entry.facts if fact.item), None)
        otherwise = read_otherwise(entry, said, terms)
        if otherwise:
            why = "What was decided stands until somebody decides anew."
            yield Matter("read-otherwise", otherwise, (entry.id,), item, why=why)
        anew = {(one.who, one.reason) for one in entry.signed if one.stands}
        for one in entry.signed:
            if not one.stands and (one.who, one.reason) not in anew:
                text = f"{one.who} put a name to it for “{one.reason}” before it was changed."
                yield Matter("changed-since-signed", text, (entry.id,), item)


def _in_context(said: str, read: str) -> str:
    """Return the words with some of those before and after them, so that one knows what was spoken of."""
    at = read.find(said)
    if at < 0:
        return said
    start, end = max(0, at - _AROUND), min(len(read), at + len(said) + _AROUND)
    start = read.rfind(" ", 0, start) + 1 if start else 0
    end = read.find(" ", end) if " " in read[end:] else len(read)
    return f"{'…' if start else ''}{read[start:end].strip()}{'…' if end < len(read) else ''}"
