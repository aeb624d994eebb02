"""Standard part numbers in speech and writing, with what they say: "A N four dash twelve A", "MS20470AD4-5"."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipeline.hardware import bolts_and_screws, british, nuts_pins_rivets
from pipeline.hardware.decoded import Decoded, Reading
from pipeline.hardware.spelling import Piece, Token, letter_of, pieces_from, tokens_of, ways_to_write
from pipeline.reading.forms import word_set

SERIES = ("NASM", "NAS", "AGS", "AN", "MS", "AS", "SP", "BS")
_RULES = (*bolts_and_screws.RULES, *nuts_pins_rivets.RULES, *british.RULES)
_BY_SERIES = {series: tuple(rule for rule in _RULES if series in rule.series) for series in SERIES}
# words, or other people's letters: not believed in small letters or in a text all in capitals
_WORDS = frozenset({"AN", "AS", "MS", "SP", "BS"})
_MADE_UP = {
    "AN": re.compile(r"[1-9][0-9]{2,5}(?:[A-Z]{1,3}[0-9]{0,4})?(?:-[A-Z]{0,2}[0-9]{1,4}[A-Z]{0,2})*"),
    "MS": re.compile(r"[1-9][0-9]{3,5}(?:[A-Z]{1,3}[0-9]{0,4})?(?:-[A-Z]{0,2}[0-9]{1,4}[A-Z]{0,2})*"),
    "NAS": re.compile(r"[1-9][0-9]{1,4}(?:[A-Z]{1,3}[0-9]{0,4})?(?:-[A-Z]{0,2}[0-9]{1,4}[A-Z]{0,2})*"),
    "NASM": re.compile(r"[1-9][0-9]{2,5}(?:[A-Z]{1,3}[0-9]{0,4})?(?:-[A-Z]{0,2}[0-9]{1,4}[A-Z]{0,2})*"),
}
_STANDARD = {"AN": "US standard part", "MS": "US military standard part",
             "NAS": "US national aerospace standard part", "NASM": "US national aerospace standard part"}  # fmt: skip
_RUN_TOGETHER = re.compile(r"-?(?P<number>[3-9]|1[0-9]|20)(?P<length>[1-7]|[1-9][0-7])(?P<plain>A)")
_PARTS = word_set("bolt bolts nut nuts washer washers rivet rivets screw screws pin pins split-pin clevis hardware")
_UNIT_AFTER = word_set(
    "mm millimetre millimetres cm m metre metres inch inches in foot feet ft thou psi lb lbs pound pounds kg kilo "
    "kilos hour hours hr hrs minute minutes min mins day days week weeks month months year years litre litres gallon "
    "gallons degree degrees percent people person man men newton"
)


@dataclass(frozen=True, slots=True)
class PartNumber:
    """A standard part's number in ``text[start:end]``.

    ``number`` is as its standard writes it, "AN4-12A"; ``decoded`` is what it says; ``doubt`` says why a person
    should check it, or is "".
    """

    series: str
    number: str
    start: int
    end: int
    decoded: Decoded
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class _Letters:
    series: str
    after: int
    sure: bool


def find_part_numbers(text: str) -> tuple[PartNumber, ...]:
    """Return the AN, MS, NAS, NASM, AGS, AS, SP and BS part numbers in ``text`` in order, none overlapping another.

    They may be written ("AN4-12A", "AN 4 12 A", "A.N.4-12A", "AGS 2004/C"), or said ("A N four dash twelve alpha").
    The words "an" and "as" before a plain number are never taken for a series.
    """
    tokens = tokens_of(text)
    mixed_case = any(character.islower() for character in text) or len(re.findall(r"\b[A-Z]{4,}\b", text)) < 2
    found: list[PartNumber] = []
    at = 0
    while at < len(tokens):
        number = None
        for letters in _series_at(tokens, at, mixed_case):
            number = _number_after(text, tokens, at, letters)
            if number:
                break
        if number is None:
            at += 1
            continue
        found.append(number)
        at = next((n for n in range(at, len(tokens)) if tokens[n].start >= number.end), len(tokens))
    return tuple(found)


def describe(part: PartNumber) -> str:
    """Return a part number in words: "AN4-12A: hexagon-headed steel bolt, 1/4 in (6.35 mm) diameter, …"."""
    decoded = part.decoded
    said = [decoded.kind, *(size.text() for size in decoded.sizes)]
    said += [f"thread {decoded.thread}"] if decoded.thread else []
    said += [*decoded.features, *([decoded.unread] if decoded.unread else []), *([part.doubt] if part.doubt else [])]
    return f"{part.number}: {', '.join(said)}"


def _series_at(tokens: Sequence[Token], at: int, mixed_case: bool) -> Iterator[_Letters]:
    """Yield the series whose letters stand from token ``at`` on, longest first."""
    first = tokens[at]
    if first.glued and at and tokens[at - 1].text[-1].isalnum():
        return
    if first.text.upper() in SERIES:
        figures = at + 1 < len(tokens) and tokens[at + 1].glued and tokens[at + 1].text[0].isdigit()
        series = first.text.upper()
        yield _Letters(series, at + 1, figures or series not in _WORDS or (first.text.isupper() and mixed_case))
        return
    spelt, after = "", at
    found = []
    while after < len(tokens) and len(spelt) < 4:
        letter = letter_of(tokens[after].text)
        if not letter:
            break
        spelt, after = spelt + letter, after + 1
        stop = after < len(tokens) and tokens[after].text == "." and tokens[after].glued
        after += stop
        if spelt in SERIES and len(spelt) > 1:
            found.append(_Letters(spelt, after, sure=True))
    yield from reversed(found)


def _number_after(text: str, tokens: Sequence[Token], at: int, letters: _Letters) -> PartNumber | None:
    pieces = pieces_from(text, tokens, letters.after)
    if pieces and pieces[0].kind == "dash":
        pieces = pieces[1:]
    starts_well = pieces and (pieces[0].kind != "letters" or letters.series == "BS")
    if not starts_well:
        return None
    for reader in (_by_rule, _run_together, _by_form):
        for size in range(len(pieces), 0, -1):
            taken = pieces[:size]
            if not _ends_well(tokens, pieces, size) or not _believed(letters, taken, tokens):
                continue
            reading = reader(letters.series, taken)
            if reading:
                heard = text[tokens[at].start : taken[-1].end]
                doubt = f"read from {heard}, to be checked" if reader is _run_together else ""
                return PartNumber(
                    letters.series, reading.number, tokens[at].start, taken[-1].end, reading.decoded, doubt
                )
    return None


def _by_rule(series: str, pieces: Sequence[Piece]) -> Reading | None:
    for written in ways_to_write(pieces):
        for rule in _BY_SERIES[series]:
            match = rule.pattern.fullmatch(written)
            parts = {k: (v or "").replace(" ", "") for k, v in match.groupdict().items()} if match else None
            reading = rule.read(parts | {"series": series}) if parts is not None else None
            if reading:
                return reading
    return None


def _by_form(series: str, pieces: Sequence[Piece]) -> Reading | None:
    """Read a number that has its series' form but no rule here: it is kept, and no size is worked out."""
    form = _MADE_UP.get(series)
    if form is None:
        return None
    for written in ways_to_write(pieces):
        joined = re.sub(r" ?([A-Z]+) ?", r"\1", written)
        if form.fullmatch(joined):
            return Reading(series + joined, Decoded(_STANDARD[series], unread="size not decoded"))
    return None


