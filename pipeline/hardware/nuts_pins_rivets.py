"""US nuts, washers, pins and solid rivets by number.

Sources: FAA-H-8083-30, Aircraft Hardware ("Nuts", "Solid shank rivets", "Pins"); AC 43.13-1B chapter 7 sections 1 and
4 and figure 4-4 with paragraph 4-57 (rivets, half lengths); published parts lists that give NAS1149 washers beside
the AN960 ones that they replace. What is from memory says so in its ``source``.
"""

from collections.abc import Mapping
from fractions import Fraction

from pipeline.hardware.bolts_and_screws import FINE_THREADS, screw_size
from pipeline.hardware.decoded import Decoded, Reading, Size, rule, screw_gauge, sixteenths, thirty_seconds

_NUTS = "FAA-H-8083-30, Aircraft Hardware: nuts; AC 43.13-1B ch. 7 s. 4"
_RIVETS = "FAA-H-8083-30, Aircraft Hardware: solid shank rivets; AC 43.13-1B figure 4-4, ch. 7 s. 1"
_PINS = "FAA-H-8083-30, Aircraft Hardware: pins"
_WASHERS = "FAA-H-8083-30, Aircraft Hardware: washers"

_NUT_KINDS: Mapping[int, str] = {
    310: "castle nut", 315: "plain nut", 316: "check nut", 320: "castellated shear nut",
    335: "plain nut, coarse thread", 340: "light hexagon nut, coarse thread",
    345: "light hexagon nut, fine thread", 350: "wing nut",
    363: "self-locking nut for hot places", 364: "thin self-locking nut", 365: "self-locking nut",
}  # fmt: skip
_NUT_METALS = {"": "steel", "B": "brass", "C": "corrosion-resistant steel", "D": "aluminium-alloy",
               "DD": "aluminium-alloy"}  # fmt: skip
_HANDS = {"R": ("right-hand thread",), "L": ("left-hand thread",)}


def _nut(parts: dict[str, str]) -> Reading | None:
    """Read AN310D5R: the kind of nut, its metal, the bolt that it fits in sixteenths, the hand of its thread."""
    number, metal, code, hand = int(parts["number"]), parts["metal"], parts["size"], parts["hand"]
    written = f"AN{number}{metal or '-'}{code}{hand}"
    bolt = int(code)
    if not 3 <= bolt <= 20:
        return None
    fits = Size("bolt size", sixteenths(bolt), "No. 10" if bolt == 3 else "")
    kind = f"{_NUT_METALS[metal]} {_NUT_KINDS[number]}"
    return Reading(written, Decoded(kind, (fits,), FINE_THREADS.get(bolt, ""), _HANDS.get(hand, ()), source=_NUTS))


def _threaded_nut(parts: dict[str, str]) -> Reading | None:
    """Read AN365-1032 and AN350B1032: the last two figures are threads to the inch, those before them the size."""
    series, number, metal, code = parts["series"], parts["number"], parts["metal"], parts["size"]
    kind = _NUT_KINDS[int(number[-3:])]
    found = screw_size(code) if len(code) > 2 else None
    size = (Size("bolt size", found[0].inches, found[0].designation),) if found else ()
    written = f"{series}{number}{metal or '-'}{code}{parts['finish']}"
    metal_text = f"{_NUT_METALS[metal]} " if metal else ""
    unread = "" if found else "size not decoded"
    return Reading(written, Decoded(metal_text + kind, size, found[1] if found else "", (), unread, _NUTS))


def _washer(parts: dict[str, str]) -> Reading | None:
    """Read AN960-416L: the bolt that it fits, sixteenths before "16" or a screw number; L is half as thick."""
    metal, code, light = parts["metal"], parts["size"], parts["light"]
    found = screw_size(code)
    if found is None:
        return None
    fits = Size("bolt size", found[0].inches, found[0].designation)
    usual = not metal and (len(code) == 3 or code == "10")
    thick = (Size("thickness", Fraction(1, 32) if light else Fraction(1, 16)),) if usual else ()
    names = {"": "steel ", "C": "corrosion-resistant steel ", "D": "aluminium-alloy ", "PD": "aluminium-alloy "}
    return Reading(
        f"AN960{metal or '-'}{code}{light}",
        Decoded(
            f"{names.get(metal, '')}plain washer", (fits, *thick), "", ("light: half as thick",) if light else (),
            "" if thick else "thickness not decoded", f"{_WASHERS}; letters from memory",
        ),
    )  # fmt: skip


