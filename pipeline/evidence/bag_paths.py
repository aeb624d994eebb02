"""Names of files in a bag: as its manifests write them, and as other systems can hold them.

Source: RFC 8493, section 2.1.3 (percent signs, carriage returns and line feeds in paths) and 6.1 (names that differ
only in case, or in the way that a letter is composed; names that Windows reserves).
"""

import re
import unicodedata
from collections.abc import Mapping
from hashlib import sha256
from pathlib import PurePosixPath

_ENCODED = {"%": "%25", "\r": "%0D", "\n": "%0A"}
_ENCODED_LETTER = re.compile("%(25|0D|0A)", re.IGNORECASE)
_NOT_ON_WINDOWS = re.compile(r'[<>:"|?*\\\x00-\x1f]')
_RESERVED = re.compile(r"(?:CON|PRN|AUX|NUL|(?:COM|LPT)[1-9\u00b9\u00b2\u00b3])(?:\..*)?", re.IGNORECASE)
_LONGEST_NAME, _LONGEST_BYTES, _LONGEST_ENDING = 255, 255, 20


def encoded(path: str) -> str:
    """Return a path as a manifest writes it."""
    return "".join(_ENCODED.get(letter, letter) for letter in path)


def decoded(path: str) -> str:
    """Return the path that a manifest writes so; a percent sign that encodes nothing stands for itself."""
    return _ENCODED_LETTER.sub(lambda found: chr(int(found[1], 16)), path)


def leads_out(path: str) -> bool:
    """Tell whether a path from a manifest could lead out of the bag: such a path is never followed."""
    parts = path.split("/")
    return path.startswith(("/", "~")) or "\0" in path or any(part in ("", ".", "..") for part in parts)


def windows_refuses(path: str) -> str:
    """Tell why Windows, or a stick written for it, cannot hold a file of this name; "" where it can.

    Source: Microsoft, "Naming Files, Paths, and Namespaces" (from memory).
    """
    for name in PurePosixPath(path).parts:
        letters = sorted({repr(letter)[1:-1] for letter in _NOT_ON_WINDOWS.findall(name)})
        if letters:
            return f"it has {' '.join(letters)} in it"
        if name.endswith((" ", ".")):
            return "it ends in a space or a dot"
        if _RESERVED.fullmatch(name):
            return "Windows keeps this name for a device"
        if len(name.encode("utf-16-le", "surrogatepass")) // 2 > _LONGEST_NAME:
            return f"it is longer than {_LONGEST_NAME} characters"
    return ""


def plain_name(name: str) -> str:
    """Return a name that every system can hold, much like this one: letters that some refuse become "_"."""
    plain = _NOT_ON_WINDOWS.sub("_", utf8_name(name)).rstrip(" .") or "_"
    if _RESERVED.fullmatch(plain):
        plain = f"_{plain}"
    return plain


def utf8_name(name: str) -> str:
    """Return a name that can be written as UTF-8 in 255 bytes: bytes of another code page become "_"."""
    name = re.sub("[\ud800-\udfff]", "_", name)
    whole = PurePosixPath(name)
    stem, ending = (whole.stem, whole.suffix) if len(whole.suffix) < _LONGEST_ENDING else (name, "")
    while stem and len(f"{stem}{ending}".encode()) > _LONGEST_BYTES:
        stem = stem[:-1]
    return f"{stem}{ending}"


def told_apart(path: str) -> str:
    """Return what two paths have in common that a system may take for one: case, and how letters are composed."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", path).casefold())


def kept_apart(wanted: Mapping[str, str]) -> dict[str, str]:
    """Give everything a place, so that no two are one on a system that does not tell capitals from small letters.

    Args:
        wanted: the place that each would have. It has it unless another took it before, in sorted order; then eight
            figures go before its ending.
    """
    places: dict[str, str] = {}
    taken: set[str] = set()
    for name in sorted(wanted):
        place, number = wanted[name], 0
        while told_apart(place) in taken:
            mark = sha256(f"{number} {name}".encode("utf-8", "surrogatepass")).hexdigest()[:8]
            whole = PurePosixPath(wanted[name])
            place, number = str(whole.with_name(f"{whole.stem}-{mark}{whole.suffix}")), number + 1
        taken.add(told_apart(place))
        places[name] = place
    return places
