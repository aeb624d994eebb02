"""Lines of JSON, as the commands on text alone take them."""

import json
from collections.abc import Iterable, Iterator
from typing import TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from pipeline.errors import WrongCommand


class Line(BaseModel):
    """What every line has; keys that are not asked for are passed over."""

    model_config = ConfigDict(strict=True, extra="ignore", frozen=True)

    id: str


_L = TypeVar("_L", bound=Line)


def read_json_lines(lines: Iterable[str], form: type[_L], name: str) -> Iterator[_L]:
    """Yield each line as a value of ``form``; empty lines are passed over.

    Args:
        lines: one JSON object a line.
        form: the keys that it must have.
        name: the file's name as the user gave it, for messages.

    Raises:
        WrongCommand: a line is not of that form; the message names the file and the line, and what to mend.
    """
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        try:
            yield form.model_validate_json(line.removeprefix("\ufeff"))
        except (ValidationError, ValueError) as error:
            raise WrongCommand(f"{name}, line {number}: {_what_is_wrong(error, form)}") from error


def _what_is_wrong(error: Exception, form: type[Line]) -> str:
    wanted = "{" + ", ".join(f'"{key}": …' for key, field in form.model_fields.items() if field.is_required()) + "}"
    first = error.errors()[0] if isinstance(error, ValidationError) else {"loc": (), "msg": str(error)}
    where = ".".join(json.dumps(part, ensure_ascii=False) for part in first["loc"])
    return f"{where + ': ' if where else ''}{first['msg']}. Write one note a line, as {wanted}."
