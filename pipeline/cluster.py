"""Recordings heard by the workers of a Dask scheduler that a user named.

The only connection that is opened is the one to that scheduler. Workers find a recording in a folder that they share,
or are sent its content. A worker that dies is Dask's to replace: it gives what was in its hands to others. The book
stays here: results come back as from any other executor.
"""

import logging
import platform
import uuid
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import CancelledError, Future
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from threading import Semaphore
from typing import Any

from distributed import Client, KilledWorker, Variable

from pipeline.bench import Bench
from pipeline.cluster_worker import (
    KILLED,
    Order,
    Placed,
    Wanted,
    difference,
    fault_here,
    hear_order,
    keep_piece,
    makings,
    program,
)
from pipeline.errors import ItemFault, RunFault, WrongCommand
from pipeline.executors import TRIES, Threads
from pipeline.known import Task
from pipeline.values import Media

REACHED_WITHIN_S = 10
PIECE_BYTES = 4 << 20
# So many recordings are sent at a time: each has one piece under way, here and in the scheduler's memory.
SENT_AT_ONCE = 4
# For each worker process one recording that it hears, and one to begin with next.
IN_HAND = 2
# After so long without an answer the workers are asked whether anybody is at work: twice nobody, and it is lost.
LOOKED_AFTER_EVERY_S = 20.0
_CHANGED = "It is not what was taken in any more, or was damaged on its way to the cluster. Run again."


@contextmanager
def connected(address: str, bench: Bench, book: Path) -> Iterator["Cluster"]:
    """Open a connection to a scheduler, see that all its workers are the equals of this machine, and close it again.

    Args:
        address: as Dask writes it: "tcp://192.0.2.7:8786", or "tls://…".
        bench: the run's; workers get one like it.
        book: the book's folder: what a run of the same book left behind when it was killed is cleared away.

    Raises:
        WrongCommand: nothing answers at the address, it has no workers, or one of them cannot hear as this one does.
    """
    for name in ("distributed", "distributed.client"):  # what is to be told is told here, in a line
        logging.getLogger(name).setLevel(logging.CRITICAL)
    try:
        client = Client(address, timeout=REACHED_WITHIN_S, direct_to_workers=False, set_as_default=False)
    except (OSError, ValueError, TypeError) as error:
        raise WrongCommand(
            f"No Dask scheduler answers at {address} within {REACHED_WITHIN_S} s. Check the address, that "
            "'dask scheduler' runs there, and that nothing on the network is in the way."
        ) from error
    with client:
        _refuse_others(client, address)
        name = f"saidseen {platform.node()} {book.absolute()}"
        run = uuid.uuid4().hex
        client.register_plugin(Placed(name, run, bench.in_another_process(), makings(), bench.model.sha256))
        try:
            _raise_first(client.run(fault_here, run, on_error="return"))
            cluster = Cluster(client, address, run)
            try:
                yield cluster
            finally:
                cluster.end()
        finally:
            with suppress(Exception):  # the scheduler may be gone, and why the run stops has been told
                client.unregister_worker_plugin(name)


def _refuse_others(client: Client, address: str) -> None:
    """Raise WrongCommand unless the scheduler and each worker have this program, and all that it hears with."""
    versions = client.get_versions()
    if not versions["workers"]:
        raise WrongCommand(f"The scheduler at {address} has no workers. Start some there: dask worker {address}")
    speaks = {f"scheduler {address}": versions["scheduler"], **versions["workers"]}
    here = _speaks(versions["client"])
    _raise_first({place: difference(place, here, _speaks(found)) for place, found in speaks.items()})
    mine = makings()
    theirs = client.run(makings, on_error="return")
    _raise_first({place: found if isinstance(found, Exception) else difference(place, mine, found)
                  for place, found in theirs.items()})  # fmt: skip
    scheduler = f"scheduler {address}"
    try:
        found = client.run_on_scheduler(program)
    except Exception as error:  # whatever keeps it from answering
        _raise_first({scheduler: error})
    else:
        _raise_first({scheduler: difference(scheduler, {"saidseen": program()}, {"saidseen": found})})


def _raise_first(faults: Mapping[str, str | Exception]) -> None:
    """Raise WrongCommand for the first place that has a fault or could not answer; "" is no fault."""
    for place, fault in faults.items():
        if isinstance(fault, Exception):
            raise WrongCommand(
                f"saidseen is not installed at {place}, or does not work there ({fault}). "
                "Install it there, in the same version as here."
            )
        if fault:
            raise WrongCommand(fault)


