"""The desk's pages in a browser: axe-core finds nothing, nothing runs over the edge, the keyboard is enough, a book is made and looked at."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.capture.shop import BUILD, DESK, PHONE, Shop, phone

LONG = f"/desk/builds/{BUILD}"
PAGES = ["/desk/", LONG, f"/desk/builds/{BUILD}/what-if?fact=driveshaft.outer_diameter&value=4+in", f"/desk/builds/{BUILD}/what-if?fact=x&value=4",
         "/desk/search?q=shaft", "/desk/devices", "/desk/cars/tarnock-stookman-1954"]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with Shop(tmp_path_factory.mktemp("data")) as server:
        yield server.take_in()


def unfolded(page: Page, address: str) -> None:
    page.goto(address)
    page.evaluate("for (const item of document.querySelectorAll('details')) item.open = true")


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_axe_finds_nothing_and_nothing_runs_over(browser: Browser, shop: Shop, size: dict[str, int]) -> None:
    """The long page of a build is judged at the phone's size only: axe-core takes its time over it."""
    with phone(browser, shop, size) as context:
        page = context.new_page()
        record = shop.records("fixes")[0]["id"]
        found: dict[str, list[str]] = {}
        for address in (*PAGES, f"/desk/builds/{BUILD}/fixes/{record}"):
            unfolded(page, address)
            found[address] = []
            if size is PHONE or address != LONG:
                response = Axe().run(page).response
                assert response["passes"]
                found[address] = [f"{one['id']}: {one['nodes'][0]['html'][:140]}" for one in response["violations"]]
            if page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"):
                found[address].append("runs over the edge")
        assert {address: rules for address, rules in found.items() if rules} == {}


def test_the_keyboard_is_enough_for_a_what_if(browser: Browser, shop: Shop) -> None:
    with phone(browser, shop, DESK) as context:
        page = context.new_page()
        page.goto(f"/desk/builds/{BUILD}/what-if")
        page.keyboard.press("Tab")
        expect(page.locator(".skip")).to_be_focused()
        page.locator("#fact").focus()
        page.keyboard.type("driveshaft.length")
        page.keyboard.press("Tab")
        page.keyboard.type("70 in")
        page.keyboard.press("Enter")
        expect(page.locator("article.change").first).to_be_visible()


def test_a_finding_folded_away_opens_when_it_is_asked_for(browser: Browser, shop: Shop) -> None:
    with phone(browser, shop, DESK) as context:
        page = context.new_page()
        page.goto(f"/desk/builds/{BUILD}")
        name = page.locator("details.passed article").first.get_attribute("id")
        page.goto(f"/desk/builds/{BUILD}#{name}")
        expect(page.locator(f"[id='{name}'] h4")).to_be_visible()


def test_a_link_for_the_owner_is_made_listed_and_revoked(browser: Browser, shop: Shop) -> None:
    with phone(browser, shop, DESK) as context:
        page = context.new_page()
        page.goto(f"/desk/builds/{BUILD}")
        page.locator("#share-name").fill("Ilse Farrow")
        page.get_by_role("button", name="Make a link").click()
        expect(page.get_by_label("The link", exact=True)).to_have_value(f"{shop.origin}/share#" + page.get_by_label("The link", exact=True).input_value().partition("#")[2])
        expect(page.locator("#shares li")).to_have_count(1)
        page.get_by_role("button", name="Revoke").click()
        expect(page.locator("#shares li")).to_have_count(0)
