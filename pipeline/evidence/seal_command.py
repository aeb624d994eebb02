"""``saidseen seal`` and ``saidseen check`` as commands: what is done, and the lines that tell of it."""

import json
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pipeline
from pipeline.book import Book
from pipeline.errors import ExitCode
from pipeline.evidence.bag_reading import Bag
from pipeline.evidence.check import check
from pipeline.evidence.differences import Checked
from pipeline.evidence.hashing import Meter
from pipeline.evidence.sealing import NotSealed, SealChoices, Sealed, seal_book
from pipeline.history.chain import HistoryChanged, append, read
from pipeline.history.events import Act
from pipeline.history.team import person_called
from pipeline.mistyped import to_type
from pipeline.writing.check_wording import as_json as checked_json
from pipeline.writing.check_wording import difference_line, seal_lines, verdict, warnings
from pipeline.writing.seal_page import seal_page
from pipeline.writing.written_files import write_file

if TYPE_CHECKING:
    from pipeline.runner import Progress


@dataclass(frozen=True)
class CommandOutcome:
    """Lines for standard output, lines for messages, and how the command ends."""

    results: tuple[str, ...]
    messages: tuple[str, ...]
    exit_code: ExitCode


def seal_and_tell(
    book: Book,
    to: Path,
    now: datetime,
    *,
    who: str = "",
    without_missing: bool = False,
    plain_names: bool = False,
    progress: "Progress | None" = None,
) -> CommandOutcome:
    """Seal a book, put the page of its seal beside the bag, and note the sealing in the book's history.

    Raises:
        WrongCommand: ``who`` is nobody of the team, or ``to`` cannot hold bags.
        RunFault: as ``seal_book``.
    """
    settings = book.settings()
    if who:
        who = person_called(settings.people, who).name
    with book.locked():
        with suppress(HistoryChanged):  # what was changed is told below; what a stopped run left is mended here
            append(book.history_file, [], now)
        try:
            sealed = seal_book(book, to, now, SealChoices(without_missing, plain_names), Meter(progress))
        except NotSealed as fault:
            return CommandOutcome(tuple(map(difference_line, fault.differences)), (str(fault),), fault.exit_code)
        after = {"bag": sealed.bag.name, "seal": sealed.seal}
        if not (sealed.already and _noted(book, after)):
            by = who or f"saidseen {pipeline.__version__}"
            append(book.history_file, [Act(by, "seal", sealed.bag.name, None, after)], now)
    page = sealed.bag.with_name(f"{sealed.bag.name}-seal.html")
    bag = Bag(sealed.bag)
    text = seal_page(bag.name, sealed.seal, settings.aircraft.name, bag.info, len(bag.found.files))
    write_file(page, text.encode())
    code = ExitCode.SOME_SET_ASIDE if sealed.lacking else ExitCode.DONE
    return CommandOutcome(
        (str(sealed.bag), *seal_lines(sealed.bag.name, sealed.seal)), tuple(_messages(sealed, page)), code
    )


def _noted(book: Book, after: dict[str, str]) -> bool:
    """Tell whether the history holds a sealing: one that was killed after it made the bag did not note it."""
    return any(event.act == "seal" and event.after == after for event in read(book.history_file).events)


def _messages(sealed: Sealed, page: Path) -> list[str]:
    told = [difference_line(one) for one in (*sealed.lacking, *sealed.doubts)]
    if sealed.already:
        told.append(f"Nothing is new since {sealed.bag.name} was sealed, so no bag was added.")
    else:
        stay = f"; {sealed.carried} stay in earlier bags, which must be kept with it" if sealed.carried else ""
        told.append(f"{sealed.files} files are in the bag{stay}.")
    if not sealed.originals:
        told.append(
            "The book holds no photo and no recording yet: the bag shows its settings and pages, and no work."
        )
    told += warnings(sealed.not_on_windows)
    told.append(f"Copy the seal into a bound book, or print or send {page}: it shows whether the bag is this one.")
    told.append(f"To check it, with all bags beside it: saidseen check {to_type(sealed.bag.parent)}")
    return told


def check_and_tell(
    place: Path, expect: str = "", *, as_json: bool = False, progress: "Progress | None" = None
) -> CommandOutcome:
    """Check a book, a bag or a folder of bags, and tell every difference; raises WrongCommand."""
    checked = check(place, expect, Meter(progress))
    messages = tuple(verdict(str(place), checked, bool(expect)))
    if as_json:
        return CommandOutcome((json.dumps(checked_json(checked), indent=2),), messages, _code(checked))
    results = [difference_line(one) for one in checked.differences]
    for name, seal in checked.seals:
        results += seal_lines(name, seal) if seal else []
    return CommandOutcome(tuple(results), messages, _code(checked))


def _code(checked: Checked) -> ExitCode:
    if checked.failed:
        return ExitCode.CHECK_FAILED
    return ExitCode.SOME_SET_ASIDE if checked.differences else ExitCode.DONE
