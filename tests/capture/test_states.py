"""Every state that a phone can be in, not only every form: judged by axe-core on a small phone, at twice the text, and by its targets."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import requests
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.capture.shop import PICTURES, Shop, document, go, installed, line, opened, phone
from tests.capture.test_pairing import code, pair
from tests.capture.test_screens import _SMALL, LEAST_TARGET, RULES

PATIENCE = 60_000


def faults(page: Page) -> list[str]:
    """What is wrong with the screen as it is: by axe-core, by its targets, and what is lost at twice the text."""
    response = Axe().run(page, options=RULES).response
    assert response["passes"]
    found = [f"{one['id']}: {one['nodes'][0]['html'][:140]}" for one in response["violations"]]
    found += page.evaluate(_SMALL, LEAST_TARGET)
    page.evaluate("document.documentElement.style.fontSize = '36px'")
    if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
        found.append("runs over the edge at twice the text")
    found += [f"{one['id']} at twice the text" for one in Axe().run(page, options=RULES).response["violations"]]
    page.evaluate("document.documentElement.style.fontSize = ''")
    return found


def refused(context: BrowserContext) -> Page:
    """A phone with one entry that the service did not take, and a photograph that waits for it."""
    page = installed(context)
    context.set_offline(True)
    go(page, "fact", "driveline.shaft_slope")
    page.locator("input.big").fill("999")
    page.locator("button.save").click()
    expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()
    return page


def test_saved_refused_mended(context: BrowserContext) -> None:
    page = refused(context)
    found = {"saved": faults(page)}
    page.get_by_role("link", name="Photograph it").click()
    page.locator("input[type=file]").last.set_input_files(PICTURES / "pickup-scales.jpg")
    expect(page.locator(".pictures img")).to_be_visible()
    found["a photograph taken"] = faults(page)
    page.locator("button.save").click()
    expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()
    page.goto("/capture/#/queue")
    expect(page.locator(".queue li")).to_have_count(2)
    found["waiting"] = faults(page)
    context.set_offline(False)
    line(page).to_contain_text("1 refused", timeout=PATIENCE)
    expect(page.locator(".queue .refused")).to_be_visible()
    found["refused"] = faults(page)
    page.get_by_role("button", name="Drop").first.click()
    expect(page.get_by_text("Drop it for good")).to_be_visible()
    found["about to be dropped"] = faults(page)
    page.get_by_role("link", name="Mend").first.click()
    expect(page.locator("input.big")).to_have_value("999")
    found["mending"] = faults(page)
    page.locator("input.big").fill("two")
    page.locator("button.save").click()
    expect(page.get_by_role("alert")).to_contain_text("no number")
    found["mended wrongly"] = faults(page)
    page.locator("input.big").fill("2.4")
    page.locator("button.save").click()
    line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    go(page, "fact", "driveline.shaft_slope")
    page.locator("input.big").fill("2.2")
    page.locator("button.save").click()
    expect(page.get_by_role("heading", name="What it changes").or_(page.get_by_text("No finding changes"))).to_be_visible(timeout=PATIENCE)
    found["arrived"] = faults(page)
    assert {name: rules for name, rules in found.items() if rules} == {}


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with Shop(tmp_path_factory.mktemp("guarded") / "data", guarded=True) as server:
        yield server


def test_unpaired_paired_revoked(browser: Browser, guarded: Shop, tmp_path: Path) -> None:
    desk = requests.post(f"{guarded.where}/devices", json={"code": code(guarded.data, "owner"), "by": "Petra", "name": "desk"}, timeout=30).json()
    owner = {"Authorization": f"Bearer {desk['token']}"}
    found: dict[str, list[str]] = {}
    with phone(browser, guarded) as context:
        page = opened(context)
        expect(page.get_by_text("This phone is not paired")).to_be_visible()
        found["not paired"] = faults(page)
        page.get_by_role("link", name="Pair this phone").click()
        expect(page.get_by_label("Pairing code")).to_be_visible()
        found["pairing"] = faults(page)
        pair(page, code(guarded.data))
        expect(page.get_by_text("No car is in the shop")).to_be_visible()
        found["no car"] = faults(page)
        assert requests.post(f"{guarded.where}/documents", json=document(), headers=owner, timeout=60).status_code == 201
        page.reload()
        page.locator(".rows a").first.click()
        expect(page.get_by_role("heading", name="What next")).to_be_visible()
        mine = next(item["id"] for item in requests.get(f"{guarded.where}/devices", headers=owner, timeout=30).json() if item["name"] == "bench phone")
        assert requests.delete(f"{guarded.where}/devices/{mine}", headers=owner, timeout=30).status_code == 204
        go(page, "fact", "driveline.shaft_slope")
        page.locator("input.big").fill("2.4")
        page.locator("button.save").click()
        line(page).to_have_text("1 waiting, kept until this phone is paired again", timeout=PATIENCE)
        found["revoked, just saved"] = faults(page)
        page.goto("/capture/#/queue")
        expect(page.locator("main")).to_contain_text("Nothing is lost")
        found["revoked"] = faults(page)
    assert {name: rules for name, rules in found.items() if rules} == {}


def test_first_start_without_the_shop(browser: Browser, shop: Shop) -> None:
    """The page came, but the shop's computer does not answer what it asks; and a build of which nothing was kept."""
    with phone(browser, shop) as context:
        page = context.new_page()
        page.route("**/capture/builds*", lambda route: route.abort())
        page.goto("/capture/")
        expect(page.get_by_text("does not answer, and nothing was kept here yet")).to_be_visible()
        found = {"nothing kept": faults(page)}
        page.goto("/capture/#/b/some-build")
        expect(page.get_by_role("heading", name="This car")).to_be_visible()
        found["an unknown build"] = faults(page)
        assert {name: rules for name, rules in found.items() if rules} == {}
