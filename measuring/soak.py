"""Months of weekly intake in minutes: the book must stay consistent, and its runs must not slow down.

    .venv/bin/python -m measuring.soak             24 months
    .venv/bin/python -m measuring.soak 2           2 months, as the tests do

Every week brings a note and a photo. Files are renamed, lost, and away on a stick for some weeks; every month entries
are accepted, amended and signed, a report is written, the book is sealed, and book and bags are checked; now and then
a part is taught. At the end everything is done anew in a copy, which must give the same records.
"""

import argparse
import random
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from measuring.small_story import MAY_SIGN, PEOPLE, WHO, Warm
from pipeline.book import Book, new_book
from pipeline.errors import ExitCode
from pipeline.evidence.check import check
from pipeline.evidence.differences import NOT_LOOKED_AT, Kind
from pipeline.evidence.seal_command import seal_and_tell
from pipeline.history import acts
from pipeline.history.seen import Seen
from pipeline.records import EntryRecord, Records, records_in
from pipeline.runner import Choices, run
from pipeline.trade.adding import NewPart, add_part
from pipeline.writing.write import write_report
from tests.small_media import make_captions, make_photo

FIRST_DAY = datetime(2024, 1, 6, 10, tzinfo=UTC)
PARTS = ("rudder", "elevator", "aileron", "flap", "cowling", "tailplane", "undercarriage door", "fin")
NOTE = """WEBVTT

NOTE taken {{taken}}

00:00.000 --> 00:04.000
The {side} {part}'s off, {bolts} bolts.

00:05.000 --> 00:08.000
Here you can see the hinge, there's corrosion on it, {size} mm long.

00:20.000 --> 00:23.000
The {side} {part}'s on rack {rack}, tagged P-{tag:04d}.
"""


@dataclass
class Soak:
    """A book, its media and bags, and how long each kind of work took, by month (seconds of the processor)."""

    folder: Path
    rng: random.Random
    warm: Warm = field(default_factory=Warm)
    took_s: dict[str, list[list[float]]] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    lost: set[str] = field(default_factory=set)

    @property
    def book(self) -> Book:
        """The book."""
        return Book(self.folder / "winter")

    @property
    def media(self) -> Path:
        """Where the media lie that are always here."""
        return self.folder / "media"

    @property
    def stick(self) -> Path:
        """The folder of a stick, which is away in some weeks."""
        return self.folder / "stick"

    @property
    def records(self) -> Records:
        """The records as the last run left them."""
        return records_in(self.book.out)

    def timed(self, what: str, month: int, work: Callable[[], None]) -> None:
        """Do some work, and note how long it kept the processor busy."""
        began = time.process_time()
        work()
        months = self.took_s.setdefault(what, [])
        while len(months) <= month:
            months.append([])
        months[month].append(time.process_time() - began)

    def must(self, holds: bool, what: str) -> None:
        """Note a fault if something does not hold."""
        if not holds:
            self.faults.append(what)
            print(f"FAULT: {what}", flush=True)


def bring(soak: Soak, week: int, day: datetime) -> None:
    """Bring a week's note and photo; rename, lose, or take away something in some weeks."""
    home = soak.stick if week % 3 == 1 else soak.media
    away = soak.stick.with_name("stick-away")
    if away.exists():
        away.rename(soak.stick)
    side, part = soak.rng.choice(("port", "starboard")), soak.rng.choice(PARTS)
    said = NOTE.format(
        side=side, part=part, bolts=week % 7 + 2, size=week % 20 + 2, rack=week % 9 + 1, tag=week * 10 + 1
    )
    if week % 17 == 16:
        one = sorted(soak.media.glob("IMG_*.jpg"))[-1]
        one.unlink()
        soak.lost.add(one.name)
    make_captions(home / f"{day:%Y%m%d} note.vtt", day, said)
    make_photo(home / f"IMG_{week:04d}.jpg", day + timedelta(seconds=6), seed=week)
    if week % 5 == 4:
        one = sorted(soak.media.glob("IMG_*.jpg"))[0]
        one.rename(one.with_name(f"{one.stem} {week} renamed.jpg"))
    if week % 6 == 5 and soak.stick.exists():
        soak.stick.rename(away)


def take_in(soak: Soak, day: datetime) -> None:
    """Run the book, as after every weekend."""
    places = [place for place in (soak.media, soak.stick) if place.exists()]
    outcome = run(soak.book, places, day + timedelta(hours=8), bench=soak.warm.bench)
    soak.must(outcome.program_faults == 0, f"{day:%Y-%m-%d}: {outcome.program_faults} faults of the program")
    soak.must(outcome.exit_code is ExitCode.DONE, f"{day:%Y-%m-%d}: the run ended in {outcome.exit_code}")


def decide(soak: Soak, day: datetime) -> None:
    """Accept, amend and sign entries that nobody has looked at."""
    unread: list[EntryRecord] = [one for one in soak.records.entries if one.review == "unread" and one.facts]
    at = day + timedelta(hours=9)
    accepted, amended = unread[-1], unread[-2]
    acts.decide(soak.book, Seen.of(accepted), "accept", WHO, at)
    acts.amend(soak.book, Seen.of(amended), acts.Change(facts=()), WHO, at, "It was of another aircraft.")
    take_in(soak, day + timedelta(hours=2))
    signed = next(one for one in soak.records.entries if one.id == accepted.id)
    acts.sign(soak.book, [Seen.of(signed)], WHO, MAY_SIGN, day + timedelta(hours=11))
    take_in(soak, day + timedelta(hours=4))


