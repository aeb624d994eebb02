"""The review page's server: who is let in, what a form may do, what is served, and what becomes of hostile texts."""

import html
import json
import re
from collections import Counter
from datetime import UTC, datetime

import pytest
from starlette.testclient import TestClient

from pipeline.records import Records
from pipeline.review.open_book import OpenBook
from pipeline.review.server import review_app
from tests.review.a_book import NOW, begin_history
from tests.review.forms import HOST, ORIGIN, Browser, events

HOSTILE = '"><script>alert(1)</script><img src=x onerror=alert(2)>'


@pytest.fixture
def opened(book):
    return OpenBook(book, lambda: NOW)


def entries(opened):
    return opened.records().entries


def with_facts(opened):
    return next(one for one in entries(opened) if one.facts)


# Who is let in


def test_without_the_token_nothing_is_shown_or_served(app, opened):
    client = TestClient(app, base_url=f"http://{HOST}")
    media = opened.records().media[0].id.removeprefix("sha256:")
    for path in ("/", "/who", "/day/2026-02-14", "/look/review.js", f"/media/{media}", "/?token=wrong", "/?token="):
        assert client.get(path).status_code == 403, path
    assert client.post("/write", headers=ORIGIN).status_code == 403


def test_the_token_becomes_a_cookie_that_no_script_and_no_other_site_sees(app):
    client = TestClient(app, base_url=f"http://{HOST}")
    answer = client.get("/?token=secret", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie and "secret" not in cookie


@pytest.mark.parametrize(
    "host",
    ["evil.example", "evil.example:8123", "127.0.0.1", "127.0.0.1:8124", "127.0.0.1.evil.example:8123"],
)
def test_other_names_for_this_machine_are_refused(browser, host):
    assert browser.get("/", headers={"Host": host}).status_code == 403
    assert browser.post("/who", headers={**ORIGIN, "Host": host}, who="Bea Linnet").status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "null"},
        {"Origin": "http://evil.example"},
        {"Origin": "http://127.0.0.1:8124"},
        {"Origin": f"https://{HOST}"},
        {**ORIGIN, "Sec-Fetch-Site": "cross-site"},
    ],
)
def test_forms_from_elsewhere_are_refused(browser, opened, book, headers):
    entry = entries(opened)[0].id
    version, decision = browser.seen(entry)
    answer = browser.post(f"/entry/{entry}/accept", headers=headers, version=version, decision=decision)
    assert answer.status_code == 403
    assert not events(book)


@pytest.mark.parametrize("token", ["", "wrong", "ä"])
def test_forms_without_this_sessions_token_are_refused(browser, opened, book, token):
    entry = entries(opened)[0].id
    version, decision = browser.seen(entry)
    browser.csrf = token
    assert browser.act(entry, "accept", (version, decision)).status_code == 403
    assert not events(book)


def test_a_form_is_neither_long_nor_of_another_kind(browser):
    assert browser.post("/who", who="x" * 300_000).status_code == 413
    sent = browser.client.post("/who", json={"csrf": browser.csrf, "who": "Bea Linnet"}, headers=ORIGIN)
    assert sent.status_code == 415
    assert browser.client.put("/who", headers=ORIGIN).status_code == 405


def test_getting_changes_nothing(browser, opened, book):
    before = book.history_file.read_bytes()
    entry = entries(opened)[0].id
    on_entry = (f"/entry/{entry}/accept", f"/entry/{entry}/reject?why=x")
    for path in (*on_entry, "/undo", "/write", "/day/2026-02-14/accept-all"):
        assert browser.get(path).status_code in (404, 405), path
    browser.get(f"/entry/{entry}?version=1&decision=2")
    assert book.history_file.read_bytes() == before


def test_every_answer_says_what_a_browser_may_do_with_it(browser, opened):
    media = opened.records().media[0].id.removeprefix("sha256:")
    for path in ("/", "/nothing", "/look/review.js", f"/media/{media}"):
        headers = browser.get(path).headers
        policy = headers["content-security-policy"]
        assert policy.startswith("default-src 'none'") and "unsafe" not in policy and "http" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cache-control"] == "no-store"


