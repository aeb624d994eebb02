"""What is said of a setting or an option that was typed wrong, in one place: where it stands, and what is right.

Nothing of the machinery shows: neither its words ("extra inputs"), nor numbers that count from nought.
"""

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from pathlib import Path
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from pipeline.english import nth

Place = tuple[str | int, ...]
"""Where a setting stands: names of blocks and settings, and which block of a kind, counted from 0."""

_KEY = r"(?:\"[^\"]*\"|'[^']*'|[\w-]+)"
_KEYS = rf"{_KEY}(?:\s*\.\s*{_KEY})*"
_BLOCK = re.compile(rf"\s*(\[\[?)\s*({_KEYS})\s*\]\]?\s*(?:#.*)?$")
_SETTING = re.compile(rf"\s*({_KEYS})\s*=\s*(.*)")
_LONG_TEXT = re.compile(r"\"\"\"|'''")
_AT_LINE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")
_YES_OR_NO = re.compile(r"(?:yes|no|on|off|true|false)\b", re.IGNORECASE)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_OTHER_DAY = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})")
_OF_DAYS = frozenset({"book_starts", "on"})
_OF_MANY = frozenset(
    {"people", "answers", "released", "pictures", "reports"}
)  # blocks that a file may have several of
_CURLY = re.compile("[\u201c\u201d\u201e\u2018\u2019]")
_NO_COMMAND = re.compile(r"No such command '([^']*)'")
_NO_OPTION = re.compile(r"No such option:? '?([^\s']*)")
_LIMIT = re.compile(r"(greater|less) than or equal to ([\d.-]+)")
_NEEDS_NO_QUOTES = re.compile(r"[\w./\\:~+-]+")
_NEAR = 70.0  # how alike, of 100, a name must be to be asked for
_ONE_SLIP = 80.0  # a short name with one slip of the keyboard is at least so like
_MOST_NAMED = 12
_EXAMPLES: Mapping[type, str] = {
    bool: "true or false in small letters and without quotes",
    date: "a day, year first and without quotes, like 2026-01-31",
    float: "a number, like 3600 or -120",
    int: "a whole number, like 12",
    str: 'words in quotes, like "Alex Example"',
}


def near(name: str, known: Iterable[str]) -> str:
    """Return the known name that somebody may have meant, "" where none is like it."""
    plain = {one.casefold(): one for one in known}
    found = process.extractOne(name.casefold(), plain.keys(), scorer=_alike, score_cutoff=_NEAR)
    return plain[found[0]] if found else ""


def _alike(one: str, other: str, **_: Any) -> float:
    """Return how alike two names are, of 100; the beginning of a long one is somewhat like it too."""
    one_slip = len(one) > 2 and OSA.distance(one, other, score_cutoff=1) <= 1
    return max(fuzz.ratio(one, other), 0.9 * fuzz.ratio(one, other[: len(one)]), _ONE_SLIP if one_slip else 0.0)


def to_type(path: Path) -> str:
    """Return a path as it has to be typed in a command: in quotes where it has blanks in it."""
    text = str(path)
    return text if _NEEDS_NO_QUOTES.fullmatch(text) else f'"{text}"'


def first_run(book: Path) -> str:
    """Return the command that takes media into a book for the first time."""
    return f'saidseen run {to_type(book)} "YOUR MEDIA FOLDER"'


def with_a_blank(path: Path) -> Path | None:
    """Return the one path that goes on behind a blank where a path that is none ends: it was typed without quotes."""
    if path.exists() or not path.name:
        return None
    try:
        meant = [one for one in path.parent.iterdir() if one.name.startswith(f"{path.name} ")]
    except OSError:
        return None
    return meant[0] if len(meant) == 1 else None


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """Return the end of a sentence on a name that there is not: what may have been meant, or all that there are."""
    names = sorted(set(known))
    if meant := near(name, names):
        return f"Did you mean {meant}?"
    listed = ", ".join(names) if len(names) <= _MOST_NAMED else ""
    return f"There are: {listed}." if listed else ""


