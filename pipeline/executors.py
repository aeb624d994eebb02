"""Where tasks are done: in turn, in threads, or in other processes of this machine.

Whoever has tasks asks an executor for their results and takes them as they come. What a task raises is its result,
too. A process that dies takes nobody with it: what was in hand is tried again one at a time, each in a process of its
own, so that whatever kills its process is found, and is set aside after two tries.
"""

import os
import signal
import traceback
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    Executor,
    Future,
    ProcessPoolExecutor,
    ThreadPoolExecutor,
    wait,
)
from contextlib import contextmanager
from multiprocessing import get_context, parent_process
from multiprocessing.connection import wait as wait_for_end
from threading import Thread
from typing import Any, Protocol, TypeVar

from pipeline.errors import ItemFault, RunFault

TRIES = 2
KILLED = (
    "Whatever worked on it was ended twice by the machine, most often because memory ran out. Close other programs, "
    "and run again with --jobs 1. If it is set aside again, leave it out, or cut it into shorter ones."
)
_NONE_BEGINS = (
    "No other process can be begun here: each one ends at once. Close other programs, and run again with --jobs 1."
)
Recipe = tuple[Callable[..., Any], tuple[Any, ...]]
"""A function that makes, in another process, the equal of what the tasks work with here; and its arguments."""

_worked_with: list[Any] = []


class Doable(Protocol):
    """A task, as far as an executor goes: a function without arguments."""

    @property
    def make(self) -> Callable[[], Any]:
        """Return the function that gives the task's result."""


T = TypeVar("T", bound=Doable)


class Does(Protocol[T]):
    """What does tasks somewhere."""

    def results(self, tasks: Iterable[T]) -> Iterator[tuple[T, Any]]:
        """Yield each task once, with what it gave or the exception that it raised, in the order of their ends.

        No more tasks are in hand than are being worked on, and one more. Whoever stops asking ends the work.
        """


class InTurn:
    """Does one task after the other, here."""

    def results(self, tasks: Iterable[T]) -> Iterator[tuple[T, Any]]:
        """Yield each task with its result, in order."""
        return ((task, attempt(task.make)) for task in tasks)


class Threads:
    """Does several tasks at once in threads of this process."""

    def __init__(self, jobs: int) -> None:
        self._jobs = jobs

    def results(self, tasks: Iterable[T]) -> Iterator[tuple[T, Any]]:
        """Yield each task with its result, as they come."""
        with _ending(ThreadPoolExecutor(self._jobs)) as pool:
            yield from _as_done(pool, iter(tasks), self._jobs, attempt)


class Processes:
    """Does several tasks at once, each in another process of this machine."""

    def __init__(self, jobs: int, recipe: Recipe) -> None:
        """Begin nothing yet.

        Args:
            jobs: so many processes.
            recipe: makes in each of them what ``worked_with`` gives there.
        """
        self._jobs = jobs
        self._recipe = recipe

    def results(self, tasks: Iterable[T]) -> Iterator[tuple[T, Any]]:
        """Yield each task with its result, as they come; a task that kills its process twice gives an ItemFault.

        Raises:
            RunFault: no process can be begun.
        """
        waiting = iter(tasks)
        in_hand: list[T] = []
        while True:
            with _ending(self._pool(self._jobs)) as pool:
                for task, result in _as_done(pool, waiting, self._jobs, attempt_afar):
                    if isinstance(result, BrokenExecutor):
                        in_hand.append(task)
                    else:
                        yield task, result
            if not in_hand:
                return
            yield from ((task, self._alone(task)) for task in in_hand)
            in_hand.clear()

    def _alone(self, task: Doable) -> Any:
        """Do a task that was in hand when a process died, in a fresh one, where only it can be the cause."""
        with _ending(self._pool(1)) as pool:
            try:
                pool.submit(worked_with).result()
            except BrokenExecutor as fault:
                raise RunFault(_NONE_BEGINS) from fault
            try:
                return pool.submit(attempt_afar, task.make).result()
            except BrokenExecutor:
                return ItemFault(KILLED, passing=True)

    def _pool(self, jobs: int) -> Executor:
        # Begun afresh: the engines' threads in this process would not survive being copied.
        return ProcessPoolExecutor(jobs, get_context("spawn"), _set_up, self._recipe)


def worked_with() -> Any:
    """Return what this process was set up to work with."""
    return _worked_with[0]


def _set_up(make: Callable[..., Any], arguments: tuple[Any, ...]) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one that began it is interrupted too, and ends it
    Thread(target=_end_with_parent, daemon=True).start()
    _worked_with[:] = [make(*arguments)]


def _end_with_parent() -> None:
    """End this process once the one that began it is gone: killed outright, it can tell nobody to stop."""
    parent = parent_process()
    if parent is not None:
        wait_for_end([parent.sentinel])
        os._exit(1)


def attempt(make: Callable[[], Any]) -> Any:
    """Return what a function gives, or the exception that it raises."""
    try:
        return make()
    except Exception as fault:
        return fault


def attempt_afar(make: Callable[[], Any]) -> Any:
    """Do the same in another process, from which an exception travels without telling where it was raised."""
    result = attempt(make)
    if isinstance(result, Exception):
        result.add_note("".join(traceback.format_exception(result)))
    return result


@contextmanager
def _ending(pool: Executor) -> Iterator[Executor]:
    """Give a pool; whoever stops the run does not wait for an hour of sound to end."""
    try:
        yield pool
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


def _as_done(
    pool: Executor, waiting: Iterator[T], at_once: int, attempt: Callable[[Callable[[], Any]], Any]
) -> Iterator[tuple[T, Any]]:
    """Yield results as they come. Once a process has died, what is in hand comes out and no more goes in."""
    in_hand: dict[Future[Any], T] = {}
    broken = False
    while True:
        while not broken and len(in_hand) <= at_once and (task := next(waiting, None)) is not None:
            try:
                in_hand[pool.submit(attempt, task.make)] = task
            except BrokenExecutor as fault:
                broken = True
                yield task, fault
        if not in_hand:
            return
        finished, _ = wait(in_hand, return_when=FIRST_COMPLETED)
        for future in finished:
            result = future.exception() or future.result()
            broken = broken or isinstance(result, BrokenExecutor)
            yield in_hand.pop(future), result
