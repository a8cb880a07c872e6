"""A browser and a shop for each module: a browser left open would stand in the way of those that other tests start in this process."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, sync_playwright

from tests.capture.shop import CHROMIUM, Shop, phone


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield started
        started.close()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with Shop(tmp_path_factory.mktemp("data")) as server:
        server.take_in()
        yield server


@pytest.fixture
def context(browser: Browser, shop: Shop) -> Iterator[BrowserContext]:
    with phone(browser, shop) as opened:
        yield opened
