"""Where the timeline's pages lie in ``out/``: every day on one page, or a page for each day where there is much."""

from datetime import date, tzinfo

from pipeline.records import Records
from pipeline.values import Kind
from pipeline.writing.timeline_days import days_of

PAGE = "timeline.html"
DRAWING = "timeline.svg"
FOLDER = "timeline"
UNDATED = "undated"
MOST_ON_ONE_PAGE = 1500
"""Photos and utterances: with more, each day gets its own page, so that a phone can open every one of them."""


def on_one_page(records: Records) -> bool:
    """Tell whether the whole book's timeline is on one page."""
    photos = sum(media.kind == Kind.PHOTO for media in records.media)
    return photos + len(records.utterances) <= MOST_ON_ONE_PAGE


def day_place(day: date, one_page: bool) -> str:
    """Return where the timeline of a day is, from ``out/``."""
    return f"{PAGE}#day-{day}" if one_page else f"{FOLDER}/{day}.html"


def day_places(records: Records, zone: tzinfo) -> dict[date, str]:
    """Return where the timeline of each of its days is, from ``out/``; other days are told under ``UNDATED``."""
    one_page = on_one_page(records)
    return {one.day: day_place(one.day, one_page) for one in days_of(records, zone).days}
