"""The build book of every example, opened in a real browser."""

from __future__ import annotations

import pytest
from browser.looking import BEYOND, DRAWN, TARGETS, contrast, luminance, rgba, shown_texts
from browser.pages import DESK, NAMES, PHONE, Browser, Opened, SharedBook, book_of, until

SMALLEST_TEXT = 12.0
"""Pixels; the task's own floor."""
SMALLEST_TARGET = 24.0
"""Pixels, WCAG 2.2 success criterion 2.5.8 (from memory)."""


def busy(opened: Opened) -> None:
    """Tick, write, trace, ask: what a page shows only then is judged as well."""
    page = opened.page
    if page.locator("input[data-tick]").count():
        page.locator("input[data-tick]").first.check()
    if page.locator("input[type=text][data-word]").count():
        page.locator("input[type=text][data-word]").first.fill("5.97")
    page.locator(".choose").first.select_option(index=1)
    page.locator("#_panel").wait_for(state="visible")
    if page.locator("#_clear").is_visible():
        page.locator("#_clear").click()


@pytest.mark.parametrize("name", NAMES)
def test_no_request_and_no_script_error(browser: Browser, name: str) -> None:
    with browser.file(book_of(name)) as opened:
        busy(opened)
        opened.page.keyboard.press("Escape")
        opened.page.locator("#_scheme").click()
        opened.page.reload()
        assert len(opened.asked) == 2, opened.asked  # the page itself, opened and opened again
        assert all(url.startswith("file://") for url in opened.asked)
        assert opened.faults == []


def test_every_link_leads_somewhere_in_the_page(shared: SharedBook) -> None:
    with shared.on() as opened:
        found = opened.page.evaluate("""() => {
          const linked = [...document.querySelectorAll("[href]")];
          const refs = linked.filter((el) => el.tagName !== "LINK")
            .map((el) => el.getAttribute("href"));
          const lost = refs.filter((r) => !r.startsWith("#") ||
            !document.getElementById(decodeURIComponent(r.slice(1))));
          const fors = [...document.querySelectorAll("[for]")]
            .filter((el) => !document.getElementById(el.htmlFor));
          const ids = [...document.querySelectorAll("[id]")].map((el) => el.id);
          return { count: refs.length, lost, fors: fors.length,
            twins: ids.filter((id, n) => ids.indexOf(id) !== n) }; }""")
        assert found["count"] > len(shared.paper.chapters)
        assert (found["lost"], found["fors"], found["twins"]) == ([], 0, [])


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_stands_out_from_its_ground(shared: SharedBook, scheme: str) -> None:
    for size in (PHONE, DESK):
        with shared.on(size, color_scheme=scheme) as opened:
            busy(opened)
            paper = rgba(opened.page.evaluate("getComputedStyle(document.body).backgroundColor"))
            assert (luminance(paper[:3]) > 0.5) == (scheme == "light")
            found = shown_texts(opened.page)
            assert len(found) > 100
            weak = [text for text in found if text.ratio < text.needs]
            assert weak == []


def test_the_measure_of_contrast_is_the_published_one() -> None:
    """On white #767676 has 4.542 and #777777 4.478 (published.md, section 3)."""
    white = (255.0, 255.0, 255.0)
    assert contrast((0x76,) * 3, white) == pytest.approx(4.542, abs=5e-4)
    assert contrast((0x77,) * 3, white) == pytest.approx(4.478, abs=5e-4)


def test_pale_text_would_be_seen(browser: Browser) -> None:
    """The measure itself is tried: grey #777777 on white misses 4.5."""
    with browser.file("<body style='background:#fff'><p style='color:#777777'>pale</p>") as opened:
        (text,) = shown_texts(opened.page)
        assert (text.text, text.ratio < text.needs) == ("pale", True)


@pytest.mark.parametrize("name", NAMES)
def test_a_phone_shows_it_without_scrolling_sideways(browser: Browser, name: str) -> None:
    with browser.file(book_of(name), is_mobile=True, has_touch=True) as opened:
        page = opened.page
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]
        assert page.evaluate("window.innerWidth") == PHONE[0]
        assert page.evaluate(BEYOND, PHONE[0]) == []
        busy(opened)
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]


def test_a_finger_hits_what_can_be_tapped(shared: SharedBook) -> None:
    with shared.on() as opened:
        busy(opened)
        found = opened.page.evaluate(TARGETS)
        assert len(found) > 50
        small = [one for one in found if min(one[1:]) < SMALLEST_TARGET]
        assert small == []


def test_text_is_large_enough_to_read(shared: SharedBook) -> None:
    with shared.on() as opened:
        busy(opened)
        assert [t for t in shown_texts(opened.page) if t.size < SMALLEST_TEXT] == []
        drawn = opened.page.evaluate(DRAWN)
        assert len(drawn) > 20
        assert [one for one in drawn if one[1] < SMALLEST_TEXT - 0.01] == []


def test_wide_tables_and_drawings_scroll_by_keyboard(shared: SharedBook) -> None:
    """What is cut off can be reached with Tab and the arrows (WCAG 2.1.1, from memory)."""
    with shared.on() as opened:
        stuck = opened.page.evaluate("""() => [...document.querySelectorAll("main *")]
          .filter((el) => el.checkVisibility() && !el.closest("svg"))
          .filter((el) => el.scrollWidth > el.clientWidth + 1)
          .filter((el) => /auto|scroll/.test(getComputedStyle(el).overflowX))
          .filter((el) => el.tabIndex !== 0 || !el.getAttribute("aria-label"))
          .map((el) => el.outerHTML.slice(0, 120))""")
        assert stuck == []
        frame = opened.page.locator(".large .frame").first
        before = frame.evaluate("el => el.scrollLeft = 0")
        frame.focus()
        until(
            opened.page,
            "([el, before]) => el.scrollLeft > before",
            arg=[frame.element_handle(), before],
            press="ArrowRight",
        )
