"""How a long piece of decoding tells that it gets on, so that whoever waits can tell it from one that hangs."""

from collections.abc import Callable

_told: list[Callable[[], None]] = []


def still_at_work() -> None:
    """Say that some more has been read or decoded; called often, and does nothing where nobody listens.

    Raises:
        ItemFault: whoever listens has waited long enough for so small a file.
    """
    for tell in _told:
        tell()


def tell_of_work(tell: Callable[[], None]) -> None:
    """Have ``tell`` called at each ``still_at_work`` from now on, in place of who was told before."""
    _told[:] = [tell]
