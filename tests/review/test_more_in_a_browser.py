"""In a real browser: words lit one by one, splitting and joining, teaching, letting out, amending what was signed.

Sources: as ``test_in_a_browser.py``; WCAG 2.2, success criterion 2.3.3 (animation from interactions).
"""

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.review.test_in_a_browser import (
    _AXE,
    _FOUND,
    _SMALL,
    _complaints,
    _tab_to,
    _until,
    let_in,
    send,
    serving,
)


@pytest.fixture
def served(run_anew):
    with serving(run_anew) as made:
        yield made


def spoken(served):
    return next(one for one in served.entries if len(one.utterances) > 1)


@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_each_word_lights_up_as_it_is_spoken_without_motion_where_that_is_asked_for(opened, served, motion):
    entry = spoken(served)
    words = served.open.spoken(entry.media)[entry.utterances[1]]
    with opened(width=360, height=800, allowed=served.home, reduced_motion=motion) as (page, seen):
        let_in(page, served)
        page.goto(f"{served.home}/entry/{entry.id}")
        assert page.locator(".w").count() == sum(len(one) for one in served.open.spoken(entry.media).values())
        said = page.locator(".said").nth(1)
        said.locator(".from").click()
        began = "document.getElementById('sound').played.length > 0"
        _until(page, began)
        assert page.evaluate("document.getElementById('sound').played.start(0)") == pytest.approx(
            words[0].start_s - 1, abs=0.35
        )
        lit = set()
        for _ in range(400):
            at, now = page.evaluate(
                "[document.getElementById('sound').currentTime, [...document.querySelectorAll('.w.lit')]"
                ".map(one => [one.textContent, +one.dataset.from, +one.dataset.to])]"
            )
            for text, start, end in now:
                lit.add(text)
                assert start - 0.3 <= at <= end + 0.3
            if at > words[-1].end_s:
                break
            page.wait_for_timeout(20)
        assert len(lit & {one.text for one in words}) >= len(words) - 2
        moving = page.locator(".w").first.evaluate("one => getComputedStyle(one).transitionDuration")
        assert (moving in ("0s", "")) == (motion == "reduce")
        page.locator("#play").click()
        _until(page, "document.querySelectorAll('.w.lit').length === 0")
        assert not _complaints(seen) and not seen.asked


def test_an_entry_is_split_and_joined_again_on_a_phone(opened, served):
    entry = spoken(served)
    with opened(width=360, height=800, allowed=served.home) as (page, seen):
        let_in(page, served)
        page.goto(f"{served.home}/entry/{entry.id}")
        said = page.locator(".said").nth(1)
        said.locator("summary").first.click()
        said.get_by_text("Another entry begins here").click()
        assert "Split." in send(page, said.get_by_role("button", name="Split the entry here"))
        assert page.locator(".said").count() == 1
        parts = [one for one in served.entries if one.media == entry.media]
        assert [len(one.utterances) for one in parts] == [1, len(entry.utterances) - 1]
        page.locator(".join summary").click()
        assert "Joined." in send(page, page.get_by_role("button", name="Join the two"))
        assert page.locator(".said").count() == len(entry.utterances)
        assert "Split in two by Bea Linnet" in page.locator(".acts").inner_text()
        assert "Taken back" in send(page, page.get_by_role("button", name="Undo"))
        assert len([one for one in served.entries if one.media == entry.media]) == 2
        assert not _complaints(seen)


def test_a_word_is_put_right_and_taught_by_keyboard_alone(opened, served):
    entry = spoken(served)
    with opened(width=1280, height=900, allowed=served.home) as (page, seen):
        let_in(page, served)
        page.goto(f"{served.home}/entry/{entry.id}")
        _tab_to(page, ".said summary")
        page.keyboard.press("Enter")
        page.keyboard.press("Tab")
        page.keyboard.press("Control+A")
        page.keyboard.type("The port rudder is off, three bolts.")
        page.keyboard.press("Tab")
        page.keyboard.press("Tab")
        with page.expect_navigation():
            page.keyboard.press("Enter")
        _tab_to(page, ".teach a")
        with page.expect_navigation():
            page.keyboard.press("Enter")
        assert page.locator("#heard").input_value().startswith("grommit ladle")
        page.locator("#heard").fill("grommit ladle")
        page.locator("#means").fill("rudder")
        _tab_to(page, "main .form button")
        with page.expect_navigation(timeout=120_000):
            page.keyboard.press("Enter")
        assert "Nothing is changed yet" in page.locator(".masthead").inner_text()
        assert "The port rudder's off" in page.locator(".changes").first.inner_text()
        assert not (served.book.vocabulary_folder / "taught.csv").exists()
        _tab_to(page, ".form .main")
        with page.expect_navigation():
            page.keyboard.press("Enter")
        assert "Taught." in page.locator(".told").inner_text()
        assert served.acts()[-1].act == "teach"
        assert not _complaints(seen)


