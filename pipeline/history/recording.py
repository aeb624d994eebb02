"""What a run adds to the history: files that were taken in, and entries that are new, read otherwise, or gone."""

from collections.abc import Container, Iterable, Iterator

from pipeline.history.events import Act
from pipeline.history.past import Past
from pipeline.history.versions import ReadEntry, as_json, told_alike
from pipeline.records import MediaRecord


def made_since(
    past: Past,
    media: Iterable[MediaRecord],
    read: Iterable[ReadEntry],
    program: str,
    there: Container[str] = frozenset(),
) -> Iterator[Act]:
    """Yield what the history does not hold yet; nothing where a run made nothing new.

    Args:
        past: the history so far.
        media: every piece of media; stills are made from films and were not taken in.
        read: the entries to compare as the program reads them now, before any decision of a person, in order of time.
        program: name and version of the program.
        there: entries that the program reads now and that are not gone, whether they are compared or not.
    """
    yield from _taken_in(past, media, program)
    yield from _read(past, read, program, there)


def _taken_in(past: Past, media: Iterable[MediaRecord], program: str) -> Iterator[Act]:
    new = (one for one in media if one.id not in past.took_in and one.still_of is None)
    for one in sorted(new, key=lambda one: (one.taken_at, one.id)):
        after = {"path": one.path, "sha256": one.id.removeprefix("sha256:")}
        yield Act(program, "took-in", one.id, None, after)


def _read(past: Past, read: Iterable[ReadEntry], program: str, there: Container[str]) -> Iterator[Act]:
    own = set()
    for one in read:
        own.add(one.entry.id)
        before, now = past.read.get(one.entry.id), as_json(one)
        if before == now:
            continue
        last = past.read_last(one.entry.id)
        if last is None or not told_alike(last, one):
            yield Act(program, "read", one.entry.id, before, now)
    for entry in sorted(one for one in past.read if one not in own and one not in there):
        yield Act(program, "read", entry, past.read.get(entry), None)
