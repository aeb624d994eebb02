"""What every part of ``out/records.json`` is: frozen, and refused where it holds a name that is not known."""

from pydantic import BaseModel, ConfigDict


class Record(BaseModel):
    """A frozen part of the records."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, serialize_by_alias=True)
