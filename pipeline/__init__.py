"""saidseen: dated photos and spoken notes into a logbook, rebuild lists and a report for supporters, offline."""

import ctypes
import os
import sys
from contextlib import suppress

# The sums here are small: shared out over threads they take several times as long. To be said before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

if sys.platform == "linux":
    # Two heaps for all threads: with one each, a fifth more stands empty while speech is heard. Source: mallopt(3).
    _M_ARENA_MAX = -8
    with suppress(AttributeError, OSError):  # another C library than GNU's
        ctypes.CDLL(None).mallopt(_M_ARENA_MAX, 2)

__version__ = "0.1.0"
