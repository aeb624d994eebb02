"""The sample media, end to end: an invented team's weekend, from photos and spoken notes to the book."""

import shutil
from pathlib import Path

from pipeline.book import Book
from pipeline.errors import WrongCommand
from pipeline.shipped import shipped


def lay_out_demo(folder: Path) -> tuple[Book, Path]:
    """Copy the sample media and its book's settings into ``folder``; return the book and the media folder.

    A demo that was laid out there before is gone on with.

    Raises:
        WrongCommand: the folder holds something else, or cannot be written.
    """
    book, media = Book(folder / "book"), folder / "media"
    if book.settings_file.exists() and media.is_dir():
        return book, media
    if folder.is_file():
        raise WrongCommand(f"{folder} is a file. Name a folder that does not exist yet: saidseen demo FOLDER")
    if folder.exists() and any(folder.iterdir()):
        raise WrongCommand(f"{folder} is not empty. Name a folder that does not exist yet: saidseen demo FOLDER")
    try:
        shutil.copytree(shipped("sample_media") / "media", media, copy_function=shutil.copy2)
        book.vocabulary_folder.mkdir(parents=True)
        shutil.copy(shipped("sample_media") / "book.toml", book.settings_file)
    except OSError as error:
        raise WrongCommand(
            f"{folder} cannot be made ({error.strerror}). Choose a folder that you may write to."
        ) from error
    return book, media
