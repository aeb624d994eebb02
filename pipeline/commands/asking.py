"""The commands that ask a book: find, where, way-back."""

from typing import Annotated

from pipeline.book import Book
from pipeline.commands.opened import records_of, upgrade_if_older
from pipeline.commands.typed import Argument, BookFolder, Option, say, show
from pipeline.errors import ExitCode, WrongCommand
from pipeline.mistyped import first_run
from pipeline.search import find as find_words
from pipeline.store import Store


def find(
    book: BookFolder,
    words: Annotated[list[str], Argument(metavar="WORDS", help="What to look for: all of the words.")],
) -> ExitCode:
    """Search what was said, and the parts that are off."""
    made = Book(book)
    made.settings()
    if not made.store_file.exists():
        raise WrongCommand(f"{book} has nothing in it yet. First: {first_run(book)}")
    upgrade_if_older(made)
    with Store(made.store_file) as store:
        hits = find_words(store, words)
    for hit in hits:
        where = made.out / "logbook" / f"{hit.day}.html"
        show(f"{hit.day}  {hit.text}\n            {where}{f'#{hit.entry}' if hit.entry else ''}")
    if not hits:
        say(f"Nothing in {book} has {' and '.join(words)} in it.")
    return ExitCode.DONE


def where(
    book: BookFolder,
    words: Annotated[list[str], Argument(metavar="WORDS", help="A part, a tag, or a rack, box or bag.")],
) -> ExitCode:
    """Tell where a part is kept, and what is kept in a rack, a box or a bag."""
    from pipeline.where import where as find_where

    made = Book(book)
    settings = made.settings()
    answer = find_where(records_of(made), made.vocabulary(settings), settings.zone, words)
    for line in answer.lines:
        show(line)
    if answer.advice:
        say(answer.advice)
    return ExitCode.DONE


def way_back(
    book: BookFolder,
    item: Annotated[list[str], Argument(metavar="ITEM", help="A part, by any of its names.")],
    side: Annotated[str, Option(help="port or starboard.", show_default="both")] = "",
) -> ExitCode:
    """Tell what stands between now and a part going back on: steps, hold points, and where the parts are kept."""
    from pipeline.writing.way_back_answer import answer_text, side_called, way_back_answer

    made = Book(book)
    settings = made.settings()
    way = records_of(made).lists.way_back
    show(answer_text(way_back_answer(way, made.vocabulary(settings), " ".join(item), side_called(side))))
    return ExitCode.DONE
