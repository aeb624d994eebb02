"""A day's list: what its drawing shows, in words and in order of time; for eye, ear and keyboard."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import tzinfo

from pipeline.english import minutes, short_date, utc_offset
from pipeline.plain_text import cut_short
from pipeline.records import EntryRecord, MediaRecord, PhotoLink, Records
from pipeline.spans import span_text
from pipeline.writing.dated_by import DATED_BY
from pipeline.writing.day_pages import FOLDER as LOGBOOK
from pipeline.writing.day_pages import percent
from pipeline.writing.timeline_days import NO_ENTRY, Happened, Happening, Photo, Running, Unheard, Words, name_of
from pipeline.writing.timeline_marks import Gap
from pipeline.writing.timeline_moves import Move
from pipeline.writing.viewing_copies import Links, from_second, relative

_QUOTED_COLUMNS = 48
_WORTH_TELLING_S = 60.0
_NOBODY_KNOWS_S = 366 * 86_400.0


@dataclass(frozen=True)
class Stand:
    """The entry that a photo stands with: when, its first words and link, how likely, and if it was rejected."""

    clock: str
    words: str
    href: str
    percent: str
    rejected: bool


@dataclass(frozen=True)
class Row:
    """One line of the list.

    ``kind`` is "photo", "still", "words", "recording", "film", "captions", "unheard" or "gap". ``text`` is what was
    said, or what there is to say; ``name`` and ``href`` are its link; ``loose`` is why it stands in no entry;
    ``within`` is how well its time is known, where that is worth telling; ``doubts`` are why it may be wrong, and
    what could not be read.
    """

    kind: str = ""
    id: str = ""
    at: str = ""
    clock: str = ""
    device: str = ""
    name: str = ""
    href: str = ""
    text: str = ""
    stands: tuple[Stand, ...] = ()
    loose: str = ""
    rejected: bool = False
    within: str = ""
    move: Move | None = None
    doubts: tuple[str, ...] = ()


def row_id(one: object) -> str:
    """Return the place in a page at which a photo, a recording or an utterance is told."""
    if isinstance(one, Words):
        return one.said.id
    if isinstance(one, Photo):
        return f"p-{one.media.id.removeprefix('sha256:')[:16]}"
    if isinstance(one, Running):
        return f"r-{one.media.id.removeprefix('sha256:')[:16]}"
    return ""


class DayList:
    """Writes the lists of one book's days for pages in one folder of ``out/``."""

    def __init__(self, records: Records, links: Links, zone: tzinfo, folder: str) -> None:
        """Make ready.

        Args:
            records: everything that the book holds.
            links: where pictures, sound and originals are.
            zone: the book's time zone.
            folder: the folder in ``out/`` that the page lies in, "" for ``out/`` itself.
        """
        self._links = links
        self._zone = zone
        self._folder = folder
        self._media = {one.id: one for one in records.media}
        self._read = {one.id: one.read for one in records.utterances}

    def rows(self, happened: Happened, gaps: Sequence[Gap], with_offset: bool = False) -> tuple[Row, ...]:
        """Return the lines for all that is drawn.

        Args:
            happened: what is told, each once.
            gaps: the stretches that the drawing shortens: each gets a line of its own, in its place.
            with_offset: tell each time with its offset, on a day on which the clocks are changed.
        """
        made: list[Row] = []
        left = list(gaps)
        for one in _merged(happened):
            while left and left[0].to_s <= one.at.timestamp():
                made.append(Row(kind="gap", text=left.pop(0).text))
            made.append(self._row(one, f"{one.at:%H:%M:%S}" + (f" {utc_offset(one.at)}" if with_offset else "")))
        return tuple(made)

    def uncertain(self, happened: Happened) -> tuple[Row, ...]:
        """Return the lines for what is not drawn, because its time is not known well enough."""
        return tuple(
            self._row(one, f"perhaps {short_date(one.at)} {one.at:%H:%M}", doubtful=True) for one in _merged(happened)
        )

    def _row(self, one: Happening, clock: str, doubtful: bool = False) -> Row:
        base = Row(at=one.at.isoformat(timespec="milliseconds"), clock=clock, device=one.media.device, id=row_id(one))
        if isinstance(one, Words):
            return self._words(one, base)
        if isinstance(one, Unheard):
            return self._unheard(one, base)
        within = ""
        if doubtful or one.media.time_error_s > _WORTH_TELLING_S:
            known = one.media.time_error_s <= _NOBODY_KNOWS_S
            within = f"right to within {span_text(one.media.time_error_s)}" if known else "nobody knows when"
        base = replace(
            base,
            name=name_of(one.media.path),
            within=f"{within}; dated by {DATED_BY[one.media.time_source]}" if within else "",
            move=one.move,
            # what the move tells in fewer words is not told again
            doubts=tuple(
                flag
                for flag in one.media.flags
                if not (one.move and ("corrected for it" in flag or "shows a clock card" in flag))
            ),
        )
        return self._photo(one, base) if isinstance(one, Photo) else self._running(one, base)

    def _photo(self, one: Photo, base: Row) -> Row:
        film = self._media.get(one.media.still_of or "")
        of_film = f"still of the film at {minutes(one.media.still_at_s or 0.0)}" if film else "still of a film"
        return replace(
            base,
            kind="photo" if one.media.still_of is None else "still",
            href=self._links.to_picture(one.media.id, self._folder)
            or self._links.to_original(one.media, self._folder),
            text="" if one.media.still_of is None else of_film,
            stands=tuple(self._stand(entry, link, one) for entry, link in one.stands),
            loose=one.loose,
        )

    def _words(self, one: Words, base: Row) -> Row:
        at = one.entry.at.astimezone(self._zone) if one.entry else one.at
        page = relative(f"{LOGBOOK}/{at.date()}.html", self._folder)
        if one.loose == NO_ENTRY:  # the logbook has it nowhere
            href = from_second(self._sound(one.media), one.said.start_s, one.said.end_s)
        else:
            href = f"{page}#{one.said.id}"
        return replace(
            base,
            kind="words",
            href=href,
            text=one.said.read,
            loose=one.loose,
            rejected=one.entry is not None and one.entry.review == "rejected",
        )

    def _running(self, one: Running, base: Row) -> Row:
        length = f"{span_text(one.media.duration_s)} long" if one.media.duration_s else ""
        return replace(
            base,
            kind=str(one.media.kind),
            href=self._links.to_original(one.media, self._folder),
            text=length,
        )

    def _unheard(self, one: Unheard, base: Row) -> Row:
        guess = f": \u201c{one.one.guess}\u201d" if one.one.guess else ""
        return replace(
            base,
            kind="unheard",
            name=f"{name_of(one.media.path)}, {minutes(one.one.start_s)} to {minutes(one.one.end_s)}",
            href=from_second(self._sound(one.media), one.one.start_s, one.one.end_s),
            text=f"{one.one.why}{guess}",
        )

    def _sound(self, media: MediaRecord) -> str:
        return self._links.to_sound(media, self._folder) or self._links.to_original(media, self._folder)

    def _stand(self, entry: EntryRecord, link: PhotoLink, photo: Photo) -> Stand:
        at = entry.at.astimezone(self._zone)
        day = "" if at.date() == photo.at.date() else f"{short_date(at)}, "
        words = " ".join(self._read[said] for said in entry.utterances if said in self._read)
        return Stand(
            clock=f"{day}{at:%H:%M:%S}",
            words=cut_short(words, _QUOTED_COLUMNS),
            href=f"{relative(f'{LOGBOOK}/{at.date()}.html', self._folder)}#{entry.id}",
            percent=percent(link.p),
            rejected=entry.review == "rejected",
        )


def _merged(happened: Happened) -> list[Happening]:
    """Put all in order of time; at one instant a recording starts before its first words, and words before photos."""
    ranks = ((0, happened.runs), (1, happened.words), (2, happened.unheard), (3, happened.photos))
    every = [(one.at.timestamp(), rank, one.media.id, row_id(one), one) for rank, ones in ranks for one in ones]
    return [one for *_, one in sorted(every, key=lambda each: each[:4])]
