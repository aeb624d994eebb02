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

IF_ANY = Asked("43.9(a)(1)", "Work performed, if any", wide=True)
"""All that is asked for where no fact was read: whoever puts work into the record there gets the other lines too."""

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


# where parts are kept and how they are marked is no maintenance
_KEEPING = frozenset({"bag", "photograph", "store", "tag"})


def asked_of(facts: Sequence[MarkedFact]) -> tuple[Asked, ...]:
    """Return what people are asked to fill in of an entry with these facts.

    Nothing where it only explains, plans, leaves undone, or tells where parts are kept. One without facts may be of
    work that the program did not understand.
    """
    if not facts:
        return (IF_ANY,)
    if any(one.status == "done" and one.act not in _KEEPING for one in facts):
        return ASKED_FOR
    return (WORK, *ASKED_FOR) if any(one.status == "seen" for one in facts) else ()
