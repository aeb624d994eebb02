"""The whole flow in a real browser, kept off the network: hearing, correcting, moving, rejecting, undoing, by key.

Sources: axe-core's rules (Deque Systems) for WCAG 2.0, 2.1 and 2.2, levels A and AA; WCAG 2.2, success criteria 2.1.1
(keyboard), 2.5.8 (target size, here 44 px as in 2.5.5) and 1.4.10 (reflow).
"""

import threading
from contextlib import contextmanager

import pytest
from axe_playwright_python.sync_playwright import Axe

from pipeline.history.chain import read
from pipeline.review.open_book import OpenBook
from pipeline.review.review_command import listener, server_of
from tests.review.a_book import NOW

_AXE = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]},
    "resultTypes": ["violations"],
}
_FOUND = """options => axe.run(options).then(told => told.violations.map(one =>
  `${one.id} (${one.nodes.length}): ${one.nodes.slice(0, 3).map(node => node.html.slice(0, 200)).join(" | ")}`))"""
_SMALL = """() => [...document.querySelectorAll(
  'button, summary, select, textarea, .tap, .rows a, input:not([type=hidden])')]
  .filter(one => one.checkVisibility() && !one.matches('.touch, [type=checkbox]'))
  .filter(one => one.getBoundingClientRect().height < 44).map(one => one.outerHTML.slice(0, 120))"""


class Served:
    """A book that is being served, with the address that lets a browser in."""

    def __init__(self, book, port):
        self.book = book
        self.open = OpenBook(book, lambda: NOW)
        self.home = f"http://127.0.0.1:{port}"
        self.address = f"{self.home}/?token=secret"

    @property
    def entries(self):
        return self.open.records().entries

    def entry(self, name):
        return next(one for one in self.entries if one.id == name)

    def acts(self):
        return [one for one in read(self.book.history_file).events if one.act not in ("read", "took-in")]


@contextmanager
def serving(book):
    """Serve a book on a free port while the block runs, or until it is stopped."""
    with listener(0) as here:
        made = Served(book, here.getsockname()[1])
        server = server_of(made.open, here.getsockname()[1], "secret")
        thread = threading.Thread(target=server.run, kwargs={"sockets": [here]}, daemon=True)
        thread.start()

        def stop():
            server.should_exit = True
            thread.join(10)

        made.stop = stop
        yield made
        stop()


@pytest.fixture
def served(book):
    with serving(book) as made:
        yield made


def let_in(page, served, who="Bea Linnet"):
    page.goto(served.address)
    page.get_by_role("button", name=who).click()
    page.wait_for_url(f"{served.home}/")


def send(page, button):
    """Press a button that sends a form, and wait until its answer tells something."""
    with page.expect_navigation():
        button.click()
    return page.locator(".told").inner_text()


def test_a_person_hears_corrects_moves_rejects_and_undoes(opened, served):
    with opened(width=390, height=844, allowed=served.home) as (page, seen):
        let_in(page, served)
        assert "Bea Linnet" in page.locator(".masthead").inner_text()
        entry = next(one for one in served.entries if one.start_s > 5 and one.utterances and one.photos)
        page.goto(f"{served.home}/entry/{entry.id}")
        _hear(page, entry)

        said = page.locator(".said").first
        said.locator("summary").click()
        said.locator("textarea").fill("These are other words.")
        assert "words are put right" in send(page, said.get_by_role("button", name="Keep these words"))
        assert "These are other words." in page.locator(".said-read").first.inner_text()

        sided = next(one for one in served.entries if one.facts and one.facts[0].side == "port")
        page.goto(f"{served.home}/entry/{sided.id}")
        page.locator(".told-facts summary").first.click()
        page.locator("#f0-side").select_option("starboard")
        send(page, page.locator(".told-facts").get_by_role("button", name="Keep this fact").first)
        assert served.entry(sided.id).facts[0].side == "starboard"

        source = next(one for one in served.entries if one.photos)
        photo = source.photos[0].media
        page.goto(f"{served.home}/entry/{source.id}")
        figure = page.locator("figure").first
        figure.locator("summary").click()
        choice = figure.locator("select option").nth(1)
        target = choice.get_attribute("value").partition("|")[0]
        figure.locator("select").select_option(choice.get_attribute("value"))
        assert "moved" in send(page, figure.get_by_role("button", name="Move it"))
        assert photo in {one.media for one in served.entry(target).photos}
        assert "Taken back" in send(page, page.get_by_role("button", name="Undo"))
        assert photo in {one.media for one in served.entry(source.id).photos}

        page.goto(f"{served.home}/entry/{target}")
        before = served.entry(target).review
        page.locator(".decide summary").click()
        page.locator("#why-reject").fill("nobody said this")
        assert "Rejected" in send(page, page.get_by_role("button", name="Reject it"))
        assert served.entry(target).review == "rejected"
        assert "Taken back" in send(page, page.get_by_role("button", name="Undo"))
        assert served.entry(target).review == before
        assert not _complaints(seen) and not seen.asked


