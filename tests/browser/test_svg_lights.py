"""A drawing opened by itself in a browser: pointing at a lead lights its whole way."""

from __future__ import annotations

from typing import Any

import pytest
from browser.pages import DESK, Browser, report_of

from harness.diagram import ViewWish
from harness.documents.index import BY_NAME
from harness.documents.making import files_of

BRIGHT = """() => [...document.querySelectorAll('g[id^="lead-"]')]
  .filter((g) => !g.closest(".dim")).map((g) => g.id.replace(/^lead-/, ""))"""
RIBBON = """(id) => { const path = document.getElementById(id).querySelector("path");
  const m = path.getScreenCTM();
  for (let n = 1; n < 60; n += 1) {
    const p = path.getPointAtLength(path.getTotalLength() * n / 60).matrixTransform(m);
    const el = document.elementFromPoint(p.x, p.y);
    if (el && el.closest("g[id]").id === id) return [p.x, p.y];
  } }"""
WAY = {"aileron-left.plug", "aileron-left-ext.plug", "aileron-y.plug"}
SUPPLY = {"radio-supply.plug-1", "radio-supply.plug-2", "radio-supply.supply", "supply-y.in-1",
          "pack-y.in-1"}  # fmt: skip
"""By hand from the plan: aileron-left, its extension, aileron-y into rx.1; rx is fed by
radio-supply with two leads, that by supply-y, that by pack-y, that by the pack."""

DRAWING = BY_NAME["diagrams"]


def drawing() -> str:
    report = report_of("saltmarsh-19")
    files = files_of(DRAWING, report, "svg", words={"wish": ViewWish()})
    (content,) = files.values()
    assert isinstance(content, bytes)
    return content.decode()


def opened_svg(browser: Browser, page: Any) -> None:
    path = browser.folder / "run.svg"
    path.write_text(drawing(), encoding="utf-8")
    page.goto(path.as_uri())


@pytest.mark.parametrize("how", ["hover", "tap", "focus"])
def test_pointing_at_a_lead_lights_its_whole_way(browser: Browser, how: str) -> None:
    with browser.device(DESK, has_touch=how == "tap") as context:
        page = context.new_page()
        faults: list[str] = []
        asked: list[str] = []
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("request", lambda request: asked.append(request.url))
        opened_svg(browser, page)
        everything = set(page.evaluate(BRIGHT))
        assert len(everything) > 30
        x, y = page.evaluate(RIBBON, "lead-aileron-left-ext.plug")
        if how == "hover":
            page.mouse.move(x, y)
        elif how == "tap":
            page.touchscreen.tap(x, y)
        else:
            page.evaluate("document.getElementById('lead-aileron-left-ext.plug').focus()")
        assert set(page.evaluate(BRIGHT)) == WAY | SUPPLY
        page.keyboard.press("Escape")
        assert set(page.evaluate(BRIGHT)) == everything
        assert faults == []
        assert len(asked) == 1  # the drawing itself, nothing from a network


def test_a_part_is_reached_by_the_keyboard_and_what_is_held_stays(browser: Browser) -> None:
    with browser.device(DESK) as context:
        page = context.new_page()
        opened_svg(browser, page)
        page.keyboard.press("Tab")  # the drawing itself
        page.keyboard.press("Tab")
        at = page.evaluate("document.activeElement.id")
        assert at.startswith(("lead-", "part-"))
        x, y = page.evaluate(RIBBON, "lead-steering.plug")
        page.mouse.click(x, y)
        held = set(page.evaluate(BRIGHT))
        assert "steering.plug" in held
        assert "rudder.plug" not in held
        page.mouse.move(*page.evaluate(RIBBON, "lead-rudder-ext.plug"))
        assert set(page.evaluate(BRIGHT)) == held
