"""One chromium for all the tests of a process."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from browser.pages import ARGS, Browser, program


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    path = program()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=path, args=list(ARGS))
        yield Browser(chromium, tmp_path_factory.mktemp("pages"))
        chromium.close()