def _complaints(seen):
    """What a browser complained of; not that it left a page before all of its files had come."""
    return [one for one in seen.errors if not one.endswith("net::ERR_ABORTED")]


def _hear(page, entry):
    """Play an entry's words: from a second before them, and each lights up as it is said."""
    _until(page, "document.getElementById('sound').readyState > 0")
    page.get_by_role("button", name="Play these words").click()
    _until(page, "document.getElementById('sound').played.length > 0")
    began = page.evaluate("document.getElementById('sound').played.start(0)")
    assert began == pytest.approx(entry.start_s - 1, abs=0.35)
    _until(page, f"document.getElementById('sound').currentTime > {entry.start_s} + 0.2")
    _until(page, "document.querySelector('.said.now') !== null")
    page.get_by_role("button", name="Stop").click()
    assert page.evaluate("document.getElementById('sound').paused")


def _until(page, what):
    """Wait until something holds; not by the page's own waiting, whose text the page's policy does not let run."""
    for _ in range(200):
        if page.evaluate(what):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"it never came to: {what}")


def test_second_of_two_pages_is_told_and_sees_what_stands(opened, served):
    with opened(allowed=served.home) as (first, _), opened(allowed=served.home) as (second, _):
        let_in(first, served)
        let_in(second, served, "Ted Marrack")
        entry = next(one for one in served.entries if one.utterances).id
        for page in (first, second):
            page.goto(f"{served.home}/entry/{entry}")
        first.locator(".decide summary").click()
        first.locator("#why-reject").fill("read wrong")
        send(first, first.get_by_role("button", name="Reject it"))
        second.locator(".said summary").first.click()
        second.locator(".said textarea").first.fill("What I took the time to type.")
        told = send(second, second.locator(".said").first.get_by_role("button", name="Keep these words"))
        assert "has changed since you saw it: Bea Linnet rejected it" in told
        assert "What I took the time to type." in told
        assert second.locator(".masthead .state").inner_text() == "rejected"
        assert [one.act for one in served.acts()] == ["reject"]


def test_what_was_typed_stays_where_the_program_was_stopped_meanwhile(opened, served):
    entry = next(one for one in served.entries if one.utterances).id
    with opened(allowed=served.home) as (page, _):
        let_in(page, served)
        page.goto(f"{served.home}/entry/{entry}")
        said = page.locator(".said").first
        said.locator("summary").click()
        said.locator("textarea").fill("What I took the time to type.")
        served.stop()
        said.get_by_role("button", name="Keep these words").click()
        page.locator("#gone").wait_for()
        assert page.evaluate("document.activeElement.id") == "gone"
        assert "nothing was sent" in said.locator("#gone").inner_text()
        assert said.locator("textarea").input_value() == "What I took the time to type."
        assert not served.acts()


