"""Which entry each photo left and which it came to, as entries are read anew."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Protocol


class _Reads(Protocol):
    """An act or an event of the history."""

    @property
    def act(self) -> str: ...
    @property
    def on(self) -> str: ...
    @property
    def before(self) -> Any: ...
    @property
    def after(self) -> Any: ...


@dataclass(frozen=True)
class Placings:
    """For each photo (media id) the entry that lost it, and the one that gained it, of those that were read anew."""

    lost: dict[str, str]
    gained: dict[str, str]

    @staticmethod
    def of(reads: Iterable[_Reads]) -> "Placings":
        """Compare each entry with how it was read before; acts of people are passed over."""
        lost: dict[str, str] = {}
        gained: dict[str, str] = {}
        for one in reads:
            if one.act == "read":
                before, after = _photos(one.before), _photos(one.after)
                lost |= dict.fromkeys(sorted(before - after), one.on)
                gained |= dict.fromkeys(sorted(after - before), one.on)
        return Placings(lost, gained)


def _photos(held: dict[str, Any] | None) -> set[str]:
    return {one["media"] for one in (held or {}).get("photos", ())}
