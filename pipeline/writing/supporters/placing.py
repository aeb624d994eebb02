"""Where the pictures stand: after the sentence that tells what they show, through the text, never in a heap."""

from collections.abc import Sequence

from pipeline.writing.supporters.illustrating import Shown
from pipeline.writing.supporters.plain_names import plain_name
from pipeline.writing.supporters.story import Paragraph, Picture
from pipeline.writing.supporters.told import Told
from pipeline.writing.terms import Terms

_MOST_TOGETHER = 2
_LEAST_SENTENCES = 2  # before a picture, or the text falls to pieces


def with_pictures(
    paragraphs: Sequence[tuple[Told, ...]], shown: Sequence[Shown], terms: Terms, last: Picture | None = None
) -> tuple[Paragraph, ...]:
    """Place pictures in a section; those for which there is no room are left out.

    Args:
        paragraphs: the sentences.
        shown: the section's pictures, in order.
        terms: the vocabulary.
        last: a picture that stands after all of it, None for none.
    """
    pieces = [piece for one in paragraphs for piece in _cut(one)]
    held: list[list[Shown]] = [[] for _ in pieces]
    for one in shown:
        order = sorted(
            range(len(pieces)),
            key=lambda index: (
                -_fits(pieces[index], one, terms),
                _width(pieces[index], one),
                len(held[index]),
                index,
            ),
        )
        home = next((index for index in order if len(held[index]) < _room(pieces)), None)
        if home is not None:
            held[home].append(one)
    made: list[Paragraph] = []
    for piece, pictures in zip(pieces, held, strict=True):
        if made and not made[-1].pictures and len(made[-1].sentences) + len(piece) <= 6:
            made[-1] = Paragraph((*made[-1].sentences, *piece), tuple(one.picture for one in pictures))
        else:
            made.append(Paragraph(tuple(piece), tuple(one.picture for one in pictures)))
    if made and last is not None:
        made[-1] = Paragraph(made[-1].sentences, (last, *made[-1].pictures))
    return tuple(made)


def _room(pieces: Sequence[object]) -> int:
    return _MOST_TOGETHER if len(pieces) > 1 else 2 * _MOST_TOGETHER


def _cut(sentences: Sequence[Told]) -> list[tuple[Told, ...]]:
    """Cut a paragraph into pieces between which a picture may stand; a reason stays with what it is the reason of."""
    pieces: list[tuple[Told, ...]] = []
    at = 0
    for index in range(1, len(sentences) + 1):
        long_enough = index - at >= _LEAST_SENTENCES
        follows = index < len(sentences) and _leans_back(sentences[index])
        if index == len(sentences) or (long_enough and not follows):
            pieces.append(tuple(sentences[at:index]))
            at = index
    return pieces


def _leans_back(one: Told) -> bool:
    """Tell whether a sentence says little without the one before it."""
    return one.behind[0].startswith("reason:") or one.text.startswith(("Then ", "It ", "As well as that"))


def _width(piece: Sequence[Told], one: Shown) -> int:
    """Return how many entries the sentence tells of that tells a picture's own; a chapter's first tells of all."""
    return min((len(each.behind) for each in piece if one.entry in each.behind), default=0)


def _fits(piece: Sequence[Told], one: Shown, terms: Terms) -> int:
    """Return how well a piece of text goes with a picture: its entry and its part, one of them, or neither."""
    name = plain_name(terms, one.item).split()[-1] if one.item else ""
    return max(
        (2 * (one.entry in each.behind) + (bool(name) and name in each.text.lower()) for each in piece), default=0
    )