def nobody_called(name: str, people: Iterable[str]) -> str:
    """Return what to say where somebody gives a name that is nobody's of the book's people."""
    listed = list(people)
    meant = near(name, listed)
    there = f"Did you mean {meant}?" if meant else f"It lists: {', '.join(listed) or 'nobody yet'}."
    return f"book.toml lists nobody called '{name}'. {there} People are added to it under [[people]]."


# Days on the command line ----------------------------------------------------------------------------------------


def day_typed(text: str) -> datetime:
    """Return the day that was typed; raises ValueError in words for whoever typed it."""
    typed = text.strip()
    if _DAY.fullmatch(typed):
        try:
            return datetime.strptime(typed, "%Y-%m-%d")  # noqa: DTZ007 - a day of the book's own zone
        except ValueError:
            raise ValueError(f"there is no day {typed}. Write a day of the calendar, like 2026-01-31.") from None
    if other := _OTHER_DAY.fullmatch(typed):
        day, month, year = other.groups()
        if int(month) > 12:  # as it is written in America
            day, month = month, day
        raise ValueError(
            f"'{typed}' is not a day as it is written here: year first, like {year}-{month:0>2}-{day:0>2}."
        )
    raise ValueError(f"'{typed}' is not a day. Write it year first, like 2026-01-31.")


def wrong_option(command: str, message: str, *, name: str = "", help_: str = "", known: Iterable[str] = ()) -> str:
    """Return what to say of something that was typed wrong after a command.

    Args:
        command: the command: "saidseen report".
        message: what the engine of the command line says, "" of what is missing.
        name: the option or argument that it says it of, "" for none.
        help_: what that is for.
        known: the commands and options that there are.
    """
    told = f"{name}: {_why_wrong(message)}" if name else _why_wrong(message)
    if name and not message:
        told = f"{name} is missing: {help_[:1].lower()}{help_[1:].rstrip('.')}."
    for what, found in (("command", _NO_COMMAND.search(message)), ("option", _NO_OPTION.search(message))):
        if found:
            told = f"there is no {what} {found[1]}. {did_you_mean(found[1], known)}".rstrip()
    return f"{command}: {told} What may be typed: {command} --help"


def _why_wrong(message: str) -> str:
    """Say in plain words what the engine says of a value."""
    if "integer" in message:
        return "write a whole number, like 12."
    if limit := _LIMIT.search(message):
        return f"write {limit[2]} or {'more' if limit[1] == 'greater' else 'less'}."
    if too_many := re.search(r"unexpected extra argument\S* \((.*)\)", message):
        return (
            f"nothing more may follow, and there is: {too_many[1]}. Put quotation marks round what has a blank in "
            'it, like "Crew Trainer".'
        )
    if wanting := re.search(r"'(.*)' requires", message):
        return f"something must follow {wanting[1]}."
    return message.removeprefix("Value error, ").rstrip(".") + "."


# Files of settings -----------------------------------------------------------------------------------------------


def not_utf8(path: Path, raw: bytes, at: int) -> str:
    """Return what to say of a file of settings that was saved in another code page than UTF-8.

    Args:
        path: the file.
        raw: what it holds.
        at: the number of the first byte that cannot be.
    """
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return (
            f"{path} is saved as UTF-16, which Notepad calls Unicode. Save it as UTF-8: Notepad asks under Save as."
        )
    if raw.startswith(b"PK"):
        return f"{path} is a document of a word processor. Save it as plain text, with the encoding UTF-8."
    begins, ends = raw.rfind(b"\n", 0, at) + 1, raw.find(b"\n", at)
    number = raw.count(b"\n", 0, at) + 1
    line = raw[begins : ends if ends >= 0 else None].decode("cp1252", "replace").strip()
    return (
        f"{path}, line {number}: the letters of “{line}” are not saved as UTF-8. Open it in a "
        "plain editor and save it with the encoding UTF-8: Notepad asks for it under Save as."
    )


def unreadable(path: Path, text: str, error: tomllib.TOMLDecodeError) -> str:
    """Return what to say of a file of settings that is no TOML."""
    if text.startswith("{\\rtf"):
        return f"{path} is rich text of a word processor. Save it as plain text, with the encoding UTF-8."
    at, lines = _AT_LINE.search(str(error)), text.splitlines()
    number = min(int(at[1]) if at and at[1] else len(lines), len(lines))
    of_a_block = "declaration" in str(error)  # anything else is found out below the line that it began in
    if not of_a_block and ("array" in str(error) or not at or not at[1]):
        number = next((one for one in range(number, 0, -1) if _SETTING.match(lines[one - 1])), number)
    line = lines[number - 1].strip() if number else ""
    return f"{path}, line {number}: {_why_unreadable(line, str(error))}"


