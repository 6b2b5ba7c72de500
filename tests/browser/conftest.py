"""One chromium for all the tests of a process, and the book of an example opened for many."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from browser.pages import ARGS, NAMES, Browser, SharedBook, program


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    path = program()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=path, args=list(ARGS))
        yield Browser(chromium, tmp_path_factory.mktemp("pages"))
        chromium.close()


@pytest.fixture(scope="package", params=NAMES)
def shared(request: pytest.FixtureRequest, browser: Browser) -> Iterator[SharedBook]:
    """The tests that ask for it are run example by example, so that few pages are open at once."""
    book = SharedBook(browser, request.param)
    yield book
    book.close()
