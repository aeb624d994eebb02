"""What every part of ``out/records.json`` is: frozen, and refused where it holds a name that is not known."""

from sys import intern
from typing import Annotated

from pydantic import AfterValidator, ConfigDict

from pipeline.frozen import Frozen

Id = Annotated[str, AfterValidator(intern)]
"""A name by which records tell of each other: each is held once, however often it is told."""


class Record(Frozen):
    """A frozen part of the records."""

    model_config = ConfigDict(populate_by_name=True, serialize_by_alias=True)