def test_pages_hold_no_script_and_no_style_of_their_own(browser, opened):
    for path in ("/", "/who", "/day/2026-02-14", *(f"/entry/{one.id}" for one in entries(opened))):
        text = browser.get(path).text
        assert not re.search(r"<script(?! src=\"/look/)", text), path
        assert not re.search(r"<style| style=| on[a-z]+=", text), path
        assert not re.search(r"(?:src|href)=\"(?!/|#)", text), path


# Photos and sound


def test_sound_is_served_in_parts_so_that_it_can_be_sought_in(browser, opened):
    one = next(one for one in opened.records().media if one.content_type == "audio/mpeg" or one.duration_s)
    path = f"/media/{one.id.removeprefix('sha256:')}"
    whole = browser.get(path)
    assert whole.status_code == 200 and whole.headers["accept-ranges"] == "bytes"
    assert whole.headers["content-type"].startswith(("audio/", "video/"))
    part = browser.get(path, headers={"Range": "bytes=100-199"})
    assert part.status_code == 206 and part.content == whole.content[100:200]
    assert part.headers["content-range"] == f"bytes 100-199/{len(whole.content)}"
    assert browser.get(path, headers={"Range": f"bytes={len(whole.content) + 5}-"}).status_code == 416


def test_photos_are_viewing_copies(browser, opened):
    photo = next(link.media for one in entries(opened) for link in one.photos)
    answer = browser.get(f"/media/{photo.removeprefix('sha256:')}")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/jpeg")


@pytest.mark.parametrize(
    "path",
    ["/media/" + "0" * 64, "/media/..%2f..%2fbook.toml", "/media/%2e%2e/%2e%2e/book.toml", "/media/../book.toml",
     "/media/quiet.mp3", "/look/..%2freview%2freview.js", "/look/../book.toml", "/look/day.html",
     "/media/" + "%00" * 4, "/entry/e-unknown", "/day/2020-01-01", "/day/..%2f", "/book.toml"],
)  # fmt: skip
def test_unknown_names_and_ways_out_of_the_book_lead_nowhere(browser, path):
    answer = browser.get(path)
    assert answer.status_code == 404
    assert "Linnet" not in answer.text


# What people do


def test_accepting_goes_on_to_the_next_entry_and_can_be_undone(browser, opened, book):
    entry = entries(opened)[0].id
    answer = browser.act(entry, "accept")
    assert "Accepted: " in answer.text and not answer.url.path.endswith(entry)
    (made,) = events(book)
    assert (made.act, made.on, made.who) == ("accept", entry, "Bea Linnet")
    browser.post("/undo", entry=entry, undo=f"{entry}|{made.n}")
    assert [one.act for one in events(book)] == ["accept", "withdraw"]
    assert next(one for one in entries(opened) if one.id == entry).review == "unread"


def test_a_whole_recording_is_rejected_in_one_act_and_taken_back_in_one(browser, opened, book):
    of_one = Counter(one.media for one in entries(opened)).most_common(1)[0][0]
    mine = [one.id for one in entries(opened) if one.media == of_one]
    others = [one.id for one in entries(opened) if one.media != of_one]
    assert len(mine) > 1 and others
    page = browser.get(f"/entry/{mine[0]}").text
    assert f"Reject all {len(mine)} of its entries" in page
    given = re.findall(r'name="other" value="([^"]*)"', page.partition("reject-recording")[2].partition("</form>")[0])
    answer = browser.act(mine[0], "reject-recording", other=given, why="a copy of the film")
    assert f"Rejected: {len(mine)} entries" in answer.text
    assert {one.id for one in entries(opened) if one.review == "rejected"} == set(mine)
    assert {one.why for one in events(book)} == {"a copy of the film"}
    undo = re.findall(r'name="undo" value="([^"]*)"', answer.text.partition('id="told"')[2].partition("</form>")[0])
    assert "Taken back" in browser.post("/undo", entry=mine[0], undo=undo).text
    assert not any(one.review == "rejected" for one in entries(opened))


def test_a_recording_of_which_one_entry_has_changed_is_not_rejected(browser, opened, book):
    mine = [one for one in entries(opened) if one.media == entries(opened)[0].media]
    seen = browser.seen(mine[0].id)
    given = f"{mine[1].id}|{mine[1].version}|0"
    browser.act(mine[1].id, "accept")
    assert "has changed since" in browser.act(mine[0].id, "reject-recording", seen, other=given, why="a copy").text
    assert [one.act for one in events(book)] == ["accept"]


