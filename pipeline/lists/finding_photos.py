"""Which photos of an entry show a finding: those that stand with the words that tell of it."""

from collections.abc import Iterable, Mapping

from pipeline.records import EntryRecord, FindingLine, MediaRecord

_BETWEEN = "\0"


def words_told_in(entry: str, utterances: Iterable[str]) -> tuple[str, ...]:
    """Return what stands for a finding's photos until these are known: its entry with each of its utterances."""
    return tuple(f"{entry}{_BETWEEN}{one}" for one in utterances) or (entry,)


class FindingPhotos:
    """The photos of the entries, by the words that they stand with."""

    def __init__(self, entries: Iterable[EntryRecord], media: Iterable[MediaRecord]) -> None:
        """Look at every photo of every entry once.

        A photo that rests on words in which nothing is told ("you can see it here") stands with what was told last
        before them. One that a person placed stands with all of its entry, a photo of a mere label with none.
        """
        labelled = {one.id for one in media if one.labels}
        self._all: dict[str, list[str]] = {}
        self._of_words: dict[str, list[str]] = {}
        for entry in entries:
            telling = [one for one in entry.utterances if any(one in fact.utterances for fact in entry.facts)]
            for link in entry.photos:
                if link.media in labelled and link.label is None and link.utterance is not None:
                    continue
                self._all.setdefault(entry.id, []).append(link.media)
                for words in telling if link.utterance is None else _told_by(link.utterance, entry, telling):
                    self._of_words.setdefault(f"{entry.id}{_BETWEEN}{words}", []).append(link.media)

    def of(self, line: FindingLine) -> tuple[str, ...]:
        """Return the photos of a finding, in the order of its tellings; ``line.photos`` holds ``words_told_in``."""
        found = (
            photo for one in line.photos for photo in (self._of_words if _BETWEEN in one else self._all).get(one, ())
        )
        return tuple(dict.fromkeys(found))


def _told_by(utterance: str, entry: EntryRecord, telling: list[str]) -> list[str]:
    """Return the words with facts that a photo stands with: its own, else the last before them, else the first."""
    places: Mapping[str, int] = {one: at for at, one in enumerate(entry.utterances)}
    if not utterance:  # it is not clear of which words it is
        return telling if len(telling) == 1 else []
    at = places.get(utterance)
    if at is None:
        return telling
    before = [one for one in telling if places[one] <= at]
    return before[-1:] or telling[:1]
