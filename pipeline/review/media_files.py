"""Photos and sound for the page: by their ids in the book's own list, and by nothing else."""

import re
from collections.abc import Mapping
from pathlib import Path

from starlette.responses import FileResponse, PlainTextResponse, Response

from pipeline.records import MediaRecord
from pipeline.values import Kind
from pipeline.writing.viewing_copies import needs_listening_copy, picture_copy, sound_copy

SOUNDS = (Kind.RECORDING, Kind.FILM)
"""What can be heard; words that came as captions alone cannot."""

_PLAYED = re.compile(r"(audio|video)/[a-z0-9.+-]+")


def media_answer(media: Mapping[str, MediaRecord], name: str, out: Path) -> Response:
    """Return a photo's viewing copy, or what a browser can play of a recording; in parts where those are asked for.

    Args:
        media: every piece of media of the book.
        name: the SHA-256 of one, as the address has it.
        out: the book's ``out`` folder.
    """
    one = media.get(f"sha256:{name}")
    if one is None or one.kind not in (Kind.PHOTO, *SOUNDS):
        return PlainTextResponse("The book has no such photo or recording.\n", 404)
    path, content_type = _where(one, out)
    if not path.is_file():
        return PlainTextResponse("It is not where it was. Run the book again with its folder.\n", 404)
    return FileResponse(path, media_type=content_type)


def _where(one: MediaRecord, out: Path) -> tuple[Path, str]:
    if one.kind == Kind.PHOTO:
        return out / picture_copy(one.id), "image/jpeg"
    if needs_listening_copy(one):
        return out / sound_copy(one.id), "audio/mp4"
    played = _PLAYED.fullmatch(one.content_type)
    return out.parent / one.path, one.content_type if played else "application/octet-stream"
