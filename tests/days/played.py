"""Plays made days through dating and matching, and tells how well they were put together again."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from pipeline.dating.clocks import date_all
from pipeline.dating.devices import TellsOfTime
from pipeline.dating.talk import TimedTalk
from pipeline.matching.links import FAR_S, Shot, TimedUtterance, match
from pipeline.values import Clock, Dated, FileSeen, Kind, Media, Probe, TimeClue, TimeSource
from tests.days.made_days import FIRST_DAY, Days

BOOK_STARTS = date(2026, 1, 1)
PASSAGE_PAUSE_S = 4.0


@dataclass
class Score:
    """How one set of days came out.

    ``links`` are (probability, right, true utterance or None) of every photo that was linked; ``offsets_s`` are how
    far the fitted offset was out at each photo of a clock said to be sure. ``sentences`` are, of each photo of
    something that was linked, whether the very utterance was named and whether that was right. ``dated`` are, of each
    photo, what its camera showed, how far its date is out (s) and how far it was said that it may be (s).
    """

    photos: int = 0
    strays: int = 0
    links: list[tuple[float, bool, bool]] = field(default_factory=list)
    offsets_s: list[float] = field(default_factory=list)
    sentences: list[tuple[bool, bool]] = field(default_factory=list)
    dated: list[tuple[datetime, float, float]] = field(default_factory=list)
    unsure: int = 0
    clocks: tuple[Clock, ...] = ()
    ends_right: int = 0
    ends_wrong: int = 0

    @property
    def right(self) -> float:
        """Share of the photos of something that stand with what they are of."""
        return sum(right for _, right, _ in self.links) / max(1, self.photos)

    @property
    def strays_linked(self) -> int:
        """Strays that were placed with something."""
        return sum(stray for _, _, stray in self.links)


def pieces(days: Days) -> tuple[list[Media], list[Media]]:
    """Return the photos and the recordings of made days as they would be taken in, in the order of their lists."""
    photos = [
        _media(f"photo{n}", Kind.PHOTO, one.camera, _clue(TimeSource.EXIF, one.shown_s), f"{one.camera}{n:04}.jpg")
        for n, one in enumerate(days.taken)
    ]
    recordings = []
    for n, one in enumerate(days.recorded):
        clue = _clue(TimeSource.CONTAINER, one.stamp_s)
        clue = clue.model_copy(update={"offset": "+00:00"})
        length_s = round(one.end_s - one.start_s, 2)
        recordings.append(_media(f"talk{n}", Kind.RECORDING, one.recorder, clue, f"{n}.m4a", length_s))
    return photos, recordings


def _clue(source: TimeSource, shown_s: float) -> TimeClue:
    wall = (FIRST_DAY + timedelta(seconds=shown_s)).replace(tzinfo=None).isoformat(timespec="seconds")
    return TimeClue(source=source, wall=wall)


def _media(name: str, kind: Kind, device: str, clue: TimeClue, file: str, length_s: float | None = None) -> Media:
    number = int("".join(c for c in name if c.isdigit())) + (500_000 if kind is Kind.RECORDING else 0)
    return Media(
        id=f"sha256:{number:064x}",
        files=(FileSeen(path=f"/media/{file}", size=1, modified_ns=1_800_000_000 * 10**9),),
        probe=Probe(kind=kind, content_type="x/y", device=device, clues=(clue,), duration_s=length_s),
    )


def play(days: Days) -> Score:
    """Date and match made days."""
    return play_both_ways(days)[0]


def play_both_ways(days: Days) -> tuple[Score, Score]:
    """Date and match made days; then place each photo with the nearest words by uncorrected time instead."""
    photos, recordings = pieces(days)
    told = TellsOfTime(talks=_talks(days, recordings))
    dated, clocks = date_all([*photos, *recordings], days.zone, BOOK_STARTS, days.ends_at, {}, told)
    at = {one.media: one for one in dated}
    spoken, of_utterance = _spoken(days, recordings, at)
    by_day: dict[date, list[Shot]] = defaultdict(list)
    for media in photos:
        one = at[media.id]
        by_day[one.at.date()].append(Shot(media=media.id, at=one.at, error_s=one.error_s, camera=media.probe.device))
    linked: dict[str, tuple[str, float]] = {}
    named: dict[str, str] = {}
    for shots in by_day.values():
        first = min(shot.at for shot in shots) - timedelta(seconds=FAR_S)
        last = max(shot.at for shot in shots) + timedelta(seconds=FAR_S)
        matched = match(shots, [words for words in spoken if words.end >= first and words.start <= last])
        linked |= {link.photo: (link.passage, link.p) for link in matched.links}
        named |= {link.photo: link.utterance for link in matched.links}
    nearest = _nearest(photos, spoken, days)
    return _score(days, at, clocks, linked, named, of_utterance), _score(days, at, clocks, nearest, {}, of_utterance)


def _score(
    days: Days,
    at: Mapping[str, Dated],
    clocks: tuple[Clock, ...],
    linked: Mapping[str, tuple[str, float]],
    named: Mapping[str, str],
    of_utterance: Mapping[int, str],
) -> Score:
    score, photos = Score(clocks=clocks), pieces(days)[0]
    sure = {clock.device for clock in clocks if clock.sure}
    for media, taken in zip(photos, days.taken, strict=True):
        score.photos += taken.of is not None
        score.strays += taken.of is None
        if media.id in linked:
            passage, p = linked[media.id]
            score.links.append((p, taken.of is not None and passage == of_utterance[taken.of], taken.of is None))
            if media.id in named and taken.of is not None:
                score.sentences.append((bool(named[media.id]), named[media.id] == str(taken.of)))
        out_s = abs((at[media.id].at - FIRST_DAY).total_seconds() - taken.true_s)
        score.dated.append((at[media.id].shown_at, out_s, at[media.id].error_s))
        if media.probe.device in sure:
            score.offsets_s.append(out_s)
        else:
            score.unsure += 1
    for clock in clocks:
        if clock.stamps:
            right = (clock.stamps == "end") == (clock.device in days.ends)
            score.ends_right += right
            score.ends_wrong += not right
    return score


def _talks(days: Days, recordings: list[Media]) -> dict[str, TimedTalk]:
    talks = {}
    for n, media in enumerate(recordings):
        begins_s = days.recorded[n].start_s
        own = [one for one in days.said if one.recording == n]
        talks[media.id] = TimedTalk(
            media=media.id,
            spans=tuple((one.start_s - begins_s, one.end_s - begins_s) for one in own),
            points=tuple(one.point_s - begins_s for one in own if one.point_s is not None),
        )
    return talks


def _spoken(days: Days, recordings: list[Media], at: dict) -> tuple[list[TimedUtterance], dict[int, str]]:
    """Return the utterances in corrected time, and the passage of each: those without a long pause between."""
    found, passage_of = [], {}
    last: dict[int, tuple[float, str]] = {}
    for index, one in enumerate(days.said):
        media, begins_s = recordings[one.recording], days.recorded[one.recording].start_s
        end_s, passage = last.get(one.recording, (-1e9, ""))
        if one.start_s - end_s >= PASSAGE_PAUSE_S:
            passage = f"passage{index}"
        last[one.recording], passage_of[index] = (one.end_s, passage), passage
        start = at[media.id].at - timedelta(seconds=begins_s)
        points = ((start + timedelta(seconds=one.point_s), "here"),) if one.point_s is not None else ()
        found.append(
            TimedUtterance(
                passage=passage,
                recording=media.id,
                start=start + timedelta(seconds=one.start_s),
                end=start + timedelta(seconds=one.end_s),
                start_s=one.start_s - begins_s,
                end_s=one.end_s - begins_s,
                error_s=at[media.id].error_s,
                points=points,
                recorder=media.probe.device,
                utterance=str(index),
            )
        )
    return found, passage_of


def _nearest(photos: list[Media], spoken: list[TimedUtterance], days: Days) -> dict[str, tuple[str, float]]:
    """Place each photo with the nearest words within 15 minutes by what its camera showed."""
    linked = {}
    for media, taken in zip(photos, days.taken, strict=True):
        at = FIRST_DAY + timedelta(seconds=taken.shown_s)

        def gap_s(words: TimedUtterance, at: datetime = at) -> float:
            return max((words.start - at).total_seconds(), (at - words.end).total_seconds(), 0.0)

        nearest = min(spoken, key=gap_s)
        if gap_s(nearest) <= FAR_S:
            linked[media.id] = (nearest.passage, 1.0)
    return linked
