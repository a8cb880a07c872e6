"""A book made, watched, stopped, looked at and handed over from the desk: by the keyboard alone, on a phone, each state judged by axe-core."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

import pypdf
import pytest
import requests
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.capture.shop import DESK, PHONE, Shop, phone

CAR = {"id": "hallmere", "year": 1968, "make": "Corvane", "model": "Hallmere", "owner": {"name": "Wenna Tolliver"}}
BUILD = {"id": "touring", "use": "touring", "title": "For long roads"}
HERE = "/desk/builds/touring"
PATIENCE = 240_000


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A shop with one small build, whose book is made soon."""
    with Shop(tmp_path_factory.mktemp("data")) as server:
        assert requests.post(f"{server.where}/cars", json=CAR, timeout=30).status_code == 201
        assert requests.post(f"{server.where}/cars/hallmere/builds", json=BUILD, timeout=30).status_code == 201
        part = {"kind": "driveshaft", "name": "two-joint shaft", "specs": {"outer_diameter": "3 in"}}
        assert requests.post(f"{server.where}/builds/touring/parts", json=part, timeout=30).status_code == 201
        yield server


def faults(page: Page) -> list[str]:
    """What axe-core finds on the page as it is, and whether it runs over the edge."""
    found = [f"{one['id']}: {one['nodes'][0]['html'][:140]}" for one in Axe().run(page).response["violations"]]
    return [*found, *(["runs over the edge"] if page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth") else [])]


def reach(page: Page, words: str) -> None:
    """Tab from the heading of the books until what has these words has the focus."""
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("(words) => (document.activeElement.labels?.[0]?.textContent ?? document.activeElement.textContent).trim().startsWith(words)", words):
            return
    raise AssertionError(f"{words} cannot be reached by Tab")


def test_made_looked_at_and_handed_over_by_keyboard(browser: Browser, shop: Shop) -> None:
    with phone(browser, shop, DESK) as context:
        page = context.new_page()
        page.goto(HERE)
        found = {"none yet": faults(page)}
        page.get_by_role("link", name="Book", exact=True).focus()
        page.keyboard.press("Enter")
        reach(page, "Make the book")
        page.keyboard.press("Enter")
        expect(page.locator("#making")).to_have_text(re.compile("Asked for|Waiting for its turn|Being made"))
        expect(page.get_by_role("button", name="Stop making it")).to_be_visible()
        found["being made"] = faults(page)
        expect(page.get_by_role("link", name="Look at it")).to_be_visible(timeout=PATIENCE)
        assert page.url.endswith("#books")
        found["made"] = faults(page)
        expect(page.get_by_role("link", name="Look at it")).to_be_focused()
        page.keyboard.press("Enter")
        page.wait_for_url("**/site/**")
        expect(page.locator("body")).to_contain_text("Corvane Hallmere")
        page.go_back()
        pdf = requests.get(shop.origin + str(page.get_by_role("link", name="PDF", exact=True).get_attribute("href")), timeout=60).content
        assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) > 3
        page.locator("#share-name").focus()
        expect(page.locator("#share-name")).to_have_value("Wenna Tolliver")
        page.keyboard.press("Enter")
        link = page.get_by_label("The link", exact=True)
        expect(link).to_be_visible()
        found["a link for the owner"] = faults(page)
        assert {state: rules for state, rules in found.items() if rules} == {}


def test_the_owner_opens_the_link_on_a_phone(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> None:
    """In a shop that asks for tokens: the owner at the desk makes book and link, a browser that was never here reads the book and nothing else."""
    from tests.capture.test_pairing import code

    with Shop(tmp_path_factory.mktemp("guarded") / "data", guarded=True) as guarded:
        desk = requests.post(f"{guarded.where}/devices", json={"code": code(guarded.data, "owner"), "by": "Petra", "name": "desk"}, timeout=30).json()
        owner = {"Authorization": f"Bearer {desk['token']}"}
        for path, body in (("cars", CAR), ("cars/hallmere/builds", BUILD)):
            assert requests.post(f"{guarded.where}/{path}", json=body, headers=owner, timeout=30).status_code == 201
        with phone(browser, guarded, DESK) as context:
            context.set_extra_http_headers(owner)
            page = context.new_page()
            page.goto(HERE)
            page.get_by_role("button", name="Make the book").click()
            expect(page.get_by_role("link", name="Look at it")).to_be_visible(timeout=PATIENCE)
            page.get_by_role("button", name="Make a link").click()
            link = page.get_by_label("The link", exact=True).input_value()
        with phone(browser, guarded, PHONE) as context:
            page = context.new_page()
            page.goto(link)
            page.get_by_role("link", name=re.compile("book", re.IGNORECASE)).or_(page.get_by_role("button", name=re.compile("book|open", re.IGNORECASE))).first.click()
            expect(page.locator("body")).to_contain_text("Corvane Hallmere")
            assert faults(page) == []
            page.goto(HERE)
            expect(page.locator("body")).not_to_contain_text("Between this car and the road")


def test_stopped_on_a_phone(browser: Browser, shop: Shop) -> None:
    with phone(browser, shop, PHONE) as context:
        page = context.new_page()
        page.goto(f"{HERE}#book")
        page.get_by_label("Edition").select_option("shop")
        page.get_by_role("button", name="Make the book").click()
        stop = page.get_by_role("button", name="Stop making it")
        expect(stop).to_be_visible()
        stop.click()
        expect(page.locator("#making")).to_have_text("No book was made: it was stopped.", timeout=PATIENCE)
        expect(stop).to_be_hidden()
        assert faults(page) == []
