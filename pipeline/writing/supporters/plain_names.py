"""What a supporter calls a part: the term of the trade, or a plainer word that everybody has."""

from pipeline.writing.terms import Terms, term

_PLAIN = {"mainplane": "wing"}


def plain_name(terms: Terms, notation: str) -> str:
    """Return the name of a part, or of whatever else the vocabulary has, as the report says it."""
    return _PLAIN.get(notation) or term(terms, notation)