def _why_unreadable(line: str, error: str) -> str:
    setting = _SETTING.match(line)
    many = re.fullmatch(r"\[\[?(\w+)\]{0,2}", line)
    if many is not None and many[1] in _OF_MANY:
        return f"before each of {many[1]} stands [[{many[1]}]], with two brackets on either side: one has too few."
    if "twice" in error:
        return f"the block {line} is there twice. Put what is under both under one."
    if "overwrite" in error:
        return f"{setting[1] if setting else line} stands twice in its block. Leave one."
    if line.startswith("["):
        return f'"{line}": the name of a block stands alone on its line, like [withhold] or [[people]].'
    if setting is None:
        return f'"{line}" is no setting. Write a name, = and what it is, like title = "News", or # before a note.'
    return _why_no_value(setting[1], setting[2].split("#")[0].strip())


def _why_no_value(name: str, value: str) -> str:
    if not value:
        return f'nothing stands after {name} =. Write what it is, or take the line out; nothing at all is "".'
    if _CURLY.search(value[0] + value.lstrip("[ ")[:1]):
        straight = _CURLY.sub('"', value)
        return f"{name} = {value}: its quotation marks are curly. Type straight ones: {name} = {straight}."
    if name in _OF_DAYS:
        return f"{name} = {value}: write {_EXAMPLES[date]}."
    if _YES_OR_NO.match(value):
        right = "true" if value.lower().startswith(("yes", "on", "true")) else "false"
        return f"{name} = {value}: write {name} = {right}, in small letters and without quotes."
    if value[0] in "\"'":
        return f"{name}: its words do not end as they should. Put one quotation mark before them and one after."
    if value[0] == "[":
        return f'{name}: its list does not end as it should. Write it like {name} = ["first", "second"].'
    if value[0].isdigit() or value[0] in "+-":
        return f"{name} = {value}: it is no number and no day. A day is written 2026-01-31; words stand in quotes."
    return f'{name} = {value}: words stand in quotes: {name} = "{value.strip(chr(34))}".'


def wrong_setting(path: Path, text: str, model: type[BaseModel], error: ValidationError) -> str:
    """Return what to say of the first setting of a file that is wrong.

    Args:
        path: the file.
        text: what it holds, TOML.
        model: what it is to hold.
        error: what the check of it found.
    """
    errors = error.errors()  # a name that is misspelt explains why the right one is missing
    first = next((one for one in errors if one["type"] == "extra_forbidden"), errors[0])
    expected, place = _expected(model, tuple(first["loc"]))
    where = f"{path}{_line_of(text, place)}"
    if first["type"] == "value_error":
        return f"{where}: {first['msg'].removeprefix('Value error, ').rstrip('.')}."
    while place and isinstance(place[-1], int):
        place = place[:-1]
    name, block = _name_of(place), _block(tomllib.loads(text), place[:-1])
    if first["type"] == "extra_forbidden":
        return f"{where}: there is no setting {name}{block}. {did_you_mean(name, _names(model, place))}".rstrip()
    if first["type"] == "missing":
        return f"{where}: {name} is missing{block}. Write {_right(expected, name)}."
    typed = _typed(first["input"])
    return f"{where}: {name}{f' = {typed}' if typed else ''}{block}: write {_right(expected, name)}."


