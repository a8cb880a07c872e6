"""The list of builds with very many of them, and the pages of builds of which little is recorded or that are gone."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from flask.testing import FlaskClient

from service.app import create_app
from service.settings import Settings
from tests.kept import sqlite_url

MANY = 300
CARS = 20
GONE_EVERY = 3


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FlaskClient]:
    """A shop that has had 300 builds, of which every third was handed over; nothing else is recorded."""
    folder = tmp_path_factory.mktemp("data")
    app = create_app(Settings(data=folder, database=sqlite_url(folder), open=True))
    client = app.test_client()
    for car in range(CARS):
        assert client.post("/v1/cars", json={"id": f"c{car}", "make": "Corvane", "model": f"No. {car}", "year": 1950 + car}).status_code == 201
    for build in range(MANY):
        gone = {"delivered_on": "2026-05-04"} if build % GONE_EVERY == 0 else {"promised_on": "2026-12-18"}
        assert client.post(f"/v1/cars/c{build % CARS}/builds", json={"id": f"b{build}", "use": "street", "title": f"build number {build}", **gone}).status_code == 201
    yield client
    app.extensions["asfitted"].database.close()


def walked(desk: FlaskClient, words: str) -> list[str]:
    """The builds of a section over all its pages, following the link with these words."""
    found: list[str] = []
    address = "/desk/"
    while address:
        text = desk.get(address).get_data(as_text=True)
        section = text.partition("<h2>Handed over</h2>")[2 if "handed" in words else 0]
        found += re.findall(r'href="/desk/builds/(b\d+)"', section)
        link = re.search(rf'href="([^"]+)">{words}</a>', text)
        address = link[1].replace("&amp;", "&") if link else ""
    return found


def test_every_build_stands_once_the_newest_first(desk: FlaskClient) -> None:
    here = walked(desk, "Earlier builds in the shop")
    gone = walked(desk, "Earlier builds handed over")
    assert here == [f"b{build}" for build in reversed(range(MANY)) if build % GONE_EVERY]
    assert gone == [f"b{build}" for build in reversed(range(MANY)) if not build % GONE_EVERY]


def test_the_first_page_has_both(desk: FlaskClient) -> None:
    text = desk.get("/desk/").get_data(as_text=True)
    assert "<h2>In the shop</h2>" in text
    assert "<h2>Handed over</h2>" in text
    assert "12 signatures" in text
    assert "no safety checks" not in text


def test_the_phone_has_all_that_are_in_the_shop_and_no_other(desk: FlaskClient) -> None:
    found = [item["build"] for item in desk.get("/capture/builds").get_json()]
    assert found == [f"b{build}" for build in reversed(range(MANY)) if build % GONE_EVERY]


@pytest.mark.parametrize(("build", "words"), [("b0", "It was handed over on May 4, 2026. This is what its record leaves open."), ("b1", "Promised")])
def test_a_build_without_records_says_what_is_wanted(desk: FlaskClient, build: str, words: str) -> None:
    text = desk.get(f"/desk/builds/{build}").get_data(as_text=True)
    assert words in text
    assert text.count(">sign</a>") == 12
    assert "Nothing waits to be measured." in text
    assert "Enter a part" in text
    assert ("This is what its record leaves open" in text) is (build == "b0")
