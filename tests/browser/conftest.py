"""The clock page. The book is ``tests/written_weekend.py``; the browser is ``tests/browsing.py``."""

from collections.abc import Iterator
from datetime import UTC, datetime
from threading import Thread

import pytest

from pipeline.cards.clock_page import ClockServer


@pytest.fixture(scope="session")
def clock_address() -> Iterator[str]:
    """Where the clock page is served: on this machine's loopback address, by the program itself."""
    with ClockServer(lambda: datetime(2026, 2, 14, 10, 20, 31, tzinfo=UTC)) as server:
        thread = Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield server.address
        server.shutdown()
        thread.join()
