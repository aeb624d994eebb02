"""Whether this machine's clock can be right: the history knows how late it has been."""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from pipeline.history.events import Event

_PUT_RIGHT_S = 300
"""Clocks that set themselves over a network are put back by less."""


def no_earlier_than(events: Iterable[Event], now: datetime) -> datetime:
    """Return the present, or the latest instant in the history where the clock says less: so late it is at least."""
    return max((now, *(event.at for event in events)))


def set_back(events: Iterable[Event], now: datetime) -> str:
    """Return what to tell of a clock that says less than the history has seen, "" where it does not."""
    latest = no_earlier_than(events, now)
    if latest - now <= timedelta(seconds=_PUT_RIGHT_S):
        return ""
    return (
        f"The clock of this machine says {_shown(now)}, and the book's history goes on to {_shown(latest)}: one of "
        "them was set wrong. Set the clock right. Nothing is lost: dates of photos are judged by the later of the "
        "two, and whatever is noted now carries what the clock says."
    )


def _shown(at: datetime) -> str:
    return f"{at.astimezone(UTC):%Y-%m-%d %H:%M} UTC"