def _run_together(series: str, pieces: Sequence[Piece]) -> Reading | None:
    """Read "AN-412A", a bolt whose dash the recogniser lost."""
    match = _RUN_TOGETHER.fullmatch("".join(piece.text for piece in pieces))
    if series != "AN" or match is None:
        return None
    number, length, plain = match.groups()
    return _by_rule("AN", (Piece("figures", f"{number}-{length}{plain}", 0, 0, False),))


def _ends_well(tokens: Sequence[Token], pieces: Sequence[Piece], size: int) -> bool:
    """Tell whether a number may end after so many pieces: not on a dash, nor before more of itself."""
    last = pieces[size - 1]
    following = tokens[last.after] if last.after < len(tokens) else None
    if last.kind == "dash":
        return False
    if size < len(pieces) and (not pieces[size].apart or pieces[size].kind == "dash"):
        return False
    if following and following.glued and following.text[0].isalnum() and following.text != "s":
        return False
    if last.weak:
        return following is None or not following.text[0].isalnum() or following.text.lower() in _PARTS
    return True


def _believed(letters: _Letters, pieces: Sequence[Piece], tokens: Sequence[Token]) -> bool:
    """Tell whether letters that are also words, or in doubtful case, begin a part number before these pieces."""
    first, last = pieces[0], pieces[-1]
    following = tokens[last.after].text.lower() if last.after < len(tokens) else ""
    if letters.sure:
        return len(pieces) > 1 or not first.apart or following not in _UNIT_AFTER - {"in"}
    dashed = any(piece.kind == "dash" for piece in pieces)
    lettered = any(piece.kind == "letters" and (not piece.apart or not piece.weak) for piece in pieces[1:])
    if following in _UNIT_AFTER or not (dashed or lettered):
        return False
    if letters.series != "AN":
        return lettered and len(first.text) > 1
    grammatical = first.text.startswith("8") or first.text in ("11", "18")
    return lettered or not grammatical
