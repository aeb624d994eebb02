"""What sounds alike among names is worked out once: most tests here change other lists than that of the parts."""

from collections.abc import Iterable, Iterator
from functools import lru_cache

import pytest

from pipeline.trade import check
from pipeline.trade.sound_alikes import SoundAlike, sound_alikes


@pytest.fixture(scope="session", autouse=True)
def _alike_once() -> Iterator[None]:
    known = lru_cache(8)(sound_alikes)

    def alike(names: Iterable[tuple[str, str]]) -> list[SoundAlike]:
        return known(tuple(names))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(check, "sound_alikes", alike)
        yield
