"""The book on a small screen and on a large one: folded, remembered, nothing covered."""

from __future__ import annotations

from typing import Any

import pytest
from browser.pages import HOST, PHONE, Browser, book_of, served, until
from browser.test_memory import REFUSED

SMALL, LARGE = (360, 640), (1400, 900)
"""The least phone, and a common desk, in CSS pixels; our own choice."""
MOST_SCREENS = 60
ALL_OPEN = "for (const el of document.querySelectorAll('.chapter > details')) el.open = true"
SCREENS = "document.documentElement.scrollHeight / window.innerHeight"
SPOT = """([n, block]) => {
  const el = document.querySelectorAll(".live svg .lead.tap")[n];
  el.scrollIntoView({ block, inline: "center" });
  const path = el.querySelector("path");
  const at = path.getPointAtLength(path.getTotalLength() / 2);
  const to = new DOMPoint(at.x, at.y).matrixTransform(path.getScreenCTM());
  const on = document.elementFromPoint(to.x, to.y);
  return on && on.closest(".tap") ? [to.x, to.y, scrollY] : null; }"""
COVERED = """([x, y, from]) => {
  const over = document.getElementById("_panel").getBoundingClientRect();
  const at = y + from - scrollY;
  return at < 52 || (x >= over.left && x <= over.right && at >= over.top && at <= over.bottom); }"""


def head(page: Any, chapter: str) -> Any:
    return page.locator(f"#{chapter} > details > summary")


@pytest.mark.parametrize("name", ["saltmarsh-19", "turnstone-4"])
def test_a_phone_shows_few_screens(browser: Browser, name: str) -> None:
    with browser.file(book_of(name), SMALL, folded=True, is_mobile=True) as opened:
        page = opened.page
        assert page.locator("#cautions .say").first.is_visible()  # never folded
        assert page.locator("#finding-1, #plan .ok").first.is_visible()
        assert page.evaluate(SCREENS) < 10
        page.evaluate(ALL_OPEN)
        assert 10 < page.evaluate(SCREENS) <= MOST_SCREENS


def test_what_was_unfolded_is_so_after_a_reload(browser: Browser) -> None:
    with browser.file(book_of("turnstone-4"), folded=True) as opened:
        page = opened.page
        tick = page.locator("#steps .tick").first
        assert tick.is_hidden()
        head(page, "steps").press("Enter")
        page.locator("#steps .part .part > summary").first.press("Space")
        tick.locator("input").check()
        page.locator("#_clear").click()
        page.locator("#_yes").click()
        page.reload()
        assert tick.is_visible()
        assert page.locator("#leads .wide").is_hidden()
        head(page, "steps").click()
        page.reload()
        assert tick.is_hidden()
        assert opened.faults == []


def test_it_folds_where_nothing_can_be_remembered(browser: Browser) -> None:
    with browser.device() as context:
        context.add_init_script(REFUSED)
        opened = served(context, {"book": book_of("turnstone-4")})
        opened.page.goto(f"{HOST}/book")
        head(opened.page, "leads").click()
        assert opened.page.locator("#leads .wide").is_visible()
        assert opened.faults == []


def test_a_link_unfolds_what_it_leads_to(browser: Browser) -> None:
    with browser.file(book_of("turnstone-4"), folded=True) as opened:
        page = opened.page
        page.locator("#_contents a[href='#leads']").click()
        row = page.locator("#leads th a.chip").first
        row.click()
        assert page.locator("#_panel").is_visible()
        assert page.locator("#diagrams svg").first.is_visible()
        page.goto(page.url.partition("#")[0] + "#field")
        page.reload()
        until(
            page,
            "Math.abs(document.getElementById('field').getBoundingClientRect().top) < 100 &&"
            " document.querySelector('#field > details').open",
        )


def test_folded_parts_are_printed(browser: Browser) -> None:
    with browser.file(book_of("turnstone-4"), folded=True) as opened:
        page = opened.page
        page.emulate_media(media="print")
        ticks = page.locator(".tick .do")
        shown = ticks.evaluate_all("els => els.map((el) => el.checkVisibility())")
        assert len(shown) > 10
        assert all(shown)


@pytest.mark.parametrize("size", [SMALL, LARGE])
def test_the_panel_does_not_lie_on_what_was_tapped(browser: Browser, size: tuple[int, int]) -> None:
    tapped = 0
    with browser.file(book_of("saltmarsh-19"), size, has_touch=True) as opened:
        page = opened.page
        for number in range(0, 36, 5):
            for block in ("end", "start"):
                page.keyboard.press("Escape")
                spot = page.evaluate(SPOT, [number, block])
                if spot is None or not 60 < spot[1] < size[1] - 2:
                    continue
                page.touchscreen.tap(*spot[:2])
                tapped += 1
                assert page.locator("#_panel").is_visible()
                assert not page.evaluate(COVERED, spot), (number, block)
    assert tapped > 5


@pytest.mark.parametrize("script", [True, False])
@pytest.mark.parametrize("name", ["saltmarsh-19", "sandbar-5"])
def test_a_large_screen_shows_the_whole_run_view(browser: Browser, name: str, script: bool) -> None:
    with browser.file(book_of(name), LARGE, java_script_enabled=script) as opened:
        frame = opened.page.locator(".live .frame").first
        wide, high = frame.evaluate("""el => [el.scrollWidth - el.clientWidth,
            el.querySelector("svg").getBoundingClientRect().height]""")
        assert wide <= 0
        assert high < LARGE[1]


def test_a_table_that_slides_says_so(browser: Browser) -> None:
    words = "el => getComputedStyle(el, '::before').content"
    with browser.file(book_of("saltmarsh-19"), PHONE) as opened:
        found = opened.page.locator(".wide").evaluate_all(
            """els => els.map((el) => [el.scrollWidth > el.clientWidth + 1,
              getComputedStyle(el, "::before").content.includes("Slides sideways")])"""
        )
        assert {slides for slides, _ in found} == {True, False}
        assert [pair for pair in found if pair[0] != pair[1]] == []
        table = opened.page.locator(".wide.more").first.element_handle()
        assert "\u2192" in table.evaluate(words)
        table.evaluate("el => el.scrollTo(9999, 0)")
        until(opened.page, "el => !el.classList.contains('more')", arg=table)


def test_a_lead_tapped_in_the_whole_drawing_shows_its_label(browser: Browser) -> None:
    with browser.file(book_of("saltmarsh-19"), SMALL, has_touch=True, is_mobile=True) as opened:
        page = opened.page
        page.locator("[data-zoom=whole]").first.tap()
        x, y, _ = page.evaluate(SPOT, [0, "center"])
        page.touchscreen.tap(x, y)
        low = page.locator("#_panel").bounding_box()["y"]
        code = page.locator("#_panel-title").inner_text().split()[0]
        labels = page.locator(".live").first.locator("g:not(.dim) > text", has_text=code)
        boxes = labels.evaluate_all("els => els.map((el) => el.getBoundingClientRect().toJSON())")
        seen = [b for b in boxes if b["top"] > 52 and b["bottom"] < low and b["height"] >= 12]
        assert seen
        assert page.locator(".live .map").first.is_hidden()
