"""Steps, drives, signatures, parts that come and go, what is left out on purpose, fixes with their measurements: entered without a network, arrived once."""

from __future__ import annotations

import re

import requests
from playwright.sync_api import BrowserContext, Page, expect

from tests.capture.shop import BUILD, Shop, go, installed, line

PATIENCE = 60_000


def save(page: Page, words: str = "Save") -> None:
    page.get_by_role("button", name=words, exact=True).click()
    expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()


def test_how_the_car_stands_without_a_network(context: BrowserContext, shop: Shop) -> None:
    fitted = shop.records("parts")[0]
    before = requests.get(f"{shop.where}/builds/{BUILD}", timeout=30).json()["absent"]
    known = {name: len(shop.records(name)) for name in ("drives", "tasks", "signoffs", "parts", "fixes", "measurements")}
    page = installed(context)
    context.set_offline(True)

    go(page, "drive")
    page.get_by_label("How far", exact=True).fill("14")
    page.get_by_label("What was noticed").fill("no shudder")
    save(page)
    go(page, "step", "new")
    page.get_by_label("What is to be done").fill("bleed the brakes again")
    page.get_by_label("How long it takes", exact=True).fill("1.5")
    save(page)
    go(page, "step")
    page.get_by_role("link", name=re.compile("^Bleed the brakes again")).click()
    page.get_by_label("Done by").fill("Oona")
    save(page, "Done")
    go(page, "sign", "steering")
    page.get_by_label("Name").fill("Oona")
    page.get_by_label("Role").fill("builder")
    save(page, "Sign")
    go(page, "sign", "brakes")
    expect(page.get_by_label("Role")).to_have_value("builder")
    go(page, "stand", fitted["id"])
    page.get_by_label("removed").check()
    save(page)
    go(page, "absent")
    page.get_by_label("What is left out").select_option(label="Brake booster")
    save(page)
    go(page, "fact", "driveline.shaft_slope")
    page.locator("input.big").fill("2.1")
    save(page)
    go(page, "fix", "new")
    page.get_by_label("What is wrong").fill("shudder on pulling away")
    page.get_by_label("Cause", exact=True).fill("angles apart")
    page.locator("summary").click()
    page.get_by_label("Measured after").select_option(index=1)
    save(page)
    line(page).to_have_text("8 waiting, kept until the network is back")

    context.set_offline(False)
    line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    after = {name: shop.records(name) for name in known}
    assert {name: len(found) - known[name] for name, found in after.items()} == {"drives": 1, "tasks": 1, "signoffs": 1, "parts": 0, "fixes": 1, "measurements": 1}
    assert (after["drives"][-1]["distance"], after["drives"][-1]["observations"]) == ("14 mi", "no shudder")
    assert (after["tasks"][-1]["estimate"], after["tasks"][-1]["by"]) == ("1.5 h", "Oona")
    assert after["tasks"][-1]["done_at"]
    assert (after["signoffs"][-1]["item"], after["signoffs"][-1]["role"]) == ("steering", "builder")
    assert next(item for item in after["parts"] if item["id"] == fitted["id"]) == {**fitted, "status": "removed"}
    assert requests.get(f"{shop.where}/builds/{BUILD}", timeout=30).json()["absent"] == [*before, "brake_booster"]
    assert after["fixes"][-1]["after"] == [after["measurements"][-1]["id"]]
    assert after["fixes"][-1]["cause"] == "angles apart"


def test_what_is_left_out_meanwhile_by_someone_else_stays(context: BrowserContext, shop: Shop) -> None:
    """The list of what is left out is one value of the build: the phone adds to it as it is when it arrives."""
    address = f"{shop.where}/builds/{BUILD}"
    page = installed(context)
    context.set_offline(True)
    go(page, "absent")
    page.get_by_label("What is left out").select_option(label="Supercharger")
    save(page)
    now = requests.get(address, timeout=30)
    others = [*now.json()["absent"], "turbocharger"]
    assert requests.patch(address, json={"absent": others}, headers={"If-Match": now.headers["ETag"]}, timeout=30).status_code == 200
    context.set_offline(False)
    line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    assert requests.get(address, timeout=30).json()["absent"] == [*others, "supercharger"]


def test_a_fix_is_mended_with_the_measurement_after_it(context: BrowserContext, shop: Shop) -> None:
    made = requests.post(f"{shop.where}/builds/{BUILD}/fixes", json={"title": "whine at 40", "system": "driveline", "status": "open"}, timeout=30).json()
    page = installed(context)
    go(page, "fix", made["id"])
    page.get_by_label("What was done").fill("new bearing")
    page.get_by_label("Measured after").select_option(index=1)
    page.get_by_role("button", name="Mended", exact=True).click()
    expect(page.get_by_role("heading", name="Arrived")).to_be_visible(timeout=PATIENCE)
    line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    found = next(item for item in shop.records("fixes") if item["id"] == made["id"])
    assert (found["status"], found["remedy"], found["after"]) == ("resolved", "new bearing", [shop.records("measurements")[-1]["id"]])
