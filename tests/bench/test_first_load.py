"""How soon the phone's page can be used: on a slow network with a slow phone, and the second time with none at all.

Beside it, in the same run, the network's own share: the bytes of the visit at the line's speed and one round trip. Nothing is asserted
about time; under 3 s is aimed at. Run: ASFITTED_LONG=1 pytest tests/bench/test_first_load.py -s
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser

from tests.capture.shop import Shop, phone
from tests.capture.test_first_load import SLOW, SLOWER_PROCESSOR, first_visit
from tests.served import LONG

VISITS = 3 if LONG else 1


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with Shop(tmp_path_factory.mktemp("data")) as server:
        server.take_in()
        yield server


def test_first_visit(browser: Browser, shop: Shop) -> None:
    """Phones that were never here; the one that other work of this machine disturbed least counts."""
    visits = [first_visit(browser, shop, SLOW) for _ in range(VISITS)]
    usable, received, answers = min(visits)
    line = received / SLOW["downloadThroughput"] + SLOW["latency"] / 1000
    print(f"\nfirst load: {received / 1000:.1f} kB in {answers} answers, usable after {usable:.2f} s (of {[round(visit[0], 2) for visit in visits]}), "
          f"{usable / line:.2f} of what the line takes for all of it ({line:.2f} s)")


def test_second_visit_without_network(browser: Browser, shop: Shop) -> None:
    with phone(browser, shop) as context:
        page = context.new_page()
        page.goto("/capture/")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.locator(".rows a").first.wait_for()
        context.set_offline(True)
        tools: Any = context.new_cdp_session(page)
        tools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER_PROCESSOR})
        begun = time.monotonic()
        page.goto("/capture/", wait_until="commit")
        page.locator(".rows a").first.wait_for()
        print(f"\nsecond visit without network: usable after {time.monotonic() - begun:.2f} s")
