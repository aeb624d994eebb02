"""What a maintenance record is asked to hold and a spoken note cannot give: lines for people to fill and sign."""

from collections.abc import Sequence
from typing import NamedTuple

from pipeline.reading.fact import MarkedFact


class Asked(NamedTuple):
    """One line to fill: the paragraph of 14 CFR that asks for it ("" for none), its heading, if it takes a row."""

    by: str
    heading: str
    wide: bool = False


WORK = Asked("43.9(a)(1)", "Work performed", wide=True)
"""Asked for only where no work was told."""

ASKED_FOR = (
    Asked("43.9(a)(1)", "Work done to (manual, drawing, scheme)"),
    Asked("", "Parts used (batch or release certificate)"),
    Asked("43.9(a)(2)", "Date completed"),
    Asked("43.9(a)(3)", "Work done by (name)"),
    Asked("43.9(a)(4)", "Approved: signature"),
    Asked("43.9(a)(4)", "Certificate: kind and number"),
    Asked("43.11(a)(2)", "Aircraft total time, for an inspection"),
    Asked("", "Second inspection, where one is called for"),
)
"""Source: 14 CFR 43.9(a)(1) to (4) and 43.11(a)(2), in our own words; the data worked to, the parts used and the
second inspection also after UK CAA CAP 562 (from memory)."""


def asks_for_a_record(facts: Sequence[MarkedFact]) -> bool:
    """Tell whether an entry may be of work or of an inspection: not where it only explains, plans, or leaves undone.

    One without facts may be of work that the program did not understand.
    """
    return not facts or any(one.status in ("done", "seen") for one in facts)
