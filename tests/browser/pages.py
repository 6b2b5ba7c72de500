"""Opens pages in Debian's chromium, and collects what they fetch and complain about."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import kept
import pytest

from harness.paper.blocks import Paper
from harness.paper.html import as_html
from harness.rules.run import Report

MISSING = "chromium is not installed: apt-get install chromium (these tests open pages in it)"
NEEDED = "HARNESS_NEEDS_CHROMIUM"
"""Set where its absence is a failure, as in `.ci/run`; elsewhere its tests are skipped."""
ARGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
PHONE, DESK = (360, 740), (1280, 860)
HOST = "http://book.test"
"""A made-up address; the pages there come from the test itself, not from a network."""
UNFOLD = "for (const el of document.querySelectorAll('details')) el.open = true"
NAMES = tuple(path.stem for path in kept.GOOD)


def program() -> str:
    """Return the path of chromium; fails or skips without it.

    Without a window of its own, where Debian's package of that is there: a page then opens with
    a quarter of the work.
    """
    found = shutil.which("chromium-headless-shell") or shutil.which("chromium")
    if found is None:
        (pytest.fail if os.environ.get(NEEDED) else pytest.skip)(MISSING)
    return found


def report_of(name: str) -> Report:
    return kept.report_at(kept.path_of(name))


def paper_of(name: str) -> Paper:
    """Return the build book of an example."""
    return kept.book(kept.path_of(name))[1]


@cache
def book_of(name: str) -> str:
    return as_html(paper_of(name))


@dataclass
class Opened:
    """A page, with what it asked for and what went wrong in it."""

    page: Any
    asked: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def watch(self) -> None:
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("pageerror", lambda error: self.faults.append(f"error: {error}"))
        self.page.on("console", lambda said: self.faults.append(f"console: {said.text}"))
        self.page.on("crash", lambda _: self.faults.append("crash"))


class Browser:
    """Opens pages as files, or at the made-up address when they must share a memory."""

    def __init__(self, chromium: Any, folder: Path) -> None:
        self.chromium, self.folder = chromium, folder

    @contextmanager
    def device(self, size: tuple[int, int] = PHONE, **options: Any) -> Iterator[Any]:
        """Yield a device of its own, with a memory of its own."""
        context = self.chromium.new_context(
            viewport={"width": size[0], "height": size[1]}, **options
        )
        context.set_default_timeout(20_000)
        yield context
        context.close()

    @contextmanager
    def file(
        self, text: str, size: tuple[int, int] = PHONE, *, folded: bool = False, **options: Any
    ) -> Iterator[Opened]:
        """Yield a page opened from a file, as on a phone without network; all in it unfolded."""
        with self.device(size, **options) as context:
            path = self.folder / "book.html"
            path.write_text(text, encoding="utf-8")
            opened = Opened(context.new_page())
            opened.watch()
            opened.page.goto(path.as_uri())
            if not folded:
                opened.page.evaluate(UNFOLD)
            yield opened


@dataclass
class SharedBook:
    """The book of an example, opened once on each size of screen; all in it unfolded.

    For questions that leave a page as it was, but for its panel, what is written in it, and what
    it is told of its device: those are put back. Whoever fails leaves no page to the next.
    """

    browser: Browser
    name: str
    open: dict[tuple[int, int], tuple[Opened, ExitStack]] = field(default_factory=dict)

    @property
    def paper(self) -> Paper:
        return paper_of(self.name)

    @contextmanager
    def on(self, size: tuple[int, int] = PHONE, *, wide: int = 0, **media: str) -> Iterator[Opened]:
        """Yield the page that was opened at a size, now as wide as said and on this medium."""
        if size not in self.open:
            stack = ExitStack()
            opened = stack.enter_context(self.browser.file(book_of(self.name), size))
            self.open[size] = opened, stack
        opened, stack = self.open.pop(size)
        try:
            _set(opened.page, size, wide, media)
            yield opened
            assert opened.faults == []
            _put_back(opened.page)
        except BaseException:
            stack.close()
            raise
        self.open[size] = opened, stack

    def close(self) -> None:
        while self.open:
            self.open.popitem()[1][1].close()


def _set(page: Any, size: tuple[int, int], wide: int, media: dict[str, str]) -> None:
    want = {"width": wide or size[0], "height": size[1]}
    if page.viewport_size != want:
        page.set_viewport_size(want)
    page.emulate_media(**{"media": "screen", "color_scheme": "light", **media})


def _put_back(page: Any) -> None:
    page.emulate_media(media="screen")
    if page.locator("#_no").is_visible():
        page.locator("#_no").click()
    page.keyboard.press("Escape")
    page.evaluate("scrollTo(0, 0)")


def until(page: Any, question: str, arg: Any = None, *, press: str = "") -> None:
    """Ask the page until it says yes; fails after ten seconds. `press`: a key before each time.

    Asked from outside each time: what the page polls by itself, its own policy refuses as `eval`.
    """
    end = time.monotonic() + 10
    while True:
        if press:
            page.keyboard.press(press)
        if page.evaluate(question, arg):
            return
        assert time.monotonic() < end, f"never true: {question}"
        page.wait_for_timeout(20)


def served(context: Any, pages: dict[str, str]) -> Opened:
    """Answer `HOST/name` with the pages; everything else is cut off."""

    def answer(route: Any) -> None:
        name = route.request.url.removeprefix(f"{HOST}/")
        if name in pages:
            route.fulfill(body=pages[name], content_type="text/html; charset=utf-8")
        else:
            route.abort()

    context.route("**/*", answer)
    opened = Opened(context.new_page())
    opened.watch()
    return opened