def _large_washer(parts: dict[str, str]) -> Reading | None:
    size = int(parts["size"])
    fits = Size("bolt size", sixteenths(size), "No. 10" if size == 3 else "")
    source = f"{_WASHERS}; size from memory"
    return Reading(
        f"AN970-{size}", Decoded("large-area plain washer", (fits,), "", (), "thickness not decoded", source)
    )


def _new_washer(parts: dict[str, str]) -> Reading | None:
    """Read NAS1149F0463P: 04 is sixteenths (N8 a screw's number), 63 is thousandths thick."""
    metal, screw, size, thick, finish = (parts[k] for k in ("metal", "screw", "size", "thick", "finish"))
    number = int(size)
    if bool(screw) != (len(size) == 1):
        return None
    if screw:
        fits = Size("bolt size", screw_gauge(number), f"No. {number}")
    else:
        fits = Size("bolt size", sixteenths(number), "No. 10" if number == 3 else "")
    decoded = Decoded(
        "plain washer",
        (fits, Size("thickness", Fraction(int(thick), 1000))),
        unread="material and finish not decoded",
        source="published parts lists: NAS1149F0463P for AN960-416, F0332P for -10L, FN832P for -8",
    )
    return Reading(f"NAS1149{metal}{screw}{size}{thick}{finish}", decoded)


def _split_pin(parts: dict[str, str]) -> Reading | None:
    """Read AN380-4-4: diameter in thirty-seconds, length in quarters of an inch."""
    number, across, long = parts["number"], parts["size"], parts["length"]
    kind = f"{'steel' if number == '380' else 'corrosion-resistant steel'} split pin"
    sizes = (Size("diameter", thirty_seconds(across)), Size("length", Fraction(int(long), 4)))
    return Reading(f"AN{number}-{across}-{long}", Decoded(kind, sizes, source=f"{_PINS}; a builder's guide"))


# the dash number is a line in the standard's table; only a line that was looked up is here
_MS24665: Mapping[str, tuple[Fraction, Fraction]] = {"353": (Fraction(1, 8), Fraction(1))}


def _table_pin(parts: dict[str, str]) -> Reading | None:
    dash = parts["size"]
    written = f"{parts['series']}24665-{dash}"
    if dash not in _MS24665:
        return Reading(written, Decoded("split pin", unread="size not decoded", source=_PINS))
    across, long = _MS24665[dash]
    sizes = (Size("diameter", across), Size("length", long))
    return Reading(written, Decoded("steel split pin", sizes, source="a published entry: the same as AN380-4-4"))


# dash number of MS20392 is the AN number less 391; 1/8, 3/16 and 1/4 in were looked up for AN392 to AN394
_CLEVIS_PINS = {392: Fraction(1, 8), 393: Fraction(3, 16), 394: Fraction(1, 4)}


def _clevis_pin(parts: dict[str, str]) -> Reading | None:
    number, metal, long = int(parts["number"]), parts["metal"], parts["length"]
    written = f"AN{number}{metal or '-'}{long}"
    return Reading(
        written, _clevis_decoded(number, long, "AC 43.13-1B ch. 7; a builder's guide to clevis bolts and pins")
    )


def _new_clevis_pin(parts: dict[str, str]) -> Reading | None:
    across, metal, long = int(parts["size"]), parts["metal"], parts["length"]
    written = f"{parts['series']}20392-{across}{metal}{long}"
    return Reading(written, _clevis_decoded(391 + across, long, "as AN392 to AN394; the numbering from memory"))


def _clevis_decoded(number: int, long: str, source: str) -> Decoded:
    across = _CLEVIS_PINS.get(number)
    sizes = (*((Size("diameter", across),) if across else ()), Size("length", thirty_seconds(long)))
    return Decoded("clevis pin", sizes, "", (), "" if across else "diameter not decoded", source)


_HEADS: Mapping[str, str] = {
    "426": "100° countersunk-head", "430": "round-head", "442": "flat-head", "455": "brazier-head",
    "456": "brazier-head", "470": "universal-head",
}  # fmt: skip
_ALLOYS: Mapping[str, str] = {
    "A": "soft aluminium (1100)", "AD": "aluminium-alloy (2117)", "D": "aluminium-alloy (2017)",
    "DD": "aluminium-alloy (2024)", "B": "aluminium-alloy (5056)", "M": "monel",
}  # fmt: skip


