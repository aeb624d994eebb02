"""What the default install is made of, for docs/dependencies.md: every locked package, its licence, who asks for it.

python -m measuring.dependencies     writes the page again, from requirements.lock and what is installed
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.metadata import Distribution, PackageMetadata, distributions
from pathlib import Path
from typing import Any

from jinja2 import Environment, StrictUndefined

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "dependencies.md"
_LOCK = ROOT / "requirements.lock"
_TOLD = ROOT / "measuring" / "dependencies.toml"
_TEXT = ROOT / "measuring" / "dependencies.md.jinja"
_OURS = "saidseen (pyproject.toml)"

# Words that packages use for a licence where they do not name it by its SPDX identifier.
_NAMES = {
    "3-Clause BSD License": "BSD-3-Clause",
    "Apache 2.0": "Apache-2.0",
    "Apache Software License": "Apache-2.0",
    "ISC License": "ISC",
    "MIT License": "MIT",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
}
_SPDX = frozenset(("Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "ISC", "MIT", "MPL-2.0", *_NAMES.values()))


@dataclass(frozen=True)
class Locked:
    """A package of the lock: its version, where it is installed ("" for everywhere), and who asks for it."""

    name: str
    version: str
    only: str
    asked_by: tuple[str, ...]

    @property
    def ours(self) -> bool:
        """Whether saidseen itself asks for it."""
        return _OURS in self.asked_by


@dataclass(frozen=True)
class Dependency:
    """A locked package with what the page says of it."""

    locked: Locked
    licence: str
    settled_by: str
    purpose: str


@dataclass(frozen=True)
class Carried:
    """Compiled libraries that a package's wheel brings along."""

    package: str
    libraries: tuple[str, ...]
    licence: str
    settled_by: str


def told() -> dict[str, Any]:
    """Return what no package's own data say: purposes, licences that a person settled, libraries carried along."""
    return tomllib.loads(_TOLD.read_text(encoding="utf-8"))


def read_lock(text: str) -> tuple[Locked, ...]:
    """Return the packages of a lock as pip-compile writes it, hashes and comments included."""
    blocks = re.split(r"^(?=[A-Za-z0-9])", text, flags=re.MULTILINE)
    return tuple(_locked(block) for block in blocks if "==" in block)


def _locked(block: str) -> Locked:
    head, _, rest = block.partition("\\\n")
    pinned, _, only = head.partition(";")
    name, _, version = pinned.strip().partition("==")
    comments = (line.strip(" #") for line in rest.splitlines() if line.lstrip().startswith("#"))
    asked = tuple(one.removeprefix("via").strip() for one in comments)
    return Locked(name, version, only.strip(), tuple(one for one in asked if one))


def installed() -> dict[str, Distribution]:
    """Return what is installed here, by names as the lock writes them."""
    return {re.sub(r"[-_.]+", "-", one.name).lower(): one for one in distributions()}


def licence(name: str, package: Distribution | None, settled: Mapping[str, tuple[str, str]]) -> tuple[str, str]:
    """Return a package's licence as an SPDX expression, and how it is known.

    A person's finding goes first; then the package's expression, its field or classifier where it names one licence
    alone, and the text of its own licence file.

    Raises:
        LookupError: none of these tells.
    """
    if name in settled:
        found, why = settled[name]
        return found, why
    if package is None:
        raise LookupError(f"{name} is not installed here: look at its licence, and settle it in {_TOLD.name}")
    declared = package.metadata.get("License-Expression")
    if declared:
        return declared, "expression"
    words = {_NAMES.get(word, word) for word in _words(package.metadata)}
    named = {word for word in words if _SPDX.issuperset(word.split(" AND "))}
    if len(named) == 1:
        return named.pop(), "field or classifier"
    read = {_from_text(text) for text in _licence_files(package)} - {""}
    if len(read) == 1:
        return read.pop(), "its licence file"
    raise LookupError(f"{name}: {sorted(words)} name no one licence: look, and settle it in {_TOLD.name}")


def _words(metadata: PackageMetadata) -> Iterator[str]:
    yield (metadata.get("License") or "").strip()
    for classifier in metadata.get_all("Classifier") or ():
        if classifier.startswith("License :: "):
            yield classifier.rpartition(" :: ")[2]


def _licence_files(package: Distribution) -> Iterator[str]:
    for path in package.files or ():
        if re.search(r"dist-info/(licenses/)?licen[cs]e[^/]*$", str(path), re.IGNORECASE):
            yield path.read_text(encoding="utf-8")


def _from_text(text: str) -> str:
    text = " ".join(text.split())
    if "Permission is hereby granted, free of charge" in text:
        return "MIT"
    if "Redistribution and use in source and binary forms" in text:
        return "BSD-3-Clause" if re.search("(?i)neither the name", text) else "BSD-2-Clause"
    return "Apache-2.0" if "Apache License" in text else ""


def dependencies() -> tuple[Dependency, ...]:
    """Return every locked package with its licence and purpose; raises LookupError where one is not told."""
    here, says = installed(), told()
    locked = read_lock(_LOCK.read_text(encoding="utf-8"))
    purposes = says["purpose"] | _readme_purposes((ROOT / "README.md").read_text(encoding="utf-8"))
    if unsaid := [one.name for one in locked if one.name not in purposes]:
        raise LookupError(f"What are {', '.join(unsaid)} for? Say so in the README's table or in {_TOLD.name}")
    return tuple(
        Dependency(one, *licence(one.name, here.get(one.name), says["settled"]), purposes[one.name]) for one in locked
    )


def carried() -> tuple[Carried, ...]:
    """Return the compiled libraries that wheels bring along, as they were looked at."""
    return tuple(
        Carried(package, tuple(names.split(",")), *known)
        for package, libraries in sorted(told()["carried"].items())
        for names, known in libraries.items()
    )


def _readme_purposes(readme: str) -> dict[str, str]:
    table = readme[readme.index("## What each dependency is for") :].split("\n## ")[0]
    found: dict[str, str] = {}
    for names, why in re.findall(r"^\| ([\w,; -]+) \| (.+) \|$", table, flags=re.MULTILINE):
        before = ""
        for name in re.split(r"[,;] ", names):
            before = before[: -len(name)] + name if name.startswith("-") else name
            found[before] = why
    return found


def page() -> str:
    """Return the page."""
    made = Environment(undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, autoescape=False)
    text = made.from_string(_TEXT.read_text(encoding="utf-8"))
    return text.render(all=dependencies(), carried=carried(), data=told()["data"]) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(PAGE)
