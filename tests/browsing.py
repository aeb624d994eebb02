"""A browser that is kept off the network."""

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

_FLAGS = (
    "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-quic", "--autoplay-policy=no-user-gesture-required",
)  # fmt: skip
_NETWORK = re.compile(r"^(?!file:|data:|blob:|about:)")


@dataclass
class Seen:
    """What a browser complained of while it showed pages, and what it asked of anything but this machine's files."""

    errors: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Debian's Chromium, or whatever of its kind this machine has; without one these tests are skipped."""
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if found is None:
        pytest.skip("NO BROWSER: install chromium (apt-get install chromium) to test the pages in one")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=list(_FLAGS))
        yield browser
        browser.close()


Opener = Callable[..., "contextmanager[tuple[Page, Seen]]"]


@pytest.fixture(scope="session")
def opened(chromium: Browser) -> Opener:
    """Open a browser's window that can reach files only, and tell what went wrong in it."""

    @contextmanager
    def window(width: int = 1280, height: int = 900, allowed: str = "", **how: object) -> Iterator[tuple[Page, Seen]]:
        context = chromium.new_context(viewport={"width": width, "height": height}, **how)  # type: ignore[arg-type]
        seen = Seen()

        def stop(route) -> None:
            if allowed and route.request.url.startswith(allowed):
                route.continue_()
            else:
                seen.asked.append(route.request.url)
                route.abort()

        context.route(_NETWORK, stop)
        page = context.new_page()
        page.on("console", lambda said: seen.errors.append(said.text) if said.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: seen.errors.append(str(error)))
        page.on("requestfailed", lambda request: seen.errors.append(f"{request.url}: {request.failure}"))
        try:
            yield page, seen
        finally:
            context.close()

    return window
