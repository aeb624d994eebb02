"""Python's collector of cycles, kept away from values.

Values are frozen and made from the inside out, so that none can hold itself: each goes when nobody holds it any more.
The collector would walk over a book's worth of them again and again, and find nothing.
"""

import gc
from collections.abc import Iterator
from contextlib import contextmanager

_SELDOM = 100_000  # new values: a page of a day is made from fewer


@contextmanager
def uncollected() -> Iterator[None]:
    """Look for no cycles while values are made, and leave out whatever is there by then from later looks."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        if was_on:
            gc.enable()


@contextmanager
def seldom_collected() -> Iterator[None]:
    """Look for cycles only now and then, and not in what is there already: what fills templates makes some."""
    usual = gc.get_threshold()
    gc.freeze()
    gc.set_threshold(_SELDOM, *usual[1:])
    try:
        yield
    finally:
        gc.set_threshold(*usual)
        gc.unfreeze()


@contextmanager
def collected_afterwards() -> Iterator[None]:
    """In the end, let the collector look at everything again that was left out inside."""
    try:
        yield
    finally:
        gc.unfreeze()
