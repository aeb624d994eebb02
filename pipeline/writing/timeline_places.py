"""Where the timeline's pages lie in ``out/``: every day on one page, or a page for each day where there is much."""

from datetime import date

from pipeline.records import Records
from pipeline.values import Kind

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
