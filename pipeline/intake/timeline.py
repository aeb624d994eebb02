"""Where decoded sound belongs in time: keeps later sound in its place when some before it was lost. No engine."""

_SHORTEST_GAP_S = 0.05  # below this, time stamps are only rounded
_MOST_SILENCE_S = 3600.0  # that is put in, beyond as much as there is sound: a header that lies would fill a day
_LONGEST_GAP_S = 60.0  # beyond this, in a recording that does not say how long it is, they are wrong


class Timeline:
    """How much silence has to go before each piece of sound so that it starts when it was recorded.

    Args:
        claimed_s: where the recording ends by its own account, None where it does not say. A time stamp beyond it
            is a fault and not a gap.
    """

    def __init__(self, claimed_s: float | None) -> None:
        self._claimed_s = claimed_s
        self._at_s = 0.0
        self._jump_s = 0.0
        self._silence_s = 0.0

    def gap_before(self, start_s: float | None, length_s: float) -> float:
        """Return the seconds of silence to put before a piece of ``length_s``, and move on past the piece.

        Time stamps that jump back, past the end, or over far more than there is sound, are taken to have been set
        anew: the piece follows on at once.
        """
        gap_s = 0.0
        if start_s is not None:
            ahead_s = start_s - self._jump_s - self._at_s
            longest_s = self._at_s + _LONGEST_GAP_S if self._claimed_s is None else self._claimed_s + 1.0
            most_s = _MOST_SILENCE_S + self._at_s - 2 * self._silence_s
            if ahead_s < -_SHORTEST_GAP_S or ahead_s > most_s or self._at_s + ahead_s > longest_s:
                self._jump_s += ahead_s
            elif ahead_s > _SHORTEST_GAP_S:
                gap_s = ahead_s
        self._at_s += gap_s + length_s
        self._silence_s += gap_s
        return gap_s

    def skip(self, length_s: float) -> float:
        """Move on past sound that is missing without the time stamps showing it; return its seconds of silence."""
        self._at_s += length_s
        self._jump_s -= length_s
        return length_s

    @property
    def at_s(self) -> float:
        """Return how long it is so far, in seconds, silence that was put in counted too."""
        return self._at_s

    @property
    def rest_s(self) -> float:
        """Return the seconds that are missing at the end, by the recording's own account."""
        return 0.0 if self._claimed_s is None else max(0.0, self._claimed_s - self._at_s)
