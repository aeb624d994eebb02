"""What a person saw when they decided, and whether it still stands: what every act of a person asks first."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.history.chain import read, refuse_if_changed
from pipeline.history.decisions import Standing, as_decided
from pipeline.history.events import Event, touched
from pipeline.history.past import Past, past_of
from pipeline.history.team import person_named
from pipeline.history.versions import as_json
from pipeline.records import EntryRecord
from pipeline.settings import Person

_DONE = {
    "accept": "accepted it",
    "amend": "amended it",
    "reject": "rejected it",
    "split": "split it",
    "join": "joined it with another",
    "withdraw": "took a decision back",
}


_CHANGING = _DONE.keys() - {"accept", "reject"}


class ChangedSince(WrongCommand):
    """What a person decided on has changed since they saw it: nothing was done. ``told`` says who did what."""

    def __init__(self, message: str, told: str) -> None:
        super().__init__(message)
        self.told = told


@dataclass(frozen=True)
class Seen:
    """An entry as a person saw it: its version, and the number of the last decision that was shown, 0 for none.

    ``exactly`` is for a form that was filled in over what was shown: not even the person's own acts may have come
    between. A command builds on them.
    """

    entry: str
    version: str
    decision: int = 0
    exactly: bool = False

    @classmethod
    def of(cls, entry: EntryRecord) -> "Seen":
        """Return what the pages show of an entry of the records."""
        return cls(entry.id, entry.version, max((one.number for one in entry.decided), default=0))


def past_now(book: Book) -> Past:
    """Return what a book's history adds up to; raises HistoryChanged where something else changed it."""
    chain = read(book.history_file)
    refuse_if_changed(book.history_file, chain)
    return past_of(chain.events)


@contextmanager
def acting(book: Book, who: str) -> Iterator[Past]:
    """Hold a book while a person acts on it, and give what its history adds up to.

    Raises:
        WrongCommand: the book does not list the person.
        BookInUse: another run has the book.
        HistoryChanged: the history was changed by something else.
    """
    with book.locked():
        past = past_now(book)
        person_of(book, who)
        yield past


def person_of(book: Book, who: str) -> Person:
    """Return the person of this name; raises WrongCommand where the book lists nobody of it."""
    return person_named(book.settings().people, who)


def need_reason(why: str, what: str) -> None:
    """Raise WrongCommand where no reason is given."""
    if not why.strip():
        raise WrongCommand(f"{what} needs a reason, for whoever reads the logbook in ten years: --why TEXT.")


def as_seen(past: Past, seen: Seen, who: str, standing: Mapping[str, Standing] | None = None) -> Standing:
    """Return how an entry stands now, where nobody but this person has changed it since they saw it.

    Args:
        past: what the history adds up to.
        seen: the entry as it was seen.
        who: the person.
        standing: every entry as it stands, where that is worked out already, for many entries at once.

    Raises:
        WrongCommand: there is no such entry.
        ChangedSince: somebody else decided on it, or the program read it anew.
    """
    stands = (past.stands() if standing is None else standing).get(seen.entry)
    if stands is None:
        raise WrongCommand(f"The history holds no entry {seen.entry}. Run the book again, and look at its pages.")
    last = stands.decided[-1].n if stands.decided else 0
    if (stands.version, last) == (seen.version, seen.decision):
        return stands
    since = [one for one in past.acts if one.act in _DONE and one.n > seen.decision and seen.entry in touched(one)]
    others = [one for one in since if one.who != who or seen.exactly]
    if not since or others or _version_without(past, since, seen.entry) != seen.version:
        raise changed_since(seen.entry, others)
    return stands


def changed_since(entry: str, since: list[Event]) -> ChangedSince:
    """Return the fault that says who has changed an entry since it was seen; nobody: the program has."""
    told = "the program read it anew"
    if since:
        told = _who_did(since[-1])
    return ChangedSince(
        f"{entry} has changed since you saw it: {told}. Nothing was done, and nothing is lost. Run the book "
        "again, look at the entry as it stands, and decide then.",
        told,
    )


def not_as_shown(past: Past, seen: Seen) -> ChangedSince:
    """Return the fault that says what was done to an entry since the pages by which somebody would sign it."""
    since = [
        one for one in past.acts if one.act in _CHANGING and one.n > seen.decision and seen.entry in touched(one)
    ]
    told = _who_did(since[-1]) if since else "it was read anew"
    return ChangedSince(
        f"{seen.entry} is not what the pages show of it: {told} since they were written. Nothing was signed. Write "
        "the pages anew with saidseen run, look at the entry as it stands, and sign it then.",
        told,
    )


def _who_did(act: Event) -> str:
    return f"{act.who} {_DONE[act.act]} (number {act.n})"


def _version_without(past: Past, left_out: Iterable[Event], entry: str) -> str:
    numbers = {one.n for one in left_out}
    before = as_decided(past.machine, [one for one in past.acts if one.n not in numbers]).get(entry)
    return "" if before is None else before.version


def before_of(stands: Standing) -> dict[str, Any]:
    """Return what a decision was made on: the version seen, what the program read then, and the entry's ground."""
    return {"version": stands.version, "read": stands.now, "entry": as_json(stands.base)}