def test_rejecting_needs_a_reason_and_takes_the_entry_out_of_the_lists(browser, opened, book):
    entry = with_facts(opened).id
    assert "needs a reason" in browser.act(entry, "reject", why=" ").text
    assert not events(book)
    assert "Rejected" in browser.act(entry, "reject", why="nobody said this").text
    assert not [one for one in opened.records().lists.parts_off for life in one.life if life.entry == entry]


def test_words_are_put_right_and_taken_back_to_what_was_heard(browser, opened):
    entry = next(one for one in entries(opened) if one.utterances)
    said = entry.utterances[0]
    answer = browser.act(entry.id, "words", utterance=said, read="Quite  other words.", why="I hear it")
    assert "Quite other words." in answer.text
    records = opened.records()
    assert next(one.read for one in records.utterances if one.id == said) == "Quite other words."
    number = events(opened.book)[0].n
    browser.post("/undo", entry=entry.id, undo=f"{entry.id}|{number}", why="wrong")
    before = next(one for one in opened._run.utterances if one.id == said)
    assert next(one for one in opened.records().utterances if one.id == said) == before


def test_a_side_is_changed_and_everything_else_of_the_facts_stays(browser, opened):
    entry = next(one for one in entries(opened) if one.facts and one.facts[0].side and one.facts[0].item)
    fact = entry.facts[0]
    other = "starboard" if fact.side == "port" else "port"
    fields = form_fields(browser.get(f"/entry/{entry.id}").text, 0)
    browser.client.post(
        f"/entry/{entry.id}/fact",
        content=encoded([*(one for one in fields if one[0] != "side"), ("side", other)]),
        headers={**ORIGIN, "content-type": "application/x-www-form-urlencoded"},
    )
    now = next(one for one in entries(opened) if one.id == entry.id)
    assert now.review == "amended"
    told = {"said", "utterances", "rule", "confidence", "check", "inferred", "side"}
    assert now.facts[0].side == other
    assert now.facts[0].model_dump(exclude=told) == fact.model_dump(exclude=told)
    assert now.facts[0].said == fact.said
    assert now.facts[1:] == entry.facts[1:]


def form_fields(text, number):
    from html.parser import HTMLParser

    class Reader(HTMLParser):
        """Reads the forms of a page as a browser would send them."""

        def __init__(self):
            super().__init__()
            self.forms, self.select = [], None

        def handle_starttag(self, tag, attrs):
            at = dict(attrs)
            if tag == "form":
                self.forms.append((at["action"], []))
            elif tag == "input" and (at.get("type") != "checkbox" or "checked" in at):
                self.forms[-1][1].append((at["name"], at.get("value", "")))
            elif tag == "select":
                self.select = at["name"]
                self.forms[-1][1].append((self.select, ""))
            elif tag == "option" and self.select and "selected" in at:
                self.forms[-1][1][-1] = (self.select, at["value"])

        def handle_endtag(self, tag):
            if tag == "select":
                self.select = None

    reader = Reader()
    reader.feed(text)
    return [fields for action, fields in reader.forms if action.endswith("/fact")][number]


def encoded(fields):
    from urllib.parse import urlencode

    return urlencode(fields)


def test_every_fact_comes_through_its_form_unchanged(browser, opened):
    checked = 0
    for entry in entries(opened):
        text = browser.get(f"/entry/{entry.id}").text
        for number in range(len(entry.facts)):
            answer = browser.client.post(
                f"/entry/{entry.id}/fact",
                content=encoded(form_fields(text, number)),
                headers={**ORIGIN, "content-type": "application/x-www-form-urlencoded"},
            )
            assert "says already: nothing is amended" in answer.text, entry.facts[number]
            checked += 1
    assert checked > 5 and not events(opened.book)


def test_facts_are_added_and_removed_and_unknown_parts_are_refused(browser, opened):
    entry = with_facts(opened)
    added = {"status": "done", "act": "remove", "item": "Rudder", "side": "port", "count": "2", "why": "it was said"}
    assert "A fact was added" in browser.act(entry.id, "fact", number="", **added).text
    now = next(one for one in entries(opened) if one.id == entry.id)
    assert (now.facts[-1].item, now.facts[-1].count) == ("rudder", 2)
    assert "in no list of parts" in browser.act(entry.id, "fact", number="", **{**added, "item": HOSTILE}).text
    assert "is no number" in browser.act(entry.id, "fact", number="", **{**added, "count": "many"}).text
    answer = browser.act(entry.id, "remove-fact", number=str(len(now.facts) - 1), why="not said")
    assert "Removed:" in answer.text
    assert next(one for one in entries(opened) if one.id == entry.id).facts == entry.facts


