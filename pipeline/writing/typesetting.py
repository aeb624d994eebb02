"""The one place where typst is used: templates filled with values, set as PDF, the same bytes each time."""

import json
import shutil
import time
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from importlib.metadata import version
from pathlib import Path
from tempfile import TemporaryDirectory, gettempdir
from typing import Literal

import typst

from pipeline.errors import ItemFault
from pipeline.shipped import shipped

Standard = Literal["a-3a", "ua-1"]
"""PDF/A-3 level A (ISO 19005-3), for archives; PDF/UA-1 (ISO 14289-1), for all readers."""

_UNTIL_FORGOTTEN = 11
_PREFIX = "saidseen-setting-"
_SURELY_LEFT_S = 86_400
PAPERS = {"a4": "a4", "letter": "us-letter"}
"""The papers that labels and logbooks are set on, and typst's names for them."""
ARCHIVAL: tuple[Standard, ...] = ("a-3a", "ua-1")


def pdf(template: str, values: Mapping[str, object]) -> bytes:
    """Set a template ("labels.typ") as PDF, with the fonts that typst carries, and nothing from outside.

    Args:
        template: a file of ``templates/``, which finds the values as JSON in ``sys.inputs.values``.
        values: what can be written as JSON.
    """
    folder = shipped("templates")
    return typst.compile(
        folder / template,
        root=folder,
        font_paths=_fonts(),
        ignore_system_fonts=True,
        sys_inputs={"values": json.dumps(values, ensure_ascii=False, sort_keys=True)},
        timestamp=0,
    )


def archival_pdf(template: str, values: Mapping[str, object], files: Mapping[str, bytes]) -> bytes:
    """Set a template as a PDF that is PDF/A-3a and PDF/UA-1 at once, as ``pdf`` does.

    Args:
        template: as for ``pdf``; it may import other ``.typ`` files of ``templates/``.
        values: as for ``pdf``; here they are in the file "values.json" beside the template.
        files: what the template reads besides, by name: pictures to show, files to attach.

    Raises:
        ItemFault: it cannot be set so; says what typst says.
    """
    _clear_what_was_left()
    with TemporaryDirectory(prefix=_PREFIX) as name:
        folder = Path(name)
        for part in sorted(shipped("templates").glob("*.typ")):
            shutil.copyfile(part, folder / part.name)
        for place, content in files.items():
            (folder / place).parent.mkdir(parents=True, exist_ok=True)
            (folder / place).write_bytes(content)
        (folder / "values.json").write_text(json.dumps(values, ensure_ascii=False), encoding="utf-8")
        try:
            return typst.compile(
                folder / template,
                root=folder,
                font_paths=_fonts(),
                ignore_system_fonts=True,
                pdf_standards=list(ARCHIVAL),
                timestamp=0,
            )
        except typst.TypstError as fault:
            raise ItemFault(f"It cannot be set as PDF ({fault.message}).") from fault
        finally:
            _forget()


def _clear_what_was_left() -> None:
    """Remove what a run that was killed left among the system's temporary files: there are pictures in it."""
    for left in Path(gettempdir()).glob(f"{_PREFIX}*"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > _SURELY_LEFT_S:
                shutil.rmtree(left)


def _forget() -> None:
    """Make typst let go of what it remembers of earlier settings, pictures and all: volume after volume adds up.

    It drops what ten settings have not asked for; so eleven empty ones follow, each of which takes a millisecond.
    """
    for number in range(_UNTIL_FORGOTTEN):
        typst.compile(str(number).encode(), font_paths=_fonts(), ignore_system_fonts=True)


@cache
def _fonts() -> typst.Fonts:
    """Return the fonts that typst carries, found once: to look for them takes longer than a short setting."""
    return typst.Fonts(include_system_fonts=False)


def setting_key() -> str:
    """Return what a setting depends on besides values and files: the templates and the version of typst."""
    parts = sorted(shipped("templates").glob("*.typ"))
    return "\n".join([version("typst"), *(part.read_text(encoding="utf-8") for part in parts)])
