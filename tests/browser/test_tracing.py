"""Tapping a lead of the diagram: its run is lit, the rest steps back, the words are there."""

from __future__ import annotations

from typing import Any

import pytest
from browser.pages import DESK, PHONE, Browser, SharedBook, book_of, report_of, until

from harness.diagram import ViewWish, draw_pages
from harness.documents.build_book.live import traces
from harness.paper.blocks import Chapter, Paper, Picture
from harness.paper.html import as_html
from harness.wiring.build import build

LIT = """(prefix) => [...document.querySelectorAll(`g[id^="${prefix}lead-"]`)]
  .filter((el) => !el.closest(".dim") && !el.closest(".further"))
  .map((el) => el.id.slice(`${prefix}lead-`.length).replace(/_([0-9a-f]+)_/g,
    (_, code) => String.fromCodePoint(parseInt(code, 16))))"""
RIBBON = """(id) => {
  const path = document.getElementById(id).querySelector("path");
  const at = path.getPointAtLength(path.getTotalLength() / 2);
  const to = new DOMPoint(at.x, at.y).matrixTransform(path.getScreenCTM());
  return [to.x, to.y]; }"""
BESIDE = """() => {
  const svg = document.querySelector(".live svg");
  const at = (x, y) => { const el = document.elementFromPoint(x, y);
    return el && svg.contains(el) ? el : null; };
  const bare = (x, y) => at(x, y) && !at(x, y).closest(".tap");
  for (const lead of svg.querySelectorAll(".lead.tap")) {
    lead.scrollIntoView({ block: "center", inline: "center" });
    const box = lead.getBoundingClientRect();
    for (let x = box.left + 8; x < box.right - 8; x += 2) {
      for (let y = box.top; y < box.bottom; y += 1) {
        if (!lead.contains(at(x, y)) || lead.contains(at(x, y + 1))) continue;
        const free = [-12, -6, 0, 6, 12].every((dx) =>
          bare(x + dx, y + 10) && [14, 18, 22].every((dy) => bare(x + dx, y + dy)));
        if (free) return [lead.id.split("_3a_lead-")[1], x, y + 9];
      }
    }
  }
  throw new Error("no free stretch"); }"""
"""A lead, and a spot on bare paper 9 px below its edge, far from all others."""


def run_view(page: Any) -> str:
    """What the ids of the groups of the first live drawing begin with; `:` stands as its code."""
    return f"p{page.locator('.live').first.get_attribute('id').removeprefix('_p')}_3a_"


def lit(page: Any) -> set[str]:
    return set(page.evaluate(LIT, run_view(page)))


def show(page: Any, lead: str) -> tuple[float, float]:
    """Bring the middle of a ribbon into view; return where it is."""
    middle = """{ block: "center", inline: "center" }"""
    page.evaluate(
        f"(id) => document.getElementById(id).scrollIntoView({middle})",
        f"{run_view(page)}lead-{lead}",
    )
    x, y = page.evaluate(RIBBON, f"{run_view(page)}lead-{lead}")
    return x, y


AILERON_LEFT = {"aileron-left.plug", "aileron-left-ext.plug", "aileron-y.plug"}
"""By hand from the plan: aileron-left into aileron-left-ext.1 into aileron-y.1 into rx.1."""


@pytest.mark.parametrize(
    ("lead", "run"),
    [
        ("aileron-left-ext.plug", AILERON_LEFT),
        ("aileron-y.plug", AILERON_LEFT | {"aileron-right.plug", "aileron-right-ext.plug"}),
        ("steering.plug", {"steering.plug"}),
        # esc-left takes pack-y.1, pack-y joins pack "main"; its motor hangs on it.
        ("esc-left.supply", {"esc-left.supply", "pack-y.in-1", "motor-left.plug"}),
    ],
)
def test_a_tap_lights_the_run_and_a_second_lets_go(
    browser: Browser, lead: str, run: set[str]
) -> None:
    with browser.file(book_of("saltmarsh-19"), has_touch=True, is_mobile=True) as opened:
        page = opened.page
        everything = lit(page)
        assert len(everything) > 30
        page.touchscreen.tap(*show(page, lead))
        assert lit(page) == run
        assert page.locator("#_panel").is_visible()
        page.keyboard.press("Escape")
        page.touchscreen.tap(*show(page, lead))
        page.evaluate("document.getElementById('_panel').style.visibility = 'hidden'")
        page.touchscreen.tap(*show(page, lead))
        assert lit(page) == everything
        assert page.locator("#_panel").is_hidden()
        assert opened.faults == []


