"""Copies to look at and listen to, and where links lead. Originals stay where they are and are only linked."""

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePath
from urllib.parse import quote

from pipeline.errors import ItemFault
from pipeline.intake.decoding import listening_copy, resized_jpeg, still
from pipeline.intake.sound import plays_in_browsers
from pipeline.intake.walk import refuse_if_other
from pipeline.records import MediaRecord, Records
from pipeline.values import Kind

PictureMaker = Callable[[Path, int], bytes]
"""Takes a picture's path and the longest side in pixels; gives JPEG bytes without any tag; may raise ItemFault."""

StillMaker = Callable[[Path, str, float, int], bytes]
"""Takes a film's path and media type, a second in it, and the longest side in pixels; gives JPEG bytes likewise."""

SoundMaker = Callable[[Path, str, Path], None]
"""Takes a recording's path, its media type, and where to write an m4a of its sound; may raise ItemFault."""

Looker = Callable[[Path, str], None]
"""Takes an original's path and the id of its content; raises ItemFault where the file holds something else by now."""

LONGEST_PX = 1280
PICTURES = "pictures"
"""The folder of ``out/`` in which the viewing copies of photos lie."""


@dataclass(frozen=True)
class Makers:
    """What makes copies of photos, stills and sound; another one in tests.

    ``same`` looks whether what was copied is what the records tell of: an original may have changed since.
    """

    picture: PictureMaker = resized_jpeg
    still: StillMaker = still
    sound: SoundMaker = listening_copy
    same: Looker = lambda path, media: None

    def photo(self, media: MediaRecord, films: Mapping[str, MediaRecord], home: Path, longest_px: int) -> bytes:
        """Return a photo or a still as JPEG without any tag.

        Args:
            media: the photo.
            films: the media of the book by id, for the film that a still is from.
            home: the folder from which paths that are not absolute are read.
            longest_px: the longest side of the picture.

        Raises:
            ItemFault: it cannot be decoded, or its film is gone.
        """
        film = films.get(media.still_of) if media.still_of else media
        if film is None:
            raise ItemFault("The film that this still is from is not in the book.")
        path = home / film.path
        if film is media:
            made = self.picture(path, longest_px)
        else:
            made = self.still(path, film.content_type, media.still_at_s or 0.0, longest_px)
        self.same(path, film.id)
        return made

    def listening(self, media: MediaRecord, home: Path, to: Path) -> None:
        """Write an m4a of a recording's sound; raises ItemFault where there is none that can be decoded."""
        self.sound(home / media.path, media.content_type, to)
        try:
            self.same(home / media.path, media.id)
        except ItemFault:
            to.unlink(missing_ok=True)
            raise


CAREFUL = Makers(same=refuse_if_other)
"""What makes copies of a book's originals."""


def needs_listening_copy(media: MediaRecord) -> bool:
    """Tell whether a browser may not play this recording as it is (amr, 3gp, avi, mkv, wma, mov …)."""
    return media.kind in (Kind.RECORDING, Kind.FILM) and not plays_in_browsers(media.content_type)


def picture_copy(media: str) -> str:
    """Return where a photo's viewing copy lies in ``out/``, from its id."""
    return f"{PICTURES}/{_short(media)}.jpg"


def sound_copy(media: str) -> str:
    """Return where a recording's listening copy lies in ``out/``, from its id."""
    return f"sound/{_short(media)}.m4a"


def wanted_copies(records: Records) -> dict[str, MediaRecord]:
    """Return every copy that the pages need: where it lies in ``out/``, and what it is a copy of."""
    wanted: dict[str, MediaRecord] = {}
    for media in records.media:
        if media.kind == Kind.PHOTO:
            wanted[picture_copy(media.id)] = media
        elif needs_listening_copy(media):
            wanted[sound_copy(media.id)] = media
    return wanted


@dataclass(frozen=True)
class Links:
    """Where the pages' links lead.

    ``out`` is the folder that is written; a media path that is not absolute is read from the folder above it.
    ``copies`` are the copies that exist ("pictures/….jpg").
    """

    out: Path
    copies: frozenset[str]
    media: Mapping[str, MediaRecord] = field(default_factory=dict)

    @classmethod
    def for_records(cls, records: Records, out: Path, copies: Iterable[str]) -> "Links":
        """Return the links for a book's records."""
        return cls(out, frozenset(copies), {media.id: media for media in records.media})

    def original_path(self, media: MediaRecord) -> Path:
        """Return where an original lies."""
        return self.out.parent / media.path

    def to_original(self, media: MediaRecord, folder: str) -> str:
        """Return the link from a page in ``out/<folder>`` to an original."""
        link = link_to(self.original_path(media), self.out / folder)
        return link if media.still_of is None else from_second(link, media.still_at_s or 0.0)

    def to_sound(self, media: MediaRecord, folder: str) -> str:
        """Return the link to what a browser can play: the original, or its listening copy. Empty for no sound."""
        if media.kind not in (Kind.RECORDING, Kind.FILM):
            return ""
        if sound_copy(media.id) in self.copies:
            return relative(sound_copy(media.id), folder)
        return self.to_original(media, folder)

    def to_picture(self, media: str, folder: str) -> str:
        """Return the link to a photo's viewing copy, empty where none could be made."""
        return relative(picture_copy(media), folder) if picture_copy(media) in self.copies else ""


def link_to(target: Path, folder: Path) -> str:
    """Return a relative link from a page's folder to a file, or a ``file:`` URI where there is no way across.

    Both paths are absolute or both relative. Every byte that RFC 3986 reserves is percent-encoded.
    """
    try:
        way = os.path.relpath(target, folder)
    except ValueError:  # another drive
        return target.absolute().as_uri()
    return quote(PurePath(way).as_posix(), safe="/", errors="surrogatepass" if os.name == "nt" else "surrogateescape")


def relative(inside: str, folder: str) -> str:
    """Return the link from ``out/<folder>`` to a file named from ``out/``."""
    up = "../" * len([part for part in folder.split("/") if part])
    return up + quote(inside, safe="/")


def from_second(link: str, start_s: float, end_s: float | None = None) -> str:
    """Add a time range to a link to sound. Source: W3C Media Fragments URI 1.0, 4.2.1 (npt seconds)."""
    if not link:
        return ""
    until = "" if end_s is None else f",{end_s:.1f}"
    return f"{link}#t={start_s:.1f}{until}"


def _short(media: str) -> str:
    return media.removeprefix("sha256:")[:16]
