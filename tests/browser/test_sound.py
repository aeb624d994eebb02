"""Links to sound begin at their second.

Source: W3C Media Fragments URI 1.0 (basic), 4.2.1: ``#t=START,END`` in seconds.
"""

import pytest

from tests.writing.a_weekend import records

STARTS = {one.id: one.start_s for one in (*records().entries, *records().utterances)}
ENDS = {one.id: one.end_s for one in records().entries}


@pytest.mark.parametrize("day", ["2026-02-14", "2026-02-15"])
def test_sound_of_every_entry_starts_at_the_entry_and_stops_after_it(opened, out, day):
    with opened() as (page, _):
        page.goto((out / "logbook" / f"{day}.html").as_uri())
        entries = page.locator("article")
        assert entries.count() > 2
        for at in range(entries.count()):
            entry, player = entries.nth(at).get_attribute("id"), entries.nth(at).locator("audio")
            page.evaluate(
                "one => new Promise((done, fail) => {one.onseeked = done;"
                "setTimeout(() => fail('it never went to its second'), 20000);"
                "one.onerror = () => fail(one.error.message); one.muted = true; one.preload = 'auto'; one.load();})",
                player.element_handle(),
            )
            shown = player.evaluate("one => one.currentTime")
            assert shown == pytest.approx(STARTS[entry], abs=0.1)
            assert player.evaluate("one => one.duration") >= ENDS[entry]
            hear = entries.nth(at).locator(".source a").first.get_attribute("href")
            assert hear == player.get_attribute("src")


def test_player_goes_on_from_its_second(opened, out):
    with opened() as (page, _):
        page.goto((out / "logbook" / "2026-02-15.html").as_uri())
        entry = page.locator("article").nth(1)
        player, start = entry.locator("audio"), STARTS[entry.get_attribute("id")]
        player.evaluate(
            "one => new Promise((done, fail) => {setTimeout(() => fail('it does not play'), 20000);"
            "one.muted = true; one.ontimeupdate = () => {"
            f"if (one.currentTime > {start} + 0.2) done();}}; one.play();}})"
        )
        assert start + 0.2 < player.evaluate("one => one.currentTime") < start + 5


def test_following_a_line_of_speech_opens_the_recording_at_its_second(opened, out):
    with opened() as (page, _):
        for day in ("2026-02-14", "2026-02-15"):
            place = (out / "logbook" / f"{day}.html").as_uri()
            page.goto(place)
            line = page.locator(".speech p").nth(3)
            start = STARTS[line.get_attribute("id")]
            line.locator(".at").click()
            page.wait_for_function("document.querySelector('video, audio')?.readyState > 0")
            page.wait_for_function(f"document.querySelector('video, audio').currentTime >= {start - 0.1}")
            assert page.evaluate("document.querySelector('video, audio').currentTime") < start + 5
