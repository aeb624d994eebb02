"""A book sealed: packed as a bag that holds what no earlier bag of the same place holds, and its seal told."""

import re
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from pipeline.book import Book
from pipeline.english import plural
from pipeline.errors import ExitCode, RunFault, WrongCommand
from pipeline.evidence.bag_check import check_bag, worst_first
from pipeline.evidence.bag_reading import Bag, bags_in, looks_like_a_bag
from pipeline.evidence.bag_writing import write_bag
from pipeline.evidence.book_check import check_written
from pipeline.evidence.carried import in_order
from pipeline.evidence.differences import NOT_LOOKED_AT, Difference, Kind
from pipeline.evidence.hashing import SILENT, Meter
from pipeline.evidence.new_bag import NewBag
from pipeline.evidence.originals import Settled, bytes_to_read, folders_given, media_paths, originals_of, settle_all
from pipeline.evidence.payload import gather, windows_warnings
from pipeline.evidence.unwritten import unwritten
from pipeline.history.chain import read
from pipeline.history.past import past_of
from pipeline.history.releasing import settings_for_supporters
from pipeline.mistyped import first_run, to_type
from pipeline.records import Records
from pipeline.settings import Settings
from pipeline.writing.check_wording import what_to_do
from pipeline.writing.history_words import event_lines
from pipeline.writing.written_files import written_hashes

_NOT_PLAIN = re.compile(r"[^A-Za-z0-9]+")
_LACKING = {
    Kind.CHANGED: "Some originals have changed since they were taken in: put them back as they were, from the card, "
    "the phone or an earlier bag.",
    Kind.MISSING: "Some originals are gone from where they were: if they were only moved or renamed, run the book.",
    Kind.AWAY: "Some originals are not here: plug their drive in.",
}
"""What is said of originals that no bag can be made with, and what to do."""


class NotSealed(RunFault):
    """The book fails its check, so it was not sealed."""

    exit_code = ExitCode.CHECK_FAILED

    def __init__(self, text: str, differences: Sequence[Difference]) -> None:
        super().__init__(text)
        self.differences = tuple(differences)


@dataclass(frozen=True)
class Sealed:
    """A bag and its seal. ``already`` says that nothing was new, so that no bag was written.

    ``lacking`` are originals that it does not hold, ``doubts`` signatures that are not good, which no run can mend,
    ``not_on_windows`` paths that Windows cannot hold with why, ``carried`` how many files stay in earlier bags,
    ``originals`` how many photos and recordings the book has.
    """

    bag: Path
    seal: str
    files: int
    carried: int = 0
    already: bool = False
    lacking: tuple[Difference, ...] = ()
    not_on_windows: tuple[tuple[str, str], ...] = ()
    doubts: tuple[Difference, ...] = ()
    originals: int = 0


@dataclass(frozen=True)
class SealChoices:
    """``without_missing``: seal though some originals are not here; ``plain_names``: no name that Windows refuses."""

    without_missing: bool = False
    plain_names: bool = False


def seal_book(
    book: Book, to: Path, now: datetime, choices: SealChoices = SealChoices(), meter: Meter = SILENT
) -> Sealed:
    """Pack a book as a bag in the folder ``to``; where bags of it are there already, the new one goes on from them.

    Args:
        book: an existing one, held by this run.
        to: a folder for bags, made if it is not there.
        now: the present instant.

    Raises:
        NotSealed: something in the book, or in an earlier bag, is not what was written; says what.
        WrongCommand: ``to`` cannot hold bags, or people decided something that is not on the pages yet.
        RunFault: there is no room, or a file cannot be read.
    """
    settings = book.settings()
    _may_hold_bags(book, to)
    records = _records(book)
    doubts = _doubts(book)
    _refuse_unwritten(book, settings, records)
    settled = _originals(book, records, choices, meter)
    lacking = tuple(one for each in settled if each.at is None for one in each.differences)
    earlier = _earlier(book, to)
    gathered = gather(book, settings, settled, records, plain=choices.plain_names)
    new = NewBag(group_of(book), settings_for_supporters(book), gathered, earlier, now, records)
    last = new.nothing_new()
    if last is not None:
        return Sealed(last.folder, last.seal, 0, already=True, lacking=lacking, doubts=doubts, originals=len(settled))
    if (to / new.name).exists():
        raise WrongCommand(f"{to / new.name} is there already and is no bag. Move it away, or name another folder.")
    contents = new.contents()
    meter.begin("Copying into the bag", sum(copy.size for copy in contents.copies.values()))
    seal = write_bag(to / new.name, contents, meter)
    paths = [*contents.copies, *contents.written]
    warnings = tuple(windows_warnings(paths))
    files = len(Bag(to / new.name).found.files)  # as a check counts them: those that list the others too
    return Sealed(to / new.name, seal, files, len(new.carried.files), False, lacking, warnings, doubts, len(settled))


