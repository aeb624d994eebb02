"""The engines that stages work with, each made when it is first needed."""

from collections.abc import Callable
from functools import cached_property
from threading import Lock
from typing import Any

from numpy import float32
from numpy.typing import NDArray

from pipeline.hearing.corrected import leaning_of, repairer_of
from pipeline.hearing.hear import hear
from pipeline.hearing.leaning import Leaning
from pipeline.hearing.models import find_model
from pipeline.hearing.recogniser import Recogniser
from pipeline.hearing.repair import Repairer
from pipeline.reading.note_reader import NoteReader
from pipeline.reading.vocabulary import Vocabulary
from pipeline.settings import Settings
from pipeline.values import Heard, ModelFolder

_here: list["Bench"] = []


class Bench:
    """What one run works with: the book's settings and vocabulary, and the engines made from them.

    Args:
        settings: of the book.
        vocabulary: base, type pack and the book's own.
        model: a model's name or folder; the book's own choice if it is "".
        jobs: recordings heard at the same time.
    """

    def __init__(self, settings: Settings, vocabulary: Vocabulary, model: str = "", jobs: int = 1) -> None:
        self.settings = settings
        self.vocabulary = vocabulary
        self.jobs = jobs
        self._model_name = model or settings.hearing.model
        self._lock = Lock()

    def __reduce__(self) -> tuple[Callable[[], "Bench"], tuple[()]]:
        """Cross into another process as that process's own bench: engines don't travel."""
        return _bench_here, ()

    def in_another_process(self) -> tuple[Callable[..., None], tuple[Any, ...]]:
        """Return a function, with its arguments, that sets up this bench's equal in the process that calls it."""
        return _set_up, (type(self), self.settings, self.vocabulary, self._model_name, self.jobs)

    @cached_property
    def model(self) -> ModelFolder:
        """The recogniser's model; raises RunFault if it is not to be had."""
        return find_model(self._model_name)

    @cached_property
    def _recogniser(self) -> Recogniser:
        return Recogniser(self.model, self.jobs)

    @cached_property
    def _leaning(self) -> Leaning:
        return leaning_of(self.vocabulary)

    @cached_property
    def repairer(self) -> Repairer:
        """The sound-alike repair over this vocabulary."""
        return repairer_of(self.vocabulary)

    @cached_property
    def reader(self) -> NoteReader:
        """The fact reader over this vocabulary."""
        return NoteReader(self.vocabulary)

    def hear(self, samples: NDArray[float32]) -> Heard:
        """Hear one recording; may be called from several threads."""
        with self._lock:
            recogniser, leaning = self._recogniser, self._leaning
        return hear(recogniser, samples, leaning)


def _set_up(kind: type[Bench], settings: Settings, vocabulary: Vocabulary, model: str, jobs: int) -> None:
    _here[:] = [kind(settings, vocabulary, model, jobs)]


def _bench_here() -> Bench:
    return _here[0]
