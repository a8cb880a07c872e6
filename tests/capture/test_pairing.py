"""A phone that was paired, revoked in the middle of its work, and paired again: nothing of the queue is lost."""

from __future__ import annotations

from pathlib import Path

import requests
from playwright.sync_api import Browser, Page, expect

from service.storage import pairing
from service.storage.store import open_store
from tests.capture.shop import BUILD, Shop, document, go, line, phone

PATIENCE = 45_000


def code(data: Path, role: str = "builder") -> str:
    """A pairing code, as the shop's computer prints one."""
    store = open_store(data)
    try:
        with store.database.writing() as connection:
            return pairing.make_code(connection, role, "a test").text
    finally:
        store.database.close()


def pair(page: Page, text: str) -> None:
    page.get_by_label("Your name").fill("Oona")
    page.get_by_label("What to call this device").fill("bench phone")
    page.get_by_label("Pairing code").fill(text)
    page.get_by_role("button", name="Pair").click()
    page.get_by_role("link", name="To the cars in the shop").click()
    expect(page.get_by_role("heading", name="Which car?")).to_be_visible()


def test_revoked_and_paired_again(browser: Browser, tmp_path: Path) -> None:
    with Shop(tmp_path / "data", guarded=True) as shop, phone(browser, shop) as context:
        desk = requests.post(f"{shop.where}/devices", json={"code": code(shop.data, "owner"), "by": "Petra", "name": "desk"}, timeout=30).json()
        owner = {"Authorization": f"Bearer {desk['token']}"}
        assert requests.post(f"{shop.where}/documents", json=document(), headers=owner, timeout=60).status_code == 201

        page = context.new_page()
        page.goto("/capture/")
        expect(page.get_by_text("This phone is not paired")).to_be_visible()
        page.get_by_role("link", name="Pair this phone").click()
        pair(page, code(shop.data))
        page.locator(".rows a").first.click()
        expect(page.get_by_role("heading", name="What next")).to_be_visible()

        phone_id = next(item["id"] for item in requests.get(f"{shop.where}/devices", headers=owner, timeout=30).json() if item["name"] == "bench phone")
        assert requests.delete(f"{shop.where}/devices/{phone_id}", headers=owner, timeout=30).status_code == 204
        go(page, "fact", "driveline.shaft_slope")
        page.locator("input.big").fill("2.4")
        page.locator("button.save").click()
        line(page).to_have_text("1 waiting, kept until this phone is paired again", timeout=PATIENCE)
        page.goto("/capture/#/queue")
        expect(page.locator("main")).to_contain_text("Nothing is lost: the queue stays on this phone.")
        page.get_by_role("link", name="Pair this phone again").click()
        pair(page, code(shop.data))
        line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
        last = requests.get(f"{shop.where}/builds/{BUILD}/measurements?limit=1000", headers=owner, timeout=30).json()[-1]
        assert (last["value"], last["taken_by"]) == ("2.4 deg", "Oona")
