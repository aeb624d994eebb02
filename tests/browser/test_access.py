"""Pages for people who see, hear or move otherwise: looked at by axe-core, and walked through with the Tab key.

Sources: axe-core's rules (Deque Systems) for WCAG 2.0, 2.1 and 2.2, levels A and AA; WCAG 2.2, success criteria 2.1.1
(keyboard), 2.4.3 (focus order) and 2.4.7 (focus visible).
"""

from pathlib import Path

from axe_playwright_python.sync_playwright import Axe

_RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
_ALL = {"runOnly": {"type": "tag", "values": _RULES}, "resultTypes": ["violations"]}
_ON_PAPER = {**_ALL, "rules": {"target-size": {"enabled": False}}}  # nobody taps on paper
_COLOURS = {
    "runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]},
    "resultTypes": ["violations"],
}
_LOOKS = {
    "phone": (360, {"media": "screen", "color_scheme": "light"}, _ALL),
    "desk": (1280, {"media": "screen", "color_scheme": "light"}, _ALL),
    "dark": (1280, {"media": "screen", "color_scheme": "dark"}, _COLOURS),
    "paper": (1280, {"media": "print", "color_scheme": "light"}, _ON_PAPER),
}
_FOUND = """options => axe.run(options).then(told => told.violations.map(one =>
  `${one.id} (${one.nodes.length}): ${one.nodes.slice(0, 3).map(node => node.html.slice(0, 160)).join(" | ")}`))"""

# what can be reached, in the order in which it is read: controls of sound hold several stops, told as one
_REACHABLE = """[...document.querySelectorAll('a[href], input, summary, audio[controls], [tabindex="0"]')]
  .filter(one => one.tabIndex >= 0 && one.checkVisibility({contentVisibilityAuto: true}))
  .map((one, at) => { one.dataset.stop = at; return one.outerHTML.slice(0, 90); })"""
_FOCUSED = """() => {
  const one = document.activeElement, box = one.getBoundingClientRect(), style = getComputedStyle(one);
  return {stop: one.dataset.stop ?? null, name: one.outerHTML.slice(0, 90),
    seen: box.width > 0 && box.height > 0 && box.bottom > 0 && box.top < innerHeight
      && box.right > 0 && box.left < innerWidth,
    marked: one.localName === 'audio' || (style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2)};
}"""


def test_axe_finds_no_violation_on_a_phone_on_a_desk_in_the_dark_or_on_paper(opened, pages, clock_address):
    found = []
    with opened(allowed=clock_address, bypass_csp=True) as (page, _):
        for address in (*(one.as_uri() for one in pages), clock_address):
            page.goto(address)
            page.evaluate(Axe().axe_script)
            for look, (width, media, rules) in _LOOKS.items():
                page.set_viewport_size({"width": width, "height": 900})
                page.emulate_media(**media)
                found += [f"{Path(address).name}, {look}: {one}" for one in page.evaluate(_FOUND, rules)]
    assert not found, "\n".join(found)


def test_tab_key_reaches_everything_in_order_and_shows_where_it_is(opened, pages):
    with opened(width=1280, height=900) as (page, _):
        for one in pages:
            page.goto(one.as_uri())
            names = page.evaluate(_REACHABLE)
            stops: list[int] = []
            for _ in range(len(names) * 8):
                page.keyboard.press("Tab")
                at = page.evaluate(_FOCUSED)
                if at["stop"] is None:
                    break
                if stops and stops[-1] == int(at["stop"]):
                    continue
                stops.append(int(at["stop"]))
                assert at["seen"], f"{one.name}: out of sight: {at['name']}"
                assert at["marked"], f"{one.name}: focus does not show: {at['name']}"
                if len(stops) == len(names):
                    break
            assert stops == list(range(len(names))), f"{one.name}: {set(range(len(names))) - set(stops)}"


def test_first_stop_is_the_way_past_the_head_of_the_page(opened, pages):
    with opened() as (page, _):
        for one in pages:
            page.goto(one.as_uri())
            if page.locator("nav").count() == 0:
                continue
            page.keyboard.press("Tab")
            page.keyboard.press("Enter")
            assert page.evaluate("location.hash") == "#main", one.name
            assert page.evaluate("document.querySelector('main').getBoundingClientRect().top") < 200, one.name


def test_links_of_a_register_that_stand_below_each_other_can_be_hit(opened, out):
    """A line of several entries has a link below a link. Source: WCAG 2.2, success criterion 2.5.8 (24 by 24)."""
    with opened(width=1280, height=900) as (page, _):
        page.goto((out / "logbook" / "registers.html").as_uri())
        heights = page.evaluate("[...document.querySelectorAll('.register td a')].map(one => one.offsetHeight)")
    assert heights and min(heights) >= 24
