"""Where a part is: asked by any of its names, by its tag, or by the rack, box or bag that it may be in."""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from difflib import get_close_matches

from pipeline.english import day_text, listed
from pipeline.kept_loose import LOOSE, is_there, is_to_check, loose_lines, plain, words_that_name, words_that_name_tag
from pipeline.lists.holding import is_fastener, kinds_agree
from pipeline.lists.logged import last_words, same_side
from pipeline.lists.usual_joints import holds
from pipeline.reading.fact import Side, Stowage
from pipeline.reading.positions import position_told, same_position
from pipeline.reading.tags import as_label
from pipeline.reading.vocabulary import Vocabulary
from pipeline.records import FactRecord, FastenerLine, PartOff, Records
from pipeline.writing.part_wording import part_name, where_text
from pipeline.writing.standing_wording import bagged_text, fasteners_text, number_text, parted_at_text
from pipeline.writing.wording import part_text, stowage_text

_ASKING = frozenset((
    "where", "wheres", "what", "whats", "which", "is", "are", "s", "the", "a", "an", "on", "in", "at", "of", "kept",
    "now", "it", "did", "we", "put", "off",
))  # fmt: skip
_TAG = re.compile(r"\b([a-z]{1,2})[ -]?(\d{2,})\b")
_NUMBERED_TAG = re.compile(r"\b(?:tag|label) (?:no |number )?(\d+)\b")
_MOST_NEAR = 3
_CARRIED = ("bag", "box")
_OF_THE_PLACE = frozenset({"where", "wheres", "is", "s", "the", "kept", "now"})
_NOWHERE = "nobody said where it is kept"
_STILL_ON = "on the aircraft as far as is told"
_SIDES: dict[str, Side] = {"port": "port", "starboard": "starboard"}


@dataclass(frozen=True)
class WhereAnswer:
    """The lines that answer, or none; then what to tell instead, with names that are near."""

    lines: tuple[str, ...]
    advice: str = ""


def where(records: Records, vocabulary: Vocabulary, zone: tzinfo, words: Sequence[str]) -> WhereAnswer:
    """Answer "where is the port rudder?", "P-0142", "what is on rack 3?" from what was told.

    Args:
        records: everything that the book holds.
        vocabulary: for the names of parts and of places to keep things.
        zone: the book's time zone, in which days begin and end.
        words: as asked; case, small words and a question mark do not matter.
    """
    text = " ".join(re.findall(r"[\w-]+", " ".join(words).lower().replace("'", " ")))
    tag = next((found for found in _TAG.finditer(text) if found.group(1) not in _ASKING), None)
    kept = _stowage_asked(text, records, vocabulary)
    if kept:
        itself = [word for word in text.split() if word not in _OF_THE_PLACE][:1] == [kept[0]]
        return _kept_there(records, vocabulary, zone, *kept, itself=itself)
    numbered = _NUMBERED_TAG.search(text)
    if tag or numbered:
        asked = f"{tag.group(1).upper()}-{tag.group(2)}" if tag else str(numbered and numbered.group(1))
        return _tagged(records, vocabulary, zone, asked)
    return _named(records, vocabulary, zone, text)


def _line(part: PartOff, vocabulary: Vocabulary, records: Records) -> str:
    before = [f"before: {one}" for one in part.former_tags]
    tagged = f" ({', '.join([part.tag, *before])})" if part.tag else ""
    check = " (to check)" if _is_doubted(part, records) else ""
    return f"{part_name(part, vocabulary)}{tagged}: {where_text(part)}{check}"


def _is_doubted(part: PartOff, records: Records) -> bool:
    """Tell whether where a part is rests on a fact that a person is asked to check."""
    last = next((event for event in reversed(part.life) if event.what == "refitted" or event.stowage), None)
    return last is not None and any(
        is_to_check(entry, fact)
        for entry in records.entries
        if entry.id == last.entry
        for fact in entry.facts
        if (fact.act, fact.item) == (last.act, last.called or part.item) and same_side(fact.side, part.side)
    )


def _stowage_asked(text: str, records: Records, vocabulary: Vocabulary) -> tuple[str, str] | None:
    """Return what kind of place was asked for and which: ("rack", "3"), ("room", "paint store")."""
    for words in vocabulary.storage:
        if words.notation not in Stowage.model_fields:
            continue
        for word in words.words:
            found = re.search(rf"\b{re.escape(word.lower())} (?:no |number )?(\w+)\b(?P<more>.*)", text)
            if found and words.notation != "room" and _is_a_number(found.group(1), last=not found["more"]):
                return words.notation, found.group(1)
    rooms = {stowage.room for stowage in _stowages(records) if stowage.room}
    room = next((one for one in sorted(rooms, key=len, reverse=True) if f" {one.lower()} " in f" {text} "), None)
    return ("room", room) if room else None


