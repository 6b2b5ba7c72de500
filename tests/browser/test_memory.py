"""Ticks and written values stay on the device, over a reload and over a new revision."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from browser.pages import DESK, HOST, Browser, Opened, served, until

from harness.paper.blocks import Chapter, Paper, Tick, Ticks
from harness.paper.html import as_html
from harness.paper.sheet import Cell, Column, RowGroup, Table

REFUSED = """Object.defineProperty(window, "localStorage",
  { get() { throw new DOMException("refused", "SecurityError"); } });"""
"""What a browser does in some private modes and for files."""
FULL = """Storage.prototype.setItem =
  () => { throw new DOMException("full", "QuotaExceededError"); };"""


def paper(revision: str, steps: tuple[str, ...], aircraft: str = "Möwe 19") -> Paper:
    ticks = Ticks(tuple(Tick(f"step-{name}", f"Plug {name} in") for name in steps))
    columns = Column("no"), Column("test"), Column("measured"), Column("passed")
    rows = tuple(
        (Cell(str(n)), Cell(f"volts at {name}"), Cell("V", "blank"), Cell("", "blank"))
        for n, name in enumerate(steps, 1)
    )
    return Paper(
        f"{aircraft}: build book", "", revision,
        (Chapter("steps", "Steps", (ticks,)),
         Chapter("tests", "Tests", (Table("Rail", columns, (RowGroup("", rows),)),))),
    )  # fmt: skip


OLD = as_html(paper("0001", ("aileron", "flap", "rudder")))
NEW = as_html(paper("0002", ("gear", "flap", "aileron")))
OTHER = as_html(paper("0001", ("aileron", "flap", "rudder"), "Pipit 4"))


@contextmanager
def device(browser: Browser) -> Iterator[Opened]:
    with browser.device(DESK) as context:
        yield served(context, {"old": OLD, "new": NEW, "other": OTHER})


def box(page: Any, name: str) -> Any:
    return page.get_by_label(f"Plug {name} in")


def ticked(page: Any) -> dict[str, bool]:
    labels = page.locator(".tick .do").all_inner_texts()
    return {label: page.get_by_label(label).is_checked() for label in labels}


def test_a_tick_is_there_after_a_reload_also_from_a_file(browser: Browser) -> None:
    with browser.file(OLD, DESK) as opened:
        box(opened.page, "flap").check()
        opened.page.reload()
        assert ticked(opened.page) == {
            "Plug aileron in": False, "Plug flap in": True, "Plug rudder in": False,
        }  # fmt: skip
        box(opened.page, "flap").uncheck()
        opened.page.reload()
        assert not any(ticked(opened.page).values())


def test_a_new_revision_keeps_what_is_still_the_same(browser: Browser) -> None:
    with device(browser) as opened:
        page = opened.page
        page.goto(f"{HOST}/old")
        box(page, "flap").check()
        box(page, "rudder").check()
        page.get_by_label("volts at flap, measured, V").fill("5.97")
        page.get_by_label("volts at flap, passed").check()
        page.goto(f"{HOST}/new")
        assert ticked(page) == {
            "Plug gear in": False, "Plug flap in": True, "Plug aileron in": False,
        }  # fmt: skip
        assert page.get_by_label("volts at flap, measured, V").input_value() == "5.97"
        assert page.get_by_label("volts at flap, passed").is_checked()
        assert page.get_by_label("volts at aileron, measured, V").input_value() == ""
        page.goto(f"{HOST}/other")
        assert not any(ticked(page).values())  # another aircraft
        assert opened.faults == []


def test_two_open_pages_agree(browser: Browser) -> None:
    with device(browser) as opened:
        opened.page.goto(f"{HOST}/old")
        second = opened.page.context.new_page()
        second.goto(f"{HOST}/old")
        box(second, "aileron").check()
        until(
            opened.page, "() => document.querySelectorAll('input[data-tick]:checked').length === 1"
        )


@pytest.mark.parametrize("refusal", [REFUSED, FULL])
def test_it_works_and_says_so_where_nothing_is_remembered(browser: Browser, refusal: str) -> None:
    with browser.device(DESK) as context:
        context.add_init_script(refusal)
        opened = served(context, {"old": OLD})
        page = opened.page
        page.goto(f"{HOST}/old")
        box(page, "flap").check()
        page.get_by_label("volts at flap, measured, V").fill("6")
        page.locator("#_scheme").click()
        assert ticked(page)["Plug flap in"]
        assert page.locator("#steps .progress").inner_text() == "1 of 3 done"
        assert page.locator("#_lost").is_visible()
        assert opened.faults == []


@pytest.mark.parametrize("kept", ["not json", "[]", "null", '{"ticks": 3}', '"text"'])
def test_a_damaged_memory_is_begun_anew(browser: Browser, kept: str) -> None:
    with device(browser) as opened:
        page = opened.page
        page.goto(f"{HOST}/old")
        page.evaluate("([name, text]) => localStorage.setItem(name, text)",
                      [page.evaluate("document.documentElement.dataset.box"), kept])  # fmt: skip
        page.reload()
        box(page, "flap").check()
        page.reload()
        assert ticked(page)["Plug flap in"]
        assert opened.faults == []


def test_progress_is_told_by_chapter_and_in_the_contents(browser: Browser) -> None:
    with browser.file(OLD, DESK) as opened:
        page = opened.page
        assert page.locator("#_done").inner_text() == "0 of 3"
        box(page, "flap").check()
        box(page, "aileron").check()
        assert page.locator("#_done").inner_text() == "2 of 3"
        assert page.locator("#steps .progress").inner_text() == "2 of 3 done"
        assert page.locator("#_contents a[href='#steps'] .count").inner_text() == "2 of 3"


def test_clearing_asks_first(browser: Browser) -> None:
    with browser.file(OLD, DESK) as opened:
        page = opened.page
        box(page, "flap").check()
        page.get_by_label("volts at flap, measured, V").fill("6")
        page.locator("#_clear").click()
        assert "1 tick and 1 written value" in page.locator("#_ask").inner_text()
        page.locator("#_no").click()
        assert ticked(page)["Plug flap in"]
        page.locator("#_clear").click()
        page.locator("#_yes").click()
        page.reload()
        assert not any(ticked(page).values())
        assert page.get_by_label("volts at flap, measured, V").input_value() == ""


@pytest.mark.parametrize(("wish", "other"), [("light", "dark"), ("dark", "light")])
def test_the_switch_wins_over_the_device_and_is_remembered(
    browser: Browser, wish: str, other: str
) -> None:
    ground = "getComputedStyle(document.body).backgroundColor"
    with browser.file(OLD, color_scheme=other) as opened:
        theirs = opened.page.evaluate(ground)
    with browser.file(OLD, color_scheme=wish) as opened:
        page = opened.page
        ours = page.evaluate(ground)
        assert ours != theirs
        page.locator("#_scheme").click()
        assert page.evaluate(ground) == theirs
        page.reload()
        assert page.evaluate(ground) == theirs
        page.locator("#_scheme").click()
        assert page.evaluate(ground) == ours
