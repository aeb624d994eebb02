"""What all tests share: comparison with files in ``tests/golden`` and the flag that renews them."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest

from pipeline.book import Book
from pipeline.store import Store
from pipeline.values import FileSeen
from tests.browsing import browser, opened  # noqa: F401 - one for all tests: a second one cannot be begun
from tests.originals_guard import Guard, guarding

GOLDEN = Path(__file__).parent / "golden"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update-golden", action="store_true", help="write tests/golden anew; look at the difference")


@pytest.fixture(autouse=True)
def originals(monkeypatch: pytest.MonkeyPatch) -> Iterator[Guard]:
    """Fail every test in which the program changes an original; a test that does so itself clears ``violations``."""
    keep_file, locked = Store.keep_file, Book.locked
    with guarding() as guard:

        def watched_keep_file(store: Store, file: FileSeen, media: str) -> None:
            keep_file(store, file, media)
            guard.protect(Path(file.path))

        @contextmanager
        def watched_locked(book: Book) -> Iterator[None]:
            held: AbstractContextManager[None] = locked(book)
            with held, guard.holding():
                yield

        monkeypatch.setattr(Store, "keep_file", watched_keep_file)
        monkeypatch.setattr(Book, "locked", watched_locked)
        yield guard
    assert not guard.violations, "the program changed originals"


@pytest.fixture(scope="session")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The ``out/`` of a whole book that was written once for all tests of pages; nobody changes it."""
    from tests.written_weekend import write_weekend

    return write_weekend(tmp_path_factory.mktemp("weekend"))


@pytest.fixture(scope="session")
def pages(out: Path) -> tuple[Path, ...]:
    """Every page of that book, and those of a timeline that has a page for each day."""
    from tests.written_weekend import every_page

    return every_page(out)


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """Compare a text with a golden file, or write that file where the flag was given."""

    def compare(name: str, text: str) -> None:
        file = GOLDEN / name
        if request.config.getoption("--update-golden"):
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(text.encode())
        assert file.read_bytes().decode() == text, f"{name} has changed; if that is meant: pytest --update-golden"

    return compare