def _speaks(versions: Any) -> dict[str, str]:
    python = versions["host"]["python"].split(".")
    return {"Python": ".".join(python[:2]), "distributed": str(versions["packages"]["distributed"])}


class _LostError(Exception):
    """An answer that will not come."""


@dataclass(frozen=True)
class _Sent:
    task: Task
    make: Callable[[], Any]


class Cluster:
    """Does the tasks of hearing on the workers of a cluster; other tasks it does here.

    Made by ``connected``.
    """

    def __init__(self, client: Client, address: str, run: str) -> None:
        self._client, self._address, self._run = client, address, run
        self._pool = client.get_executor(pure=False)
        self._in_hand = IN_HAND * len(client.nthreads())
        self._sending = Semaphore(SENT_AT_ONCE)

    def results(self, tasks: Iterable[Task]) -> Iterator[tuple[Task, Any]]:
        """Yield each task with its result, as they come. A recording that ends two workers gives an ItemFault."""
        sent = (
            _Sent(task, partial(self._hear, task.hears) if task.hears else task.make) for task in tasks
        )  # a thread here waits for each recording that is in hand
        yield from ((one.task, result) for one, result in Threads(self._in_hand).results(sent))

    def end(self) -> None:
        """Take back what is in hand."""
        self._pool.shutdown(wait=False)

    def _hear(self, media: Media) -> Any:
        try:
            answer = self._answer(Order(self._run, media.id, media.path, media.probe.content_type))
        except (CancelledError, RuntimeError, OSError) as error:
            raise RunFault(
                f"The scheduler at {self._address} does not answer any more. Start it and its workers again, and run "
                "again: what was heard so far is kept."
            ) from error
        if isinstance(answer, Exception):
            raise answer
        return answer

    def _answer(self, order: Order) -> Any:
        """Return what a worker makes of an order, or the exception that this raised there."""
        tries = Variable(order.tries, self._client)
        tries.set(0)
        sent_to: list[str] = []
        try:
            while True:
                where = {"workers": sent_to, "allow_other_workers": True} if sent_to else {}
                try:
                    answer = self._waited_for(self._pool.submit(hear_order, order, **where))
                except KilledWorker:
                    # Dask gives up also on what only waited at workers that died: count for ourselves.
                    if tries.get() >= TRIES:
                        return ItemFault(KILLED, passing=True)
                    continue
                except _LostError:
                    continue
                if not isinstance(answer, Wanted):
                    return answer
                if answer.worker in sent_to:
                    return ItemFault(_CHANGED, passing=True)
                if self._send(order, answer.worker):
                    sent_to.append(answer.worker)
        finally:
            tries.delete()

    def _waited_for(self, asked: "Future[Any]") -> Any:
        """Return the answer; raise _LostError where none will come: Dask may forget it with a worker that died."""
        idle = False
        while True:
            try:
                return asked.result(timeout=LOOKED_AFTER_EVERY_S)
            except TimeoutError:
                if asked.done():  # it is the answer
                    raise
            was_idle, idle = idle, self._is_idle()
            if was_idle and idle:
                raise _LostError

    def _is_idle(self) -> bool:
        """Tell whether there are workers, and none of them has anything to do."""
        at_work = self._client.processing()
        return bool(at_work) and not any(at_work.values())

    def _send(self, order: Order, worker: str) -> bool:
        """Send a recording's content to a worker; say whether it is there now, or the worker is gone."""
        with self._sending:
            for at, piece in _pieces(Path(order.path)):
                kept = self._client.run(keep_piece, order, at, piece, workers=[worker], on_error="return")[worker]
                if isinstance(kept, Exception):
                    return False
                if kept:
                    raise ItemFault(f"It could not be sent to {worker} ({kept}). Make room there.", passing=True)
        return True


def _pieces(path: Path) -> Iterator[tuple[int, bytes]]:
    try:
        with path.open("rb") as file:
            while piece := file.read(PIECE_BYTES):
                yield file.tell() - len(piece), piece
    except OSError as error:
        raise ItemFault(f"It cannot be read ({error.strerror}). Check that you may open it.", passing=True) from error
