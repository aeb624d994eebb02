"""What every part of ``out/records.json`` is: frozen, and refused where it holds a name that is not known."""

from pydantic import ConfigDict

from pipeline.frozen import Frozen


class Record(Frozen):
    """A frozen part of the records."""

    model_config = ConfigDict(populate_by_name=True, serialize_by_alias=True)