def test_a_finger_beside_a_ribbon_still_hits_it(browser: Browser) -> None:
    """Where a ribbon is free of others, 9 px off is within a target of 24 px about its edge.

    With a mouse, which the browser does not help to the nearest target as it does a finger.
    """
    with browser.file(book_of("dunlin-4"), DESK) as opened:
        page = opened.page
        lead, x, y = page.evaluate(BESIDE)
        page.mouse.click(x, y)
        assert lead in lit(page)
        assert page.locator(".traced").count() == page.locator(".live").count()


def test_the_panel_says_the_run_in_words_and_leads_to_the_row(browser: Browser) -> None:
    with browser.file(book_of("saltmarsh-19"), DESK) as opened:
        page = opened.page
        page.mouse.click(*show(page, "aileron-left.plug"))
        words = page.locator("#_panel").inner_text()
        steps = ["AIL-L-X", "AIL-Y", 'receiver "rx"', "channel 1: aileron"]
        places = [words.index(step) for step in steps]
        assert places == sorted(places)
        page.locator("#_panel-words a").first.click()
        row = page.evaluate("document.querySelector(':target').innerText").replace("\u00a0", " ")
        assert row.startswith("AIL-L")
        assert "250 mm" in row  # the length that the plan gives this servo's lead


def test_escape_and_the_empty_sheet_let_go(browser: Browser) -> None:
    with browser.file(book_of("saltmarsh-19"), DESK) as opened:
        page = opened.page
        for release in ("Escape", "sheet", "close"):
            page.mouse.click(*show(page, "steering.plug"))
            assert page.locator("#_panel").is_visible()
            if release == "Escape":
                page.keyboard.press("Escape")
            elif release == "close":
                page.locator("#_close").click()
            else:
                page.locator(".live .frame").first.evaluate(
                    "el => { el.scrollTo(0, 0); el.scrollIntoView({ block: 'start' }); }"
                )
                box = page.locator(".live .frame").first.bounding_box()
                page.mouse.click(box["x"] + 14, box["y"] + 14)
            assert page.locator("#_panel").is_hidden(), release
            assert page.locator(".dim").count() == 0


def test_the_keyboard_traces_too(browser: Browser) -> None:
    with browser.file(book_of("saltmarsh-19"), DESK) as opened:
        page = opened.page
        page.locator(".live .frame").first.focus()
        page.keyboard.press("Tab")
        assert page.locator("#_panel").is_visible()
        first = page.locator("#_panel-title").inner_text()
        page.keyboard.press("ArrowRight")
        assert page.locator("#_panel-title").inner_text() != first
        shown = page.evaluate("document.activeElement.getAttribute('aria-label')")
        assert page.locator("#_panel-title").inner_text() == shown
        page.keyboard.press("Enter")
        assert page.locator("#_panel").is_hidden()
        stops = page.locator('.live svg [tabindex="0"]').count()
        assert stops == page.locator(".live").count()  # one stop a drawing, not one a lead


def test_a_code_in_a_step_leads_to_its_lead_in_the_drawing_and_back(browser: Browser) -> None:
    with browser.file(book_of("saltmarsh-19"), PHONE, has_touch=True, is_mobile=True) as opened:
        page = opened.page
        chip = page.locator("#steps .tick a.chip", has_text="RUD-X").first
        chip.scroll_into_view_if_needed()
        chip.tap()
        assert page.locator("#_panel-title").inner_text().startswith("RUD-X")
        until(
            page,
            """(id) => { const r = document.getElementById(id).getBoundingClientRect();
              const panel = document.getElementById("_panel").getBoundingClientRect();
              return r.left >= 0 && r.right <= 360 && r.top > 52 && r.bottom < panel.top; }""",
            arg=f"{run_view(page)}flag-rudder-ext.plug",
        )
        page.locator("#_back").click()
        until(
            page,
            """() => { const r = document.getElementById("steps").getBoundingClientRect();
              return r.top < 740 && r.bottom > 0; }""",
        )


