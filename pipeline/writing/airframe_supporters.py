"""The aircraft from above for supporters: what is away is hatched. No findings, no frames, no numbers, no tags."""

from collections.abc import Iterable, Sequence
from datetime import date

from pipeline.english import listed, sentence
from pipeline.lists.airframe import Airframe, Drawn, Named, outlines
from pipeline.lists.logged import sides
from pipeline.reading.fact import Side
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import PartOff, Records
from pipeline.writing.airframe_views import views
from pipeline.writing.pages import page
from pipeline.writing.supporters.steps import LARGE
from pipeline.writing.terms import Terms, belongs_to
from pipeline.writing.wording import part_text


def supporters_drawing(records: Records, terms: Terms, until: date) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """Return a plain drawing as SVG, to stand in a page, the parts that it shows as away, and large ones it does not.

    Without outlines, or with nothing to show as away, it is "" and none. A large part of which nobody told the side,
    and one that has no outline, is not drawn.

    It tells only which large parts are away at the end of a day. What it shows has to be tellable anyway: a caller
    whose report keeps a part quiet leaves the drawing out.

    Args:
        records: everything that the book holds.
        terms: the vocabulary.
        until: the last day of the report.
    """
    if not isinstance(terms, Vocabulary) or not terms.outline:
        return "", (), ()
    held = [(part.item, side, _is_off(part, until)) for part in records.lists.parts_off for side in sides(part.side)]
    off: list[Named] = [(item, side) for item, side, away in held if away]
    # what nobody told of by then is neither off nor back
    back: list[Named] = [(item, side) for item, side, away in held if away is False]
    drawn = tuple(one for one in outlines(terms, off, back) if one.outline.view == "plan" and _is_plain(one))
    away = _away(drawn, terms)
    if not away:
        return "", (), ()
    (view,) = views(Airframe((), drawn), (), numbered=False)
    told = sentence(f"Away from the aircraft: {listed(away)}")
    return page("airframe/supporters.svg", view=view, told=told), tuple(away), tuple(_undrawn(off, drawn, terms))


def _is_plain(one: Drawn) -> bool:
    return one.outline.kind == "area"


def _is_off(part: PartOff, until: date) -> bool | None:
    """Tell whether a part was off at the end of a day; None where nobody had told of it by then."""
    off = None
    for event in part.life:
        if event.on > until:
            continue
        if event.what in ("removed", "removed-again"):
            off = True
        elif event.what in ("refitted", "replaced"):
            off = False
    return off


def _undrawn(off: Iterable[Named], drawn: Sequence[Drawn], terms: Terms) -> list[str]:
    """Return the large parts that are away and are not drawn so, by themselves or as a piece of what is."""
    shown = [one for one in drawn if one.off]
    found = dict.fromkeys(
        (item, side)
        for item, side in off
        if item in LARGE
        and not any(
            belongs_to(terms, item, one.outline.part) and (one.side is None or side in (None, one.side))
            for one in shown
        )
    )
    return [part_text(item, side, None, terms) for item, side in found]


def _away(drawn: Iterable[Drawn], terms: Terms) -> list[str]:
    """Return the parts that are drawn as away, each once, both sides together."""
    found: dict[str, list[Side | None]] = {}
    for one in drawn:
        if one.off and one.side not in found.setdefault(one.outline.part, []):
            found[one.outline.part].append(one.side)
    names = []
    for part, own in sorted(found.items()):
        side: Side | None = "both" if {"port", "starboard"} <= set(own) else own[0]
        names.append(part_text(part, side, None, terms))
    return names
