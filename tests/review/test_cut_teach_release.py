"""The review page's other acts, as forms: splitting and joining, teaching, and saying what may go out."""

import html
import re

import pytest

from pipeline.history.releases import with_releases
from pipeline.review.open_book import OpenBook
from tests.review.a_book import NOW
from tests.review.forms import Browser, events, told

BEA, TED = "Bea Linnet", "Ted Marrack"


@pytest.fixture
def opened(run_anew):
    return OpenBook(run_anew, lambda: NOW)


def spoken(opened):
    return next(one for one in opened.records().entries if len(one.utterances) > 1)


def test_an_entry_is_split_joined_again_and_both_are_undone(browser, opened, run_anew):
    entry = spoken(opened)
    answer = browser.act(entry.id, "split", utterance=entry.utterances[1], why="another job")
    assert "Split." in told(answer)
    parts = [one for one in opened.records().entries if one.media == entry.media]
    assert [one.utterances for one in parts] == [entry.utterances[:1], entry.utterances[1:]]
    page = browser.get(f"/entry/{parts[0].id}").text
    other = html.unescape(re.search(r'name="other" value="([^"]*)"', page)[1])
    answer = browser.act(parts[0].id, "join", other=other, why="one job after all")
    assert told(answer).startswith("Joined.") and answer.url.path == f"/entry/{entry.id}"
    joined = spoken(opened)
    assert (joined.utterances, [one.act for one in joined.decided]) == (entry.utterances, ["split", "join"])
    for number in (events(run_anew)[1].n, events(run_anew)[0].n):
        assert "Taken back" in told(browser.post("/undo", entry=entry.id, undo=f"{entry.id}|{number}"))
    assert spoken(opened).decided == () and spoken(opened).version == entry.version


def test_second_page_is_told_that_the_entry_was_split(app, browser, opened):
    entry = spoken(opened)
    second = Browser(app, TED)
    seen = second.seen(entry.id)
    browser.act(entry.id, "split", utterance=entry.utterances[1], why="another job")
    answer = second.act(entry.id, "split", seen, utterance=entry.utterances[2], why="no, here")
    assert "Bea Linnet split it" in told(answer)
    assert len(events(opened.book)) == 1


def test_a_split_where_none_can_be_is_refused_in_words(browser, opened):
    entry = spoken(opened)
    assert "can be split before" in told(browser.act(entry.id, "split", utterance="u-nonsense", why="x"))
    assert "needs a reason" in told(browser.act(entry.id, "split", utterance=entry.utterances[1], why=" "))
    assert "not one of this page" in told(browser.act(entry.id, "join", other="x", why="x"))


def test_words_put_right_are_read_again_after_a_look_at_what_that_changes(browser, opened, run_anew):
    entry = spoken(opened)
    said = entry.utterances[0]
    answer = browser.act(
        entry.id, "words", utterance=said, read="The port rudder's off, three bolts.", why="I hear it"
    )
    assert "read again" in told(answer)
    look = browser.get(f"/entry/{entry.id}/read-again").text
    assert "Removed the port rudder (3 bolts)" in look and "Take these facts" in look
    assert len(events(run_anew)) == 1, "a look changes nothing"
    assert "needs a reason" in told(browser.act(entry.id, "read-again", why=" "))
    assert told(browser.act(entry.id, "read-again", why="as the words say")).startswith("The facts are those")
    facts = spoken(opened).facts
    assert any((one.act, one.item, one.side, one.count) == ("remove", "rudder", "port", 3) for one in facts)
    assert "None: the same facts are read" in browser.get(f"/entry/{entry.id}/read-again").text
    assert "Taken back" in told(browser.post("/undo", entry=entry.id, undo=f"{entry.id}|{events(run_anew)[-1].n}"))
    assert spoken(opened).facts == entry.facts


def test_words_of_a_book_without_its_database_cannot_be_read_again(browser, opened):
    opened.book.store_file.unlink()
    entry = spoken(opened)
    answer = browser.get(f"/entry/{entry.id}/read-again")
    assert "Run it first" in told(answer) and answer.url.path == f"/entry/{entry.id}"
    assert browser.get("/entry/e-00000000-0/read-again").status_code == 404


def test_own_words_put_right_can_be_taught_after_a_look_at_what_that_changes(browser, opened, run_anew):
    entry = spoken(opened)
    said = entry.utterances[0]
    browser.act(entry.id, "words", utterance=said, read="The port rudder's off, three bolts.", why="I hear it")
    page = browser.get(f"/entry/{entry.id}").text
    link = html.unescape(re.search(r'href="(/teach\?[^"]*)"', page)[1])
    form = browser.get(link).text
    assert 'value="grommit ladle&#39;s"' in form
    look = browser.post("/teach/look", heard="grommit ladle", means="rudder", entry=entry.id)
    assert "The port rudder&#39;s off" in look.text and "is asked again" in look.text
    assert not events(run_anew)[1:]
    fields = {name: html.unescape(value) for name, value in re.findall(r'name="(\w+)" value="([^"]*)"', look.text)}
    fields = {name: fields[name] for name in ("heard", "means", "part", "entry", "state")}
    stale = browser.post("/teach", **{**fields, "state": "x"}, why="I hear it")
    assert "has changed since you saw" in told(stale)
    done = browser.post("/teach", **fields, why="I hear it")
    assert "Taught." in told(done) and done.url.path == f"/entry/{entry.id}"
    assert run_anew.vocabulary(run_anew.settings()).taught[0].means == "rudder"
    assert "grommit ladle" in browser.get("/teach").text
    number = events(run_anew)[-1].n
    assert "Taken back" in told(browser.post("/undo", undo=f"grommit ladle|{number}"))
    assert run_anew.vocabulary(run_anew.settings()).taught == ()