def test_every_lead_of_every_example_can_be_chosen(shared: SharedBook) -> None:
    """As many leads as the plan has mated plugs, each lighting at least its own ribbon."""
    with shared.on(DESK) as opened:
        page = opened.page
        drawn = lit(page)
        mates = {".".join(mate.plug.id) for mate in build(report_of(shared.name).plan).mates}
        assert drawn == mates
        choose = page.locator(".live .choose").first
        values = page.evaluate(
            """() => [...document.querySelector(".live .choose optgroup").children]
              .map((o) => o.value)"""
        )
        seen: set[str] = set()
        for value in values:
            choose.select_option(value)
            now = lit(page)
            assert now
            seen |= now
        assert seen == mates


def test_zoom_and_the_drawing_in_small(browser: Browser) -> None:
    with browser.file(book_of("saltmarsh-19"), has_touch=True, is_mobile=True) as opened:
        page = opened.page
        frame = page.locator(".live .frame").first
        wide = "el => el.querySelector('svg').getBoundingClientRect().width"
        before = frame.evaluate(wide)
        page.locator("[data-zoom=in]").first.tap()
        assert frame.evaluate(wide) > before
        page.locator("[data-zoom=whole]").first.tap()
        assert frame.evaluate(wide) <= frame.evaluate("el => el.clientWidth")
        assert page.locator(".live .map").first.is_hidden()
        for _ in range(6):
            page.locator("[data-zoom=in]").first.tap()
        small = page.locator(".live .map").first
        small.wait_for(state="visible")
        small.scroll_into_view_if_needed()
        box = small.bounding_box()
        page.touchscreen.tap(box["x"] + box["width"] - 6, box["y"] + box["height"] - 6)
        assert frame.evaluate("el => el.scrollLeft + el.clientWidth >= el.scrollWidth - 2")


def test_every_view_that_is_live_lights_the_same_run(browser: Browser) -> None:
    """The airframe view shows parts as signs, on the whole and on panels: those are lit too."""
    report = report_of("saltmarsh-19")
    made = traces(report)
    pictures = [
        Picture(page.scene, f"{view} {page.name}", "a drawing", live=True, traces=made)
        for view in ("run", "airframe")
        for page in draw_pages(report, ViewWish(view=view))  # type: ignore[arg-type]
    ]
    paper = Paper("Saltmarsh 19", "", "0", (Chapter("d", "Drawings", tuple(pictures)),))
    with browser.file(as_html(paper), DESK) as opened:
        page = opened.page
        page.locator(".choose").first.select_option(label='RUD-X (extension "rudder-ext")')
        bright = page.evaluate("""() => [...document.querySelectorAll(".live")].map((f) =>
          [...f.querySelectorAll('g[id*="_3a_lead-"], g[id*="_3a_part-"]')]
          .filter((g) => !g.closest(".dim") && !g.closest(".further"))
          .filter((g) => !g.classList.contains("plug-there"))
          .map((g) => g.id.split("_3a_")[1]).filter((name) => !/_2f_/.test(name)))""")
        assert len(bright) == len(pictures) > 1
        run, *others = map(set, bright)
        # By hand from the plan: rudder into rudder-ext.1, rudder-ext into rx.4.
        parts = {"part-rx", "part-rudder", "part-rudder-ext"}
        assert run == {"lead-rudder.plug", "lead-rudder-ext.plug"} | parts
        assert all(found <= run for found in others)
        assert set.union(*others) == run
        assert opened.faults == []


def test_pointing_lights_the_whole_way_until_the_mouse_goes(browser: Browser) -> None:
    with browser.file(book_of("saltmarsh-19"), DESK) as opened:
        page = opened.page
        everything = lit(page)
        page.mouse.move(*show(page, "aileron-left-ext.plug"))
        assert lit(page) == AILERON_LEFT
        assert page.locator("#_panel").is_hidden()
        page.mouse.move(2, 2)
        assert lit(page) == everything
        assert opened.faults == []
