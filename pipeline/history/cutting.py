"""What a person does to where entries begin and end: split one, join two neighbours. See ``acts`` for the rest."""

from datetime import datetime, timedelta

from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.history.chain import append
from pipeline.history.cuts import cut_after, follower, joined, second_id, split_at
from pipeline.history.decisions import Standing, as_decided
from pipeline.history.events import BEFORE_THE_FIRST, Act, Event
from pipeline.history.past import Past
from pipeline.history.seen import Seen, acting, as_seen, before_of, need_reason
from pipeline.records import records_in


def split(book: Book, seen: Seen, utterance: str, who: str, now: datetime, why: str) -> Event:
    """Split an entry: what begins with an utterance becomes an entry of its own.

    Facts go with their words; photos taken from then on go with the second entry.

    Args:
        book: the book.
        seen: the entry as it was seen.
        utterance: the first utterance of the second entry, which gets its id from it.
        who: the person.
        now: the present instant.
        why: the reason.

    Raises:
        WrongCommand: there is nothing to split there, the entry is rejected, or no reason is given.
        ChangedSince, BookInUse, HistoryChanged: as ``acts.decide``.
    """
    need_reason(why, "Splitting an entry")
    with acting(book, who) as past:
        stands = as_seen(past, seen, who)
        _refuse_rejected(stands)
        entry = stands.read.entry
        if utterance not in entry.utterances[1:] or utterance not in {one.id for one in stands.read.words}:
            later = ", ".join(entry.utterances[1:]) or "none: it is one utterance"
            raise WrongCommand(f"{entry.id} can be split before any utterance but its first. Those are: {later}.")
        other = second_id(utterance)
        if other in past.stands():
            raise WrongCommand(f"There is an entry {other} already: join the two, and split them where you want.")
        start_s = next(one.start_s for one in stands.read.words if one.id == utterance)
        moving = _taken_from(book, entry.at + timedelta(seconds=start_s - entry.start_s))
        first, second = split_at(stands.read, utterance, moving)
        act = Act(who, "split", entry.id, before_of(stands), cut_after(first, second, other), why)
        return _append(book, past, stands, act, now)


def join(book: Book, seen: Seen, other: Seen, who: str, now: datetime, why: str) -> Event:
    """Make one entry of two neighbours of a recording; it keeps the id of the first. Raises as ``split``."""
    need_reason(why, "Joining entries")
    with acting(book, who) as past:
        both = [as_seen(past, one, who) for one in (seen, other)]
        first, second = sorted(both, key=lambda one: one.read.entry.start_s)
        for one in both:
            _refuse_rejected(one)
        follows = follower(first.read.entry, (one.read.entry for one in past.stands().values()))
        if follows is None or follows.id != second.read.entry.id:
            raise WrongCommand(
                f"{first.read.entry.id} and {second.read.entry.id} are not neighbours in one recording: only those "
                "can be joined."
            )
        if second.signed:
            raise WrongCommand(
                f"{second.signed[-1].who} put their name to {second.read.entry.id}, and it would have no entry to "
                "stand under. It has to be taken back first."
            )
        after = cut_after(joined(first.read, second.read), None, second.read.entry.id)
        act = Act(who, "join", first.read.entry.id, before_of(first), after, why)
        return _append(book, past, first, act, now)


def _append(book: Book, past: Past, stands: Standing, cut: Act, now: datetime) -> Event:
    """Add a cut to the history, with the version of all that the program reads where it was made."""
    before = {**cut.before, "review": stands.review}
    act = cut._replace(before=before)
    tried = Event(n=len(past.events) + 1, at=now, previous=BEFORE_THE_FIRST, **act._asdict())
    read = as_decided(past.machine, (*past.acts, tried))[cut.on].now
    return append(book.history_file, [act._replace(before={**before, "read": read})], now)[-1]


def _refuse_rejected(stands: Standing) -> None:
    if stands.review == "rejected":
        raise WrongCommand(f"{stands.read.entry.id} is rejected as read wrong: take that back first.")


def _taken_from(book: Book, at: datetime) -> frozenset[str]:
    """Return the photos of the book that were taken at an instant or later."""
    try:
        records = records_in(book.out)
    except FileNotFoundError:
        return frozenset()
    return frozenset(one.id for one in records.media if one.taken_at >= at)
