"""Small folders of lists, written for one test."""

from pathlib import Path

PARTS = "notation,preferred,alternatives,kind,gloss,broader,zone,chapter,symmetrical,set\n"


def lists_in(folder: Path, **lists: str) -> Path:
    """Write lists (name without ".csv" to its text) into a folder, and return the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in lists.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder
