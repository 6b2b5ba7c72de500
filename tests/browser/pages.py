"""Opens pages in Debian's chromium, and collects what they fetch and complain about."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
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
    """Return the path of chromium; fails or skips without it."""
    found = shutil.which("chromium")
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


def until(page: Any, question: str, arg: Any = None) -> None:
    """Ask the page until it says yes; fails after ten seconds.

    Asked from outside each time: what the page polls by itself, its own policy refuses as `eval`.
    """
    end = time.monotonic() + 10
    while not page.evaluate(question, arg):
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
