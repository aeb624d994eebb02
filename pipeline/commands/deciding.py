"""The commands by which a person decides, and looks back: decide, amend, cut, sign, history, trace, review."""

import webbrowser
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from pipeline.book import Book
from pipeline.commands.opened import records_of
from pipeline.commands.typed import Argument, BookFolder, Option, day_option, file_option, now, say
from pipeline.english import listed, plural
from pipeline.errors import ExitCode
from pipeline.mistyped import to_type

if TYPE_CHECKING:
    from pipeline.history_commands import AtWork

EntryId = Annotated[str, Argument(metavar="ENTRY", help="An entry's id, or how it begins.", show_default=False)]
Who = Annotated[str, Option("--who", metavar="NAME", help="Your name or nickname, as book.toml has it.")]
Why = Annotated[str, Option("--why", metavar="TEXT", help="The reason; it stays in the history.")]


def decide(
    book: BookFolder,
    entry: Annotated[
        str, Argument(metavar="ENTRY", help="An entry's id, or how it begins; to reject, also a recording's file.")
    ],
    who: Who,
    accept: Annotated[bool, Option("--accept", help="It is right as it stands.")] = False,
    reject: Annotated[bool, Option("--reject", help="It was read wrong: it counts in no list.")] = False,
    back: Annotated[
        int | None,
        Option("--withdraw", metavar="N", help="Take back your act of this number: saidseen history tells it."),
    ] = None,
    why: Why = "",
    version: Annotated[str, Option(help="The version that you saw.", show_default="that of the pages")] = "",
) -> ExitCode:
    """Accept or reject an entry, or take back what you decided; nothing is ever overwritten."""
    from pipeline.history_commands import decided

    by = _at_work(book, who, why)
    return _noted(book, *decided(by, entry, accept=accept, reject=reject, back=back, version=version))


def amend(
    book: BookFolder,
    entry: EntryId,
    who: Who,
    why: Why,
    facts_file: Annotated[
        Path | None, Option("--facts", metavar="FILE.json", help="All its facts, as in records.json.")
    ] = None,
    words: Annotated[
        list[str] | None,
        Option(metavar="UTTERANCE=TEXT", help="What is to be read there; may be given again. Facts stay."),
    ] = None,
    photo: Annotated[
        list[str] | None, Option(metavar="NAME", help="A photo of it, by its file's name or id; give all that are.")
    ] = None,
    no_photos: Annotated[bool, Option("--no-photos", help="No photo belongs to it.")] = False,
    read_again: Annotated[
        bool, Option("--read-again", help="Its facts as they are read from the words put right.")
    ] = False,
    as_read: Annotated[
        bool, Option("--as-read", help="All of it as the program reads it by now, its words as it heard them.")
    ] = False,
) -> ExitCode:
    """Put an entry's facts, words or photos right; what it said before stays in the history."""
    from pipeline.history_commands import amended

    done = amended(
        _at_work(book, who, why),
        entry,
        facts_file=facts_file,
        words=words or (),
        photos=() if no_photos else photo or None,
        as_read=as_read,
        from_words=read_again,
    )
    for line in done.told:
        say(line)
    return _noted(book, done.number)


def cut(
    book: BookFolder,
    entry: EntryId,
    who: Who,
    why: Why,
    before: Annotated[str, Option(metavar="UTTERANCE", help="What begins with this becomes an entry.")] = "",
    join: Annotated[str, Option(metavar="ENTRY", help="The neighbour to make one entry with.")] = "",
) -> ExitCode:
    """Split an entry before one of its utterances, or join it with its neighbour in the recording."""
    from pipeline.history_commands import cut_anew

    return _noted(book, cut_anew(_at_work(book, who, why), entry, before=before, join=join))


