"""An utterance as a person may correct it: its marked pieces, and what may be read instead."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from pipeline.errors import WrongCommand
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import CorrectionRecord, UtteranceRecord
from pipeline.review.lit import Run, replaced, runs, spoken_words
from pipeline.trade.lessons import lesson_of
from pipeline.values import HeardWord
from pipeline.writing.speech import Piece, pieces

_MOST_TAUGHT = 5  # words: more than that were said otherwise, not heard wrong


@dataclass(frozen=True)
class Choice:
    """One other reading of an utterance: what a button says, why it is offered, and the whole text that it gives."""

    says: str
    why: str
    read: str


@dataclass(frozen=True)
class Shown:
    """A piece of the read text that is touched as a whole: ``start`` is where it stands, ``runs`` its words."""

    piece: Piece
    start: int
    runs: tuple[Run, ...]


@dataclass(frozen=True)
class Words:
    """One utterance, as heard and as read.

    ``choices`` are the readings that one touch gives; ``lessons`` what a person put right, as (heard, meant), that
    could be taught.
    """

    id: str
    start_s: float
    end_s: float
    clock: str
    heard: str
    read: str
    pieces: tuple[Shown, ...]
    choices: tuple[Choice, ...]
    lessons: tuple[tuple[str, str], ...] = ()

    @property
    def marked(self) -> bool:
        """Tell whether anything in it was corrected or is unsure."""
        return self.heard != self.read or any(one.piece.unsure for one in self.pieces)


def words_of(said: UtteranceRecord, clock: str, vocabulary: Vocabulary, heard: Sequence[HeardWord] = ()) -> Words:
    """Return an utterance as the page shows it.

    Args:
        said: the utterance.
        clock: when it was said.
        vocabulary: what lessons are offered is what it would take.
        heard: its words with their seconds, none where they are not known.
    """
    cut = pieces(said)
    return Words(
        id=said.id,
        start_s=said.start_s,
        end_s=said.end_s,
        clock=clock,
        heard=said.heard,
        read=said.read,
        pieces=tuple(_shown(said.read, cut if cut is not None else (Piece(said.read),), heard)),
        choices=tuple(choices(said)),
        lessons=tuple(lessons(said, vocabulary)),
    )


def lessons(said: UtteranceRecord, vocabulary: Vocabulary) -> Iterator[tuple[str, str]]:
    """Yield what a person put right, as (heard, meant), that the vocabulary would take as a lesson."""
    put_right = () if said.corrections else replaced(said.heard, said.read, _MOST_TAUGHT)
    for heard, means in put_right:
        if any(mark in heard + means for mark in ",.;:!?"):
            continue  # more than one thing was put right
        try:
            lesson_of(vocabulary, heard, means)
        except WrongCommand:
            continue
        yield heard, means


def _shown(read: str, cut: Iterable[Piece], heard: Sequence[HeardWord]) -> Iterator[Shown]:
    spoken = spoken_words(read, heard)
    at = 0
    for piece in cut:
        yield Shown(piece, at, runs(read, at, at + len(piece.text), spoken))
        at += len(piece.text)


def choices(said: UtteranceRecord) -> list[Choice]:
    """Return every other reading that one touch gives: suggestions, each correction taken back, and all of them."""
    found = []
    made = said.corrections if _applied(said.heard, said.corrections) == said.read else None
    for one in said.suggestions:
        kept = () if made is None else tuple(other for other in made if not _overlap(one, other))
        read = _applied(said.heard, (*kept, one))
        if made is not None and read is not None:
            found.append(Choice(f"“{one.read}” for “{one.heard}”", one.why, read))
    for one in made or ():
        left = _applied(said.heard, tuple(other for other in made or () if other is not one))
        if left is not None:
            found.append(Choice(f"Back to “{one.heard}” from “{one.read}”", one.why, left))
    if said.read != said.heard:
        found.append(Choice("All as it was heard", "", said.heard))
    unlike = {one.read: one for one in reversed(found) if one.read != said.read and one.read.strip()}
    return list(reversed(unlike.values()))


def _overlap(one: CorrectionRecord, other: CorrectionRecord) -> bool:
    return one.start < other.end and other.start < one.end


def _applied(heard: str, made: Iterable[CorrectionRecord]) -> str | None:
    """Return what was heard with corrections made in it; None where they do not fit it."""
    read, taken = "", 0
    for one in sorted(made, key=lambda one: one.start):
        if one.start < taken or heard[one.start : one.end] != one.heard:
            return None
        read += heard[taken : one.start] + one.read
        taken = one.end
    return read + heard[taken:]
