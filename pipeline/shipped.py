"""Where the files that come with the program are: beside the package in a checkout, inside it in a wheel."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def shipped(name: str) -> Path:
    """Return the folder ``vocab``, ``learnt``, ``templates`` or ``sample_media`` that came with the program.

    Raises:
        FileNotFoundError: the program was installed without it.
    """
    for folder in (_PACKAGE / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"saidseen was installed without its folder '{name}': install it again")
