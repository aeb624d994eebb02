"""Photos at the size at which they are printed: small, in RGB, the right way up, without any tag."""

from collections.abc import Mapping
from pathlib import Path

from pipeline.errors import ItemFault
from pipeline.records import MediaRecord
from pipeline.writing.viewing_copies import Makers, picture_copy

PRINT_PX = 640
"""The longest side: 240 dots to the inch at the widest that a photo is printed, 67 mm, and 370 in rows of three. Half
the size of a viewing copy, at which a JPEG is decoded fastest."""


def print_picture(media: MediaRecord, films: Mapping[str, MediaRecord], out: Path, makers: Makers) -> bytes:
    """Return a photo as a small JPEG: from its viewing copy, which is upright already, or else from the original.

    Args:
        media: the photo.
        films: the media of the book by id, for the film that a still is from.
        out: the book's ``out`` folder.
        makers: make the smaller copy.

    Raises:
        ItemFault: it cannot be decoded.
    """
    copy = out / picture_copy(media.id)
    if copy.is_file():
        try:
            return makers.picture(copy, PRINT_PX)
        except ItemFault:
            pass  # a copy that was damaged since; the original may be whole
    try:
        return makers.photo(media, films, out.parent, PRINT_PX)
    except OSError as error:
        raise ItemFault("The file cannot be read.") from error


def state_of(out: Path, media: str) -> int:
    """Return the size of a photo's viewing copy in bytes, -1 where there is none: what tells that it has changed."""
    copy = out / picture_copy(media)
    return copy.stat().st_size if copy.is_file() else -1
