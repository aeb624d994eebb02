"""Two months of weekly intake; ``measuring/soak.py`` does it for two years."""

import sys

import pytest

from measuring import soak


def test_book_stays_consistent_over_months_of_weekly_intake(monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["soak", "2"])
    with pytest.raises(SystemExit) as ended:
        soak.main()
    told = capsys.readouterr().out
    assert ended.value.code == 0, told
    assert "0 faults." in told
