"""What a short name stands for ("the pipe", "the jack", "the panel"): settled by what the talk has named."""

from collections.abc import Iterator, Sequence

from pipeline.reading.forms import word_set
from pipeline.reading.vocabulary import Vocabulary

# Words that parts share without being akin: a fuel line and an oil line.
_COMMON = word_set(
    "line pump tank rod tube unit panel joint wheel door bay hinge head lamp box set lock tail wing main front rear "
    "control"
)
_WHOLE_NAMES = word_set("panel unit assembly set cover plate")
_NOT_BY_KIND = word_set("hinge bracket wheel door jack")


def settled(vocabulary: Vocabulary, may_be: Sequence[str], short: str, talked_of: Sequence[str]) -> str:
    """Return the part that a short name stands for, or "".

    Args:
        vocabulary: the parts.
        may_be: what the name can stand for, the likeliest first; "-" first where it stands for nothing by itself.
        short: the short name.
        talked_of: the part being talked of (or ""), the main one (or ""), then those named, the last one first.
    """
    known = [part for part in may_be if part != "-"]
    focus = talked_of[0]
    for item in (focus, *talked_of[2:]):
        if item in known:
            return item
    rules = (
        _akin(known, talked_of[:6]),
        _the_whole(vocabulary, short, focus),
        _related(vocabulary, known, short, talked_of[:8]),
        _like(vocabulary, known, short, focus) if may_be and may_be[0] != "-" else iter(()),
    )
    for rule in rules:
        for part in rule:
            return part
    return may_be[0] if may_be and may_be[0] != "-" and short != "hinge" else ""


def _akin(known: Sequence[str], talked_of: Sequence[str]) -> Iterator[str]:
    """Yield parts that share a word with one talked of: the oil tank's pipe is an oil line."""
    for item in talked_of:
        own = set(item.split("-")) - _COMMON
        yield from (part for part in known if own & set(part.split("-")))


def _the_whole(vocabulary: Vocabulary, short: str, focus: str) -> Iterator[str]:
    """Yield the part talked of, where the name ends one of its own ("windscreen panel")."""
    part = vocabulary.part(focus)
    named_so = part is not None and any(n.split()[-1] == short and n != short for n in part.alternatives)
    if named_so and short in _WHOLE_NAMES:
        yield focus


def _related(vocabulary: Vocabulary, known: Sequence[str], short: str, talked_of: Sequence[str]) -> Iterator[str]:
    """Yield parts that belong to one talked of, or that it belongs to."""
    for item in talked_of:
        part = vocabulary.part(item) if item else None
        if not item:
            continue
        if short == "jack":
            above = part.broader if part and part.kind == "undercarriage" else item
            owners = {item, above} - {"", None}
            yield from (p for p in known if (own := vocabulary.part(p)) and own.broader in owners)
            continue
        yield from (p for p in known if vocabulary.is_a(p, item) and p != item)
        yield from (p for p in known if vocabulary.is_a(item, p))


def _like(vocabulary: Vocabulary, known: Sequence[str], short: str, focus: str) -> Iterator[str]:
    """Yield parts of the same assembly as the one talked of, then of its kind, then of its zone."""
    part = vocabulary.part(focus)
    if part is None or short in _NOT_BY_KIND:
        return
    others = [other for p in known if (other := vocabulary.part(p))]
    yield from (other.notation for other in others if other.broader and other.broader == part.broader)
    yield from (other.notation for other in others if other.kind == part.kind)
    yield from (other.notation for other in others if other.zone == part.zone != "any")