def test_looking_changes_nothing_and_a_fault_is_told_on_the_form(browser, run_anew):
    before = {one: one.read_bytes() for one in run_anew.folder.rglob("*.csv")}
    answer = browser.post("/teach/look", heard="the", means="rudder")
    assert "said too often" in told(answer) and 'value="the"' in answer.text
    assert browser.post("/teach/look", heard="gizmo", means="rudder").status_code == 200
    assert {one: one.read_bytes() for one in run_anew.folder.rglob("*.csv")} == before


def items(browser, path="/release"):
    """Each thing of a page by its text, with the fields of its form."""
    found = {}
    for part in re.findall(r'<li id="(?:finding|name|said)-.*?</li>', browser.get(path).text, re.DOTALL):
        text = html.unescape(re.sub("<[^>]+>", "", re.search(r'<p class="what">(.*?)</p>', part, re.DOTALL)[1]))
        fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', part))
        fields.pop("csrf", None), fields.pop("why", None)
        found[text] = {name: html.unescape(value) for name, value in fields.items()}
    return found


def supporters(opened):
    return with_releases(opened.settings, opened.past.acts)


def test_nothing_goes_out_until_somebody_who_may_say_so_lets_it_out(browser, app, opened):
    assert not supporters(opened).released and not any(one.consent for one in supporters(opened).people)
    finding = next(text for text in items(browser) if text.startswith("Corrosion"))
    fields = items(browser)[finding]
    assert "may go out" in told(browser.post("/release", **fields, why="agreed on Sunday"))
    assert [(one.item, one.finding, one.side, one.who) for one in supporters(opened).released] == [
        ("aileron", "corrosion", "starboard", BEA)
    ]
    second = Browser(app, TED)
    assert "changed since you saw it" in told(second.post("/release", **{**fields, "act": "in"}, why="no"))
    kept = items(second)[finding]
    assert kept["act"] == "in"
    assert "kept in" in told(second.post("/release", **kept, why="not yet"))
    assert not supporters(opened).released
    again = {**kept, "act": "out", "seen": str(events(opened.book)[-1].n)}
    assert "may not let anything out" in told(second.post("/release", **again, why="yes"))
    assert not supporters(opened).released
    assert [one.act for one in events(opened.book)] == ["release", "keep-in"]


def test_a_name_and_a_quotation_go_out_by_an_act_each(browser, opened):
    name = next(text for text in items(browser) if text.startswith(TED))
    assert "may go out" in told(browser.post("/release", **items(browser)[name], why="Ted said yes"))
    assert [one.name for one in supporters(opened).people if one.consent] == [TED]
    day = f"/release/{spoken(opened).at.date()}"
    words = next(text for text in items(browser, day) if "We lifted it" in text)
    fields = items(browser, day)[words]
    assert "has not agreed" in told(browser.post(day, **fields, by=BEA, why="x"))
    assert "may go out" in told(browser.post(day, **fields, by=TED, why="Ted said yes"))
    (quoted,) = supporters(opened).quoted
    assert (quoted.words, quoted.by, quoted.who) == ("We lifted it with care.", TED, BEA)
    entry = next(one for one in opened.records().entries if quoted.utterance in one.utterances)
    browser.act(entry.id, "words", utterance=quoted.utterance, read="We lifted it somehow or other.", why="I hear it")
    assert "look again" in browser.get(day).text
    assert "put right since" in told(browser.post(day, **{**fields, "seen": "0"}, why="x"))


def test_words_that_every_report_holds_back_are_shown_with_the_reason_and_are_not_let_out(browser, opened):
    entry = spoken(opened)
    utterance = next(one for one in entry.utterances)
    text = "The rudder is on the stand, and it cost us three hundred quid."
    browser.act(entry.id, "words", utterance=utterance, read=text, why="I hear it")
    day = f"/release/{entry.at.date()}"
    shown = next(part for part in re.findall(r"<li id=.*?</li>", browser.get(day).text, re.DOTALL) if "quid" in part)
    assert "holds these words back" in shown and "money" in shown and "a storage place" in shown
    assert "Let it out" not in shown
    fields = {"thing": f"quotation: {utterance}", "seen": "0", "act": "out", "words": text}
    assert "money" in told(browser.post(day, **fields, why="x"))
    assert not supporters(opened).quoted
    assert "Nothing goes out by default" not in browser.get("/release").text


def test_what_a_form_makes_up_is_not_let_out(browser, opened):
    for thing in ("finding: x on y", "name: Nobody", "quotation: u-0-0", ""):
        fields = {"thing": thing, "seen": "0", "act": "out", "words": "made up", "why": "x"}
        assert "not there any more" in told(browser.post("/release", **fields))
    assert not events(opened.book)


def test_pages_are_shown_while_they_are_written(browser, opened, monkeypatch):
    monkeypatch.setattr("pipeline.review.server._PATIENCE_S", 0.0)
    monkeypatch.setattr("pipeline.review.open_book.write_book", _slowly)
    answer = browser.post("/write")
    assert answer.url.path == "/writing" and 'data-again="/writing"' in answer.text
    assert browser.get("/").status_code == 200
    assert not opened.is_writing(60)
    assert "Making a copy" not in browser.get("/writing").text


def test_a_page_written_anew_tells_what_became_of_the_editors_wishes(browser, opened, run_anew):
    run_anew.edits_file.write_text('[[reports]]\nreport = "2026-02"\nlead = "nothing.jpg"\n')
    browser.post("/write")
    assert not opened.is_writing(60)
    assert "edits.toml: " in browser.get("/writing").text


def _slowly(*given, progress):
    import time

    from pipeline.writing.write import write_book

    progress("a copy")
    time.sleep(1)
    return write_book(*given, progress=progress)
