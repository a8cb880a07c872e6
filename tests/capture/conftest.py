"""A shop for each module, and a phone in it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext

from tests.capture.shop import Shop, phone


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with Shop(tmp_path_factory.mktemp("data")) as server:
        server.take_in()
        yield server


@pytest.fixture
def context(browser: Browser, shop: Shop) -> Iterator[BrowserContext]:
    with phone(browser, shop) as opened:
        yield opened
