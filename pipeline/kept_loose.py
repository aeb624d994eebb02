"""What was put away loose, as it was told last; and the words that name a place though no fact was read from them."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from pipeline.english import day_text
from pipeline.lists.bags import (
    Emptied,
    PutTogether,
    TakenOut,
    all_told,
    as_kept,
    bags_emptied,
    put_together,
    taken_out,
)
from pipeline.lists.logged import alternatives, names_of, sentence_of
from pipeline.plain_text import letters_and_figures
from pipeline.reading.fact import Side, Stowage
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import EntryRecord, FactRecord, Records
from pipeline.writing.wording import counted, part_text, stowage_text

_TAG = r"((?:[a-z]{1,2}-?)?\d+|\w+)"
_TAGS = re.compile(
    rf"\b(?:tag|label)(?:s|ged|led)? (?:no\.? |numbers? |with )?{_TAG}(?:\s?(?:to|through|up to|-|\u2013)\s?{_TAG})?",
    re.IGNORECASE,
)
LOOSE = ("fastener", "material", "support-equipment")


@dataclass(frozen=True)
class _PutAway:
    """What was put away in one telling; ``moved``: into which bags it went since, each with the day, in order."""

    what: str
    stowage: Stowage
    on: date
    kind: str
    again: bool
    to_check: bool
    moved: tuple[tuple[str, date], ...] = ()

    @property
    def bags(self) -> tuple[str, ...]:
        """The bags that it was in one after another, plainly written; none where it was put into no bag."""
        first = (self.stowage.bag,) if self.stowage.bag else ()
        return tuple(plain(bag) for bag in (*first, *(bag for bag, _ in self.moved)))

    @property
    def bag(self) -> str:
        """The bag that it is in by now, "" for none."""
        return self.bags[-1] if self.bags else ""

    @property
    def since(self) -> date:
        """Since when it is there."""
        return self.moved[-1][1] if self.moved else self.on

    @property
    def text(self) -> str:
        check = ", to check" if self.to_check else ""
        now = f"; in bag {self.moved[-1][0]} since {day_text(self.since)}" if self.moved else ""
        return f"{self.what}: {stowage_text(self.stowage)}, told on {day_text(self.on)}{check}{now}"


class _OfBags:
    """What was said of bags as a whole."""

    def __init__(self, records: Records) -> None:
        told = tuple(all_told(records.entries, records.utterances))
        self.together: tuple[PutTogether, ...] = put_together(told)
        self.emptied: tuple[Emptied, ...] = bags_emptied(told)
        self.taken: tuple[TakenOut, ...] = taken_out(told)

    def moved(self, bag: str, at: datetime) -> Iterator[PutTogether]:
        """Yield how what was put into a bag then went into other bags since, in order."""
        now = plain(bag)
        for one in self.together:
            if plain(one.bag) == now and one.at >= at:
                now = plain(one.into)
                yield one


def loose_lines(
    records: Records,
    vocabulary: Vocabulary,
    zone: tzinfo,
    is_asked: Callable[[FactRecord], bool],
    *,
    went_on: bool = False,
) -> Iterator[str]:
    """Yield where fasteners and the like are, of the facts that are asked for: as told last, and what before.

    What was said to be out of their bag since is told too, and that it is empty; nothing where other things were put
    into it later.

    Args:
        records: everything that the book holds.
        vocabulary: tells what is loose from parts.
        zone: the book's time zone.
        is_asked: is given each fact with the bag in which its things are by now, bags having been put together since.
        went_on: give instead only what was in another bag before, judged by that one.
    """
    bags = _OfBags(records)
    told = list(_told(records, vocabulary, zone, is_asked, bags, went_on=went_on))
    emptied = [(plain(one.bag), one.at.astimezone(zone).date()) for one in bags.emptied]
    for at, one in enumerate(told):
        later = told[at + 1 :]
        empty = next((on for what, on in emptied if what == one.bag and on >= one.since), None)
        if any(other.again and _same(other, one) for other in later):
            continue
        if empty is not None and any(other.bag == one.bag and other.since > empty for other in later):
            continue
        earlier = [other for other in told[:at] if _same(other, one)] if one.again else []
        before = "; ".join(f"{other.what}, told on {day_text(other.on)}" for other in earlier)
        ended = _out_since(one, bags.taken, names_of(one.kind, vocabulary), zone)
        ended += f"; the bag was said to be empty on {day_text(empty)}" if empty else ""
        yield (f"{one.text} (before: {before})" if before else one.text) + ended


def words_that_name(
    records: Records, vocabulary: Vocabulary, zone: tzinfo, kind: str, which: str
) -> Iterator[tuple[date, str]]:
    """Yield the sentences that name a rack, a box or a bag, with the day on which each was said."""
    names = alternatives(word for one in vocabulary.storage if one.notation == kind for word in one.words)
    named = re.compile(rf"\b(?:{names})s? (?:no\.? |number )?([\w-]+)", re.IGNORECASE)
    for said in records.utterances:
        for found in named.finditer(said.read):
            if plain(as_kept(found.group(1))) == plain(which):
                yield said.start_at.astimezone(zone).date(), sentence_of(said.read, found.group())


def words_that_name_tag(records: Records, zone: tzinfo, tag: str) -> Iterator[tuple[date, str]]:
    """Yield the sentences that name a tag, alone or within a range ("tags 4 to 9"), with the day of each."""
    asked = _lettered(tag)
    for said in records.utterances:
        for found in _TAGS.finditer(said.read):
            low, high = (_lettered(found.group(one) or found.group(1)) for one in (1, 2))
            if asked and low and high and asked[0] == low[0] == high[0] and low[1] <= asked[1] <= high[1]:
                yield said.start_at.astimezone(zone).date(), sentence_of(said.read, found.group())


def _lettered(tag: str) -> tuple[str, int] | None:
    """Return the letters and the number of a tag: ("p", 142) for "P-0142", None where it is none."""
    found = re.fullmatch(r"([a-z]*)0*(\d+)", plain(as_kept(tag)))
    return (found.group(1), int(found.group(2))) if found else None


def is_there(stowage: Stowage | None, kind: str, which: str) -> bool:
    """Tell whether something is kept in that rack, box or bag."""
    held = getattr(stowage, kind) if stowage else None
    return held is not None and plain(held) == plain(which)


def plain(text: str) -> str:
    """Return a number or a tag without what is written now one way and now another: "P-0142" is "p0142"."""
    return letters_and_figures(text).lstrip("0")


def _told(
    records: Records,
    vocabulary: Vocabulary,
    zone: tzinfo,
    is_asked: Callable[[FactRecord], bool],
    bags: _OfBags,
    *,
    went_on: bool,
) -> Iterator[_PutAway]:
    again = {
        (move.entry, line.of)
        for line in records.lists.fasteners
        for move in line.moves
        if move.what.startswith(("in the bag", "in another bag"))  # told again, or split
    }
    joints = _joints(records, vocabulary)
    for entry in records.entries:
        for fact in entry.facts:
            known = vocabulary.part(fact.item or "")
            loose = known is None or known.kind in LOOSE
            if entry.review == "rejected" or fact.status != "done" or not loose or not fact.stowage:
                continue
            moved = tuple(bags.moved(fact.stowage.bag, entry.at)) if fact.stowage.bag else ()
            *before, now = (fact, *(_in_bag(fact, one.into) for one in moved))
            if any(map(is_asked, before)) if went_on else is_asked(now):
                kind = str(fact.of if fact.of != "person" and fact.of else fact.item)
                joint = joints.get((entry.id, kind, plain((now.stowage and now.stowage.bag) or "")), "")
                yield _PutAway(
                    what=_what(fact, vocabulary, side=None if joint else fact.side) + joint,
                    stowage=fact.stowage,
                    on=entry.at.astimezone(zone).date(),
                    kind=kind,
                    again=(entry.id, kind) in again,
                    to_check=is_to_check(entry, fact),
                    moved=tuple((one.into, one.at.astimezone(zone).date()) for one in moved),
                )


def _in_bag(fact: FactRecord, bag: str) -> FactRecord:
    return fact.model_copy(update={"stowage": Stowage(bag=bag)})


def _joints(records: Records, vocabulary: Vocabulary) -> dict[tuple[str, str, str], str]:
    """Return of what the fasteners are that an entry bags, " of the starboard door", by entry, kind and bag.

    Only where the register of fasteners knows it of one joint alone.
    """
    found: dict[tuple[str, str, str], set[str]] = {}
    for line in records.lists.fasteners:
        joint = part_text(line.item, line.side, line.place, vocabulary, position=line.position)
        for move in line.moves if line.item else ():
            if move.what.startswith("bag"):
                for bag in line.bags:
                    found.setdefault((move.entry, str(line.of), plain(bag)), set()).add(f" of {joint}")
    return {key: texts.pop() for key, texts in found.items() if len(texts) == 1}


def is_to_check(entry: EntryRecord, fact: FactRecord) -> bool:
    """Tell whether the pages ask a person to check a fact."""
    return bool(fact.check) and entry.review == "unread"


def _what(fact: FactRecord, vocabulary: Vocabulary, side: Side | None) -> str:
    of = fact.of or fact.item
    number = fact.count if of != "person" else None
    what = counted(number, of, vocabulary, about=bool(fact.about)) if number is not None and of else ""
    known = vocabulary.part(fact.item or "")
    many = known is not None and known.kind == "fastener"
    return what or part_text(fact.item, side, None, vocabulary, article=False, many=many) or "something not named"


def _same(one: _PutAway, other: _PutAway) -> bool:
    return (one.kind, one.stowage) == (other.kind, other.stowage)


def _out_since(one: _PutAway, taken: Iterable[TakenOut], names: str, zone: tzinfo) -> str:
    """Return what was said to be out of a bag since something was put in: "; 36 were said to be out of it on …"."""
    out = ""
    for other in taken:
        on = other.at.astimezone(zone).date()
        alike = re.fullmatch(rf"(?:{names})s?", other.kind, re.IGNORECASE)
        if alike and plain(other.bag) in one.bags and on > one.on:
            out += f"; {other.number} were said to be out of it on {day_text(on)}"
    return out
