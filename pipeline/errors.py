"""What can go wrong, in two kinds, and the exit code that each ends in.

A fault of one item sets that item aside and the run goes on. A fault of the run stops it with one clear line.
"""

from enum import IntEnum


class ExitCode(IntEnum):
    """The exit codes of every command; promised stable."""

    DONE = 0
    PROGRAM_FAULT = 1
    WRONG_COMMAND = 2
    SOME_SET_ASIDE = 3
    CHECK_FAILED = 4
    BOOK_IN_USE = 5


def reason_of(error: OSError) -> str:
    """Return why the system refused something, in its own words: "permission denied"."""
    return (error.strerror or "unknown reason").lower()


class ItemFault(Exception):  # noqa: N818 - a fault of the item, in this project's words
    """One file cannot be used. It is set aside with ``why``, and the run goes on.

    Args:
        why: what is wrong and what to do, in words for a hangar volunteer, without the file's name
            (whoever sets it aside knows the path that the user gave).
        passing: the fault may be gone next time (a file that could not be opened), so the next run tries again.
    """

    def __init__(self, why: str, *, passing: bool = False) -> None:
        super().__init__(why)
        self.why = why
        self.passing = passing


class RunFault(Exception):  # noqa: N818
    """The run cannot go on. Its text is the one line shown: what is wrong with what, and what to do."""

    exit_code = ExitCode.PROGRAM_FAULT


class WrongCommand(RunFault):
    """The command or a setting was wrong: nothing has been done."""

    exit_code = ExitCode.WRONG_COMMAND


class BookInUse(RunFault):
    """Another run has the book."""

    exit_code = ExitCode.BOOK_IN_USE
