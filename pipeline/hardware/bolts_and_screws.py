"""US bolts and screws by number.

Sources: FAA-H-8083-30, Aircraft Hardware ("Aircraft bolts", "Screws"), and AC 43.13-1B chapter 7 sections 2 and 3,
for what each series is; the part number breakdown and the grips as in two published tables that agree (a kit
builder's manual, "AN3-AN20", and an AN bolt guide that works out AN4-15A, AN6-20 and AN5H-27A). AN501B-416-7 and
NAS144DH-22 are FAA-H-8083-30's examples, from memory.
"""

from collections.abc import Mapping
from fractions import Fraction

from pipeline.hardware.decoded import Decoded, Reading, Size, rule, screw_gauge, sixteenths

_BOLTS = "FAA-H-8083-30, Aircraft Hardware: bolts; AC 43.13-1B ch. 7 s. 3"
_SCREWS = "FAA-H-8083-30, Aircraft Hardware: screws; AC 43.13-1B ch. 7 s. 2"

FINE_THREADS: Mapping[int, str] = {
    3: "10-32", 4: "1/4-28", 5: "5/16-24", 6: "3/8-24", 7: "7/16-20", 8: "1/2-20", 9: "9/16-18", 10: "5/8-18",
}  # fmt: skip
# the thread takes up so much of the code's length; bolts shorter than this list's second number are cut otherwise
_THREAD_OF_GRIP: Mapping[int, tuple[Fraction, Fraction]] = {
    3: (Fraction(3, 8), Fraction(4, 8)),
    4: (Fraction(7, 16), Fraction(4, 8)),
    5: (Fraction(7, 16), Fraction(4, 8)),
    6: (Fraction(9, 16), Fraction(5, 8)),
}
_METALS = {"": "steel", "C": "corrosion-resistant steel", "DD": "aluminium-alloy"}
_NO_HOLE = "no split-pin hole in the shank"
_PIN_HOLE = "shank drilled for a split pin"
_WIRE_HOLE = "head drilled for locking wire"


def diameter_of(number: int) -> Size:
    """Return the diameter of an AN bolt's number: sixteenths of an inch, but 3 is a No. 10."""
    return Size("diameter", sixteenths(number), "No. 10" if number == 3 else "")


def eighths(code: str) -> Fraction | None:
    """Return the length of a bolt's code in inches: eighths, and inches before them; None for 8 and 9, not in use.

    "7" is 7/8 in, "10" is 1 in, "12" is 1 1/4 in.
    """
    whole, rest = divmod(int(code), 10)
    return whole + Fraction(rest, 8) if rest < 8 and int(code) else None


def _hexagon(parts: dict[str, str]) -> Reading | None:
    number, metal, code = int(parts["number"]), parts["metal"], parts["length"]
    head = parts["head"] or parts["head_after"]
    written = f"AN{number}" + (metal + head if metal else head + "-" * bool(code)) + code + parts["plain"]
    kind = f"hexagon-headed {_METALS[metal]} bolt"
    if not code:
        known = (diameter_of(number),)
        unread = "length not said"
        features = (_WIRE_HOLE,) if head else ()
        return Reading(written, Decoded(kind, known, FINE_THREADS.get(number, ""), features, unread, _BOLTS))
    length = eighths(code)
    sizes = (diameter_of(number), *_lengths(number, length))
    features = ((_NO_HOLE if parts["plain"] else _PIN_HOLE), *((_WIRE_HOLE,) if head else ()))
    unread = "" if length else f"length not decoded: no bolt has the length code {code}"
    return Reading(written, Decoded(kind, sizes, FINE_THREADS.get(number, ""), features, unread, _BOLTS))


def _lengths(number: int, length: Fraction | None) -> tuple[Size, ...]:
    if not length:
        return ()
    thread, shortest = _THREAD_OF_GRIP.get(number, (Fraction(0), Fraction(100)))
    grip = (Size("grip", length - thread),) if length >= shortest else ()
    return (Size("nominal length", length), *grip)


