"""The one place where typst is used: templates filled with values, set as PDF, the same bytes each time."""

import json
from collections.abc import Mapping

import typst

from pipeline.shipped import shipped


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
        ignore_system_fonts=True,
        sys_inputs={"values": json.dumps(values, ensure_ascii=False, sort_keys=True)},
        timestamp=0,
    )
