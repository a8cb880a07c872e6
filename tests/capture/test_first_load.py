"""How much the first visit costs, and that the second needs no network. How soon they can be used: tests/bench/test_first_load.py."""

from __future__ import annotations

import time

from playwright.sync_api import Browser, expect

from tests.capture.shop import Shop, phone

MOST_BYTES = 150_000
#: A slow 3G network as measuring tools have it: 400 kbit/s each way, 400 ms there and back.
SLOW = {"offline": False, "latency": 400, "downloadThroughput": 50_000, "uploadThroughput": 50_000}
SLOWER_PROCESSOR = 4


def first_visit(browser: Browser, shop: Shop, network: dict[str, float] | None = None) -> tuple[float, float, int]:
    """Seconds until a car can be picked; all bytes that came, those for being offline included; in how many answers.

    On a `network` with a slower processor, if one is given.
    """
    with phone(browser, shop) as context:
        page = context.new_page()
        tools = context.new_cdp_session(page)
        tools.send("Network.enable")
        if network:
            tools.send("Network.emulateNetworkConditions", network)
            tools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER_PROCESSOR})
        received: list[float] = []
        tools.on("Network.loadingFinished", lambda event: received.append(event["encodedDataLength"]))
        begun = time.monotonic()
        page.goto("/capture/", wait_until="commit")
        page.locator(".rows a").first.wait_for()
        usable = time.monotonic() - begun
        expect(page.locator("html[data-ready]")).to_have_count(1)
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.wait_for_timeout(2000)
        return usable, sum(received), len(received)


def test_first_visit_is_small(browser: Browser, shop: Shop) -> None:
    _, received, answers = first_visit(browser, shop)
    assert 0 < received < MOST_BYTES
    assert answers > 1


def test_second_visit_needs_no_network(browser: Browser, shop: Shop) -> None:
    with phone(browser, shop) as context:
        page = context.new_page()
        page.goto("/capture/")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.locator(".rows a").first.wait_for()
        context.set_offline(True)
        page.goto("/capture/", wait_until="commit")
        page.locator(".rows a").first.wait_for()
