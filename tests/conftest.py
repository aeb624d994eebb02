"""What all tests share: comparison with files in ``tests/golden`` and the flag that renews them."""

import gc
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any

import hypothesis
import pytest
from filelock import FileLock

from pipeline import bench
from pipeline.book import Book
from pipeline.digests import sha256_of
from pipeline.hearing import corrected
from pipeline.reading import note_reader
from pipeline.reading.parse import tag_words_and_people
from pipeline.reading.vocabulary import Vocabulary
from pipeline.store import Store
from pipeline.values import FileSeen
from pipeline.writing.supporters import withheld_strangers
from tests.browsing import chromium, opened  # noqa: F401 - one for all tests: a second one cannot be begun
from tests.originals_guard import Guard, guarding

GOLDEN = Path(__file__).parent / "golden"

# What a law holds for is looked at; how long that takes on a busy machine is not.
hypothesis.settings.register_profile("without deadline", deadline=None)
hypothesis.settings.load_profile("without deadline")


# Begun first, the longest first, so that at the end no worker is left alone with one of them.
LONG = (
    "test_demo.py", "writing/supporters/test_planted_secrets.py", "days/test_days.py", "browser/test_access.py",
    "reading/test_never_done.py", "test_runner.py", "review/test_in_a_browser.py", "faults/test_killed.py",
    "review/test_more_in_a_browser.py", "test_no_network.py", "cluster/test_cluster.py",
    "writing/supporters/test_up_to_date.py", "writing/supporters/test_public_files.py", "faults/test_disk.py",
    "intake/test_parsers_hold.py", "faults/test_soak.py", "outside/test_word_errors.py", "reading/test_notes.py",
    "writing/supporters/test_withheld.py", "test_little_again.py", "browser/test_pages.py", "days/test_winters.py",
    "evidence/test_tampering.py", "writing/test_standing_pages.py",
)  # fmt: skip


def pytest_configure() -> None:
    # The engines that all tests share are a large heap: walking over it again and again is a twentieth of the work.
    gc.set_threshold(50_000, 20, 100)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update-golden", action="store_true", help="write tests/golden anew; look at the difference")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    place = {f"tests/{name}": at for at, name in enumerate(LONG)}
    items.sort(key=lambda one: place.get(one.nodeid.partition("::")[0], len(LONG)))


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


@pytest.fixture(scope="session", autouse=True)
def _what_every_run_makes_again_is_made_once() -> Iterator[None]:
    """Keep what depends on its input alone: a vocabulary's engines, a text's tags, the hash of what was learnt.

    Hundreds of books are run and written in these tests, most of them with the same vocabulary and the same texts.
    """
    with pytest.MonkeyPatch.context() as patch:
        for module, name in ((note_reader, "reader_of"), (corrected, "repairer_of"), (corrected, "leaning_of")):
            patch.setattr(module, name, _once_a_vocabulary(getattr(module, name)))
        patch.setattr(withheld_strangers, "tag_words_and_people", _tagged_once())
        patch.setattr(bench, "sha256_of", _hashed_once())
        yield


def _tagged_once() -> Callable[[Iterable[str]], Iterator[Any]]:
    known: dict[str, Any] = {}

    def tagged(texts: Iterable[str]) -> Iterator[Any]:
        asked = list(texts)
        new = [one for one in dict.fromkeys(asked) if one not in known]
        known.update(zip(new, tag_words_and_people(new), strict=True))
        return iter([known[one] for one in asked])

    return tagged


def _hashed_once() -> Callable[[Path], str]:
    known: dict[tuple[Path, int, int], str] = {}

    def hashed(file: Path) -> str:
        seen = file.stat()
        key = file, seen.st_mtime_ns, seen.st_size
        if key not in known:
            known[key] = sha256_of(file)
        return known[key]

    return hashed


def _once_a_vocabulary(make: Callable[..., Any]) -> Callable[..., Any]:
    made: dict[Any, Any] = {}

    def kept(vocabulary: Vocabulary, *names: tuple[str, ...]) -> Any:
        key = vocabulary.fingerprint, *names
        one = made.pop(key, None)
        made[key] = one = make(vocabulary, *names) if one is None else one
        if len(made) > 4:  # the one that was longest not asked for
            made.pop(next(iter(made)), None)
        return one

    return kept


@pytest.fixture(scope="session")
def out(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Path:
    """The ``out/`` of a whole book that was written once for all tests of pages; nobody changes it.

    Whoever of several workers asks first writes it.
    """
    from tests.written_weekend import write_weekend

    own = tmp_path_factory.getbasetemp()
    home = (own.parent if hasattr(request.config, "workerinput") else own) / "weekend"
    with FileLock(home.with_suffix(".lock")):
        if not (home / "written").exists():
            write_weekend(home)
            (home / "written").touch()
    return home / "out"


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
