"""A small book's whole life in a few seconds: run, checked by a person, taught a part, run again, reported, sealed.

Each step can be done again after it was cut short: that is how it is found out what a kill leaves. Only the
recogniser is played; words are read, photos placed and pages written as ever.
"""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any

from pipeline.bench import Bench
from pipeline.book import Book, new_book
from pipeline.cards.printing import print_labels
from pipeline.evidence.seal_command import seal_and_tell
from pipeline.hearing.captioned import from_captions
from pipeline.history import acts, chain
from pipeline.history.seen import Seen
from pipeline.intake.captions import Cue
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import EntryRecord, Records, records_in
from pipeline.runner import run
from pipeline.settings import Settings
from pipeline.trade.adding import NewPart, add_part
from pipeline.values import Heard, ModelFolder
from pipeline.writing.logbook_pdf_print import print_logbook
from pipeline.writing.write import write_report
from tests.small_media import film_file, make_captions, make_photo, sound_file

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
TEN = datetime(2026, 2, 14, 10, tzinfo=UTC)
WHO = "Alex Example"
MAY_SIGN = "what was removed"
PEOPLE = f'\n[[people]]\nname = "{WHO}"\nrole = "strip leader"\nconsent = true\nmay_sign = ["{MAY_SIGN}"]\n'
FIRST = """WEBVTT

NOTE taken {taken}

00:00.000 --> 00:04.000
The port rudder's off, three bolts. You can see the hinge here.
"""
LATER = """WEBVTT

NOTE taken {taken}

00:00.000 --> 00:05.000
The gizmo plate's off, two screws, bagged.
"""


class Played(Bench):
    """A bench whose recogniser hears the same words in every recording."""

    model = ModelFolder(path=Path("none"), name="none", sha256="0" * 64)

    def hear(self, samples: Any) -> Heard:
        """Hear the same words, whatever was said."""
        cue = Cue(start_s=0.0, end_s=len(samples) / 16000, text="The starboard aileron's off, four bolts.")
        return from_captions([cue]).model_copy(update={"by": "recogniser"})


class Warm:
    """Benches by vocabulary, made once: what a process that is copied finds ready."""

    def __init__(self) -> None:
        self._made: dict[str, Played] = {}

    def bench(self, settings: Settings, vocabulary: Vocabulary, *choices: Any) -> Played:
        """Return the bench for a vocabulary; its engines are loaded when it is made."""
        if vocabulary.fingerprint not in self._made:
            made = Played(settings, vocabulary)
            made.repairer.repair("The rudder is off.")
            made.reader.read_note("The rudder's off.")
            self._made[vocabulary.fingerprint] = made
        return self._made[vocabulary.fingerprint]


def lay_out_media(folder: Path) -> None:
    """Make the media: caption files, photos, recordings and a film, each with a fixed time."""
    for number in range(3):
        said = FIRST.replace("rudder", ("rudder", "elevator", "aileron")[number])
        make_captions(folder / "first" / f"note{number}.vtt", TEN + timedelta(minutes=10 * number), said)
    make_photo(folder / "first" / "IMG_1.jpg", TEN + timedelta(seconds=3), seed=1)
    sound_file(folder / "first", "note.amr")
    film_file(folder / "first", "film.mov")
    (folder / "first" / "empty.jpg").write_bytes(b"")
    make_captions(folder / "later" / "note.vtt", TEN + timedelta(days=7), LATER)
    make_photo(folder / "later" / "IMG_9.jpg", TEN + timedelta(days=7, seconds=8), seed=9)
    for path in folder.rglob("*"):
        os.utime(path, (1_771_000_000, 1_771_000_000))


@dataclass(frozen=True)
class Home:
    """Where one book lives: a folder of its own, beside which ``media`` lies, the same for all."""

    folder: Path

    @property
    def book(self) -> Book:
        """The book."""
        return Book(self.folder / "winter")

    @property
    def media(self) -> Path:
        """The media, of which nothing may change."""
        return self.folder.parent / "media"

    @property
    def bags(self) -> Path:
        """Where it is sealed to."""
        return self.folder / "bags"


def _make(home: Home, warm: Warm) -> None:
    if not home.book.settings_file.exists():
        home.folder.mkdir(exist_ok=True)
        new_book(home.book.folder, NOW.date(), aircraft="Crew Trainer")
    made = home.book.settings_file.read_text(encoding="utf-8")
    if not made.endswith(PEOPLE):  # a person's editor writes it, whole
        edited = home.folder / "edited.toml"
        edited.write_text(made + PEOPLE, encoding="utf-8")
        edited.replace(home.book.settings_file)