def test_words_typed_in_one_form_are_not_lost_to_another_without_asking(opened, served):
    entry = next(one for one in served.entries if one.utterances and one.review == "unread").id
    asked = []
    with opened(allowed=served.home) as (page, _):
        let_in(page, served)
        page.goto(f"{served.home}/entry/{entry}")
        page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))
        said = page.locator(".said").first
        said.locator("summary").click()
        said.locator("textarea").fill("What I took the time to type.")
        accept = page.get_by_role("button", name="Accept as it stands")
        accept.click()
        page.wait_for_timeout(500)
        assert asked == ["beforeunload"]
        assert said.locator("textarea").input_value() == "What I took the time to type."
        assert "put right" in send(page, said.get_by_role("button", name="Keep these words"))
        assert "Accepted" in send(page, page.get_by_role("button", name="Accept as it stands"))
        assert asked == ["beforeunload"]
        assert [one.act for one in served.acts()] == ["amend", "accept"]


def test_axe_finds_nothing_and_targets_are_big_on_a_phone_and_on_a_desk(opened, served):
    found = []
    rich = max(served.entries, key=lambda one: len(one.facts) + len(one.photos) + len(one.utterances))
    advised = [one.entries[0] for one in served.open.records().cautions if one.entries][:1]
    loose = [one.media.removeprefix("sha256:") for one in served.open.records().unplaced_photos][:1]
    paths = ["/who", "/", "/day/2026-02-14", "/day/2026-02-15", *(f"/photo/{one}" for one in loose)]
    paths += [f"/entry/{one}" for one in (rich.id, *advised)]
    with opened(allowed=served.home, bypass_csp=True) as (page, _):
        let_in(page, served)
        for path in paths:
            for width, scheme in ((360, "light"), (1280, "light"), (1280, "dark")):
                page.set_viewport_size({"width": width, "height": 900})
                page.emulate_media(color_scheme=scheme)
                page.goto(served.home + path)
                page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
                page.evaluate(Axe().axe_script)
                found += [f"{path}, {width}, {scheme}: {one}" for one in page.evaluate(_FOUND, _AXE)]
                if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
                    found.append(f"{path}, {width}: wider than the window")
                found += [f"{path}, {width}: small: {one}" for one in page.evaluate(_SMALL)]
    assert not found, "\n".join(dict.fromkeys(found))


def test_an_entry_is_checked_by_keyboard_alone(opened, served):
    entry = next(one for one in served.entries if one.photos and one.utterances)
    with opened(allowed=served.home) as (page, seen):
        page.goto(served.address)
        _tab_to(page, "button[value='Bea Linnet']")
        with page.expect_navigation():
            page.keyboard.press("Enter")
        page.goto(f"{served.home}/entry/{entry.id}")
        _tab_to(page, ".zoom-open")
        page.keyboard.press("Enter")
        assert page.locator("#zoom").evaluate("one => one.open")
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        assert page.locator(".zoom-view.at-2").count() == 1
        page.keyboard.press("Escape")
        assert not page.locator("#zoom").evaluate("one => one.open")
        _tab_to(page, ".said summary")
        page.keyboard.press("Space")
        page.keyboard.press("Tab")
        page.keyboard.press("Control+A")
        page.keyboard.type("Typed words.")
        page.keyboard.press("Tab")
        page.keyboard.press("Tab")
        with page.expect_navigation():
            page.keyboard.press("Enter")
        assert "Typed words." in page.locator(".said-read").first.inner_text()
        assert page.evaluate("document.activeElement.id") == "told"
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.textContent") == "Undo"
        _tab_to(page, ".decide .main")
        with page.expect_navigation():
            page.keyboard.press("Enter")
        assert served.entry(entry.id).decided[-1].act == "accept"
        assert not _complaints(seen)


def _tab_to(page, selector):
    for _ in range(200):
        page.keyboard.press("Tab")
        if page.evaluate("one => document.activeElement.matches(one)", selector):
            style = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
            assert style != "none", f"focus does not show on {selector}"
            return
    raise AssertionError(f"the Tab key does not reach {selector}")
