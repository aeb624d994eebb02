"""What all values of the program are made of: frozen, and small enough that a book's worth of them can be held."""

from typing import Any

from pydantic import BaseModel

_GIVEN: dict[frozenset[str], set[str]] = {}
_ALL_OF: dict[type[BaseModel], set[str]] = {}


class Frozen(BaseModel, frozen=True, extra="forbid"):
    """A value that never changes, with no field but the declared ones.

    Which of its fields were given is noted once for all values that were given the same: a note of its own takes more
    memory than the rest of a value.
    """

    def model_post_init(self, context: Any, /) -> None:
        """Share the note of the fields that were given."""
        given, all_of = self.__pydantic_fields_set__, _ALL_OF.get(type(self))
        if all_of is None:
            all_of = _ALL_OF[type(self)] = set(type(self).model_fields)
        shared = all_of if len(given) == len(all_of) else _GIVEN.setdefault(frozenset(given), given)
        object.__setattr__(self, "__pydantic_fields_set__", shared)
