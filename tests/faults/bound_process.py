"""A command in a process that the permissions of files bind, also where the tests are run as root."""

import ctypes
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
_DROP_FROM_BOUNDING_SET = 24  # PR_CAPBSET_DROP, linux/prctl.h
_OVERRIDES = (1, 2)  # CAP_DAC_OVERRIDE and CAP_DAC_READ_SEARCH, linux/capability.h


def saidseen(*args: object) -> subprocess.CompletedProcess[str]:
    """Run a command as somebody whom ``chmod`` binds, and return how it ended, with what it said."""
    return subprocess.run(
        [sys.executable, "-m", "pipeline", *map(str, args)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        preexec_fn=_give_up_overrides if sys.platform == "linux" and os.geteuid() == 0 else None,
    )


def _give_up_overrides() -> None:
    libc = ctypes.CDLL(None)
    for one in _OVERRIDES:
        libc.prctl(_DROP_FROM_BOUNDING_SET, one, 0, 0, 0)
