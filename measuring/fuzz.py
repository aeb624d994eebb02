"""Fuzzes the parsers that are our own, led by what code each input reaches: ``python -m measuring.fuzz SECONDS``.

Each parser gets so many seconds in a process of its own, with atheris (``pip install -r measuring/fuzz.txt``). Prints
how many inputs were tried, how many led to code that none before them had reached, and what was found.
"""

import argparse
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from measuring.watch import machine

_SLOW_S = 10
_MOST_MB = 1000


def fuzz_one(name: str, arguments: list[str]) -> None:
    """Fuzz one parser in this process; does not return."""
    import atheris

    with atheris.instrument_imports(include=["pipeline"]):
        from tests.intake.hostile.parsers import PARSERS
    atheris.Setup([name, *arguments], PARSERS[name])
    atheris.Fuzz()


def _run(name: str, seconds: int, corpus: Path, found: Path) -> tuple[int, int, str]:
    """Return how many inputs were tried, how many were kept for new code, and what was found ("" for nothing)."""
    from tests.intake.hostile.seeds import seeds

    for number, seed in enumerate(seeds()[name]):
        (corpus / f"seed-{number}").write_bytes(seed)
    limits = [f"-max_total_time={seconds}", f"-timeout={_SLOW_S}", f"-rss_limit_mb={_MOST_MB}", "-max_len=4096"]
    command = [sys.executable, "-m", "measuring.fuzz", "--one", name]
    where = [f"-artifact_prefix={found}/", "-print_final_stats=1", "-seed=1", str(corpus)]
    done = subprocess.run([*command, *limits, *where], capture_output=True, text=True, errors="replace", check=False)
    told = done.stdout + done.stderr
    tried = re.search(r"stat::number_of_executed_units:\s*(\d+)", told)
    kept = len(list(corpus.iterdir()))
    what = "" if done.returncode == 0 else told[max(0, told.find("=== Uncaught")) :].split("INFO:")[0][:3000]
    return int(tried[1]) if tried else 0, kept, what


def main() -> int:
    """Fuzz every parser, or those named; the exit code is 1 where something was found."""
    if sys.argv[1:2] == ["--one"]:  # a process of one parser, in which nothing is imported before it is instrumented
        fuzz_one(sys.argv[2], sys.argv[3:])
    from tests.intake.hostile.parsers import PARSERS

    parser = argparse.ArgumentParser(prog="python -m measuring.fuzz", description=__doc__)
    parser.add_argument("seconds", type=int, nargs="?", default=60, help="for each parser")
    parser.add_argument("--only", nargs="*", choices=sorted(PARSERS))
    how = parser.parse_args()
    faults = 0
    print(f"{how.seconds} s for each parser; {machine()}")
    print(f"{'parser':16} {'inputs tried':>12} {'kept':>6}  found")
    for name in how.only or PARSERS:
        scratch = Path(tempfile.mkdtemp())
        corpus, found = scratch / "corpus", scratch / "found"
        corpus.mkdir()
        found.mkdir()
        tried, kept, what = _run(name, how.seconds, corpus, found)
        print(f"{name:16} {tried:12} {kept:6}  {'nothing' if not what else 'SOMETHING'}", flush=True)
        if what:
            faults += 1
            print(what)
            for input_file in found.iterdir():
                print(f"   input: {input_file.read_bytes()[:300]!r}")
        shutil.rmtree(scratch, ignore_errors=True)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
