"""Which acts of people are not on a book's pages yet: those since the pages were last written."""

from collections.abc import Iterable, Iterator

from pipeline.history.answers import answer_of, answers_in
from pipeline.history.decisions import withdrawn
from pipeline.history.events import Event
from pipeline.history.past import Past
from pipeline.records import Records
from pipeline.settings import Answer
from pipeline.writing.advice import answer_to


def unwritten(past: Past, records: Records, answers: Iterable[Answer], vocabulary: str) -> tuple[Event, ...]:
    """Return the acts of people that the records do not hold, in order; what only supporters read is passed over.

    Args:
        past: the book's whole history.
        records: as its pages show them.
        answers: those of the book's settings.
        vocabulary: the fingerprint of the vocabulary that the book has now.
    """
    by_number = {one.n: one for one in past.acts}
    missing = {*_decided(past, records), *_answered(past, records, tuple(answers))}
    missing |= {one.n for one in _taught(past) if records.book.vocabulary != vocabulary}
    return tuple(by_number[number] for number in sorted(missing) if number in by_number)


def _decided(past: Past, records: Records) -> Iterator[int]:
    """Yield the numbers of decisions and signatures that pages lack, and of what took others back that they show."""
    media = {one.id for one in records.media}
    shown = {
        entry.id: {*(one.number for one in entry.decided), *(one.number for one in entry.signed)}
        for entry in records.entries
    }
    stands = past.stands()
    taken_back = withdrawn(past.acts)
    for entry, one in stands.items():
        if one.read.entry.media in media:
            yield from {act.n for act in (*one.decided, *one.signed)} - shown.get(entry, set())
    for entry, numbers in shown.items():
        now = stands.get(entry)
        there = set() if now is None else {act.n for act in (*now.decided, *now.signed)}
        yield from (taken_back[number] for number in numbers - there if number in taken_back)


def _answered(past: Past, records: Records, answers: tuple[Answer, ...]) -> Iterator[int]:
    in_order = [one for one in past.acts if one.act == "answer"]
    now = (*answers_in(past.acts), *answers)
    taken_back = withdrawn(past.acts)
    for caution in records.cautions:
        answer = answer_to(caution, now)
        if answer == caution.answer:
            continue
        given = [one for one in in_order if (one.why, one.who) == (answer.reason, answer.who)] if answer else []
        gone = [taken_back[one.n] for one in in_order if one.n in taken_back and answer_of(one).rule == caution.rule]
        yield from [given[-1].n] if given else gone[-1:]


def _taught(past: Past) -> Iterator[Event]:
    """Yield what was taught, or taken back of it, since the program last read anything."""
    read = max((one.n for one in past.events if one.act == "read"), default=0)
    lessons = {one.n for one in past.acts if one.act == "teach"}
    for one in past.acts:
        if one.n > read and (one.n in lessons or (one.act == "withdraw" and one.after["withdrawn"] in lessons)):
            yield one