def _is_a_number(word: str, *, last: bool) -> bool:
    """Tell whether a word is the number or the letter of a place: "rack a" is one, "rack a month ago" is none."""
    return bool(re.fullmatch(r"[a-z]?\d+[a-z]?|[a-z]", word)) and (word != "a" or last)


def _stowages(records: Records) -> Iterator[Stowage]:
    yield from (part.stowage for part in records.lists.parts_off if part.stowage)
    yield from (fact.stowage for entry in records.entries for fact in entry.facts if fact.stowage)


def _kept_there(
    records: Records, vocabulary: Vocabulary, zone: tzinfo, kind: str, which: str, *, itself: bool
) -> WhereAnswer:
    parts = [part for part in records.lists.parts_off if is_there(part.stowage, kind, which)]
    lines = [_line(part, vocabulary, records) for part in parts]
    lines += loose_lines(records, vocabulary, zone, lambda fact: is_there(fact.stowage, kind, which))
    nothing = "" if lines else _nothing_there(records, vocabulary, zone, kind, which)
    place = _itself(records, kind, which) if itself and lines else ()
    return WhereAnswer((*place, *dict.fromkeys(lines)), nothing)


def _itself(records: Records, kind: str, which: str) -> tuple[str, ...]:
    """Return where a bag or a box is itself: on a rack, in a room; none for what stands in the hangar anyhow."""
    if kind not in _CARRIED:
        return ()
    parts = (stowage for stowage in _stowages(records) if is_there(stowage, kind, which))
    outside = [one.model_copy(update=dict.fromkeys(_CARRIED, None)) for one in parts]
    told = [text for text in map(stowage_text, outside) if text]
    return (f"{kind} {which.upper()}: {told[-1] if told else _NOWHERE}. In it:",)


def _nothing_there(records: Records, vocabulary: Vocabulary, zone: tzinfo, kind: str, which: str) -> str:
    place = stowage_text(Stowage(**{kind: which.upper() if len(which) == 1 else which}))
    before = [
        part for part in records.lists.parts_off if any(is_there(event.stowage, kind, which) for event in part.life)
    ]
    was = [_line(part, vocabulary, records) for part in before]
    was += loose_lines(records, vocabulary, zone, lambda fact: is_there(fact.stowage, kind, which), went_on=True)
    if was:
        return f"Nothing is told to be {place} any more. What was there: {'; '.join(dict.fromkeys(was))}."
    said = [
        f"{day_text(on)}: \u201c{text}\u201d" for on, text in words_that_name(records, vocabulary, zone, kind, which)
    ]
    if said:
        return f"Nothing that was understood is {place}, but it was spoken of. {' '.join(dict.fromkeys(said))}"
    used = {getattr(stowage, kind) for stowage in _stowages(records)} - {None}
    told = f" Told of: {kind} {listed(sorted(used, key=lambda one: (len(one), one)))}." if used else ""
    return f"Nothing was told to be {place}.{told}"


def _tagged(records: Records, vocabulary: Vocabulary, zone: tzinfo, asked: str) -> WhereAnswer:
    parts = records.lists.parts_off
    for tags_of in (lambda part: [part.tag], lambda part: part.former_tags):
        found = [part for part in parts if any(tag and _plain_tag(tag) == _plain_tag(asked) for tag in tags_of(part))]
        if found:
            return WhereAnswer(tuple(_line(part, vocabulary, records) for part in found))
    said = [f"{day_text(on)}: \u201c{text}\u201d" for on, text in words_that_name_tag(records, zone, asked)]
    if said:
        return WhereAnswer(
            (), f"No part is known by tag {asked}, but it was spoken of. {' '.join(dict.fromkeys(said))}"
        )
    tags = {tag for part in parts for tag in (part.tag, *part.former_tags) if tag}
    return WhereAnswer((), f"No part carries the tag {asked}.{_near(asked, tags)}")


def _plain_tag(tag: str) -> str:
    """Return a tag as it can be compared: however many zeros were said, and with signs or without."""
    return plain(as_label(tag.upper()))


