import pytest

from pipeline.reading.reader import Reader
from pipeline.reading.vocabulary import load_vocabulary
from pipeline.shipped import shipped


@pytest.fixture(scope="session")
def reader() -> Reader:
    """The reader over the shipped vocabulary; its model is loaded once for all tests."""
    return Reader(load_vocabulary([shipped("vocab") / "base", shipped("vocab") / "crew-trainer"]))
