"""Two people on their pages and runs of the book, at once: whatever was told as done is in the history and stays."""

from concurrent.futures import ThreadPoolExecutor

from pipeline.errors import BookInUse
from pipeline.history.chain import breaks
from pipeline.history.check import check_history
from pipeline.records import Records
from pipeline.review.open_book import OpenBook
from pipeline.review.server import review_app
from pipeline.runner import Choices, run
from tests.review.a_book import NOW
from tests.review.conftest import TOLD
from tests.review.test_cut_teach_release import told
from tests.review.test_server import Browser, events

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