def test_a_photo_is_moved_in_one_act_and_taken_out(browser, opened, book):
    source = next(one for one in entries(opened) if one.photos)
    target = next(one for one in entries(opened) if one.id != source.id and one.at.date() == source.at.date())
    photo = source.photos[0].media
    seen = browser.seen(target.id)
    bare = photo.removeprefix("sha256:")
    browser.act(source.id, "photo", photo=bare, to="|".join((target.id, *seen)), why="it shows that")
    with_it = [one.id for one in entries(opened) if photo in {link.media for link in one.photos}]
    assert with_it == [target.id]
    assert [one.on for one in events(book)] == [source.id, target.id]
    browser.act(target.id, "photo", photo=bare, why="neither")
    assert photo in {one.media for one in opened.records().unplaced_photos}
    assert bare in browser.get(f"/day/{source.at.date()}").text


def test_a_photo_of_a_day_without_entries_is_put_with_an_entry_of_another_day(browser, opened, book):
    source = next(one for one in entries(opened) if one.photos)
    bare = source.photos[0].media.removeprefix("sha256:")
    browser.act(source.id, "photo", photo=bare, why="its clock began again")
    records = opened.records()
    strange = [
        one.model_copy(update={"taken_at": datetime(2016, 1, 2, 3, tzinfo=UTC)}) if one.id.endswith(bare) else one
        for one in records.media
    ]
    path = book.out / "records.json"
    path.write_text(records.model_copy(update={"media": tuple(strange)}).model_dump_json(by_alias=True))
    day = browser.get("/day/2016-01-02").text
    assert "No entry on this day" in day and f'href="/photo/{bare}"' in day
    form = browser.get(f"/photo/{bare}").text
    assert f'<option value="{source.at.date()}"' in form
    chosen = browser.get(f"/photo/{bare}", params={"day": str(source.at.date())}).text
    assert f'value="{source.id}|' in chosen
    to = "|".join((source.id, *browser.seen(source.id)))
    answer = browser.post("/day/2016-01-02/photo", photo=bare, to=to, why="it shows what was said there")
    assert answer.status_code == 200 and "The photo is placed." in answer.text
    assert any(link.media.endswith(bare) for one in entries(opened) for link in one.photos if one.id == source.id)
    assert browser.get(f"/photo/{bare}").status_code == 404


def test_photos_of_which_nobody_knows_the_day_are_together_behind_all_days(browser, opened, book):
    source = next(one for one in entries(opened) if one.photos)
    bare = source.photos[0].media.removeprefix("sha256:")
    browser.act(source.id, "photo", photo=bare, why="its clock began again")
    records = opened.records()
    strange = [
        one.model_copy(update={"time_error_s": 3e8}) if one.id.endswith(bare) else one for one in records.media
    ]
    path = book.out / "records.json"
    path.write_text(records.model_copy(update={"media": tuple(strange)}).model_dump_json(by_alias=True))
    days = re.findall(r'href="(/day/[^"]*)"', browser.get("/").text)
    assert "Day not known" in browser.get("/").text and f"/photo/{bare}" in browser.get(days[-1]).text
    assert "Nobody knows on which day" in browser.get(f"/photo/{bare}").text
    to = "|".join((source.id, *browser.seen(source.id)))
    answer = browser.post(f"{days[-1]}/photo", photo=bare, to=to, why="it shows what was said there")
    assert answer.status_code == 200 and "The photo is placed." in answer.text
    assert "Day not known" not in browser.get("/").text and "Day not known" not in browser.get("/release").text


