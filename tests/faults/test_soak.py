"""Two months of weekly intake; ``measuring/soak.py`` does it for two years."""

import subprocess
import sys

from tests.test_runner import ROOT


def test_book_stays_consistent_over_months_of_weekly_intake():
    done = subprocess.run([sys.executable, "-m", "measuring.soak", "2"], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 faults." in done.stdout
