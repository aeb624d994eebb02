import pytest

from pipeline.reading.note_reader import NoteReader
from pipeline.reading.reader import Reader
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.shipped import shipped


@pytest.fixture(scope="session")
def vocabulary() -> Vocabulary:
    """The shipped vocabulary."""
    return load_vocabulary([shipped("vocab") / "base", shipped("vocab") / "crew-trainer"])


@pytest.fixture(scope="session")
def reader(vocabulary: Vocabulary) -> Reader:
    """The reader by rules; its model is loaded once for all tests."""
    return Reader(vocabulary)


@pytest.fixture(scope="session")
def note_reader(vocabulary: Vocabulary) -> NoteReader:
    """The reader that people get: by rules and as marked notes were read."""
    return NoteReader(vocabulary)