def report(soak: Soak, day: datetime) -> None:
    """Write a report of the last four weeks."""
    settings = soak.book.settings()
    with soak.book.locked():
        known = soak.book.vocabulary(settings)
        write_report(soak.records, settings, known, soak.book.out, (day - timedelta(days=27)).date(), day.date())


def seal(soak: Soak, day: datetime) -> None:
    """Seal the book, what was lost or is away being told."""
    told = seal_and_tell(soak.book, soak.folder / "bags", day + timedelta(hours=13), who=WHO, without_missing=True)
    soak.must(told.exit_code in (ExitCode.DONE, ExitCode.SOME_SET_ASIDE), f"{day:%Y-%m-%d}: seal: {told.messages}")


def look(soak: Soak, day: datetime) -> None:
    """Check the book and its bags: the book must miss what was lost, and nothing else may differ."""
    for place, lost in ((soak.book.folder, soak.lost), (soak.folder / "bags", set[str]())):
        differences = [one for one in check(place).differences if one.kind not in NOT_LOOKED_AT]
        missing = {Path(one.path).name for one in differences if one.kind is Kind.MISSING}
        soak.must(missing == lost and len(differences) == len(lost), f"{day:%Y-%m-%d}: {place.name}: {differences}")


def teach(soak: Soak, month: int) -> None:
    """Add a part to the book's vocabulary: the next run reads everything anew."""
    with soak.book.locked():
        known = soak.book.vocabulary(soak.book.settings())
        name = f"gizmo plate {'abcdefghijklmnopqrstuvwxyz'[month]}"
        add_part(soak.book.vocabulary_folder, known, NewPart(name, gloss="A plate of gizmos."))


def weeks_of(months: int) -> int:
    """Return how many weeks it takes until so many months are over."""
    return -(-months * 52 // 12)


def live(soak: Soak, months: int) -> None:
    """Let the book live for so many months."""
    new_book(soak.book.folder, FIRST_DAY.date(), aircraft="Crew Trainer")
    with soak.book.settings_file.open("a", encoding="utf-8") as settings:
        settings.write(PEOPLE)
    before = 0
    for week in range(weeks_of(months)):
        day, month = FIRST_DAY + timedelta(weeks=week), week * 12 // 52
        bring(soak, week, day)
        soak.timed("run", month, lambda day=day: take_in(soak, day))  # type: ignore[misc]
        if (week + 1) * 12 // 52 == month:
            continue
        for what, work in (("decide, with two runs", decide), ("report", report), ("seal", seal), ("check", look)):
            soak.timed(what, month, lambda work=work, day=day: work(soak, day))  # type: ignore[misc]
        if month % 6 == 5:
            teach(soak, month)
        runs = soak.took_s["run"][month]
        print(f"month {month + 1}: {len(runs)} runs, {sum(runs) / len(runs):.2f} s each", flush=True)
        before = len(soak.records.entries)
    soak.must(before > 0, "the book has no entries")


def same_anew(soak: Soak, day: datetime) -> None:
    """Do everything anew in a copy: the records must be the same."""
    copy = Book(soak.folder / "copied")
    take_in(soak, day)
    shutil.copytree(soak.book.folder, copy.folder)
    again = run(copy, [], day + timedelta(hours=8), Choices(again=True), bench=soak.warm.bench)
    soak.must(again.records == soak.records, "done anew, the records are others")


def main() -> None:
    """Let a book live, print how long the work of each month took, and end in 1 if something did not hold."""
    asked = argparse.ArgumentParser(description="A book over many months of weekly intake.")
    asked.add_argument("months", type=int, nargs="?", default=24)
    months = asked.parse_args().months
    with tempfile.TemporaryDirectory(prefix="saidseen-soak-") as folder:
        soak = Soak(Path(folder), random.Random(1))
        began = time.monotonic()
        live(soak, months)
        same_anew(soak, FIRST_DAY + timedelta(weeks=weeks_of(months)))
        history = soak.book.history_file.read_bytes()
        print(
            f"{months} months, {len(soak.records.entries)} entries, {len(soak.records.media)} pieces of media, "
            f"{history.count(10)} events, in {(time.monotonic() - began) / 60:.1f} min."
        )
        for what, by_month in soak.took_s.items():
            means = [sum(one) / len(one) for one in by_month if one]
            sixth = f"{means[5]:.2f} s in the sixth, " if len(means) > 6 else ""
            first = f"{what}: {means[0]:.2f} s in the first month"
            print(f"{first}, {sixth}{means[-1]:.2f} s in the last; {_growth(means)}")
        print(f"{len(soak.faults)} faults.")
        sys.exit(1 if soak.faults else 0)


def _growth(means: list[float]) -> str:
    """Return by how much a month's mean grows from one month to the next, as the best straight line has it."""
    middle = (len(means) - 1) / 2
    whole = sum((at - middle) ** 2 for at in range(len(means)))
    slope = sum((at - middle) * mean for at, mean in enumerate(means)) / whole if whole else 0.0
    return f"{slope * 1000:+.0f} ms a month"


if __name__ == "__main__":
    main()
