"""Whether it is known on which day something was said: a report tells of no day that only a file's own time gives.

A file that is copied may have the time of the copying, and the public would be told of work on a day without any.
"""

from pipeline.english import listed
from pipeline.plain_text import file_name
from pipeline.records import EntryRecord, MediaRecord, Records
from pipeline.values import TimeSource
from pipeline.writing.dated_by import DAY_UNKNOWN_S, day_known

_MOST_NAMED = 3


def is_day_told(media: MediaRecord) -> bool:
    """Tell whether more than a file's own time gives the day of a piece of media."""
    by_file_alone = media.time_source == TimeSource.FILE and media.time_error_s >= DAY_UNKNOWN_S
    return day_known(media) and not by_file_alone


def of_known_days(records: Records) -> Records:
    """Return records without the entries whose day nobody knows, and without the work owed by them.

    What was said stays, so that a picture is judged by all words, and the lists keep back what they would.
    """
    left_out = {one.id for one in _unknown(records)}
    if not left_out:
        return records
    lists = records.lists.model_copy(
        update={"to_do": tuple(one for one in records.lists.to_do if one.entry not in left_out)}
    )
    entries = tuple(one for one in records.entries if one.id not in left_out)
    return records.model_copy(update={"entries": entries, "lists": lists})


def told_of_unknown(records: Records) -> tuple[str, ...]:
    """Tell which recordings and notes no report tells of, and what to do; nothing where there is none."""
    media = {one.id: one for one in records.media}
    paths = sorted({media[one.media].path for one in _unknown(records)})
    if not paths:
        return ()
    names = [file_name(one) for one in paths]
    more = [f"{len(names) - _MOST_NAMED} more"] if len(names) > _MOST_NAMED else []
    one_only = len(names) == 1
    which = "its day is" if one_only else "their days are"
    name = "its name" if one_only else "each name"
    line = (
        f"No report tells of {listed([*names[:_MOST_NAMED], *more])}: {which} known by the file's own time alone, "
        f"which may be that of the copying. Write the date into {name}, as 2026-02-14, or NOTE taken into a note."
    )
    return (line,)


def _unknown(records: Records) -> list[EntryRecord]:
    unknown = {one.id for one in records.media if not is_day_told(one)}
    return [one for one in records.entries if one.media in unknown]