def sign(
    book: BookFolder,
    entries: Annotated[list[str] | None, Argument(metavar="ENTRY", help="Ids, or how they begin.")] = None,
    who: Who = "",
    reason: Annotated[str, Option("--for", metavar="TEXT", help="For what: one of your may_sign.")] = "",
    key: Annotated[Path | None, Option(metavar="FILE", help="Your key.", show_default="a typed name")] = None,
    new_key: Annotated[Path | None, Option("--new-key", metavar="FILE", help="Make a key, and stop.")] = None,
) -> ExitCode:
    """Put your name to entries as they stand, for what book.toml lists: it certifies and releases nothing."""
    from pipeline.history.signing import new_key as make_key
    from pipeline.history_commands import signed

    made = Book(book)
    made.settings()
    if new_key is not None:
        print(f'key = "{make_key(new_key)}"')
        say(f"Put this line under your name in {made.settings_file}. Keep {new_key}: whoever has it can sign as you.")
        return ExitCode.DONE
    numbers = signed(_at_work(book, who), entries or [], reason, key)
    how = "with your key" if key else "as a typed name, which proves no more than that somebody typed it"
    say(f"Signed {how}. It stands for “{reason}” and no more: it is no release to service.")
    return _noted(book, *numbers)


def history(
    book: BookFolder,
    entry: Annotated[str, Option("--entry", metavar="ID", help="Of this entry alone.")] = "",
    on: Annotated[datetime | None, day_option("--on", "The entries as they stood at the end of that day.")] = None,
    first_made: Annotated[bool, Option("--first-made", help="The entries as they were first made.")] = False,
) -> ExitCode:
    """Tell what happened to the book or one entry, or how the entries stood on a day or when they were first made."""
    from pipeline.history_commands import told

    made = Book(book)
    lines, breaks = told(made, entry, on.date() if on else None, first_made)
    for line in lines:
        print(line)
    if on and not lines:
        had = f"no entry {entry}" if entry else "no entry yet"
        say(f"By {on.date()} the book had {had}: the history tells when each was taken in and read.")
    for one in breaks:
        say(f"{made.history_file}, {one.where}: {one.what}")
    return ExitCode.CHECK_FAILED if any(not one.torn for one in breaks) else ExitCode.DONE


def trace(
    book: BookFolder,
    entry: EntryId,
    page: Annotated[Path | None, file_option("--page", ".html", "Write it as a page.")] = None,
) -> ExitCode:
    """Follow an entry back: from what is printed to its words, its second of sound, its photos and their hashes."""
    from pipeline.history_commands import traced

    made = Book(book)
    made.settings()
    for line in traced(made, records_of(made), entry, page):
        print(line)
    return ExitCode.DONE


def review(
    book: BookFolder,
    port: Annotated[int, Option(min=0, max=65535, help="On which port.", show_default="any free one")] = 0,
    no_browser: Annotated[bool, Option("--no-browser", help="Print the address, and open nothing.")] = False,
    who: Annotated[str, Option("--who", metavar="NAME", help="Who is checking.", show_default="asked")] = "",
) -> ExitCode:
    """Check the record on a page: hear, look, put right, accept, reject. On this machine alone; Ctrl-C ends it."""
    from pipeline.review.open_book import OpenBook
    from pipeline.review.review_command import serve

    def ready(address: str) -> None:
        print(address, flush=True)
        if not no_browser:
            webbrowser.open(address)

    made = Book(book)
    made.settings()  # a folder that is no book is told of as one, not as a book without records
    opened = OpenBook(made, now)
    serve(opened, port, who, ready)
    left = f" To write {opened.unwritten} acts into the pages: saidseen run {to_type(book)}"
    say(f"The page is closed.{left if opened.unwritten else ''}")
    return ExitCode.DONE


def _at_work(folder: Path, who: str, why: str = "") -> "AtWork":
    from pipeline.history.team import person_called
    from pipeline.history_commands import AtWork

    book = Book(folder)
    people = book.settings().people  # a folder that is no book is told of as one, not as a book without records
    records = records_of(book)
    return AtWork(book, records, person_called(people, who).name if who else "", now(), why)


def _noted(book: Path, *numbers: int) -> ExitCode:
    from pipeline.history.chain import read
    from pipeline.history.clock import set_back

    print(f"Noted in the history as {plural('number', len(numbers))} {listed([str(one) for one in numbers])}.")
    if back := set_back(read(Book(book).history_file).events, now()):
        say(back)
    say(f"To bring the pages and lists up to date: saidseen run {to_type(book)}")
    return ExitCode.DONE