def test_what_came_of_a_form_stands_where_it_was_filled_in_and_has_the_focus(browser, opened):
    entry = with_facts(opened)
    said = entry.utterances[-1]
    form = {"utterance": said, "read": "Something else.", "why": "I hear it"}
    first = browser.act(entry.id, "words", **form)
    assert str(first.url).endswith(f"/entry/{entry.id}#told")
    before, told, after = re.split(r'<div class="told[^>]*id="told" tabindex="-1"', first.text), "put right", said
    assert len(before) == 2 and told in before[1]
    assert f'id="{after}"' not in before[0] and f'id="{after}"' in before[1]
    number = re.search(r'name="undo" value="([^"]*)"', before[1])[1]
    undone = browser.post("/undo", entry=entry.id, at=said, undo=number)
    assert undone.text.index('id="told"') < undone.text.index(f'id="{said}"')
    assert undone.text.index('id="told"') > undone.text.index('id="h-words"')
    gone = browser.act(entry.id, "remove-fact", number=str(len(entry.facts) - 1), why="not said")
    assert gone.text.count('id="told"') == 1
    assert browser.act(entry.id, "accept").text.count('id="told"') == 1


def test_advice_is_answered_with_a_reason_that_goes_into_the_history(browser, opened, book):
    caution = next(one for one in opened.records().cautions if one.entries)
    entry = caution.entries[0]
    assert "needs a reason" in browser.act(entry, "answer", caution=caution.text, seen="0", why="").text
    answer = browser.act(entry, "answer", caution=caution.text, seen="0", why=HOSTILE)
    assert "Answered" in answer.text and "<script>alert" not in answer.text
    (made,) = events(book)
    assert (made.act, made.on, made.why) == ("answer", caution.rule, HOSTILE)
    now = next(one for one in opened.records().cautions if one.text == caution.text)
    assert now.answer.who == "Bea Linnet"
    second = browser.act(entry, "answer", caution=caution.text, seen="0", why="other")
    assert "has changed since you saw it: Bea Linnet answered it" in second.text
    browser.post("/undo", entry=entry, undo=f"{caution.rule}|{made.n}")
    assert next(one for one in opened.records().cautions if one.text == caution.text).answer is None


def test_the_second_of_two_people_is_told_and_keeps_what_they_wrote(app, opened, book):
    entry = next(one for one in entries(opened) if one.utterances)
    first, second = Browser(app), Browser(app, "Ted Marrack")
    seen = second.seen(entry.id)
    first.act(entry.id, "reject", why="read wrong")
    answer = second.act(
        entry.id, "words", seen, utterance=entry.utterances[0], read="My careful words.", why="I hear it"
    )
    text = html.unescape(answer.text)
    assert "has changed since you saw it: Bea Linnet rejected it" in text
    assert "My careful words." in text and "I hear it" in text
    assert [one.act for one in events(book)] == ["reject"]
    assert "rejected" in text


def test_a_run_at_the_same_time_is_told_and_loses_nothing(browser, opened, book, monkeypatch):
    monkeypatch.setattr("pipeline.review.open_book._PATIENCE_S", 0.0)
    entry = with_facts(opened).id
    seen = browser.seen(entry)
    with book.locked():
        assert "another run has this book" in browser.act(entry, "reject", seen, why="kept words").text
    assert not events(book)
    assert "Rejected" in browser.act(entry, "reject", seen, why="kept words").text


def test_only_entries_with_nothing_to_check_are_accepted_together(browser, opened, book):
    for day in ("2026-02-14", "2026-02-15"):
        text = browser.get(f"/day/{day}").text
        given = re.findall(r'name="entry" value="([^"]+)"', text)
        browser.client.post(
            f"/day/{day}/accept-all",
            content=encoded([("csrf", browser.csrf), *(("entry", one) for one in given), ("entry", "e-x|1|0")]),
            headers={**ORIGIN, "content-type": "application/x-www-form-urlencoded"},
        )
        doubtful = re.findall(r'<li id="([^"]+)">(?:(?!</li>).)*?row-doubts">[^\n]*<b>', text, re.S)
        assert not {one.partition("|")[0] for one in given} & set(doubtful)
    assert all(one.act == "accept" for one in events(book))


def with_first_fact(book, entry, **told):
    """Return the book opened anew, in which the first fact of an entry is so."""
    records = OpenBook(book, lambda: NOW).records()
    fact = entry.facts[0].model_copy(update=told)
    changed = entry.model_copy(update={"facts": (fact, *entry.facts[1:])})
    others = tuple(changed if one.id == entry.id else one for one in records.entries)
    (book.out / "records.json").write_text(records.model_copy(update={"entries": others}).model_dump_json())
    for old in book.folder.glob("history*"):
        old.unlink()
    begin_history(book)
    return OpenBook(book, lambda: NOW)


