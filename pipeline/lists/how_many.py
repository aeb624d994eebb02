"""How many of a part an aircraft has, as the lists have it; and of which the name alone says little."""

from pipeline.reading.fact import Side
from pipeline.reading.vocabulary import Vocabulary

_SMALL = frozenset({"fastener", "detail"})
_RUN_ANYWHERE = frozenset({"controls", "hydraulic", "pneumatic", "fuel", "oxygen", "electrical"})
_MANY = frozenset((
    "access-panel", "bracket", "bush", "cabane-strut", "doubler", "drift-wire", "fairing", "fillet-panel",
    "flying-wire", "frame", "gusset", "inspection-ring", "intercostal", "interplane-strut", "joint-fitting",
    "lamination", "longeron", "nose-rib", "rib", "stringer", "window", "wire-spreader",
))  # fmt: skip
"""Pieces of structure of which any aircraft has several. Source: common practice, no source."""

_FEW = 2


def how_many(item: str, side: Side | None, vocabulary: Vocabulary) -> int | None:
    """Return how many of a part there are on that side of the aircraft, None where no list says so."""
    number, at, above = 1, item, set[str]()
    while at != "aircraft":
        part = vocabulary.part(at)
        of_set = next((one for one in vocabulary.sets if one.part == at), None)
        each = of_set.number if of_set else part.per_aircraft if part else None
        if each is None or at in above:
            return None
        above.add(at)
        number, at = number * each, of_set.of if of_set else "aircraft"
    known = vocabulary.part(item)
    paired = known is not None and known.symmetrical and side is not None and number % 2 == 0
    return number // 2 if paired else number


def there_are_many(item: str, vocabulary: Vocabulary) -> bool:
    """Tell whether a name alone says little: a turnbuckle, a bolt, a pulley may be any of many.

    They are small parts and fasteners, what runs all over the aircraft, pieces of its structure, and what the lists
    have more than two of.
    """
    part = vocabulary.part(item)
    if part is None:
        return False
    anywhere = part.zone == "any" and part.kind in _RUN_ANYWHERE and part.per_aircraft is None
    return part.kind in _SMALL or anywhere or item in _MANY or (how_many(item, None, vocabulary) or 0) > _FEW
