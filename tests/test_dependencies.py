"""The page on dependencies is true to the lock, and nothing comes in under a licence that was not looked at."""

import re
import sys
from fnmatch import fnmatch
from pathlib import Path

import pytest

from measuring.dependencies import PAGE, Locked, carried, dependencies, installed, licence, page, read_lock

ROOT = Path(__file__).parent.parent
LOCK = (ROOT / "requirements.lock").read_text(encoding="utf-8")

PERMISSIVE = frozenset((
    "0BSD", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "BSD-3-Clause-Clear", "CC0-1.0", "CNRI-Python", "FTL",
    "IJG", "ISC", "MIT", "MIT-0", "MIT-CMU", "MIT-Modern-Variant", "PSF-2.0", "Zlib", "libpng-2.0", "libtiff",
    "public-domain",
))  # fmt: skip
OF_ONE_FILE = frozenset(("MPL-2.0",))
OF_A_LIBRARY = frozenset(
    ("LGPL-2.0-or-later", "LGPL-2.1-or-later", "LGPL-3.0-or-later", "GPL-3.0-or-later WITH GCC-exception-3.1")
)
GPL_AND_SAID_SO = {("av", "libx264"), ("av", "libx265"), ("pillow-heif", "libx265")}


def allowed(expression, terms):
    """Whether each part of an SPDX expression is allowed, or one of its choices is."""
    return all(any(choice in terms for choice in part.split(" OR ")) for part in expression.split(" AND "))


def test_every_locked_package_is_on_the_page_in_the_locked_version():
    table = PAGE.read_text(encoding="utf-8").split("\n## ")[2]
    listed = dict(re.findall(r"^\| ([\w-]+) \| (\d\S*) \|", table, flags=re.MULTILINE))
    pinned = dict(re.findall(r"^([A-Za-z0-9_.-]+)==([^\s;\\]+)", LOCK, flags=re.MULTILINE))
    assert len(pinned) > 80
    assert listed == pinned


def test_the_page_is_what_the_command_makes_of_the_lock_today():
    assert PAGE.read_text(encoding="utf-8") == page(), "make it again: python -m measuring.dependencies"


def test_every_locked_package_has_hashes():
    for block in re.split(r"^(?=[A-Za-z0-9])", LOCK, flags=re.MULTILINE)[1:]:
        assert re.search(r"--hash=sha256:[0-9a-f]{64}", block), block


def test_every_licence_is_one_that_was_allowed():
    for one in dependencies():
        assert allowed(one.licence, PERMISSIVE | OF_ONE_FILE), (one.locked.name, one.licence)


def test_a_library_under_the_gpl_is_named_on_the_page_or_not_there():
    strict = {
        (one.package, library)
        for one in carried()
        if not allowed(one.licence, PERMISSIVE | OF_A_LIBRARY)
        for library in one.libraries
    }
    assert strict == GPL_AND_SAID_SO
    text = PAGE.read_text(encoding="utf-8")
    for package, library in GPL_AND_SAID_SO:
        assert f"- **{package}**" in text
        assert library.removeprefix("lib") in text


def test_every_compiled_library_that_a_wheel_brings_along_was_looked_at():
    known = {(one.package, library) for one in carried() for library in one.libraries}
    found = set()
    here = installed()
    for name in (one.name for one in read_lock(LOCK) if one.name in here):
        for path in here[name].files or ():
            if fnmatch(str(path), "*.libs/*.so*"):
                found.add((name, re.split(r"-[0-9a-f]{8}|\.so", path.name)[0].rstrip("-")))
    assert bool(found) == (sys.platform == "linux")  # those of the Linux wheels were looked at
    assert found <= known, sorted(found - known)


def test_a_lock_is_read_with_versions_markers_and_who_asks():
    text = (
        "one==1.0 \\\n    --hash=sha256:00 \\\n    --hash=sha256:11\n    # via two\n"
        "two==2.0.post1 ; sys_platform == 'win32' \\\n    --hash=sha256:22\n"
        "    # via\n    #   saidseen (pyproject.toml)\n    #   three\n"
    )
    assert read_lock(text) == (
        Locked("one", "1.0", "", ("two",)),
        Locked("two", "2.0.post1", "sys_platform == 'win32'", ("saidseen (pyproject.toml)", "three")),
    )


def test_a_package_whose_licence_nobody_can_tell_stops_the_page():
    with pytest.raises(LookupError, match="not installed here"):
        licence("unheard-of", None, {})
    assert licence("unheard-of", None, {"unheard-of": ("MIT", "read")}) == ("MIT", "read")
