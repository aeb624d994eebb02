"""What a check finds: every difference by path, algorithm, what was expected and what was found."""

from dataclasses import dataclass, field
from enum import StrEnum


class Kind(StrEnum):
    """What kind of difference it is."""

    CHANGED = "changed"
    MISSING = "missing"
    NOT_LISTED = "not-listed"
    WRITTEN_OTHERWISE = "written-otherwise"
    LISTED_OTHERWISE = "listed-otherwise"
    UNSAFE = "unsafe"
    AWAY = "away"
    """Not looked at: the drive or the bag that holds it is not here. Not a change."""
    NOT_KNOWN = "not-known"
    """Not looked at: what it should be was never noted. Not a change."""
    NOT_READ = "not-read"
    """Not looked at: the settings that say what to look for cannot be read. Not a change."""
    HISTORY = "history"
    SIGNATURE = "signature"
    SEAL = "seal"


NOT_LOOKED_AT = frozenset({Kind.AWAY, Kind.NOT_KNOWN, Kind.NOT_READ})


@dataclass(frozen=True)
class Difference:
    """One difference. ``path`` is from the top of the book or the bag; ``why`` is a sentence where one is needed.

    ``algorithm`` is that of the hashes in ``expected`` and ``found``, or "" where these are no hashes. ``within`` is
    the bag's name where several are checked. ``of`` is what the file is to a person, "" where that is not known.
    """

    path: str
    kind: Kind
    algorithm: str = ""
    expected: str = ""
    found: str = ""
    why: str = ""
    within: str = ""
    of: str = field(default="", compare=False)


@dataclass(frozen=True)
class Checked:
    """What was checked: differences in order, how many files were read, and the seal of the last bag ("" for none).

    ``seals`` are (bag, hash of its tagmanifest-sha256.txt), first to last.
    """

    differences: tuple[Difference, ...]
    files: int
    seals: tuple[tuple[str, str], ...] = ()

    @property
    def failed(self) -> bool:
        """Whether something has changed, as against not being here to be looked at."""
        return any(one.kind not in NOT_LOOKED_AT for one in self.differences)
