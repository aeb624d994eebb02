"""The commands on the words of the trade: vocab check, add and export."""

from pathlib import Path
from typing import Annotated

from pipeline.book import Book, shipped_vocabulary
from pipeline.commands.typed import Argument, BookFolder, Option, now, say, show
from pipeline.errors import ExitCode
from pipeline.mistyped import to_type
from pipeline.reading.vocabulary import load_vocabulary

OwnOrShipped = Annotated[
    Path | None, Argument(metavar="[BOOK]", help="The book's folder; without it, what the program comes with.")
]


def vocab_check(book: OwnOrShipped = None) -> ExitCode:
    """Tell everything that is wrong in the vocabulary, with file and line; names that sound alike are warnings."""
    from pipeline.trade.check import check_vocabulary

    checked = check_vocabulary(_vocabulary_folders(book))
    for fault in checked.faults:
        show(str(fault))
    for warning in checked.warnings:
        show(f"warning: {warning}")
    say(f"{len(checked.faults)} faults and {len(checked.warnings)} warnings in the vocabulary.")
    return ExitCode.CHECK_FAILED if checked.faults else ExitCode.DONE


def vocab_add(
    book: BookFolder,
    name: Annotated[str, Argument(metavar="NAME", help="What the logbook will call the part.")],
    broader: Annotated[str, Option(help="The part that it belongs to, by any of its names.")] = "",
    also: Annotated[list[str] | None, Option(help="Another name; may be given again.")] = None,
    gloss: Annotated[str, Option(help="What it is, in one plain sentence for supporters.")] = "",
    kind: Annotated[str, Option(help="Its kind.", show_default="the broader part's")] = "",
    zone: Annotated[str, Option(help="Where it is.", show_default="the broader part's")] = "",
    chapter: Annotated[str, Option(help="Its system chapter.", show_default="the broader part's")] = "",
    paired: Annotated[bool, Option("--paired", help="There is a port and a starboard one.")] = False,
) -> ExitCode:
    """Add a part to the book's own vocabulary; the next run reads everything again with it.

    A name of the part that it belongs to ("elevator cable" of the control cable) becomes the new part's.
    """
    from pipeline.trade.adding import NewPart, add_part

    made = Book(book)
    known = made.vocabulary(made.settings())
    new = NewPart(name, broader, tuple(also or ()), gloss, kind, zone, chapter, paired)
    with made.locked():
        file, line, notation = add_part(made.vocabulary_folder, known, new)
    show(f"Added '{notation}' to {file}, line {line}. To read everything again with it: saidseen run {to_type(book)}")
    return ExitCode.DONE


def vocab_teach(
    book: BookFolder,
    heard: Annotated[str, Argument(metavar="HEARD", help="What was heard, as it was heard.")],
    means: Annotated[str, Argument(metavar="MEANT", help="What was said.")],
    who: Annotated[str, Option("--who", metavar="NAME", help="Your name or nickname, as book.toml has it.")],
    part: Annotated[str, Option(help="The notation of the part that this is a new name of.")] = "",
    why: Annotated[str, Option("--why", metavar="TEXT", help="The reason; it stays in the history.")] = "",
    yes: Annotated[bool, Option("--yes", help="Teach it; without this, only tell what it would change.")] = False,
) -> ExitCode:
    """Tell what a word, heard wrong and put right, would change in the book, and teach it the word."""
    from pipeline.commands.opened import records_of
    from pipeline.history.seen import need_reason
    from pipeline.history.team import person_called
    from pipeline.history_commands import AtWork, taught

    made = Book(book)
    if yes:
        need_reason(why, "A lesson")  # before all that it changes is told
    by = AtWork(made, records_of(made), person_called(made.settings().people, who).name, now(), why)
    for line in taught(by, (heard, means, part), yes=yes):
        show(line)
    if yes:
        say(f"To read everything again with it: saidseen run {to_type(book)}")
    else:
        say("Nothing is changed yet. To teach it, say the same with --yes and --why TEXT.")
    return ExitCode.DONE


def vocab_export(book: OwnOrShipped = None) -> ExitCode:
    """Print the vocabulary as SKOS (Turtle): for archives and other programs."""
    from pipeline.trade.skos import to_turtle

    aircraft = Book(book).settings().aircraft.name if book else "saidseen"
    print(to_turtle(load_vocabulary(_vocabulary_folders(book)), f"{aircraft} vocabulary"), end="")
    return ExitCode.DONE


def _vocabulary_folders(book: Path | None) -> list[Path]:
    if book is None:
        return shipped_vocabulary()
    made = Book(book)
    return made.vocabulary_folders(made.settings())
