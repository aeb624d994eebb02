"""What happens on the other machines: a worker of a Dask cluster is set up for a run, is sent files, and hears them.

A worker process hears one recording at a time, with as many threads as Dask gave it, and loads one model for each run
that it works for. It believes no path: a file is heard only if its content has the hash that was asked for.
"""

import platform
import shutil
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from importlib.metadata import version
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any

from distributed import Variable, Worker, WorkerPlugin

import pipeline
from pipeline.errors import ItemFault, RunFault
from pipeline.executors import TRIES, Recipe, attempt_afar

if (
    TYPE_CHECKING
):  # the engines take seconds to import, and the scheduler, which imports this too, has no use for them
    from pipeline.bench import Bench

KILLED = (
    "Two workers of the cluster ended while they heard it, most often because memory ran out. Give the workers more "
    "memory, or run again without --cluster. If it is set aside again, leave it out, or cut it into shorter ones."
)
_HEARD_WITH = ("faster-whisper", "ctranslate2", "onnxruntime", "av")
_places: dict[str, "_Place"] = {}
_one_at_a_time = Lock()


@dataclass(frozen=True)
class Order:
    """All that travels for one recording: for which run, the content's id, where it may lie, and what it is."""

    run: str
    media: str
    path: str
    content_type: str

    @property
    def tries(self) -> str:
        """The name under which the scheduler keeps how often hearing it was begun."""
        return f"{self.run} {self.media}"


@dataclass(frozen=True)
class Wanted:
    """Says that the content does not lie where this worker looked, and is to be sent to it."""

    worker: str


@dataclass(frozen=True)
class _Place:
    """What a worker process has for one run; ``fault`` says why it is not fit for it, and is "" where it is."""

    worker: str
    folder: Path
    bench: "Bench | None" = None
    fault: str = ""

    def received(self, media: str) -> Path:
        return self.folder / media.removeprefix("sha256:")


class Placed(WorkerPlugin):  # type: ignore[misc]  # the library is not typed throughout
    """Sets up each worker for a run, those that come later too.

    Args:
        name: of the book: the next run of it replaces what a killed one left behind.
        run: the run's name, and no other's.
        recipe: makes the run's bench.
        makings: what results depend on, as ``makings`` gives it where the run is.
        model_sha256: of the run's model.
    """

    def __init__(self, name: str, run: str, recipe: Recipe, makings: Mapping[str, str], model_sha256: str) -> None:
        self.name, self._run = name, run
        self._recipe, self._makings, self._model_sha256 = recipe, dict(makings), model_sha256

    def setup(self, worker: Worker) -> None:
        """Make this run's bench, unless something here is not as it is where the run is."""
        folder = Path(worker.local_directory) / self._run
        folder.mkdir(parents=True, exist_ok=True)
        fault = difference(worker.address, self._makings, makings())
        bench = None
        if not fault:
            make, arguments = self._recipe
            bench = make(*arguments)
            bench.jobs = worker.state.nthreads
            fault = self._model_fault(worker.address, bench)
        _places[self._run] = _Place(worker.address, folder, bench, fault)

    def _model_fault(self, worker: str, bench: "Bench") -> str:
        try:
            found = bench.model.sha256
        except RunFault as fault:
            return f"The worker {worker}: {fault}"
        return difference(worker, {"speech model": self._model_sha256[:12]}, {"speech model": found[:12]})

    def teardown(self, worker: Worker) -> None:
        """Forget the run, and delete what was sent for it."""
        place = _places.pop(self._run, None)
        if place:
            shutil.rmtree(place.folder, ignore_errors=True)


def program() -> str:
    """Return this program's version."""
    return pipeline.__version__


def makings() -> dict[str, str]:
    """Return what the result of hearing depends on here, but for the model: names in words, and versions."""
    from pipeline.stages import STAGES

    (hear,) = (stage for stage in STAGES if stage.name == "hear")
    return {
        "saidseen": f"{pipeline.__version__}, hearing {hear.version}",
        "Python": ".".join(platform.python_version_tuple()[:2]),
        **{name: version(name) for name in _HEARD_WITH},
    }


def difference(worker: str, wanted: Mapping[str, str], found: Mapping[str, str]) -> str:
    """Say in a line what is not the same at a worker or the scheduler; "" if all is."""
    for name, this in wanted.items():
        if found.get(name) != this:
            return (
                f"{worker} has another {name}: {found.get(name)} there, {this} here. Put the same on both machines."
            )
    return ""


def fault_here(run: str) -> str:
    """Say why this worker is not fit for a run; "" if it is."""
    return _places[run].fault


def keep_piece(order: Order, at: int, piece: bytes) -> str:
    """Keep a piece of a recording's content that was sent here; ``at`` is its first byte's position.

    Returns:
        Why it could not be kept; "" if it is.
    """
    file = _places[order.run].received(order.media)
    try:
        with file.open("r+b" if at else "wb") as out:
            out.seek(at)
            out.write(piece)
    except OSError as error:
        with suppress(OSError):
            file.unlink(missing_ok=True)
        return error.strerror or str(error)
    return ""


def hear_order(order: Order) -> Any:
    """Hear a recording on this worker.

    Returns:
        What was heard; ``Wanted`` if its content is not here; or the exception that hearing it raised.
    """
    return attempt_afar(partial(_heard, order))


def _heard(order: Order) -> Any:
    from pipeline.stages import hear_sound

    place = _places[order.run]
    if place.fault or place.bench is None:
        raise RunFault(place.fault)
    received = place.received(order.media)
    path = next((one for one in (Path(order.path), received) if _holds(one, order.media)), None)
    if path is None:
        received.unlink(missing_ok=True)
        return Wanted(place.worker)
    try:
        with _one_at_a_time:
            _count_try(order)
            return hear_sound(path, order.content_type, place.bench)
    finally:
        received.unlink(missing_ok=True)


def _holds(path: Path, media: str) -> bool:
    from pipeline.intake.walk import hash_file

    try:
        return path.is_file() and hash_file(path) == media
    except (ItemFault, OSError):
        return False


def _count_try(order: Order) -> None:
    """Count on the scheduler, which outlives the worker, that hearing it begins once more."""
    tries = Variable(order.tries)
    begun = tries.get()
    if begun >= TRIES:
        raise ItemFault(KILLED, passing=True)
    tries.set(begun + 1)
