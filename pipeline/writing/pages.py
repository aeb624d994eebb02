"""The one place where jinja2 is used: templates filled with values, everything escaped."""

import re
from functools import cache

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from pipeline.plain_text import visible
from pipeline.shipped import shipped

_NOT_PLAIN = re.compile(r"[^A-Za-z0-9 ]")
_HASH = re.compile(r"\b[0-9a-f]{40,}\b")


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(shipped("templates")),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=_shown,
    )
    environment.filters["short_hash"] = _short_hash
    environment.filters["css_string"] = _css_string
    return environment


def page(template: str, **values: object) -> str:
    """Fill a page's template ("logbook/day.html"): values are escaped, and unseen characters are made visible."""
    return _environment().get_template(template).render(**values)


def _short_hash(text: str) -> str:
    """Cut every long hash in a text to its first twelve digits; the whole is in the records."""
    return _HASH.sub(lambda found: found.group()[:12] + "…", text)


def _css_string(text: str) -> Markup:
    """Return a text as a string of a style sheet, every letter that is not plain by its number.

    Source: W3C CSS Syntax Module Level 3, 4.3.7 (escaped code points).
    """
    # what is left is letters, figures and escapes only, so that it is safe inside a page's style sheet too
    escaped = _NOT_PLAIN.sub(lambda found: f"\\{ord(found.group()):x} ", visible(text))
    return Markup(f'"{escaped}"')


def _shown(value: object) -> object:
    if isinstance(value, str) and not isinstance(value, Markup):
        return visible(value)
    return value
