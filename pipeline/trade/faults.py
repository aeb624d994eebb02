"""What does not agree between the rows of the vocabulary: names claimed twice, loops, names that lead nowhere."""

from collections.abc import Iterator, Mapping

from pipeline.errors import WrongCommand
from pipeline.reading.sheets import Row
from pipeline.trade.lists import Rows, names_of_part, said_as, split

_WORD_LISTS = ("acts", "counted", "units", "storage", "sides", "grades")


def disagreements(rows: Rows) -> Iterator[WrongCommand]:
    """Yield a fault, with file and line, for everything that the rows of all lists do not agree on."""
    yield from _names_claimed_twice(rows)
    yield from _taught_for_another(rows)
    for name in _WORD_LISTS:
        yield from _words_claimed_twice(rows[name], "alternatives" if name == "acts" else "words")
    yield from _broken_broader(rows["parts"])


def _names_claimed_twice(rows: Rows) -> Iterator[WrongCommand]:
    """Yield where one name is claimed by two parts; a short name may stand with those that it may be."""
    shorts = {row.cells["name"].lower(): split(row.cells["may_be"]) for row in rows["shorts"].values()}
    owners: dict[tuple[str, ...], Row] = {}
    for row in _as_they_came(rows["parts"]):
        for name in names_of_part(row):
            other = owners.setdefault(said_as(name), row)
            if other is not row:
                yield row.wrong(
                    f"the name '{name}' of '{row.cells['notation']}' already belongs to '{other.cells['notation']}' "
                    f"({other.file.name}, line {other.line}); take it out of one, or list it in shorts.csv"
                )
            if name in shorts and row.cells["notation"] not in shorts[name]:
                yield row.wrong(
                    f"the name '{name}' is in shorts.csv for other parts; add '{row.cells['notation']}' there"
                )


def _taught_for_another(rows: Rows) -> Iterator[WrongCommand]:
    """Yield where a name that was taught for one part is another part's."""
    owners = {said_as(name): row for row in rows["parts"].values() for name in names_of_part(row)}
    for row in rows["taught"].values():
        other = owners.get(said_as(row.cells["means"])) if row.cells["part"] else None
        if other is not None and other.cells["notation"] != row.cells["part"]:
            yield row.wrong(
                f"the name '{row.cells['means']}' already belongs to '{other.cells['notation']}'; teach another name"
            )


def _as_they_came(rows: Mapping[str, Row]) -> list[Row]:
    """Return rows file by file, in the order in which the files were read: the later one of two is to blame."""
    files = list(dict.fromkeys(row.file for row in rows.values()))
    return sorted(rows.values(), key=lambda row: (files.index(row.file), row.line))


def _words_claimed_twice(rows: Mapping[str, Row], column: str) -> Iterator[WrongCommand]:
    claimed: dict[str, Row] = {}
    for row in _as_they_came(rows):
        for name in split(row.cells[column]):
            other = claimed.setdefault(name, row)
            if other is not row:
                yield row.wrong(
                    f"'{name}' already stands for '{other.cells['notation']}' "
                    f"({other.file.name}, line {other.line}); take it out of one"
                )


def _broken_broader(parts: Mapping[str, Row]) -> Iterator[WrongCommand]:
    """Yield broader parts that are in no list, and each loop once."""
    told: set[str] = set()
    for notation, row in parts.items():
        seen = [notation]
        while above := parts[seen[-1]].cells["broader"]:
            if above not in parts:
                if len(seen) == 1:
                    yield row.wrong(f"the broader part '{above}' is in no parts.csv; add it or leave it empty")
                break
            if above in seen:
                loop = seen[seen.index(above) :]
                if told.isdisjoint(loop):
                    told.update(loop)
                    yield parts[loop[0]].wrong(
                        f"the broader parts go round in a loop: {' > '.join([*loop, above])}; break it"
                    )
                break
            seen.append(above)