def _may_hold_bags(book: Book, to: Path) -> None:
    if looks_like_a_bag(to):
        raise WrongCommand(f"{to} is a bag, and a bag is never changed. Name the folder that it lies in.")
    if to.exists() and not to.is_dir():
        raise WrongCommand(f"{to} is a file. Name a folder for bags.")
    if to.resolve().is_relative_to(book.folder.resolve()):
        raise WrongCommand(f"{to} is inside the book. Name a folder somewhere else, best on another drive.")
    for folder in folders_given(book):
        if to.resolve().is_relative_to(folder.resolve()):
            raise WrongCommand(
                f"{to} is among the photos and recordings in {folder}: the next run would look for some in the bag. "
                "Name a folder somewhere else, best on another drive."
            )


def _records(book: Book) -> bytes:
    try:
        records = (book.out / "records.json").read_bytes()
        media_paths(records)
    except FileNotFoundError as error:
        raise WrongCommand(f"{book.folder} has no records yet. First: {first_run(book.folder)}") from error
    except ValueError as error:
        raise NotSealed(
            f"{book.out / 'records.json'} is not what was written. First: saidseen run {to_type(book.folder)}", ()
        ) from error
    if not written_hashes(book.out):
        raise NotSealed(
            f"{book.out} has lost the list of what was written in it, so that no change in it would show. First: "
            f"saidseen run {to_type(book.folder)}",
            (),
        )
    return records


def _doubts(book: Book) -> tuple[Difference, ...]:
    """Refuse if something in the book is not what was written and can be put right; return what cannot."""
    faults = worst_first(check_written(book))
    if any(one.kind not in (*NOT_LOOKED_AT, Kind.SIGNATURE) for one in faults):
        to_do = what_to_do(str(book.folder), faults)
        raise NotSealed(" ".join((f"{book.folder} fails its check, so it was not sealed.", *to_do)), faults)
    return tuple(one for one in faults if one.kind == Kind.SIGNATURE)


def _refuse_unwritten(book: Book, settings: Settings, records: bytes) -> None:
    """Refuse to seal pages that do not hold what people decided since: a bag must say one thing."""
    vocabulary = book.vocabulary(settings)
    past = past_of(read(book.history_file).events)
    missing = unwritten(past, Records.model_validate_json(records), settings.answers, vocabulary.fingerprint)
    if missing:
        number = f"{len(missing)} {plural('act', len(missing))}"
        are = "is" if len(missing) == 1 else "are"
        told = "\n".join(event_lines(missing, vocabulary, settings.zone))
        raise WrongCommand(
            f"{book.folder} was not sealed: {number} of its history {are} not on its pages yet.\n{told}\n"
            f"Write them into the pages first: saidseen run {to_type(book.folder)}"
        )


def _originals(book: Book, records: bytes, choices: SealChoices, meter: Meter) -> list[Settled]:
    """Find every original; raises NotSealed if some are not here and the bag is not to do without them."""
    originals = originals_of(book, media_paths(records))
    if choices.without_missing:
        meter.begin("Reading the originals", bytes_to_read(originals))
    settled = list(settle_all(originals, meter, trust_times=not choices.without_missing))
    lacking = [one for each in settled if each.at is None for one in each.differences]
    if lacking and not choices.without_missing:
        kinds = {one.kind for one in lacking}
        told = " ".join(text for kind, text in _LACKING.items() if kind in kinds)
        raise NotSealed(
            f"{book.folder} was not sealed. {told} Or seal without them, which the bag will tell: --without-missing",
            lacking,
        )
    return settled


def group_of(book: Book) -> str:
    """Return what the bags of a book have in common: the name of its folder, in plain letters."""
    return _NOT_PLAIN.sub("-", book.folder.absolute().name).strip("-").lower() or "book"


def _earlier(book: Book, to: Path) -> list[Bag]:
    """Return the bags of this book in a folder, first to last; raises NotSealed if one is not what was sealed."""
    group = group_of(book)
    _clear_what_a_stopped_seal_left(to, group)
    bags = in_order(
        bag
        for bag in bags_in(to)
        if _is_named_so(bag.name, group) or (bag.ours and bag.info.get("Bag-Group-Identifier") == group)
    )
    for bag in bags:
        faults = worst_first(check_bag(bag, quick=True))
        if faults or not bag.ours:
            raise NotSealed(
                f"{bag.folder} is not as it was sealed, so nothing goes on from it. Look at: saidseen check "
                f"{to_type(bag.folder)}. Seal to another folder, or put the bag back from a sound copy.",
                faults,
            )
    return bags


def _is_named_so(name: str, group: str) -> bool:
    return re.fullmatch(rf"{group}-\d{{3,}}-\d{{4}}-\d\d-\d\d", name) is not None


def _clear_what_a_stopped_seal_left(to: Path, group: str) -> None:
    for left in sorted(to.glob(".*.part")) if to.is_dir() else []:
        if left.is_dir() and _is_named_so(left.name[1 : -len(".part")], group):
            shutil.rmtree(left)
