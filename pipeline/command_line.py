"""The commands. Results go to stdout; messages and progress go to stderr; every fault becomes its exit code here."""

import os
import sys
import traceback
from collections.abc import Callable
from functools import wraps
from typing import Annotated, ParamSpec

import pipeline
from pipeline.commands import asking, cards, deciding, lines, reporting, running, sealing, vocabulary
from pipeline.commands.typed import Commands, Exit, Option, Typer, say
from pipeline.errors import ExitCode, RunFault

app = Typer(
    name="saidseen",
    cls=Commands,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="Turns dated photos and spoken notes into a logbook, rebuild lists and a report for supporters, offline.",
    context_settings={"help_option_names": ["--help", "-h"]},
    epilog="Exit codes: 0 done; 1 a fault of the program; 2 the command was wrong; 3 done, but some files were set "
    "aside; 4 a check failed; 5 another run has the book.",
)

_P = ParamSpec("_P")


def _ends_in_exit_code(command: Callable[_P, ExitCode]) -> Callable[_P, None]:
    """Turn what a command returns or raises into the exit code: the one place that does."""

    @wraps(command)
    def wrapped(*args: _P.args, **kwargs: _P.kwargs) -> None:
        try:
            code = command(*args, **kwargs)
        except RunFault as fault:
            say(str(fault))
            code = fault.exit_code
        except KeyboardInterrupt:
            goes_on = command in (running.demo, running.run)
            say(f"Stopped.{' What was done is kept: run again to go on.' if goes_on else ''}")
            os._exit(ExitCode.PROGRAM_FAULT)  # at once: recordings in hand would go on being heard
        except BrokenPipeError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            code = ExitCode.DONE
        except Exception:
            say(traceback.format_exc())
            say("This is a fault of the program, not of your files. What was done so far is kept.")
            code = ExitCode.PROGRAM_FAULT
        raise Exit(int(code))

    return wrapped


# In the order in which --help lists them.
for _command in (
    running.demo,
    running.new,
    running.run,
    asking.find,
    asking.where,
    reporting.report,
    reporting.report_check,
    reporting.logbook,
    deciding.decide,
    deciding.amend,
    deciding.cut,
    deciding.sign,
    deciding.history,
    deciding.trace,
    asking.way_back,
    cards.labels,
    cards.clock,
    deciding.review,
    lines.facts,
    lines.correct,
    sealing.seal,
    sealing.check,
    sealing.unseal,
    lines.schema,
):
    app.command()(_ends_in_exit_code(_command))

vocab = Typer(cls=Commands, no_args_is_help=True, help="Check, add to and export the words of the trade.")
app.add_typer(vocab, name="vocab")
vocab.command("check")(_ends_in_exit_code(vocabulary.vocab_check))
vocab.command("add")(_ends_in_exit_code(vocabulary.vocab_add))
vocab.command("teach")(_ends_in_exit_code(vocabulary.vocab_teach))
vocab.command("export")(_ends_in_exit_code(vocabulary.vocab_export))


def _version(asked: bool) -> None:
    if asked:
        print(f"saidseen {pipeline.__version__}")
        raise Exit


@app.callback()
def _options(
    version: Annotated[
        bool, Option("--version", callback=_version, is_eager=True, help="Show the version and stop.")
    ] = False,
) -> None:
    pass


def main() -> None:
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    app()