def _typed(value: Any) -> str:
    """Return a value as somebody typed it, "" for one that is more than a word."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    return str(value) if isinstance(value, int | float | date) else ""


def _name_of(place: Place) -> str:
    return next((one for one in reversed(place) if isinstance(one, str)), "what stands there")


def _expected(model: type[BaseModel], place: Place) -> tuple[Any, Place]:
    """Return what belongs at a place, None where nothing does, and the place without what only the check knows."""
    expected: Any = model
    for at, one in enumerate(place):
        inner = _inside(expected, one)
        if inner is None:
            extra = at == len(place) - 1 and isinstance(expected, type) and issubclass(expected, BaseModel)
            return (None, place) if extra else (expected, place[:at])
        expected = inner
    return expected, place


def _inside(expected: Any, name: str | int) -> Any:
    if isinstance(expected, type) and issubclass(expected, BaseModel):
        field = expected.model_fields.get(str(name))
        return None if field is None else field.annotation
    if get_origin(expected) is tuple and isinstance(name, int):
        return get_args(expected)[0]
    return get_args(expected)[1] if _is_mapping(expected) and isinstance(name, str) else None


def _is_mapping(expected: Any) -> bool:
    return isinstance(get_origin(expected), type) and issubclass(get_origin(expected), Mapping)


def _names(model: type[BaseModel], place: Place) -> Sequence[str]:
    expected, _ = _expected(model, place[:-1])
    return list(expected.model_fields) if isinstance(expected, type) and issubclass(expected, BaseModel) else []


def _right(expected: Any, name: str) -> str:
    """Say how something is written that is right for a setting."""
    if get_origin(expected) is tuple:
        inner = get_args(expected)[0]
        is_block = isinstance(inner, type) and issubclass(inner, BaseModel)
        return f"a line [[{name}]] before each of them" if is_block else f'a list, like {name} = ["first", "second"]'
    if isinstance(expected, type) and issubclass(expected, BaseModel):
        return f"a line [{name}], and its settings under it"
    if _is_mapping(expected):
        return f'a line [{name}."NAME"] for each of them, and its settings under it'
    return ", or ".join(_written(expected))


def _written(expected: Any) -> Iterator[str]:
    if get_origin(expected) in (Union, UnionType):
        for one in get_args(expected):
            yield from _written(one) if one is not type(None) else ()
    elif get_origin(expected) is Literal:
        yield from (f'"{one}"' for one in get_args(expected))
    else:
        yield _EXAMPLES.get(expected, "something else")


def _block(data: Any, place: Place) -> str:
    """Say whose setting it is: of whom, or of which block; "" at the top of the file."""
    if not place:
        return ""
    inner: Any = data
    for one in place:
        try:
            inner = inner[one]
        except (KeyError, IndexError, TypeError):
            break
    for key in ("name", "photo", "report"):
        if isinstance(inner, dict) and isinstance(inner.get(key), str):
            return f" of {inner[key]}"
    number = next((one + 1 for one in reversed(place) if isinstance(one, int)), 0)
    return f" in the {nth(number)} [[{_name_of(place)}]]" if number else f" under [{'.'.join(map(str, place))}]"


def _line_of(text: str, place: Place) -> str:
    """Return where a setting, or else the nearest block above it, stands in a file: ", line 12"; "" for nowhere."""
    lines = _lines(text)
    known = next((place[:end] for end in range(len(place), 0, -1) if place[:end] in lines), None)
    return f", line {lines[known]}" if known else ""


def _lines(text: str) -> dict[Place, int]:
    """Return on which line each block and each setting of a TOML file begins, counted from 1."""
    found: dict[Place, int] = {}
    number_of: dict[Place, int] = {}
    block: Place = ()
    inside = False
    for number, line in enumerate(text.splitlines(), start=1):
        was_inside, inside = inside, inside ^ bool(len(_LONG_TEXT.findall(line)) % 2)
        if was_inside:
            continue
        if begins := _BLOCK.match(line):
            block = _with_numbers(_split(begins[2]), number_of)
            if begins[1] == "[[":
                number_of[block] = number_of.get(block, -1) + 1
                found.setdefault(block, number)
                block = (*block, number_of[block])
            found.setdefault(block, number)
        elif setting := _SETTING.match(line):
            found.setdefault((*block, *_split(setting[1])), number)
    return found


def _with_numbers(names: Sequence[str], number_of: Mapping[Place, int]) -> Place:
    """Return the place of a block: what lies in one of many blocks lies in the last one so far."""
    place: Place = ()
    for at, name in enumerate(names):
        place = (*place, name)
        if place in number_of and at < len(names) - 1:
            place = (*place, number_of[place])
    return place


def _split(keys: str) -> tuple[str, ...]:
    return tuple(one.strip("\"'") for one in re.findall(_KEY, keys))
