"""A page's links to originals, led to where the bag holds them: whoever opens the bag alone can look and listen."""

import os
import posixpath
import re
from collections.abc import Mapping
from pathlib import Path
from urllib.parse import quote, unquote_to_bytes

_LINK = re.compile(rb'(?<=[\s"])((?:href|src)=")([^"#]+)')


def relinked(page: bytes, folder: Path, inside: str, places: Mapping[str, str]) -> bytes:
    """Return a page whose links to originals lead to them in the bag; all other links are as they were.

    An original that stays in an earlier bag is led to as if it lay in this one, as every file is that stays there:
    the bags of a book are laid over each other.

    Args:
        page: its bytes.
        folder: the folder that it lies in, absolute.
        inside: its path in the bag.
        places: the path in the bag of each original, by its absolute path and by its ``file:`` URI.
    """
    here = posixpath.dirname(inside)

    def led(found: re.Match[bytes]) -> bytes:
        link = os.fsdecode(unquote_to_bytes(found.group(2)))
        place = places.get(found.group(2).decode("utf-8", "replace"))
        place = place or places.get(os.path.normpath(os.path.join(folder, link)))  # noqa: PTH118 - links go upwards
        if place is None:
            return found.group(0)
        return found.group(1) + quote(posixpath.relpath(place, here), safe="/").encode()

    return _LINK.sub(led, page)
