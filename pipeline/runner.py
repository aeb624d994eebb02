"""The one runner: takes files in, does each stage's undone tasks, adds up, and writes the book.

Nothing here knows the command line: progress and the clock come in as arguments.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from datetime import datetime
from functools import partial
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic_core import from_json

from pipeline.book import Book
from pipeline.digests import sha256_of_text
from pipeline.errors import WrongCommand
from pipeline.evidence.upgrading import bring_up_to_date
from pipeline.executors import Does
from pipeline.given_back import give_back
from pipeline.hearing.heard_twice import told_of_copies
from pipeline.history import chain
from pipeline.history.clock import no_earlier_than, set_back
from pipeline.history.past import Past, Playing
from pipeline.history.recording import made_since
from pipeline.history.releases import with_releases
from pipeline.intake.seen import Walked, look_around
from pipeline.outcome import Choices, Outcome, Progress, Silence, told_of_away, told_of_unread, told_of_waiting
from pipeline.results import DATE, WHOLE_BOOK, Results
from pipeline.search import index
from pipeline.settings import Settings
from pipeline.store import Store
from pipeline.unchanged import Left, Surroundings, as_left, forget, left_by, remember
from pipeline.uncollected import collected_afterwards, uncollected
from pipeline.unsaid import all_said, stood
from pipeline.working import Work

if TYPE_CHECKING:  # the engines take seconds to import, and a run with nothing new needs none of them
    from pipeline.assemble import Gathered
    from pipeline.bench import Bench
    from pipeline.history.events import Act
    from pipeline.history.versions import ReadEntry
    from pipeline.known import Stage, Task
    from pipeline.putting_down import Entries
    from pipeline.records import Records

__all__ = ["Choices", "Outcome", "Progress", "Silence", "run"]

_USUAL = Choices()


@contextmanager
def _opened(book: Book, now: datetime) -> Iterator[tuple[Store, str]]:
    """Open the book's database, brought up to date, with what to tell of that."""
    upgraded = bring_up_to_date(book, now)
    with Store(book.store_file) as store:
        yield store, upgraded


def _cluster(address: str, bench: Bench, book: Book) -> AbstractContextManager[Does[Task] | None]:
    if not address:
        return nullcontext()
    try:
        from pipeline.cluster import connected
    except ModuleNotFoundError as error:
        raise WrongCommand(
            '--cluster needs Dask, which is not installed. Install it: python -m pip install "distributed>=2025"'
        ) from error
    return connected(address, bench, book.folder)


def run(
    book: Book,
    paths: Sequence[Path],
    now: datetime,
    choices: Choices = _USUAL,
    progress: Progress | None = None,
    stages: Sequence[Stage] | None = None,
    bench: Callable[..., Bench] | None = None,
) -> Outcome:
    """Take in what is new, do what is not yet done, and write ``out/``; nothing at all where nothing has changed.

    Args:
        book: an existing one.
        paths: files and folders to take in, besides those of earlier runs.
        now: the present instant; a date after it is not believed.
        choices: see ``Choices``.
        progress: told how the work goes.
        stages: the job, where it is another list than the program's: in tests.
        bench: makes the engines, where they are others: in tests.

    Raises:
        BookInUse: another run has the book.
        WrongCommand: a path does not exist, a setting or a vocabulary file is wrong, or the cluster is not fit.
        RunFault: the run cannot go on: no model, disk full.
    """
    settings = book.settings()
    with collected_afterwards(), book.locked(), _opened(book, now) as (store, upgraded):
        book.offer_edits()
        seen = look_around(paths, store.folders())
        around = Surroundings(book, settings, choices.model, [(one.name, one.version) for one in stages or ()])
        around.add(seen.places, seen.files, seen.aside)
        left = None if choices.again else as_left(store, around.state(), now)
        if left is not None:
            return _as_before(book, left, seen)
        forget(store)
        work = _worker(book, store, settings, choices, progress or Silence(), bench)
        work.outcome.upgraded = upgraded
        work.outcome.nothing_in = seen.nothing_in
        _work(work, seen, now, stages)
        state = around.state()
        with store.at_once():
            if work.settled and work.outcome.left:
                remember(store, state, work.outcome.left)
            all_said(store)
        return work.outcome


def _worker(
    book: Book,
    store: Store,
    settings: Settings,
    choices: Choices,
    progress: Progress,
    bench: Callable[..., Bench] | None,
) -> Work:
    from pipeline.bench import Bench

    vocabulary = book.vocabulary(settings)
    made = (bench or Bench)(settings, vocabulary, choices.model, choices.jobs, choices.device)
    return Work(book, store, made, choices, progress)


