"""A fact as a form with pickers from the vocabulary, and back."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, get_args

from pipeline.errors import WrongCommand
from pipeline.reading.fact import MarkedFact, Place, Scheme, Stowage
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FactRecord
from pipeline.writing.terms import term

SIDES = (("port", "port"), ("starboard", "starboard"), ("both", "both sides"))
SCHEMES = tuple((one, one) for one in get_args(Scheme))
GRADES = tuple((one, one) for one in ("light", "moderate", "heavy"))
STOWED_IN = tuple(Stowage.model_fields)
_LARGEST = 2**53 - 1  # a larger number is not the same in every reader of JSON. Source: RFC 7493, 2.2 (from memory)
_SPARE = 1  # empty rows for one more place or measure

_Fields = Mapping[str, str]


@dataclass(frozen=True)
class Names:
    """What there is to pick from: (notation, name) of acts, findings and units; names of parts and counted things."""

    acts: tuple[tuple[str, str], ...]
    findings: tuple[tuple[str, str], ...]
    units: tuple[tuple[str, str], ...]
    parts: tuple[str, ...]
    counted: tuple[str, ...]


@dataclass(frozen=True)
class FactForm:
    """One fact's form, filled in. ``item`` and ``of`` are names, as the fields of a search show them."""

    fact: MarkedFact
    item: str
    of: str
    places: tuple[tuple[str, str], ...]
    measures: tuple[tuple[str, str], ...]
    stowage: tuple[tuple[str, str], ...]


@lru_cache(maxsize=2)
def _of_fingerprint(_: str, parts: tuple[tuple[str, str, tuple[str, ...]], ...]) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for notation, preferred, others in parts:
        for name in (preferred, notation, *others):
            found.setdefault(name.casefold().strip(), set()).add(notation)
    return found


def names_of(vocabulary: Vocabulary) -> Names:
    """Return what a form offers to pick from, each list in the order of its names."""
    return Names(
        acts=_by_name((one.notation, one.preferred) for one in vocabulary.acts),
        findings=_by_name((one.notation, one.preferred) for one in vocabulary.findings),
        units=tuple((one.notation, one.notation) for one in vocabulary.units),
        parts=tuple(sorted({one.preferred for one in vocabulary.parts})),
        counted=tuple(sorted({one.words[0] for one in vocabulary.counted})),
    )


def _by_name(found: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    return tuple(sorted(found, key=lambda one: one[1]))


def form_of(fact: MarkedFact, vocabulary: Vocabulary) -> FactForm:
    """Return a fact as a form shows it, with a row to spare for one more place and one more measure."""
    places = [(one.scheme, one.at) for one in fact.place or ()]
    measures = [(f"{one.value:g}", one.unit) for one in fact.measure or ()]
    kept = fact.stowage or Stowage()
    return FactForm(
        fact=fact,
        item=term(vocabulary, fact.item) if fact.item else "",
        of=term(vocabulary, fact.of) if fact.of else "",
        places=(*places, *[("", "")] * _SPARE),
        measures=(*measures, *[("", "")] * _SPARE),
        stowage=tuple((name, getattr(kept, name) or "") for name in STOWED_IN),
    )


def marked(fact: FactRecord) -> dict[str, Any]:
    """Return a fact of an entry as an amendment tells it, so that it stays what it is."""
    return fact.model_dump(mode="json", exclude_defaults=True, exclude={"check", "inferred", "rule", "confidence"})


def fact_from(fields: Iterable[tuple[str, str]], vocabulary: Vocabulary, before: FactRecord | None) -> dict[str, Any]:
    """Return what a form tells, in the keys of the marked notes.

    Args:
        fields: the form's fields; those of places and measures come several times.
        vocabulary: to find parts by any of their names.
        before: the fact that is changed, whose words stay behind it; None for one that is added.

    Raises:
        WrongCommand: a name is in no list or stands for several parts, or a number is none that a record can hold.
    """
    fields = list(fields)
    one = {key: value.strip() for key, value in fields}
    made: dict[str, Any] = {"status": one.get("status", "")}
    for key in ("act", "finding", "side", "grade", "tag"):
        if one.get(key):
            made[key] = one[key]
    for key in ("item", "of"):
        if one.get(key):
            made[key] = notation_of(one[key], vocabulary, getattr(before, key, None))
    if one.get("count"):
        made["count"] = _number(one["count"], int)
    made |= {key: True for key in ("about", "absent") if one.get(key)}
    places = [_place(a, b) for a, b in _pairs(fields, "scheme", "at")]
    if places:
        made["place"] = [place.model_dump() for place in places]
    measures = [{"value": _number(a, float), "unit": b} for a, b in _pairs(fields, "value", "unit")]
    if measures:
        made["measure"] = measures
    stowage = {name: one[name] for name in STOWED_IN if one.get(name)}
    if stowage:
        made["stowage"] = stowage
    if not (made.keys() & {"act", "finding", "item", "place"}):
        raise WrongCommand("A fact needs what was done or seen, or a part.")
    if before is not None:
        made |= {"said": before.said, "utterances": list(before.utterances)}
    return made


def _pairs(fields: list[tuple[str, str]], first: str, second: str) -> list[tuple[str, str]]:
    """Return the rows of which both fields are filled in; half a row is told, not dropped."""
    left = [value.strip() for key, value in fields if key == first]
    right = [value.strip() for key, value in fields if key == second]
    rows = [(a, b) for a, b in zip(left, right, strict=False) if a or b]
    for a, b in rows:
        if not (a and b):
            raise WrongCommand(f"'{a or b}' stands alone: a place needs its kind and number, a measure its unit.")
    return rows


def notation_of(name: str, vocabulary: Vocabulary, before: str | None = None) -> str:
    """Return the notation of what is called by a name; raises WrongCommand where no list has it, or several parts do.

    Args:
        name: as it was picked or typed.
        vocabulary: every list.
        before: the notation that stood there; its own name leaves it.
    """
    if before is not None and name == term(vocabulary, before):
        return before
    for one in vocabulary.counted:
        if name.casefold() in (word.casefold() for word in (one.notation, *one.words)):
            return one.notation
    preferred = {one.notation for one in vocabulary.parts if name.casefold() == one.preferred.casefold()}
    listed = tuple((one.notation, one.preferred, one.alternatives) for one in vocabulary.parts)
    found = preferred or _of_fingerprint(vocabulary.fingerprint, listed).get(name.casefold(), set())
    if len(found) == 1:
        return next(iter(found))
    if found:
        may = ", ".join(sorted(term(vocabulary, one) for one in found))
        raise WrongCommand(f"'{name}' may be several parts: {may}. Pick one of them.")
    raise WrongCommand(f"'{name}' is in no list of parts. Pick one from the list; saidseen vocab add adds a new one.")


def _number(text: str, kind: type[int] | type[float]) -> float:
    try:
        number = kind(text.replace(",", "."))
    except ValueError as error:
        raise WrongCommand(f"'{text}' is no number.") from error
    if not abs(number) <= _LARGEST:  # nor is it then "nan"
        raise WrongCommand(f"'{text}' is no number that a record can hold.")
    return number


def _place(scheme: str, at: str) -> Place:
    if scheme not in dict(SCHEMES):
        raise WrongCommand(f"'{scheme}' is no kind of place. Pick one from the list.")
    return Place.model_validate({"scheme": scheme, "at": at})