def _named(records: Records, vocabulary: Vocabulary, zone: tzinfo, text: str) -> WhereAnswer:
    side, rest = _side(text, vocabulary)
    asked = [word for word in rest.split() if word not in _ASKING]
    if not asked:
        return WhereAnswer((), "Say what to look for: a part, a tag, or a rack, box or bag with its number.")
    fasteners = _fasteners_of(" ".join(asked), vocabulary)
    if fasteners:
        return _of_what_they_hold(records, vocabulary, *fasteners, side, " ".join(asked))
    told = {fact.item for entry in records.entries for fact in entry.facts}
    items = _items(" ".join(asked), vocabulary)
    if len(items) != 1:
        items = _by_last_word(asked, told, vocabulary) or items
    there = [part for part in records.lists.parts_off if _names_its_place(asked, part)]
    no_part = len(asked) > 2 or all(_is_gear(item, vocabulary) for item in items) or told.isdisjoint(items)
    if there and no_part:
        return WhereAnswer(tuple(_line(part, vocabulary, records) for part in there))
    if not items:
        names = {name.text.lower() for name in vocabulary.names() if name.list == "parts"}
        return WhereAnswer((), f'No part is called "{" ".join(asked)}".{_near(" ".join(asked), names)}')
    parts = [part for part in records.lists.parts_off if same_side(part.side, side)]
    found = [part for part in parts if part.item in items]
    found = found or [part for part in parts if any(vocabulary.is_a(part.item, item) for item in items)]
    position = position_told(text, side)
    if position:
        here = (side, position)
        found = [part for part in found if part.position and same_position((part.side, part.position), here)]
        name = part_text(items[0], side, None, vocabulary, article=False, position=position)
        return WhereAnswer(
            tuple(_line(part, vocabulary, records) for part in found),
            "" if found else f"Nothing is told of the {name}.",
        )
    lines = [_line(part, vocabulary, records) for part in found]
    lines += _not_told_off(records, vocabulary, zone, [one for one in items if one in told] or items, side, found)
    return WhereAnswer(tuple(dict.fromkeys(lines)))


def _of_what_they_hold(
    records: Records, vocabulary: Vocabulary, of: str, items: Sequence[str], side: Side | None, asked: str
) -> WhereAnswer:
    """Answer where the fasteners of a part are; else of what belongs to it, of what it belongs to, of no joint."""
    is_a = vocabulary.is_a
    lines = [
        line
        for line in records.lists.fasteners
        if kinds_agree(line.of, of, vocabulary) and same_side(line.side, side)
    ]

    def is_of(held: str, item: str) -> bool:
        return held == item or holds(held, item, vocabulary)

    found = [line for line in lines if line.item and any(is_of(line.item, item) for item in items)]
    found = found or [line for line in lines if line.item and any(is_a(line.item, item) for item in items)]
    found = found or [line for line in lines if line.item and any(is_a(item, line.item) for item in items)]
    found = found or [line for line in lines if line.item is None]
    told = tuple(dict.fromkeys(_fastener_line(line, vocabulary) for line in found))
    return WhereAnswer(told, "" if told else f'Nothing is told of any "{asked}".')


def _fastener_line(line: FastenerLine, vocabulary: Vocabulary) -> str:
    joint = part_text(line.item, line.side, line.place, vocabulary, position=line.position)
    joint = joint if line.item else "a joint that nobody named"
    undone, fitted = number_text(line, "undone"), number_text(line, "fitted")
    bagged = bagged_text(line)
    told = [
        f"{undone} undone" if undone else "",
        f"bagged: {bagged}" if bagged else "" if fitted else "nobody said where",
        f"{fitted} fitted again" if fitted else "",
    ]
    return f"{fasteners_text(line, vocabulary)} of {joint}: {'; '.join(filter(None, told))}"


def _by_last_word(asked: Sequence[str], told: Iterable[str | None], vocabulary: Vocabulary) -> list[str]:
    """Return the parts that the book tells of which one word may stand for: "the pump", of the bilge pump alone."""
    word = _singular(asked[0]) if len(asked) == 1 else ""
    return sorted(one for one in told if one and word in last_words(one, vocabulary))


def _names_its_place(asked: Sequence[str], part: PartOff) -> bool:
    """Tell whether words were said of where a part is; "window sill" is "windowsill"."""
    said = re.findall(r"[\w-]+", part.kept_in_words.lower().replace("'", " "))
    return "".join(asked) in said or f" {' '.join(asked)} " in f" {' '.join(said)} "


def _is_gear(item: str, vocabulary: Vocabulary) -> bool:
    part = vocabulary.part(item)
    return part is not None and part.kind == "support-equipment"