def test_a_finding_a_name_and_a_quotation_are_let_out_and_kept_in(opened, served):
    with opened(width=360, height=800, allowed=served.home) as (page, seen):
        let_in(page, served)
        page.get_by_role("link", name="What may go out").click()
        for id in ("#finding-1", "#name-2"):
            thing = page.locator(id)
            assert "Stays in" in thing.inner_text()
            thing.locator("summary").click()
            thing.locator("input[name=why]").fill("agreed on Sunday")
            assert "It may go out" in send(page, thing.get_by_role("button", name="Let it out"))
            assert "May go out: let out by Bea Linnet" in page.locator(id).inner_text()
        assert "kept" not in page.locator("#name-1").inner_text()
        page.locator(".rows a").first.click()
        thing = page.locator("#said-1")
        thing.locator("summary").click()
        thing.locator("select").select_option("Ted Marrack")
        thing.locator("input[name=why]").fill("he said yes")
        assert "It may go out" in send(page, thing.get_by_role("button", name="Let it out"))
        assert "Taken back" in send(page, page.get_by_role("button", name="Undo"))
        assert [one.act for one in served.acts()] == ["release", "release", "release", "withdraw"]
        assert not _complaints(seen)


def test_what_was_signed_and_amended_afterwards_is_told_on_its_page(opened, served):
    entry = spoken(served)
    with opened(width=360, height=800, allowed=served.home) as (page, _):
        let_in(page, served, "Ted Marrack")
        page.goto(f"{served.home}/entry/{entry.id}")
        assert page.get_by_text("Put my name to it").count() == 0
        page.goto(f"{served.home}/who")
        with page.expect_navigation():
            page.get_by_role("button", name="Bea Linnet").click()
        page.goto(f"{served.home}/entry/{entry.id}")
        page.locator(".decide summary").nth(1).click()
        assert "it is no release" in send(page, page.get_by_role("button", name="Put my name to it"))
        assert [(one.act, one.after["for"]) for one in served.acts()] == [("sign", "checked the words")]
        assert "Bea Linnet, for “checked the words”" in page.locator(".acts").inner_text()
        page.locator(".said summary").first.click()
        page.locator(".said textarea").first.fill("Other words than were signed.")
        send(page, page.get_by_role("button", name="Keep these words").first)
        assert served.entry(entry.id).signed[0].changed_by == "amendment"
        assert "Signed before the amendment" in page.locator(".acts").inner_text()
        with page.expect_navigation():
            page.get_by_role("button", name="Take number").last.click()
        assert served.entry(entry.id).signed == ()


def test_axe_finds_nothing_on_the_pages_for_teaching_and_letting_out(opened, served):
    found = []
    entry = spoken(served)
    with opened(allowed=served.home, bypass_csp=True) as (page, _):
        let_in(page, served)
        day = f"/release/{entry.at.date()}"
        for path in (f"/entry/{entry.id}", "/teach", "/release", day, "/writing", "look"):
            if path == "look":
                page.goto(f"{served.home}/teach?heard=grommit+ladle&means=rudder")
                with page.expect_navigation(timeout=120_000):
                    page.get_by_role("button", name="See what it would change").click()
            else:
                page.goto(served.home + path)
            page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
            page.evaluate(Axe().axe_script)
            for width, scheme in ((360, "light"), (1280, "light"), (1280, "dark")):
                page.set_viewport_size({"width": width, "height": 900})
                page.emulate_media(color_scheme=scheme)
                page.wait_for_timeout(200)  # colours take a moment to change
                found += [f"{path}, {width}, {scheme}: {one}" for one in page.evaluate(_FOUND, _AXE)]
                if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
                    found.append(f"{path}, {width}: wider than the window")
                found += [f"{path}, {width}: small: {one}" for one in page.evaluate(_SMALL)]
    assert not found, "\n".join(dict.fromkeys(found))
