"""A shop for the phone's tests: a server of its own with one car in it, and what the phone does there."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote

import requests
from playwright.sync_api import Browser, BrowserContext, Page, expect

from service.settings import DEMO_BUILDS, ROOT
from tests.served import Server

PHONE = {"width": 360, "height": 740}
DESK = {"width": 1280, "height": 800}
BUILD = "stookman-tow-rig"
PICTURES = ROOT / "fixtures" / "photos"


class Shop(Server):
    """The service with a car that is still being measured."""

    def __init__(self, data: Path, *, guarded: bool = False) -> None:
        super().__init__(data, guarded=guarded)

    @property
    def origin(self) -> str:
        """Where its pages are."""
        return f"http://127.0.0.1:{self.port}"

    def take_in(self) -> Shop:
        """Bring the car in."""
        answer = requests.post(f"{self.where}/documents", json=document(), timeout=60)
        assert answer.status_code == 201, answer.text
        return self

    def records(self, name: str) -> list[dict[str, Any]]:
        """The build's records of a list, in the order in which they arrived."""
        found: list[dict[str, Any]] = []
        address: str | None = f"{self.where}/builds/{BUILD}/{name}?limit=1000"
        while address:
            answer = requests.get(address, timeout=60)
            found += answer.json()
            address = requests.compat.urljoin(address, answer.links["next"]["url"]) if "next" in answer.links else None  # type: ignore[attr-defined]
        return found


def document() -> dict[str, Any]:
    """The tow rig before every other measurement was taken, so that checks wait for something."""
    found: dict[str, Any] = json.loads((DEMO_BUILDS / "tarnock-stookman-tow-rig.json").read_text())
    found["build"]["delivered_on"] = None
    named = json.dumps([found["fixes"], found["photos"], found.get("papers"), [item.get("supersedes") for item in found["measurements"]]])
    found["measurements"] = [item for at, item in enumerate(found["measurements"]) if f'"{item["id"]}"' in named or at % 2]
    return found


def at(*pieces: str) -> str:
    """The address of a screen of the build."""
    return "/capture/#/" + "/".join(quote(piece, safe="") for piece in ("b", BUILD, *pieces))


@contextmanager
def phone(browser: Browser, shop: Shop, size: dict[str, int] | None = None) -> Iterator[BrowserContext]:
    """A phone in the shop. It fails the test when a script fails or anything that is not the shop's is asked for."""
    context = browser.new_context(viewport=size or PHONE, has_touch=size is None, base_url=shop.origin)  # type: ignore[arg-type]
    troubles: list[str] = []

    def watched(page: Page) -> None:
        page.on("pageerror", lambda error: troubles.append(str(error)))
        page.on("console", lambda said: troubles.append(said.text) if "Content Security Policy" in said.text else None)

    context.on("page", watched)
    context.on("request", lambda request: troubles.append(request.url) if not request.url.startswith((shop.origin, "blob:")) else None)
    yield context
    context.close()
    assert troubles == []


def opened(context: BrowserContext, address: str = "/capture/") -> Page:
    """A page of the phone that has made its first screen."""
    page = context.new_page()
    page.goto(address)
    expect(page.locator("html[data-ready]")).to_have_count(1)
    return page


def installed(context: BrowserContext) -> Page:
    """A page that works without the network from now on, on the build's screen."""
    page = opened(context)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    expect(page.get_by_role("heading", name="Which car?")).to_be_visible()
    page.evaluate("new Promise((done) => navigator.serviceWorker.controller ? done() : navigator.serviceWorker.addEventListener('controllerchange', done))")
    page.locator(".rows a").first.click()
    expect(page.get_by_role("heading", name="What next")).to_be_visible()
    return page


def go(page: Page, *pieces: str) -> None:
    """Go to a screen of the build as a link on the page would."""
    page.evaluate("(hash) => { location.hash = hash }", at(*pieces).partition("#")[2])


def line(page: Page) -> Any:
    """The line of the queue, to expect something of."""
    return expect(page.locator("#queue"))