def _rivet(parts: dict[str, str]) -> Reading | None:
    """Read MS20470AD4-5: head, alloy, diameter in thirty-seconds, length in sixteenths (halves as "3.5")."""
    series, head, alloy, across, long = (parts[k] for k in ("series", "head", "alloy", "size", "length"))
    sizes: tuple[Size, ...] = (Size("diameter", thirty_seconds(across)),)
    if long:
        sizes = (*sizes, Size("length", sixteenths(long)))
    written = f"{series}{'' if series == 'AN' else '20'}{head}{alloy}{across}" + (f"-{long}" if long else "")
    kind = f"{_HEADS[head]} {_ALLOYS[alloy]} rivet"
    return Reading(written, Decoded(kind, sizes, "", (), "" if long else "length not said", _RIVETS))


def _apart(number: str) -> str:
    """Return a pattern for a number whose figures may stand apart in one place: "470", "4 70", "47 0"."""
    return "(?:" + "|".join([number, *(f"{number[:n]} {number[n:]}" for n in range(1, len(number)))]) + ")"


def _either(numbers: str) -> str:
    return "|".join(_apart(number) for number in numbers.split())


_ALLOY = r"(?P<alloy>A ?D|D ?D|A|B|D|M)"
RULES = (
    rule(
        "AN",
        rf"(?P<number>{_either('310 315 316 320')})(?:~(?P<metal>D ?D|B|C|D)~|~-~)(?P<size>[1-9][0-9]?)"
        r" ?(?P<hand>[RL])?",
        _nut,
    ),
    rule(
        "AN",
        rf"(?P<number>{_either('335 340 345 350 363 364 365')})(?:~(?P<metal>D ?D|B|C|D)~|~-?~)"
        r"(?P<size>[1-9][0-9]{2,3}) ?(?P<finish>[AC])?",
        _threaded_nut,
    ),
    rule(
        "MS NASM",
        rf"(?P<number>{_either('20363 20364 20365')})(?:~(?P<metal>D ?D|B|C|D)~|~-?~)"
        r"(?P<size>[1-9][0-9]{2,3}) ?(?P<finish>[AC])?",
        _threaded_nut,
    ),
    rule(
        "AN",
        rf"(?P<number>{_apart('960')})(?:~(?P<metal>P ?D|K ?D|C|D|B)~|~-?~)(?P<size>[1-9][0-9]{{0,3}})"
        r" ?(?P<light>L)?",
        _washer,
    ),
    rule("AN", rf"(?P<number>{_apart('970')})~-~(?P<size>[3-9]|1[0-2])", _large_washer),
    rule(
        "NAS NASM",
        rf"(?P<number>{_apart('1149')})~(?P<metal>[A-Z])~(?P<screw>N)?~(?P<size>[01][0-9]|[2-9])~"
        r"(?P<thick>[0-9]{2}) ?(?P<finish>[A-Z])?",
        _new_washer,
    ),
    rule("AN", r"(?P<number>38[01])~-~(?P<size>[1-9])~-~(?P<length>[1-9][0-9]?)", _split_pin),
    rule("MS NASM", rf"(?P<number>{_apart('24665')})~-?~(?P<size>[1-9][0-9]{{0,3}})", _table_pin),
    rule("AN", r"(?P<number>39[2-9]|40[0-6])(?:~-~|~(?P<metal>C)~)(?P<length>[1-9][0-9]{0,2})", _clevis_pin),
    rule(
        "MS NASM",
        rf"(?P<number>{_apart('20392')})~-?~(?P<size>[1-9])~(?P<metal>C)~(?P<length>[1-9][0-9]{{0,2}})",
        _new_clevis_pin,
    ),
    rule(
        "AN",
        rf"(?P<head>{_either(' '.join(_HEADS))})~{_ALLOY}~(?P<size>[2-9]|1[0-2])"
        r"(?:~-?~(?<![0-9])(?P<length>[1-9][0-9]?(?:\.5)?))?",
        _rivet,
    ),
    rule(
        "MS NASM",
        rf"2 ?0 ?(?P<head>{_either(' '.join(_HEADS))})~{_ALLOY}~(?P<size>[2-9]|1[0-2])"
        r"(?:~-?~(?<![0-9])(?P<length>[1-9][0-9]?(?:\.5)?))?",
        _rivet,
    ),
)
