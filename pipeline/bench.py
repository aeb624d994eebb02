"""The engines that stages work with, each imported and made when it is first needed.

A run with one new photo hears and reads nothing: importing what does would be a good part of its work.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from threading import Lock
from typing import TYPE_CHECKING

from numpy import float32
from numpy.typing import NDArray

from pipeline.digests import digest_of, sha256_of
from pipeline.executors import Recipe, worked_with
from pipeline.given_back import give_back
from pipeline.hearing.device import Device
from pipeline.hearing.models import find_model
from pipeline.history.team import ways_called
from pipeline.reading.vocabulary import Vocabulary
from pipeline.settings import Settings
from pipeline.shipped import shipped
from pipeline.values import Heard, ModelFolder

if TYPE_CHECKING:
    from pipeline.hearing.leaning import Leaning
    from pipeline.hearing.recogniser import Recogniser
    from pipeline.hearing.repair import Repairer
    from pipeline.reading.note_reader import NoteReader


class Bench:
    """What one run works with: the book's settings and vocabulary, and the engines made from them.

    Args:
        settings: of the book.
        vocabulary: base, type pack and the book's own.
        model: a model's name or folder; the book's own choice if it is "".
        jobs: recordings heard at the same time.
        device: where they are heard.
    """

    def __init__(
        self,
        settings: Settings,
        vocabulary: Vocabulary,
        model: str = "",
        jobs: int = 1,
        device: Device = Device.AUTO,
    ) -> None:
        self.settings = settings
        self.vocabulary = vocabulary
        self.jobs = jobs
        self.device = device
        self._model_name = model or settings.hearing.model
        self._lock = Lock()

    def __reduce__(self) -> tuple[Callable[[], Bench], tuple[()]]:
        """Cross into another process as that process's own bench: engines don't travel."""
        return worked_with, ()

    def in_another_process(self) -> Recipe:
        """Return what makes this bench's equal in another process."""
        return type(self), (self.settings, self.vocabulary, self._model_name, self.jobs, self.device)

    @cached_property
    def model(self) -> ModelFolder:
        """The recogniser's model; raises RunFault if it is not to be had."""
        return find_model(self._model_name)

    @cached_property
    def _recogniser(self) -> Recogniser:
        from pipeline.hearing.recogniser import Recogniser

        return Recogniser(self.model, self.jobs, self.device)

    @cached_property
    def _leaning(self) -> Leaning:
        from pipeline.hearing.corrected import leaning_of

        return leaning_of(self.vocabulary, self.settings.names_said)

    @cached_property
    def team(self) -> tuple[tuple[str, ...], ...]:
        """What each person of the book's team may be called."""
        return tuple(map(ways_called, self.settings.people))

    @cached_property
    def repairer(self) -> Repairer:
        """The sound-alike repair over this vocabulary and team."""
        from pipeline.hearing.corrected import repairer_of

        return repairer_of(self.vocabulary, self.team)

    @cached_property
    def reader(self) -> NoteReader:
        """The fact reader over this vocabulary."""
        from pipeline.reading.note_reader import reader_of

        return reader_of(self.vocabulary)

    @cached_property
    def learnt(self) -> str:
        """The SHA-256 of what was learnt from marked notes, by which the reader reads too."""
        return digest_of(sha256_of(path) for path in sorted(shipped("learnt").iterdir()) if path.suffix != ".md")

    def put_away(self) -> None:
        """Let go of the engines, which take hundreds of megabytes; one that is asked for again is made again."""
        for engine in ("_recogniser", "_leaning", "repairer", "reader"):
            self.__dict__.pop(engine, None)
        give_back()

    def hear(self, samples: NDArray[float32]) -> Heard:
        """Hear one recording; may be called from several threads."""
        from pipeline.hearing.hear import hear

        with self._lock:
            recogniser, leaning = self._recogniser, self._leaning
        return hear(recogniser, samples, leaning)