def _work(work: Work, seen: Walked, now: datetime, stages: Sequence[Stage] | None) -> None:
    """Do the stages, put the records together, and write them."""
    from pipeline.writing.supporters.up_to_date import reports_as_they_read, told_of_reports
    from pipeline.writing.write import write_book

    book, bench, outcome = work.book, work.bench, work.outcome
    playing = Playing(book.history_file)
    history = chain.read(book.history_file, playing.take)
    outcome.clock_back = set_back(playing.latest, now)
    if not history.number and now.astimezone(bench.settings.zone).date() < bench.settings.time.book_starts:
        raise WrongCommand(
            f"The clock of this machine says {now:%Y-%m-%d}, which is before the book starts "
            f"({bench.settings.time.book_starts}, in {book.settings_file}). Set the clock right, or that date."
        )
    dated = work.store.latest(DATE, WHOLE_BOOK)
    dates = stood(work.store, "dates", dated.value or "" if dated else "")
    gathered = _gathered(work, seen, no_earlier_than(playing.latest, now), stages)
    results, only_today = {name: len(made) for name, made in gathered.made.items()}, bool(gathered.dates.only_on)
    past = playing.past()
    outcome.records = records = _records(work, gathered, past, history, now)
    outcome.redated = _redated(dates, gathered, records, book.out)
    settings = with_releases(bench.settings, past.acts)
    del dated, dates, gathered, past, playing, history  # a large book holds enough while it is written
    give_back()
    work.progress.begin("Writing the book", 0, "")
    reports = reports_as_they_read(book.out)
    as_read = {name: stood(work.store, f"report {name}", digest) for name, digest in reports.items()}
    written = write_book(records, settings, bench.vocabulary, book.out, as_read=as_read)
    outcome.written = len(written.written)
    outcome.rewritten = told_of_reports(written.otherwise)
    outcome.copies_missing = written.faults
    with uncollected():
        index(work.store, records, bench.vocabulary)
    to_say = (
        *told_of_away(book, outcome.away),
        *told_of_unread(records),
        *told_of_copies(book, records),
        *told_of_waiting(book, records),
        *written.told,
    )
    outcome.left = left_by(records, outcome.set_aside, results, now, only_today=only_today, to_say=to_say)


def _gathered(work: Work, seen: Walked, now: datetime, stages: Sequence[Stage] | None) -> Gathered:
    """Do the stages, and gather what the records are put together from."""
    from pipeline.assemble import gather
    from pipeline.dating.followed import Followed
    from pipeline.known import Known
    from pipeline.stages import STAGES

    with _cluster(work.choices.cluster, work.bench, work.book) as work.cluster:
        once_followed = partial(work.once, "clocks", Followed)
        known = Known(files=work.take_in(seen), now=now, once_followed=once_followed)
        for stage in stages or STAGES:
            known = work.do(stage, known)
    work.bench.put_away()  # a large book is put together and written beside nothing else
    work.progress.begin("Adding up", 0, "")
    with uncollected():
        return gather(known, work.book.folder.absolute())


def _redated(before: str, gathered: Gathered, records: Records, out: Path) -> str:
    """Return the line on what stands at another time than before, "" where nothing does."""
    from pipeline.redated import told_of_redated
    from pipeline.writing.timeline_places import PAGE

    now = gathered.made[DATE].digests.get(WHOLE_BOOK) if DATE in gathered.made else None
    if not before or sha256_of_text(before) == now:
        return ""
    then = {one["media"]: datetime.fromisoformat(one["at"]) for one in from_json(before)["dated"]}
    return told_of_redated(then, records.media, records.entries, out / PAGE)


@uncollected()
def _records(work: Work, gathered: Gathered, past: Past, history: chain.Chain, now: datetime) -> Records:
    """Put the records together, and bring the history up to date with them."""
    from pipeline.adding_up import AddedUp
    from pipeline.assemble import decide
    from pipeline.history.noted import note_at, noted_at
    from pipeline.redated import told_of_replaced

    work.outcome.set_aside.sort(key=lambda aside: (aside.path, aside.why))
    entered: Results[Entries] = gathered.made["enter"]
    decided = decide(gathered, work.bench, (one for _, one in entered.each()), past.acts)
    once = partial(work.once, "lists", AddedUp, "lists")
    records = decided.records(work.outcome.set_aside, once, past.acts)
    digests = entered.digests
    noted = frozenset() if work.again else noted_at(work.store, history, digests)

    def made() -> Iterator[Act]:
        read = _read_again(decided.there, entered, noted)
        return made_since(past, records.media, read, records.book.program, decided.there)

    replaced = told_of_replaced(made() if history.number else (), records.media, work.bench.settings.zone)
    unsaid = stood(work.store, "placings", replaced)
    work.outcome.replaced = " ".join(dict.fromkeys(filter(None, (unsaid, replaced))))
    try:
        note_at(work.store, chain.extend(work.book.history_file, made(), now, history), digests)
    except chain.HistoryChanged as fault:  # changed by something else: it is left as it is, and told
        work.outcome.history_changed = str(fault)
    return records


def _read_again(there: Mapping[str, str], entered: Results[Entries], noted: Container[str]) -> Iterator[ReadEntry]:
    """Yield the entries of all recordings but some, in the order that they are told in; one recording's are held."""
    for media, entries in groupby(there, key=there.__getitem__):
        if media not in noted:
            own = {one.entry.id: one for one in entered[media].entries}
            yield from (own[entry] for entry in entries)


def _as_before(book: Book, left: Left, seen: Walked) -> Outcome:
    """Return the outcome of a run that found nothing to do."""
    return Outcome(
        book.out,
        left,
        nothing_new=True,
        made=dict.fromkeys(left.done, 0),
        already=dict(left.done),
        set_aside=list(left.set_aside),
        nothing_in=seen.nothing_in,
    )
