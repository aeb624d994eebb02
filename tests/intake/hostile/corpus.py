"""The whole corpus: every family of broken and hostile files."""

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType

from tests.intake.hostile.broken import cut, flipped, lying, rearranged, wrong_type
from tests.intake.hostile.captions import captions
from tests.intake.hostile.case import Case
from tests.intake.hostile.names import names, no_files
from tests.intake.hostile.pictures import bombs, exif
from tests.intake.hostile.sounds import indexes, packed, waves

FAMILIES: Mapping[str, tuple[Callable[[], Iterator[Case]], ...]] = MappingProxyType(
    {
        "cut": (cut,),
        "flipped": (flipped,),
        "lying-sizes": (lying,),
        "rearranged": (rearranged,),
        "wrong-type": (wrong_type,),
        "bombs": (bombs,),
        "exif": (exif,),
        "sound": (waves, packed),
        "index": (indexes,),
        "captions": (captions,),
        "names": (names,),
        "no-files": (no_files,),
    }
)
"""Family → what makes its files. The same files come out each time."""


def cases(family: str, every: int = 1) -> Iterator[Case]:
    """Yield a family's files, or every so many of them."""
    number = 0
    for maker in FAMILIES[family]:
        for case in maker():
            if number % every == 0:
                yield case
            number += 1


def make_corpus(folder: Path, every: int = 1) -> dict[str, int]:
    """Make the corpus in ``folder`` and return how many files each family has; what is no file is made whole."""
    some = {family: 1 if family == "no-files" else every for family in FAMILIES}
    return {family: sum(bool(case.make(folder)) for case in cases(family, some[family])) for family in FAMILIES}
