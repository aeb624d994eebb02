"""Months that are names as well, where they are months: "16 May", "in April and May", "May 2026" name nobody."""

import re

_MONTH = r"(?:January|February|March|April|May|June|July|August|September|October|November|December)"
_CHAIN = rf"{_MONTH}(?:(?:,| and| or| to|,? and in| -|-) ?{_MONTH})*(?!'|\w)"
# What stands before a month and not before a person's name; common practice, no source.
_BEFORE = (
    r"(?:in|early|late|mid|last|next|this|each of|(?:end|start|beginning|middle|rest|days?|weeks?|weekends?) of"
    r"|months from|plan for)"
)
_A_MONTH = re.compile(
    rf"\b\d{{1,2}}(?:st|nd|rd|th)?(?: of)? {_CHAIN}|\b{_CHAIN}:? (?:the )?\d{{1,4}}\b"
    rf"|(?<!\w)(?i:{_BEFORE})[ -]{_CHAIN}|(?<!\w)(?i:until|till|since|during) {_CHAIN}(?=[.,;!?]|$)"
)
_MONTHS = re.compile(rf"\b{_MONTH}\b")
_SEVERAL = re.compile(rf"\b{_MONTH}(?:(?:,| and| or| to|,? and in) {_MONTH})+(?!'|\w)")
# Months that nobody is called by.
_ONLY_A_MONTH = re.compile(r"\b(?:January|February|July|September|October|November|December)\b")


def without_months(text: str) -> str:
    """Return a plain text in which a month that stands where a month stands is no word that may be a name."""
    if _MONTHS.search(text) is None:
        return text
    return _SEVERAL.sub(_hidden_if_sure, _A_MONTH.sub(_hidden, text))


def _hidden(found: re.Match[str]) -> str:
    return _MONTHS.sub("month", found[0])


def _hidden_if_sure(found: re.Match[str]) -> str:
    return _hidden(found) if _ONLY_A_MONTH.search(found[0]) else found[0]
