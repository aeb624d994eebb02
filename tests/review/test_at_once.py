"""Two people on their pages and runs of the book, at once: whatever was told as done is in the history and stays."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Event

import pytest

from pipeline.errors import BookInUse
from pipeline.history.chain import breaks
from pipeline.history.check import check_history
from pipeline.records import Records
from pipeline.review.open_book import OpenBook
from pipeline.review.server import review_app
from pipeline.runner import Choices, run
from tests.review.a_book import NOW
from tests.review.conftest import TOLD
from tests.review.forms import Browser, events, told
from tests.small_media import make_photo, make_sound
from tests.test_runner import TEN

_TIMES = 6


def test_two_pages_and_runs_at_once_lose_nothing(run_anew, monkeypatch):
    monkeypatch.setattr("pipeline.review.open_book._PATIENCE_S", 60.0)
    opened = OpenBook(run_anew, lambda: NOW)
    app = review_app(opened, 8123, "secret")
    entry = opened.records().entries[0].id
    said = opened.records().entries[0].utterances[0]

    def put_right(who):
        browser, done = Browser(app, who), []
        for time in range(_TIMES):
            seen = browser.seen(entry)
            text = told(browser.act(entry, "words", seen, utterance=said, read=f"{who}, {time}.", why="I hear it"))
            assert "put right" in text or "has changed since you saw it" in text
            done += [f"{who}, {time}."] if "put right" in text else []
        return done

    def run_again():
        made = 0
        for _ in range(_TIMES):
            try:
                run(run_anew, [], NOW, Choices(), bench=TOLD)
                made += 1
            except BookInUse:
                continue
        return made

    with ThreadPoolExecutor(3) as threads:
        two = [threads.submit(put_right, who) for who in ("Bea Linnet", "Ted Marrack")]
        runs = threads.submit(run_again)
        done = [text for one in two for text in one.result()]
        assert runs.result() >= 0
    kept = [one.after["words"][0]["read"] for one in events(run_anew)]
    assert sorted(kept) == sorted(done) and len(done) >= _TIMES
    assert list(breaks(run_anew.history_file)) == []
    last = run(run_anew, [], NOW, Choices(), bench=TOLD).records
    assert next(one.read for one in last.utterances if one.id == said) == kept[-1]
    written = Records.model_validate_json((run_anew.out / "records.json").read_bytes())
    assert check_history(run_anew.history_file, written) == []


@pytest.fixture
def opened(run_anew):
    return OpenBook(run_anew, lambda: NOW)


@pytest.fixture
def entry(opened):
    return opened.records().entries[0]


def put_right(browser, entry, seen):
    return told(browser.act(entry.id, "words", seen, utterance=entry.utterances[0], read="A ladle.", why="I hear it"))


def test_act_while_a_run_has_the_book_is_refused_with_what_was_written_and_done_after_it(
    run_anew, browser, entry, monkeypatch
):
    monkeypatch.setattr("pipeline.review.open_book._PATIENCE_S", 0.1)
    make_sound(run_anew.folder.parent / "media" / "20260214_111500.wav", seconds=11.0)
    hears, goes_on = Event(), Event()

    class Waits(TOLD):
        def hear(self, samples):
            hears.set()
            assert goes_on.wait(60)
            return super().hear(samples)

    seen, before = browser.seen(entry.id), run_anew.history_file.read_bytes()
    with ThreadPoolExecutor(1) as threads:
        running = threads.submit(run, run_anew, [run_anew.folder.parent / "media"], NOW, Choices(), bench=Waits)
        try:
            assert hears.wait(60)
            refused = put_right(browser, entry, seen)
            assert run_anew.history_file.read_bytes() == before
        finally:
            goes_on.set()
        assert len(running.result().records.entries) > 1
    assert "another run has this book. Wait until it has ended." in refused
    assert "A ladle." in refused and "I hear it" in refused, "what was written can be copied"
    assert "put right" in put_right(browser, entry, seen), "the run changed nothing of this entry"
    assert [one.after["words"][0]["read"] for one in events(run_anew)] == ["A ladle."]


def test_page_opened_before_a_run_is_told_that_the_run_changed_the_entry(run_anew, browser, entry):
    seen = browser.seen(entry.id)
    photo = run_anew.folder.parent / "media" / "IMG_2.jpg"
    make_photo(photo, TEN + timedelta(minutes=15, seconds=8), seed=2)
    after = run(run_anew, [photo.parent], NOW, Choices(), bench=TOLD).records
    assert len(next(one.photos for one in after.entries if one.id == entry.id)) > len(entry.photos)
    assert "has changed since you saw it" in put_right(browser, entry, seen)
    assert events(run_anew) == []
    assert "put right" in put_right(browser, entry, browser.seen(entry.id))


def test_all_that_was_typed_into_a_form_is_shown_where_the_entry_has_changed_since(browser, entry):
    seen = browser.seen(entry.id)
    put_right(browser, entry, seen)
    typed = {"item": "aileron", "count": "3", "of": "bolt", "value": "12", "bag": "40", "tag": "P-0142"}
    text = told(
        browser.act(entry.id, "fact", seen, number="", status="done", act="remove", why="as it was said", **typed)
    )
    assert "has changed since you saw it" in text
    for value in typed.values():
        assert f"“{value}”" in text
    long = "word " * 500
    assert long.strip() in told(browser.act(entry.id, "words", seen, utterance="", read=long, why="I hear it"))
