"""Tags that are read out side by side: "tagged K-12, K-13 and K-14", "labelled T-0050 to T-0053"."""

from collections.abc import Iterator, Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.forms import word_set
from pipeline.reading.laws.case import Case, by_law
from pipeline.reading.laws.tags import MOST_TAGS, TO
from pipeline.reading.pieces import Piece
from pipeline.reading.spans import Span
from pipeline.reading.tags import TAGGED

_PARTS_TAGS = word_set(", and") | TAGGED


def with_other_tags(case: Case, facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts, with all tags read out side by side where one is told: "tagged K-12, K-13 and K-14".

    So "labelled T-0050 to T-0053" are four. What bears the first of them bears the others, each in a fact of tagging.
    """
    found = list(facts)
    for tags, words in _tags_in_a_row(case.pieces):
        told = next((f for f in found if f.tag in tags and case.sentence(f)[0] <= words[0]), None)
        if told is None or told.status not in ("done", "seen"):
            continue
        for tag in tags:
            if all(fact.tag != tag for fact in found):
                own = {
                    "status": "done",
                    "act": "tag",
                    "item": told.item,
                    "side": told.side,
                    "tag": tag,
                    "words": words,
                }
                found.append(by_law("tag read out: tag", told.inferred, **own, doubts=told.doubts))
    return found


def _tags_in_a_row(pieces: Sequence[Piece]) -> Iterator[tuple[list[str], Span]]:
    """Yield each two or more tags that only "and", commas or the word "tag" part, and where they stand.

    The tags of a range are all named.
    """
    tags = [at for at, piece in enumerate(pieces) if piece.kind == "tag"]
    row: list[str] = []
    first = 0
    for before, at, following in zip([-1, *tags], tags, [*tags[1:], None], strict=False):
        between = [piece.low for piece in pieces[before + 1 : at]]
        if row and between and between[0] in TO and len(between) == 1:
            row += _up_to(row[-1], pieces[at].digits)
        elif row and between and _PARTS_TAGS.issuperset(between):
            row.append(pieces[at].digits)
        else:
            row, first = [pieces[at].digits], at
        parted = following is None or not (_PARTS_TAGS | TO).issuperset(p.low for p in pieces[at + 1 : following])
        if parted and len(row) > 1:
            yield row, (pieces[first].start, pieces[at].end)


def _up_to(first: str, last: str) -> Iterator[str]:
    """Yield the tags after the first one up to the last; the last alone where they are no range."""
    (letters, low), (others, high) = _split(first), _split(last)
    if letters != others or not 0 < int(high) - int(low) <= MOST_TAGS:
        yield last
        return
    yield from (f"{letters}{number:0{len(low)}}" for number in range(int(low) + 1, int(high) + 1))


def _split(tag: str) -> tuple[str, str]:
    """Return the letters of a tag, with what joins them, and its figures."""
    letters, dash, figures = tag.rpartition("-")
    return letters + dash, figures
