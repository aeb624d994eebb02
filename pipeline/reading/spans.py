"""Spans: the characters (from, to) of a text, end exclusive, and how they lie to each other."""

Span = tuple[int, int]


def overlap(one: Span, other: Span) -> bool:
    """Tell whether some words lie, if only in part, where others do."""
    return one[0] < other[1] and other[0] < one[1]


def within(one: Span, other: Span) -> bool:
    """Tell whether one span lies in another from its first character to its last."""
    return other[0] <= one[0] and one[1] <= other[1]


def holds(span: Span, character: int) -> bool:
    """Tell whether a character lies in a span."""
    return span[0] <= character < span[1]
