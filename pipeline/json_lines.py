"""Lines of JSON, as the commands on text alone take them."""

import json
import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from typing import TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from pipeline.errors import WrongCommand


class Line(BaseModel):
    """What every line has; keys that are not asked for are passed over. An id that is a number stays one."""

    model_config = ConfigDict(strict=True, extra="ignore", frozen=True)

    id: str | int


_HALF_A_LETTER = re.compile("[\ud800-\udfff]")
_OWN_LINE = re.compile(r" at line \d+ (column \d+)")
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
            yield form.model_validate_json(_with_whole_letters(line.removeprefix("\ufeff")))
        except (ValidationError, ValueError) as error:
            raise WrongCommand(f"{name}, line {number}: {_what_is_wrong(error, form)}") from error


def _with_whole_letters(line: str) -> str:
    """Put U+FFFD where an escape tells half a letter: lawful, and no letter. Source: RFC 8259, section 8.2."""
    if "\\ud" not in line.lower():
        return line
    with suppress(ValueError, RecursionError):  # it is told of where the line is taken in
        return _HALF_A_LETTER.sub("\ufffd", json.dumps(json.loads(line), ensure_ascii=False))
    return line


def _what_is_wrong(error: Exception, form: type[Line]) -> str:
    wanted = "{" + ", ".join(f'"{key}": …' for key, field in form.model_fields.items() if field.is_required()) + "}"
    return f"{_fault(error)}. Write one note a line, as {wanted}."


def _fault(error: Exception) -> str:
    """Say what is wrong without a line of its own: each line is read alone, and the file's own number is told."""
    if not isinstance(error, ValidationError):
        return f"it cannot be read ({error})"
    first = error.errors()[0]
    if first["type"] == "json_invalid":
        return "it is no JSON: " + _OWN_LINE.sub(r", \1", first["ctx"]["error"])
    if not first["loc"]:
        return "it is no object in braces"
    key = json.dumps(first["loc"][0], ensure_ascii=False)
    if first["type"] == "missing":
        return f"{key} is missing"
    if first["loc"][0] == "id":
        return f"{key} is neither words in quotes nor a whole number"
    return f"{key} is not in quotes" if first["type"] == "string_type" else f"{key}: {first['msg']}"