def test_what_was_not_said_with_a_fact_is_told_in_words_of_the_hangar(opened, book):
    entry = with_facts(opened)
    inferred = (("item", "the part being talked of"), ("side", "as before"))
    changed = with_first_fact(book, entry, inferred=inferred)
    shown = Browser(review_app(changed, 8123, "secret")).get(f"/entry/{entry.id}").text
    assert "Inferred: the part (the part being talked of)" in shown
    assert "Inferred: the side (as before)" in shown and "To check: the side" not in shown


def test_facts_to_check_are_counted_as_such_and_not_as_questions(opened, book):
    changed = with_first_fact(book, with_facts(opened), check=("likely, not sure: 62 in 100", "port or starboard?"))
    browser = Browser(review_app(changed, 8123, "secret"))
    doubted = [(one.id, n) for one in entries(changed) if (n := sum(bool(fact.check) for fact in one.facts))]
    assert doubted
    for entry, number in doubted:
        page = browser.get(f"/entry/{entry}").text
        told = re.search(r'class="look-at".*?</p>', page, re.DOTALL)[0]
        assert f"{number} fact{'s' if number > 1 else ''} to check" in told
        assert len(set(re.findall(r'<li id="(fact-\d+)">(?:(?!</li>).)*?To check:', page, re.DOTALL))) == number


def test_another_persons_decision_is_not_taken_back(app, opened, book):
    entry = entries(opened)[0].id
    Browser(app).act(entry, "reject", why="wrong")
    number = events(book)[0].n
    answer = Browser(app, "Ted Marrack").post("/undo", entry=entry, undo=f"{entry}|{number}")
    assert "only Bea Linnet can take it back" in answer.text
    assert len(events(book)) == 1


def test_who_is_checking_is_one_of_the_team_by_any_of_their_names(app, opened):
    browser = Browser(app, who="")
    assert browser.get("/").url.path == "/who"
    assert "lists nobody called" in browser.post("/who", typed="Nobody").text
    assert "Bea Linnet" in browser.post("/who", typed="bee").text
    assert browser.get("/").url.path == "/"


def test_written_pages_show_what_was_decided(browser, opened, book, monkeypatch):
    monkeypatch.setattr("pipeline.review.server._PATIENCE_S", 300.0)
    entry = entries(opened)[0].id
    browser.act(entry, "accept")
    assert opened.unwritten == 1
    assert "The pages are written" in browser.post("/write").text
    held = json.loads((book.out / "records.json").read_text())
    assert next(one for one in held["entries"] if one["id"] == entry)["review"] == "accepted"
    assert opened.unwritten == 0


# Hostile books


def test_hostile_words_and_names_are_escaped_everywhere(book):
    path = book.out / "records.json"
    records = Records.model_validate_json(path.read_bytes())
    records = records.model_copy(
        update={
            "utterances": tuple(
                one.model_copy(
                    update={"heard": HOSTILE, "read": HOSTILE, "corrections": (), "suggestions": (), "unsure": ()}
                )
                for one in records.utterances
            ),
            "media": tuple(one.model_copy(update={"device": HOSTILE, "flags": (HOSTILE,)}) for one in records.media),
            "book": records.book.model_copy(update={"aircraft": HOSTILE}),
            "entries": tuple(
                one.model_copy(
                    update={"facts": tuple(fact.model_copy(update={"tag": HOSTILE}) for fact in one.facts)}
                )
                for one in records.entries
            ),
        }
    )
    path.write_text(records.model_dump_json(by_alias=True, exclude_none=True))
    book.history_file.unlink()
    book.history_file.with_suffix(".head").unlink()
    begin_history(book)
    settings = book.settings_file
    settings.write_text(settings.read_text().replace("Ted Marrack", "<script>alert(3)</script>"))
    opened = OpenBook(book, lambda: NOW)
    browser = Browser(review_app(opened, 8123, "secret"))
    days = ("/", "/who", "/day/2026-02-14", "/day/2026-02-15")
    for where in (*days, *(f"/entry/{one.id}" for one in entries(opened))):
        text = browser.get(where).text
        assert "<script>alert" not in text and "<img src=x" not in text, where
    assert "&lt;script&gt;alert(1)" in text
