"""The page printed, and the page without its script: all there, nothing folded away."""

from __future__ import annotations

import unicodedata
from typing import Any

import pypdfium2
import pytest
from browser.looking import shown_texts
from browser.pages import DESK, NAMES, PHONE, Browser, SharedBook, book_of, paper_of

from harness.paper.blocks import Picture, Ticks

A4 = (595.3, 841.9)
"""ISO 216: 210 by 297 mm, in points."""


def plain(text: str) -> str:
    """Without spaces and ligatures (Unicode's own decomposition)."""
    return "".join(unicodedata.normalize("NFKC", text).split())


def printed(page: Any) -> tuple[str, list[tuple[float, float]]]:
    """Return all text, and the size of each page in points; read back by PDFium."""
    document = pypdfium2.PdfDocument(page.pdf(format="A4", prefer_css_page_size=True))
    text = "".join(sheet.get_textpage().get_text_bounded() for sheet in document)
    return plain(text), [sheet.get_size() for sheet in document]


@pytest.mark.parametrize("name", NAMES)
def test_print_shows_every_step_and_turns_wide_drawings(browser: Browser, name: str) -> None:
    paper = paper_of(name)
    with browser.file(book_of(name), PHONE, color_scheme="dark") as opened:
        opened.page.locator("#_scheme").click()
        opened.page.locator("#_scheme").click()
        text, pages = printed(opened.page)
    blocks = [block for chapter in paper.chapters for block in chapter.blocks]
    steps = [tick.text for block in blocks if isinstance(block, Ticks) for tick in block.items]
    assert len(steps) > 10
    assert [step for step in steps if plain(step) not in text] == []
    assert [c.title for c in paper.chapters if plain(c.title) not in text] == []
    assert all(min(abs(side - a4) for a4 in A4) <= 1 for size in pages for side in size)
    wide = [b for b in blocks if isinstance(b, Picture) and b.whole
            and b.scene.width > b.scene.height]  # fmt: skip
    lying = [page for page in pages if page[0] > page[1]]
    assert len(lying) >= len(wide) > 0


@pytest.mark.parametrize("name", ["saltmarsh-19"])
def test_on_paper_all_is_open_light_and_without_controls(browser: Browser, name: str) -> None:
    with browser.file(book_of(name), PHONE, color_scheme="dark") as opened:
        page = opened.page
        page.locator(".choose").first.select_option(index=1)
        page.emulate_media(media="print", color_scheme="dark")
        assert page.locator("button:visible, select:visible").count() == 0
        assert page.locator("#_panel").is_hidden()
        pictures = page.locator(".fold figure")
        assert pictures.count() == page.locator(".fold figure:visible").count() > 0
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") == (
            "rgb(255, 255, 255)"
        )
        assert [text for text in shown_texts(page) if text.ratio < text.needs] == []
        dimmed = page.locator(".dim").first
        assert dimmed.evaluate("el => getComputedStyle(el).opacity") == "1"


@pytest.mark.parametrize("size", [PHONE, DESK])
def test_without_scripts_all_is_there(browser: Browser, size: tuple[int, int]) -> None:
    with browser.file(book_of("saltmarsh-19"), size, java_script_enabled=False) as opened:
        page = opened.page
        paper = paper_of("saltmarsh-19")
        assert page.locator(".chapter:visible").count() == len(paper.chapters)
        assert page.locator(".fold figure:visible").count() == page.locator(".fold figure").count()
        assert page.locator(".script:visible").count() == 0
        assert page.locator("svg:visible").count() > 50
        page.locator(".tick input").first.check()
        assert page.locator(".tick input").first.is_checked()
        assert opened.faults == []


def test_nothing_is_wider_than_the_paper(shared: SharedBook) -> None:
    """A browser shrinks the whole print when one table is too wide: none may be.

    A4 less its margins at 96 px an inch: 184 mm are 695 px, lying 279 mm are 1054 px.
    """
    for wide, chapters in ((695, ".chapter:not(.broad)"), (1054, ".chapter.broad")):
        with shared.on(DESK, wide=wide, media="print") as opened:
            assert opened.page.locator(chapters).count() > 0
            over = opened.page.evaluate(
                """([wide, chapters]) => [...document.querySelectorAll(`${chapters} *`)]
                  .filter((el) => el.checkVisibility() && !el.closest("svg, .unseen"))
                  .filter((el) => el.getBoundingClientRect().right > wide + 1)
                  .map((el) => [el.closest(".chapter").id, el.outerHTML.slice(0, 80)])""",
                [wide, chapters],
            )
            assert over == []
