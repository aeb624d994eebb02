"""Recordings and the caption files of the same name that lie beside them."""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import PurePath

from pipeline.values import Kind, Media


def recordings_beside(media: Sequence[Media]) -> dict[str, str]:
    """Return, by the id of each caption file that lies beside a recording or film of its name, that one's id."""
    return _beside(_captions(media), _recordings(media))


def captions_beside(media: Sequence[Media]) -> dict[str, str]:
    """Return, by the id of each recording or film that a caption file of its name lies beside, that one's id."""
    return _beside(_recordings(media), _captions(media))


def _captions(media: Iterable[Media]) -> list[Media]:
    return [one for one in media if one.probe.kind is Kind.CAPTIONS]


def _recordings(media: Iterable[Media]) -> list[Media]:
    return [one for one in media if one.probe.kind in (Kind.RECORDING, Kind.FILM)]


def _beside(some: Iterable[Media], others: Iterable[Media]) -> dict[str, str]:
    """Return each of some with the other that has its name in the same folder; of several, the last."""
    by_name = {name: one.id for one in others for name in _names(one)}
    found: dict[str, str] = {}
    for one in some if by_name else ():
        other = next((by_name[name] for name in _names(one) if name in by_name), None)
        if other is not None:
            found[one.id] = other
    return found


def _names(media: Media) -> Iterator[PurePath]:
    """Yield each place where it lies, without the ending."""
    return (PurePath(file.path).with_suffix("") for file in media.files)
