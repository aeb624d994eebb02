"""The commands for what is photographed: labels, clock."""

import webbrowser
from pathlib import Path
from typing import Annotated

from pipeline.book import Book
from pipeline.commands.typed import Argument, BookFolder, Option, file_option, now, say
from pipeline.errors import ExitCode


def labels(
    book: BookFolder,
    count: Annotated[int, Argument(metavar="N", min=1, max=1000, help="How many.", show_default=False)],
    first: Annotated[int | None, Option("--from", min=1, help="First number.", show_default="the next")] = None,
    prefix: Annotated[
        str, Option(help="One or two letters that each number begins with.", show_default="the book's, else P")
    ] = "",
    paper: Annotated[str, Option(help="a4 or letter.")] = "a4",
    to: Annotated[Path | None, file_option("--to", ".pdf", "The file to write.", "in the book's out/")] = None,
) -> ExitCode:
    """Write tag labels to print: each a number that the book has not had, with its code, for parts and bags."""
    from pipeline.cards.printing import print_labels

    made = Book(book)
    made.settings()
    with made.locked():
        done = print_labels(made, count, first=first, prefix=prefix, paper=paper, to=to)
    print(done.file)
    say(f"Labels up to {done.numbers[-1]}. Print them at full size, not fitted to the page.")
    if done.again:
        say("Some of these numbers were made before. Throw the old labels away: two parts must not share a number.")
    return ExitCode.DONE


def clock(
    port: Annotated[int, Option(min=0, max=65535, help="On which port.", show_default="any free one")] = 0,
    zone: Annotated[str, Option(help="An IANA time zone name.", show_default="this machine's")] = "",
    no_browser: Annotated[bool, Option("--no-browser", help="Print the address, and open nothing.")] = False,
) -> ExitCode:
    """Show the clock card: photograph it with every camera, and read it aloud to every recorder. Ctrl-C ends it."""
    from pipeline.cards.clock_page import ClockServer, zone_called

    with ClockServer(now, zone_called(zone), port) as server:
        print(server.address, flush=True)
        if not no_browser:
            webbrowser.open(server.address)
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            say("The clock card is closed.")
    return ExitCode.DONE
