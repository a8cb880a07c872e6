"""The browser's processes killed outright in the middle of an upload, and started again on the same profile."""

from __future__ import annotations

import contextlib
import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import BrowserContext, expect, sync_playwright

from tests.browser import CHROMIUM
from tests.capture.shop import PHONE, Shop, go, installed, line, opened
from tests.capture.test_offline import noise

PATIENCE = 90_000
#: Small enough for the file to be on its way for some seconds.
SLOW = {"offline": False, "latency": 5, "downloadThroughput": 5e6, "uploadThroughput": 400_000}


@contextlib.contextmanager
def profile(folder: Path, shop: Shop) -> Iterator[BrowserContext]:
    """A browser that keeps what it has in a folder of its own, as a phone does."""
    with sync_playwright() as playwright:
        context = playwright.chromium.launch_persistent_context(str(folder), executable_path=CHROMIUM, args=["--no-sandbox"], viewport=PHONE, has_touch=True,  # type: ignore[arg-type]
                                                                base_url=shop.origin)
        yield context
        # Of one that was killed there is nothing left to close.
        with contextlib.suppress(Exception):
            context.close()


def processes(folder: Path) -> list[int]:
    """Every process of the browser on this profile: those that name it, and what they started."""
    parents: dict[int, int] = {}
    mine: set[int] = set()
    for place in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError, IndexError):
            parents[int(place.name)] = int((place / "stat").read_text().rpartition(")")[2].split()[1])
            if f"--user-data-dir={folder}".encode() in (place / "cmdline").read_bytes():
                mine.add(int(place.name))
    grown = True
    while grown:
        more = {pid for pid, parent in parents.items() if parent in mine} - mine
        mine |= more
        grown = bool(more)
    return sorted(mine)


def kill(folder: Path) -> int:
    """End them as a battery that falls out would. How many there were."""
    found = processes(folder)
    for pid in found:
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)
    end = time.monotonic() + 20
    while processes(folder) and time.monotonic() < end:
        time.sleep(0.1)
    # What a killed one leaves behind would make the next one believe that it still runs.
    for name in ("SingletonLock", "SingletonSocket", "SingletonCookie"):
        (folder / name).unlink(missing_ok=True)
    return len(found)


def test_the_queue_outlives_its_browser(shop: Shop, tmp_path: Path) -> None:
    """Four entries in the queue, the first of them a large photograph half sent: all arrive, once, in their order."""
    folder = tmp_path / "profile"
    known = {name: len(shop.records(name)) for name in ("measurements", "photos")}
    picture = noise()
    with profile(folder, shop) as context:
        page = installed(context)
        slow = context.new_cdp_session(page)
        slow.send("Network.enable")
        slow.send("Network.emulateNetworkConditions", SLOW)
        go(page, "photo")
        page.locator("input[type=file]").last.set_input_files({"name": "large.jpg", "mimeType": "image/jpeg", "buffer": picture})
        page.locator("button.save").click()
        expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible(timeout=PATIENCE)
        for slope in ("2.1", "2.2", "2.3"):
            go(page, "fact", "driveline.shaft_slope")
            expect(page.locator("input.big")).to_have_value("")
            page.locator("input.big").fill(slope)
            page.locator("button.save").click()
            expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()
        line(page).to_contain_text("%", timeout=PATIENCE)
        assert kill(folder) > 1
    assert len(shop.records("photos")) == known["photos"]

    with profile(folder, shop) as context:
        page = opened(context)
        line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    assert len(shop.records("photos")) == known["photos"] + 1
    assert [item["value"] for item in shop.records("measurements")][known["measurements"]:] == ["2.1 deg", "2.2 deg", "2.3 deg"]