def _not_told_off(
    records: Records,
    vocabulary: Vocabulary,
    zone: tzinfo,
    items: Sequence[str],
    side: Side | None,
    found: Sequence[PartOff],
) -> Iterator[str]:
    """Yield the parts that nobody told to be off: all that were asked for, or the other one of a pair."""
    if found:
        sides = {part.side for part in found}
        known = vocabulary.part(found[0].item)
        if side is None and known and known.symmetrical and len({part.item for part in found}) == 1:
            for other in _SIDES.values() if len(sides) == 1 and None not in sides else ():
                if other in sides:
                    continue
                yield f"{part_text(known.notation, other, None, vocabulary, article=False)}: {_STILL_ON}"
        return
    for item in items[:_MOST_NEAR]:
        wholes = [part for part in _wholes(records, vocabulary, item) if same_side(part.side, side)]
        if wholes:
            name = part_text(item, side, None, vocabulary, article=False)
            yield from (f"{name}: nothing is told of it alone; {_line(part, vocabulary, records)}" for part in wholes)
            continue
        yield from _otherwise_told(records, vocabulary, zone, item, side)


def _otherwise_told(
    records: Records, vocabulary: Vocabulary, zone: tzinfo, item: str, side: Side | None
) -> Iterator[str]:
    """Yield what else tells where a thing is that no list has off: put away loose, disconnected, or nothing."""
    name = part_text(item, side, None, vocabulary, article=False)

    def is_of_it(fact: FactRecord) -> bool:
        called = (one for one in (fact.item, fact.of) if one)
        return same_side(fact.side, side) and any(vocabulary.is_a(one, item) for one in called)

    kept = list(loose_lines(records, vocabulary, zone, is_of_it))
    parted = [
        line
        for line in records.lists.disconnections
        if line.item == item and same_side(line.side, side) and line.disconnected_on and not line.connected_on
    ]
    known = vocabulary.part(item)
    if kept:
        yield from kept
    elif parted:
        for line in parted:
            at = parted_at_text(line, vocabulary)
            where_parted = f" at the {at}" if at else ""
            on = day_text(line.disconnected_on) if line.disconnected_on else ""
            called = part_text(
                item, line.side, line.place, vocabulary, article=False, position=line.position, called=line.called
            )
            yield f"{called}: disconnected{where_parted} on {on}, and nobody said that it came off"
    elif known is not None and known.kind in LOOSE:
        yield f"{name}: nobody said where"
    else:
        yield f"{name}: {_STILL_ON}"


def _wholes(records: Records, vocabulary: Vocabulary, item: str) -> list[PartOff]:
    """Return the parts that are off or stowed and that this one belongs to: it may have come off with them."""
    return [
        part
        for part in records.lists.parts_off
        if part.state in ("off", "unknown") and vocabulary.is_a(item, part.item)
    ]


def _side(text: str, vocabulary: Vocabulary) -> tuple[Side | None, str]:
    for words in vocabulary.sides:
        known = _SIDES.get(words.notation)
        for word in words.words if known else ():
            if re.search(rf"\b{re.escape(word.lower())}\b", text):
                return known, re.sub(rf"\b{re.escape(word.lower())}\b", " ", text)
    return None, text


def _items(asked: str, vocabulary: Vocabulary) -> list[str]:
    """Return the parts that the longest name within the words may stand for; several where they share it."""
    return sorted(_longest_name(asked, vocabulary, vocabulary.part)[1])


def _fasteners_of(asked: str, vocabulary: Vocabulary) -> tuple[str, list[str]] | None:
    """Return the fasteners that were asked for, and which parts they may hold: "hinge bolts", "bolts of the fin"."""
    name, kinds = _longest_name(asked, vocabulary, lambda one: is_fastener(one, vocabulary))
    rest = f" {_in_singular(asked)} ".replace(f" {name} ", " | ") if name else ""
    items = [one for one in _items(rest, vocabulary) if not is_fastener(one, vocabulary)]
    # "wing nut", "shackle pin": a fastener whose own name has a part's in it is told by the longest name
    return (min(kinds), items) if items and len(kinds) == 1 else None


def _longest_name(asked: str, vocabulary: Vocabulary, is_meant: Callable[[str], object]) -> tuple[str, set[str]]:
    """Return the longest name within the words, in the singular, and the notations of those meant that have it."""
    said = f" {_in_singular(asked)} "
    longest, items = "", set[str]()
    for name in vocabulary.names():
        plain = _in_singular(name.text.lower())
        if name.list not in ("parts", "counted") or f" {plain} " not in said or not is_meant(name.notation):
            continue
        if len(plain) > len(longest):
            longest, items = plain, set()
        if len(plain) == len(longest):
            items.add(name.notation)
    return longest, items


def _in_singular(words: str) -> str:
    return " ".join(map(_singular, words.split()))


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _near(asked: str, names: Iterable[str]) -> str:
    near = get_close_matches(asked, sorted(names), n=_MOST_NEAR, cutoff=0.6)
    return f" Did you mean {' or '.join(near)}?" if near else ""
