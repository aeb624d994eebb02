"""What a person does who lets something out to supporters, or keeps it in. What that may be is in ``releases``."""

from datetime import datetime

from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.history.chain import append, read
from pipeline.history.events import Act, Event
from pipeline.history.past import past_of
from pipeline.history.releases import Thing, last_said, with_releases
from pipeline.history.seen import ChangedSince, need_reason, past_now, person_of
from pipeline.settings import Settings


def release(book: Book, thing: Thing, seen: int, who: str, now: datetime, why: str) -> Event:
    """Let something out to supporters.

    Args:
        book: the book.
        thing: what goes out.
        seen: the number of the last act on it that was shown, 0 for none.
        who: the person; ``book.toml`` must list them with ``may_release``.
        now: the present instant.
        why: the reason.

    Raises:
        WrongCommand: the person may not say so, or there is no reason.
        ChangedSince: somebody else has let it out or kept it in since it was seen.
        BookInUse, HistoryChanged: as the acts.
    """
    return _say(book, "release", thing, seen, who, now, why)


def keep_in(book: Book, thing: Thing, seen: int, who: str, now: datetime, why: str) -> Event:
    """Keep something in that was let out, also by ``book.toml``; anybody of the team may. Raises as ``release``."""
    return _say(book, "keep-in", thing, seen, who, now, why)


def _say(book: Book, act: str, thing: Thing, seen: int, who: str, now: datetime, why: str) -> Event:
    need_reason(why, "This")
    with book.locked():
        past = past_now(book)
        person = person_of(book, who)
        if act == "release" and not person.may_release:
            raise WrongCommand(
                f"{who} may not let anything out. Whoever may has the line may_release = true under their name in "
                "book.toml."
            )
        last = last_said(past.acts).get(thing.name)
        if (0 if last is None else last.n) != seen:
            told = "what was said of it was taken back" if last is None else _told(last)
            raise ChangedSince(f"That has changed since you saw it: {told}. Nothing was done.", told)
        after = thing.model_dump()
        return append(book.history_file, [Act(who, act, thing.name, None, after, why)], now)[-1]


def settings_for_supporters(book: Book) -> Settings:
    """Return a book's settings with what its history lets out and keeps in."""
    return with_releases(book.settings(), past_of(read(book.history_file).events).acts)


def _told(act: Event) -> str:
    return f"{act.who} {'let it out' if act.act == 'release' else 'kept it in'} (number {act.n})"