def _clevis(parts: dict[str, str]) -> Reading | None:
    number, code = int(parts["number"]), parts["length"]
    gauges = {21: (6, "6-40"), 22: (8, "8-36"), 23: (10, "10-32")}
    if number in gauges:
        gauge, thread = gauges[number]
        across = Size("diameter", screw_gauge(gauge), f"No. {gauge}")
    else:
        across, thread = Size("diameter", sixteenths(number - 20)), FINE_THREADS.get(number - 20, "")
    decoded = Decoded(
        "clevis bolt",
        (across, Size("length", sixteenths(code))),
        thread,
        (_NO_HOLE if parts["plain"] else _PIN_HOLE,),
        source=_BOLTS,
    )
    return Reading(f"AN{number}-{code}{parts['plain']}", decoded)


def _other_bolt(parts: dict[str, str]) -> Reading | None:
    number = int(parts["number"])
    written = f"AN{number}" + "-" * (not parts["metal"]) + parts["metal"] + parts["length"] + parts["plain"]
    if 42 <= number <= 49:
        return Reading(written, Decoded("eye bolt", unread="size not decoded", source=_BOLTS))
    if 73 <= number <= 81:
        return Reading(
            written,
            Decoded(
                "hexagon-headed bolt with a drilled head", (diameter_of(number - 70),),
                FINE_THREADS.get(number - 70, ""), (_WIRE_HOLE,), "length not decoded", _BOLTS,
            ),
        )  # fmt: skip
    length = eighths(parts["length"])
    return Reading(
        written,
        Decoded(
            "close-tolerance hexagon-headed bolt",
            (diameter_of(number - 170), *((Size("nominal length", length),) if length else ())),
            FINE_THREADS.get(number - 170, ""),
            (_NO_HOLE if parts["plain"] else _PIN_HOLE,),
            "" if length else "length not decoded",
            f"{_BOLTS}; the numbering from memory",
        ),
    )


def _close_tolerance(parts: dict[str, str]) -> Reading | None:
    """Read NAS6203 to NAS6210: the last figures are the diameter in sixteenths, the dash number the grip likewise."""
    number, grip, holes = int(parts["number"]), parts["length"], parts["holes"]
    across = number - 6200
    features = {"D": (_PIN_HOLE,), "H": (_WIRE_HOLE,)}.get(holes, ())
    decoded = Decoded(
        "close-tolerance hexagon-headed alloy-steel bolt",
        (diameter_of(across), Size("grip", sixteenths(grip))),
        FINE_THREADS.get(across, ""),
        features,
        source="published tables of NAS6203 to NAS6210; AC 43.13-1B ch. 7 s. 3; D and H from memory",
    )
    return Reading(f"NAS{number}-{grip}{holes}", decoded)


def _wrenching(parts: dict[str, str]) -> Reading | None:
    number, length, head = int(parts["number"]), parts["length"], parts["head"]
    sizes: tuple[Size, ...] = (Size("length", sixteenths(length)),)
    thread = "1/4-28" if number == 144 else ""
    if number == 144:
        sizes = (Size("diameter", Fraction(1, 4)), *sizes)
    return Reading(
        f"NAS{number}{head}-{length}",
        Decoded(
            "internal-wrenching bolt", sizes, thread, ("head drilled",) if head else (),
            "" if thread else "diameter not decoded", f"{_SCREWS}; from memory",
        ),
    )  # fmt: skip


_SCREW_KINDS: Mapping[int, str] = {
    500: "fillister-head machine screw, coarse thread",
    501: "fillister-head machine screw, fine thread",
    502: "drilled fillister-head machine screw",
    503: "drilled fillister-head machine screw",
    505: "countersunk machine screw",
    507: "100° countersunk machine screw",
    509: "100° countersunk structural screw",
    510: "countersunk machine screw",
    515: "round-head machine screw",
    520: "round-head machine screw",
    525: "washer-head structural screw",
    526: "truss-head machine screw",
}
_SCREW_METALS = {"": "", "B": "brass ", "C": "corrosion-resistant steel ", "D": "aluminium-alloy ",
                 "DD": "aluminium-alloy "}  # fmt: skip


