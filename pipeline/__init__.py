"""saidseen: dated photos and spoken notes into a logbook, rebuild lists and a report for supporters, offline."""

import os

# The sums here are small: shared out over threads they take several times as long. To be said before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

__version__ = "0.1.0"
