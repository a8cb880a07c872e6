"""The pages of pairing and of a customer's link, in a browser."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from playwright.sync_api import Browser, expect
from werkzeug.serving import make_server

from service.app import create_app
from service.settings import Settings
from tests.devices import client, code, token
from tests.kept import sqlite_url

PHONE = {"width": 360, "height": 740}


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    folder = tmp_path_factory.mktemp("data")
    app = create_app(Settings(data=folder, database=sqlite_url(folder)))
    owner = client(app, token(app, "owner", name="desk"))
    owner.post("/v1/cars", json={"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957})
    owner.post("/v1/cars/c/builds", json={"id": "b", "use": "street", "title": "Longer legs"})
    yield app
    app.extensions["asfitted"].database.close()


@pytest.fixture(scope="module")
def where(app: Flask) -> Iterator[str]:
    server = make_server("127.0.0.1", 0, app, threaded=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()


def test_a_phone_is_paired_by_the_address_alone(app: Flask, where: str, browser: Browser, tmp_path: Path) -> None:
    page = browser.new_page(viewport=PHONE)  # type: ignore[arg-type]
    errors: list[str] = []
    asked: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("console", lambda message: errors.append(message.text) if "Content Security Policy" in message.text else None)
    page.on("request", lambda request: asked.append(request.url))
    given = code(app)
    page.goto(f"{where}/desk/")
    page.get_by_role("link", name="Pair this device").click()
    expect(page.get_by_label("Pairing code")).to_have_value("")
    page.goto(f"{where}/pair#{given}")
    expect(page.get_by_label("Pairing code")).to_have_value(given)
    assert page.url == f"{where}/pair"
    page.get_by_label("Your name").fill("Oona")
    page.get_by_label("What to call this device").fill("phone")
    page.get_by_role("button", name="Pair").click()
    expect(page.get_by_role("status")).to_contain_text("Paired as phone, role builder")
    cookie = page.context.cookies()[0]
    assert (cookie["httpOnly"], cookie["sameSite"]) == (True, "Strict")
    page.get_by_role("link", name="To the cars in the shop").click()
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    assert page.url.startswith(f"{where}/capture/")
    assert errors == []
    assert all(address.startswith((where, "about:")) and given not in address.partition("#")[0] for address in asked)


def test_a_wrong_code_is_told(where: str, browser: Browser) -> None:
    page = browser.new_page(viewport=PHONE)  # type: ignore[arg-type]
    page.goto(f"{where}/pair#WRONG-WRONG")
    page.get_by_label("Your name").fill("Oona")
    page.get_by_label("What to call this device").fill("phone")
    page.get_by_role("button", name="Pair").click()
    expect(page.get_by_role("status")).to_contain_text("The code is wrong, used or too old")
    expect(page.get_by_role("button", name="Pair")).to_be_enabled()


def test_a_customer_opens_the_link(app: Flask, where: str, browser: Browser) -> None:
    secret = token(app, "reader", name="Signe", car="c", days=30)
    page = browser.new_page(viewport=PHONE)  # type: ignore[arg-type]
    page.goto(f"{where}/share#{secret}")
    expect(page.get_by_role("heading", level=1)).to_have_text("1957 Tarnock Stookman")
    expect(page.get_by_role("listitem")).to_contain_text("Longer legs")
    expect(page.get_by_role("listitem")).to_contain_text("Its book is not made yet")
    assert page.url == f"{where}/share"
    page.goto(f"{where}/share")
    expect(page.get_by_role("heading", level=1)).to_have_text("1957 Tarnock Stookman")
    stranger = browser.new_page(viewport=PHONE)  # type: ignore[arg-type]
    stranger.goto(f"{where}/share#{'x' * 43}")
    expect(stranger.get_by_role("status")).to_contain_text("This link does not open: this token is nobody's")
