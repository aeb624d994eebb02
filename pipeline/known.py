"""What stages are made of: their tasks, and what is known when a stage begins.

A stage cuts its work into tasks. Each task is one item's: the results that it is given, a key made of all else that
its own result depends on, and a function from the given values to a frozen value. What is given is read only for a
task that is done; that it changed shows in its digest.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from types import MappingProxyType
from typing import Any

from pipeline.bench import Bench
from pipeline.dating.followed import Once, anew
from pipeline.intake.twins import tell_apart
from pipeline.results import DATE, LOOK, WHOLE_BOOK, Given, Results
from pipeline.store import fingerprint
from pipeline.values import Clock, Dated, Kind, Media, Probe, Reading, Utterance, Value


class Dates(Value):
    """When every piece of media was made, and how far each device's clock is out.

    ``only_on`` is the day (ISO 8601, UTC) on which alone this holds, "" for any.
    """

    dated: tuple[Dated, ...] = ()
    clocks: tuple[Clock, ...] = ()
    only_on: str = ""


class Still(Value):
    """A still of a film: the id of the picture, and the second in the film."""

    media: str
    at_s: float


class Stills(Value):
    """The stills of one film, in order."""

    stills: tuple[Still, ...] = ()


class RecordingRead(Value):
    """What was said in one recording: its utterances, and their readings in the same order."""

    utterances: tuple[Utterance, ...]
    readings: tuple[Reading, ...]


def _one(*given: Any) -> float:
    return 1.0


@dataclass(frozen=True)
class Task:
    """One item's work: ``make`` takes the values ``given``.

    ``size_of`` says of the same values how much of the stage's unit it is, for the progress shown. ``hears`` is the
    recording that it hears: hearing may be done on another machine, by ``hear_sound``. ``reads`` are the originals
    that it opens: what is made of one that changed meanwhile is not of its id.
    """

    item: str
    key: str
    make: Callable[..., Value]
    given: tuple[Given, ...] = ()
    size_of: Callable[..., float] = _one
    path: str = ""
    hears: Media | None = None
    reads: tuple[Media, ...] = ()


@dataclass(frozen=True)
class Known:
    """What is known so far: the files taken in (media id to its files), and each stage's results.

    ``looked_at`` are all media with what each says of itself, sorted by id, once the stage ``look`` is done;
    ``dates`` say when all was made, and ``dated`` each piece of media by its id, once ``date`` is done.
    ``once_followed`` gives the devices' clocks that an earlier run followed from the same.
    """

    files: Mapping[str, Media]
    now: datetime
    made: Mapping[str, Results[Any]] = field(default_factory=lambda: MappingProxyType({}))
    looked_at: tuple[Media, ...] = ()
    dates: Dates = field(default_factory=Dates)
    dated: Mapping[str, Dated] = field(default_factory=lambda: MappingProxyType({}))
    once_followed: Once = anew

    def media(self, *kinds: Kind) -> list[Media]:
        """Return the media of these kinds, with what each says of itself, sorted by id."""
        return [one for one in self.looked_at if one.probe.kind in kinds or not kinds]

    def stills(self) -> list[Media]:
        """Return the stills of films as pieces of media of their own, sorted by id."""
        found = []
        for film in self.media(Kind.FILM):
            stills: Stills = self.made["stills"].get(film.id, Stills())
            for one in stills.stills:
                looks = Probe(kind=Kind.PHOTO, content_type="image/jpeg", device=film.probe.device)
                found.append(
                    Media(id=one.media, files=film.files, probe=looks, still_of=film.id, still_at_s=one.at_s)
                )
        return sorted(found, key=lambda media: media.id)

    def media_digest(self) -> str:
        """Return one digest of all media: their files, and what each says of itself."""
        files = [
            (one.id, one.held, [(file.path, file.size, file.modified_ns) for file in one.files])
            for one in self.looked_at
        ]
        return fingerprint(files, self.made[LOOK].digest)

    def with_made(self, stage: str, results: Results[Any]) -> "Known":
        """Return the same with one more stage's results."""
        known = replace(self, made=MappingProxyType({**self.made, stage: results}))
        if stage == LOOK:  # what every later stage asks for is read once
            return replace(known, looked_at=self._told_apart(results))
        if stage == DATE and WHOLE_BOOK in results:
            dates: Dates = results[WHOLE_BOOK]
            return replace(known, dates=dates, dated={one.media: one for one in dates.dated})
        return known

    def _told_apart(self, probes: Results[Probe]) -> tuple[Media, ...]:
        """Return the media with what each says of itself, sorted by id."""
        told = sorted(tell_apart(dict(probes.each())).items())
        return tuple(replace(self.files[item], probe=probe) for item, probe in told)


@dataclass(frozen=True)
class Stage:
    """One step of the job.

    ``version`` is raised when the step would make something else of the same inputs. ``unit`` names what the tasks'
    sizes count. A stage with ``threads`` may do several tasks at once; one with ``processes`` shares them out over
    processes when there is much to do, because Python does no two of them at once in one. ``made_from`` tells all
    that items, keys and given results of its tasks come from: a stage that has it, and of which nothing of it has
    changed, stands as a whole, and no task of it is looked at.
    """

    name: str
    version: int
    doing: str
    unit: str
    gives: type[Value]
    tasks: Callable[[Known, Bench], Iterable[Task]]
    threads: bool = False
    processes: bool = False
    made_from: Callable[[Known, Bench], Sequence[object]] | None = None
