"""Every screen by axe-core, by its targets, at twice the text, and by keyboard alone."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.capture.shop import DESK, PHONE, Shop, at, go, installed, line, phone

SCREENS = {
    "cars": "/capture/#/", "build": at(), "systems": at("measure"), "subjects": at("measure", "suspension"), "plan": at("subject", "wheel_fit"), "axles": at("subject", "driveline"), "label": at("subject", "circuit"),
    "fields": at("subject", "circuit", "at", "horn"), "length": at("fact", "wheel_fit.inner_clearance@front_left"), "choice": at("fact", "driveshaft.material"), "yes": at("fact", "anti_roll_bar.hollow@front"),
    "ratios": at("fact", "transmission.ratios"), "part systems": at("part"), "parts": at("part", "driveline"), "part place": at("part", "suspension", "anti_roll_bar"), "part": at("part", "suspension", "anti_roll_bar", "front"),
    "other part": at("part", "body", "other", ""), "more": at("more"), "steps": at("step"), "step": at("step", "new"), "drive": at("drive"), "signatures": at("sign"), "signature": at("sign", "brakes"),
    "standing": at("stand"), "absent": at("absent"), "fixes": at("fix"), "fix": at("fix", "new"), "joints": at("tighten"), "joint": at("tighten", "new"), "photo": at("photo"), "queue": "/capture/#/queue",
}
#: All rules that axe-core runs by itself, and contrast of 7:1, which it leaves out unless it is asked for.
RULES = {"rules": {"color-contrast-enhanced": {"enabled": True}}}
LEAST_TARGET = 48


def shown(page: Page, name: str) -> None:
    page.evaluate("(hash) => { location.hash = hash }", SCREENS[name].partition("#")[2])
    expect(page.locator("main h1")).to_be_visible()
    page.wait_for_timeout(120)
    assert page.get_by_role("heading", name="Not at hand").count() == 0, name


def waiting(context: BrowserContext) -> Page:
    """A phone with something in its queue, so that the queue's own screen has rows."""
    page = installed(context)
    context.set_offline(True)
    go(page, "fact", "driveline.shaft_slope")
    page.locator("input.big").fill("2.2")
    page.locator("button.save").click()
    line(page).to_contain_text("1 waiting")
    return page


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_axe_finds_nothing(browser: Browser, shop: Shop, size: dict[str, int]) -> None:
    with phone(browser, shop, size) as context:
        page = waiting(context)
        found: dict[str, list[str]] = {}
        for name in SCREENS:
            shown(page, name)
            response = Axe().run(page, options=RULES).response
            found[name] = [f"{one['id']}: {one['nodes'][0]['html'][:140]}" for one in response["violations"]]
            assert response["passes"]
        assert {name: rules for name, rules in found.items() if rules} == {}


def test_targets_are_large_enough_for_gloves(context: BrowserContext) -> None:
    page = waiting(context)
    small: dict[str, list[str]] = {}
    for name in SCREENS:
        shown(page, name)
        page.evaluate("for (const item of document.querySelectorAll('details')) item.open = true")
        found = page.evaluate(_SMALL, LEAST_TARGET)
        if found:
            small[name] = found
    assert small == {}


_SMALL = """(least) => [...document.querySelectorAll("a, button, input, select, textarea, summary")].flatMap((item) => {
  const target = item.closest("label") ?? item;
  if (target === item && item.classList.contains("away")) return [];
  const { width, height } = target.getBoundingClientRect();
  return width && (width < least - 0.5 || height < least - 0.5) ? [`${target.tagName} ${target.textContent.slice(0, 30)} ${Math.round(width)}x${Math.round(height)}`] : [];
})"""


def test_twice_the_text_loses_nothing(context: BrowserContext) -> None:
    page = waiting(context)
    over: list[str] = []
    for name in SCREENS:
        shown(page, name)
        page.evaluate("document.documentElement.style.fontSize = '36px'")
        over += page.evaluate("""(name) => document.documentElement.scrollWidth > innerWidth ? [`${name} ${document.documentElement.scrollWidth}`] : []""", name)
        over += page.evaluate("""(name) => [...document.querySelectorAll("main a, main button, main label, main h1, main p")].filter((item) => item.scrollWidth > item.clientWidth + 2 && item.clientWidth && !item.classList.contains("away"))
            .map((item) => `${name}: ${item.textContent.slice(0, 40)}`)""", name)
    assert over == []


def test_by_keyboard_alone(context: BrowserContext, shop: Shop) -> None:
    """From the car to a saved number with Tab, Enter and the digits."""
    page = installed(context)
    known = len(shop.records("measurements"))
    for words in ("Measure", "Wheels and tires", "Room around the wheel", "Smallest gap inboard of the wheel used for measuring, front left"):
        reach(page, words)
        page.keyboard.press("Enter")
        page.wait_for_timeout(150)
    expect(page.locator("input.big")).to_be_focused()
    page.keyboard.type("1 3/16")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Arrived")).to_be_visible(timeout=30_000)
    assert shop.records("measurements")[known]["value"] == "1 3/16 in"


def reach(page: Page, words: str) -> None:
    """Tab until what has these words has the focus."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("(words) => (document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent).trim().startsWith(words)", words):
            return
    raise AssertionError(f"{words} cannot be reached by Tab")
