"""Tag labels to print: a sheet of numbers, each with its code, to be cut out and tied to parts and bags."""

import re
from collections.abc import Iterable, Sequence

from pipeline.cards.qr_code import QUIET_MODULES, modules_across, qr_svg
from pipeline.writing.typesetting import PAPERS, pdf

CODE_MM = 30.0
"""How wide a code is, its quiet zone left out: a photo of 12 million pixels from 1.5 m still shows it."""
STANDING = "Working record. Certifies nothing."
_NAME_FITS = 40
_NUMBER = re.compile(r"([A-Z]{1,2})-([0-9]{1,9})")


def label_number(prefix: str, number: int) -> str:
    """Return a tag's number as it is printed: "P-0143"."""
    return f"{prefix}-{number:04d}"


def highest_number(tags: Iterable[str], prefix: str) -> int:
    """Return the highest number among the tags of this prefix, 0 where there is none."""
    found = (_NUMBER.fullmatch(tag) for tag in tags)
    return max((int(match[2]) for match in found if match and match[1] == prefix), default=0)


def label_sheet(numbers: Sequence[str], paper: str, aircraft: str = "") -> bytes:
    """Set labels as PDF, eight on a sheet: the same numbers give the same bytes.

    Args:
        numbers: at least one, as ``label_number`` gives them.
        paper: one of ``PAPERS``.
        aircraft: what the team calls it, in small print on each label.
    """
    across = modules_across(numbers[0])
    return pdf(
        "labels.typ",
        {
            "title": f"Tag labels {numbers[0]} to {numbers[-1]}",
            "paper": PAPERS[paper],
            "aircraft": aircraft if len(aircraft) <= _NAME_FITS else f"{aircraft[: _NAME_FITS - 1]}…",
            "standing": STANDING,
            "code_mm": CODE_MM * (across + 2 * QUIET_MODULES) / across,
            "labels": [{"number": number, "code": qr_svg(number)} for number in numbers],
        },
    )