def _run(home: Home, warm: Warm, *, places: tuple[str, ...], now: datetime) -> None:
    run(home.book, [home.media / place for place in places], now, bench=warm.bench)


def records_of(home: Home) -> Records:
    """Return the records of a book as its last run left them."""
    return records_in(home.book.out)


def _entries(home: Home) -> list[EntryRecord]:
    return [entry for entry in records_of(home).entries if entry.facts]


def _noted(home: Home, act: str) -> bool:
    """Tell whether an act is in the history; whoever looks in vain does it again, and each act tidies up first."""
    noted = any(event.act == act for event in chain.read(home.book.history_file).events)
    if noted:
        with home.book.locked():
            chain.append(home.book.history_file, [], NOW)
    return noted


def _accept(home: Home, warm: Warm) -> None:
    if not _noted(home, "accept"):
        acts.decide(home.book, Seen.of(_entries(home)[0]), "accept", WHO, NOW + timedelta(hours=1))


def _amend(home: Home, warm: Warm) -> None:
    if not _noted(home, "amend"):
        entry = _entries(home)[1]
        change = acts.Change(facts=[], photos=[])
        acts.amend(home.book, Seen.of(entry), change, WHO, NOW + timedelta(hours=2), "It was said in jest.")


def _reject(home: Home, warm: Warm) -> None:
    if not _noted(home, "reject"):
        seen = Seen.of(_entries(home)[2])
        acts.decide(home.book, seen, "reject", WHO, NOW + timedelta(hours=3), "It was another aircraft.")


def _sign(home: Home, warm: Warm) -> None:
    if not _noted(home, "sign"):
        seen = Seen.of(_entries(home)[0])
        seen = Seen(seen.entry, seen.version, _number_of(home, "accept"))
        acts.sign(home.book, [seen], WHO, MAY_SIGN, NOW + timedelta(hours=4))


def _number_of(home: Home, act: str) -> int:
    return next(event.n for event in chain.read(home.book.history_file).events if event.act == act)


def _teach(home: Home, warm: Warm) -> None:
    known = home.book.vocabulary(home.book.settings())
    if known.part("gizmo-plate") is None:
        with home.book.locked():
            add_part(home.book.vocabulary_folder, known, NewPart("gizmo plate", gloss="A plate of gizmos."))


def _labels(home: Home, warm: Warm) -> None:
    if not (home.book.out / "labels" / "P-0201-to-P-0203.pdf").exists():
        with home.book.locked():
            print_labels(home.book, 3, first=201)


def _report(home: Home, warm: Warm) -> None:
    book, settings = home.book, home.book.settings()
    with book.locked():
        write_report(records_of(home), settings, book.vocabulary(settings), book.out, TEN.date(), TEN.date())


def _print(home: Home, warm: Warm) -> None:
    with home.book.locked():
        print_logbook(home.book, records_of(home), TEN.date(), TEN.date())


def _seal(home: Home, warm: Warm, *, now: datetime) -> None:
    seal_and_tell(home.book, home.bags, now, who=WHO)


Step = Callable[[Home, Warm], None]

STEPS: Mapping[str, Step] = {
    "make": _make,
    "run": partial(_run, places=("first",), now=NOW),
    "accept": _accept,
    "amend": _amend,
    "reject": _reject,
    "sign": _sign,
    "teach": _teach,
    "labels": _labels,
    "write": partial(_run, places=("first",), now=NOW + timedelta(hours=4, minutes=30)),
    "seal": partial(_seal, now=NOW + timedelta(hours=5)),
    "run again": partial(_run, places=("first", "later"), now=NOW + timedelta(days=1)),
    "report": _report,
    "print": _print,
    "seal again": partial(_seal, now=NOW + timedelta(days=2)),
}
"""What happens to a book, in order."""

UNDER_WAY = "steps-done"


def go_on(home: Home, warm: Warm) -> None:
    """Do the steps that are not done yet, as a person would who knows which command came back."""
    done = home.folder / UNDER_WAY
    number = int(done.read_text(encoding="ascii")) if done.exists() else 0
    for at, step in enumerate(STEPS.values()):
        if at >= number:
            step(home, warm)
            done.parent.mkdir(exist_ok=True)
            done.with_suffix(".new").write_text(str(at + 1), encoding="ascii")
            done.with_suffix(".new").replace(done)
