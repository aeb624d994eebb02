"""What all values of the program are made of: frozen, and small enough that a book's worth of them can be held."""

from typing import Any

from pydantic import BaseModel

_GIVEN: dict[frozenset[str], set[str]] = {}


class Frozen(BaseModel, frozen=True, extra="forbid"):
    """A value that never changes, with no field but the declared ones.

    Which of its fields were given is noted once for all values that were given the same: a note of its own takes more
    memory than the rest of a value.
    """

    def model_post_init(self, context: Any, /) -> None:
        """Share the note of the fields that were given."""
        given = self.__pydantic_fields_set__
        object.__setattr__(self, "__pydantic_fields_set__", _GIVEN.setdefault(frozenset(given), given))
