"""What a stage made of each item, read from the book only where somebody asks for it."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import Any, NamedTuple, TypeVar

from pydantic_core import from_json

from pipeline.digests import sha256_of_text
from pipeline.store import Store, key_of
from pipeline.values import Value

V = TypeVar("V", bound=Value)

LOOK, DATE = "look", "date"
"""The stages whose results others than the stages after them ask for."""
WHOLE_BOOK = "book"
"""The item of a task that is of no one piece of media."""


class Given(NamedTuple):
    """A result that a task is made from: of a stage, one item's, or all that it made where ``item`` is None."""

    stage: str
    item: str | None = None


class Results(Mapping[str, V]):
    """The values of one stage by item, in order. None is held here: each is read when it is asked for."""

    def __init__(self, store: Store, stage: str, gives: type[V], digests: Mapping[str, str]) -> None:
        """Take note of what there is.

        Args:
            store: the open book.
            stage: the stage's name.
            gives: what its values are.
            digests: of the value of each item.
        """
        self._store, self._stage, self._gives = store, stage, gives
        self.digests = dict(sorted(digests.items()))

    def __getitem__(self, item: str) -> V:
        """Read one value."""
        if item not in self.digests:
            raise KeyError(item)
        return self._gives.model_validate_json(self._store.value(self._stage, item))

    def __contains__(self, item: object) -> bool:
        """Tell whether there is one, without reading it."""
        return item in self.digests

    def __iter__(self) -> Iterator[str]:
        """Return the items."""
        return iter(self.digests)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self.digests)

    def each(self) -> Iterator[tuple[str, V]]:
        """Yield every item with its value: quicker than asking for one after the other."""
        for item, value in self._store.values(self._stage):
            if item in self.digests:
                yield item, self._gives.model_validate_json(value)

    def each_plain(self) -> Iterator[tuple[str, Any]]:
        """Yield the same as plain lists and dictionaries: much quicker, where little of each is looked at."""
        return ((item, from_json(value)) for item, value in self._store.values(self._stage) if item in self.digests)

    def each_but(self, usual: V) -> Iterator[tuple[str, V]]:
        """Yield every item that has another value than the usual one, in order, and read no other."""
        same = sha256_of_text(usual.model_dump_json())
        return ((item, self[item]) for item, digest in self.digests.items() if digest != same)

    @cached_property
    def digest(self) -> str:
        """One digest of all items and values."""
        return key_of(self.digests)


def digests_of(made: Mapping[str, Results[Any]], given: Iterable[Given]) -> list[str]:
    """Return the digest of each result that is given."""
    return [made[one.stage].digest if one.item is None else made[one.stage].digests[one.item] for one in given]


def values_of(made: Mapping[str, Results[Any]], given: Iterable[Given]) -> list[Any]:
    """Return each result that is given."""
    return [made[one.stage] if one.item is None else made[one.stage][one.item] for one in given]