def screw_size(code: str) -> tuple[Size, str] | None:
    """Return the diameter that a size code stands for, and its thread where it says that.

    "8" and "10" are screw numbers, "416" is 4/16 in, "832" is No. 8 with 32 threads to the inch, "428" is
    4/16 in with 28.
    """
    threads = {
        "256": (2, 56), "440": (4, 40), "632": (6, 32), "640": (6, 40), "832": (8, 32), "836": (8, 36),
        "1024": (10, 24), "1032": (10, 32),
    }  # fmt: skip
    if code in threads:
        gauge, pitch = threads[code]
        return Size("diameter", screw_gauge(gauge), f"No. {gauge}"), f"{gauge}-{pitch}"
    if len(code) <= 2 and int(code) in (2, 3, 4, 5, 6, 8, 10):
        return Size("diameter", screw_gauge(int(code)), f"No. {int(code)}"), ""
    if len(code) in (3, 4) and code.endswith("16") and 4 <= int(code[:-2]) <= 15:
        return Size("diameter", sixteenths(code[:-2])), ""
    fine = {f"{n}{t.rsplit('-', 1)[1]}": t for n, t in FINE_THREADS.items() if n > 3}
    fine |= {"1216": "3/4-16", "1414": "7/8-14", "1614": "1-14"}
    if code in fine:
        return Size("diameter", sixteenths(code[:-2])), fine[code]
    return None


def _screw(parts: dict[str, str]) -> Reading | None:
    number, metal, code, recess, length = (parts[k] for k in ("number", "metal", "size", "recess", "length"))
    written = f"AN{number}{metal}-{code}{recess or '-'}{length}"
    found = screw_size(code)
    sizes = (*((found[0],) if found else ()), Size("length", sixteenths(length)))
    return Reading(
        written,
        Decoded(
            _SCREW_METALS[metal] + _SCREW_KINDS[int(number)], sizes, found[1] if found else "",
            ("recessed head",) if recess else (), "" if found else "diameter not decoded",
            f"{_SCREWS}; the numbering from memory",
        ),
    )  # fmt: skip


_HEX_NUMBERS = r"(?P<number>1[0-9]|20|[3-9])"
_LENGTH = r"(?P<length>[1-9][0-9]?)"
_PLAIN = r"(?: ?-?(?P<plain>A))?"
RULES = (
    rule("AN", rf"{_HEX_NUMBERS}~(?P<head>H)?~(?P<metal>C|D ?D)~(?P<head_after>H)?~{_LENGTH}{_PLAIN}", _hexagon),
    rule("AN", rf"{_HEX_NUMBERS}(?:~(?P<head>H))?~(?P<metal>)(?P<head_after>)-~{_LENGTH}{_PLAIN}", _hexagon),
    rule("AN", rf"{_HEX_NUMBERS}~(?P<head>H)(?P<metal>)(?P<head_after>) ?{_LENGTH}{_PLAIN}", _hexagon),
    rule("AN", rf"{_HEX_NUMBERS}(?P<head>)(?P<metal>)(?P<head_after>) {_LENGTH} ?-?(?P<plain>A)", _hexagon),
    rule("AN", rf"{_HEX_NUMBERS}(?:~(?P<head>H))?(?P<metal>)(?P<head_after>)(?P<length>)(?P<plain>)", _hexagon),
    rule("AN", rf"(?P<number>2[1-9]|3[0-6])~-~{_LENGTH}{_PLAIN}", _clevis),
    rule(
        "AN",
        rf"(?P<number>4[2-9]|7[3-9]|8[01]|17[3-9]|18[0-6])(?:~-~|~(?P<metal>C|D ?D)~){_LENGTH}{_PLAIN}",
        _other_bolt,
    ),
    rule("NAS NASM", r"(?P<number>62(?:0[3-9]|10))~-~(?P<length>[1-9][0-9]?)~(?P<holes>[DH])?", _close_tolerance),
    rule("NAS", r"(?P<number>14[4-9]|15[0-8])~(?P<head>D ?H)?~-~(?P<length>[1-9][0-9]?)", _wrenching),
    rule(
        "AN",
        r"(?P<number>50[0123579]|510|515|52[056])~(?P<metal>B|C|D ?D|D)?~-?~(?P<size>[1-9][0-9]{0,3})"
        r"~(?:-|(?P<recess>R))~(?P<length>[1-9][0-9]?)",
        _screw,
    ),
)
