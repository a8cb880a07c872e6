"""Search over all cars, on SQLite and PostgreSQL by the same call with the same answers."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

CARS = [
    {"id": "langtur", "make": "Oskervik", "model": "Langtur", "year": 1966, "serial": "OL-1966-07731", "vin": None,
     "owner": {"name": "Signe Havnqvist", "contact": "555 0143"}},
    {"id": "stookman", "make": "Tarnock", "model": "Stookman", "year": 1957, "serial": "TS-57-118", "owner": {"name": "Bram Ødegård"}},
]
RECORDS: dict[str, list[dict[str, Any]]] = {
    "parts": [{"id": "radiator", "kind": "radiator", "maker": "Nettle & Quay", "part_number": "NQ-4410/B", "serial": "88-1207", "notes": "aluminum core"}],
    "fixes": [{"id": "shudder", "title": "Shudder on take-off", "problem": "Vibration under load between 20 and 30 mph", "remedy": "Center bearing shimmed",
               "next_mechanic": "Look at the carrier first"}],
    "fasteners": [{"id": "flange", "joint": "pinion flange", "system": "driveline", "thread": "M10x1.5", "class": "10.9", "count": 4}],
    "measurements": [{"id": "slope", "fact": "driveline.shaft_slope", "value": "2.4 deg", "notes": "taken on the alignment rack"}],
    "drives": [{"id": "first", "at": "2026-05-01", "observations": "Whistle from the windshield above 55"}],
}


@pytest.fixture
def shop(keeping: FlaskClient) -> FlaskClient:
    """Two cars, a build of each, the records in the first."""
    for car in CARS:
        keeping.post("/v1/cars", json=car)
        keeping.post(f"/v1/cars/{car['id']}/builds", json={"id": f"{car['id']}-1", "title": "Cooling and driveline", "use": "touring"})
    for name, records in RECORDS.items():
        for record in records:
            assert keeping.post(f"/v1/builds/langtur-1/{name}", json=record).status_code == 201
    return keeping


def found(shop: FlaskClient, query: str, **more: Any) -> list[str]:
    return [item["id"] for item in shop.get("/v1/search", query_string={"q": query, **more}).json]


@pytest.mark.parametrize(("query", "id"), [
    ("havnqvist", "langtur"), ("odegard", "stookman"), ("0143", "langtur"), ("OL-1966-07731", "langtur"), ("ol196607731", "langtur"), ("TS 57 118", "stookman"),
    ("nq4410b", "radiator"), ("NQ-4410", "radiator"), ("nettle quay", "radiator"), ("88-1207", "radiator"), ("m10x1.5", "flange"), ("pinion flange", "flange"),
    ("vibration load", "shudder"), ("carrier", "shudder"), ("ALIGNMENT rack", "slope"), ("whistle", "first"), ("aluminum", "radiator"),
])
def test_found_by_what_is_written(shop: FlaskClient, query: str, id: str) -> None:
    assert found(shop, query) == [id]


@pytest.mark.parametrize(("query", "id"), [
    ("havnkvist", "langtur"), ("hvanqvist", "langtur"), ("oskervick", "langtur"), ("stokman", "stookman"), ("radaitor", "radiator"), ("radiatorr", "radiator"),
    ("vibratoin", "shudder"), ("vibrasion", "shudder"), ("wistle", "first"), ("windsheeld", "first"), ("carier", "shudder"), ("pinoin flage", "flange"),
    ("aligmnent", "slope"), ("NQ-4401/B", "radiator"), ("OL-1966-07713", "langtur"), ("allignmant", "slope"),
])
def test_found_with_slips_forgiven(shop: FlaskClient, query: str, id: str) -> None:
    answer = shop.get("/v1/search", query_string={"q": query}).json
    assert [(item["id"], item["near"]) for item in answer] == [(id, True)]


@pytest.mark.parametrize("query", ["gearbox", "radiator stookman", "langtur 1967", "0144", "\" OR *", "') & !(x", "!!", "x" * 500, "\\", "%", "NOT langtur"])
def test_what_is_not_there_is_not_found(shop: FlaskClient, query: str) -> None:
    answer = shop.get("/v1/search", query_string={"q": query})
    assert (answer.status_code, answer.json) == (200, [])


def test_what_is_found_says_where_it_stands(shop: FlaskClient) -> None:
    item = shop.get("/v1/search?q=shimmed").json[0]
    assert {key: item[key] for key in ("list", "id", "title", "near", "in", "snippet", "car", "build", "address")} == {
        "list": "fixes", "id": "shudder", "title": "Shudder on take-off", "near": False, "in": "remedy", "snippet": "Center bearing shimmed",
        "car": {"id": "langtur", "title": "1966 Oskervik Langtur"}, "build": {"id": "langtur-1", "title": "Cooling and driveline"},
        "address": "/v1/builds/langtur-1/fixes/shudder"}
    assert shop.get(item["address"]).json["id"] == "shudder"
    car = shop.get("/v1/search?q=signe").json[0]
    assert (car["in"], car["snippet"], car["build"], car["address"]) == ("owner.name", "Signe Havnqvist", None, "/v1/cars/langtur")


def test_one_list_only(shop: FlaskClient) -> None:
    assert found(shop, "driveline", list="builds") == ["stookman-1", "langtur-1"]
    assert found(shop, "driveline", list="fasteners") == ["flange"]
    assert shop.get("/v1/search?q=driveline&list=wheels").status_code == 400
    assert shop.get("/v1/search?q=").status_code == 400


def test_as_typed_comes_before_near_and_pages_join_up(shop: FlaskClient) -> None:
    for id, title in (("one", "Brakes pull left"), ("two", "Braces loose"), ("three", "Brakes squeal"), ("four", "Brakse fade")):
        shop.post("/v1/builds/langtur-1/fixes", json={"id": id, "title": title})
    whole = shop.get("/v1/search?q=brakes").json
    assert [(item["id"], item["near"]) for item in whole] == [("three", False), ("one", False), ("four", True), ("two", True)]
    pages, where = [], "/v1/search?q=brakes&limit=1"
    while where:
        page = shop.get(where)
        pages += page.json
        where = page.headers["Link"].split(">")[0][1:] if "Link" in page.headers else ""
    assert pages == whole


def test_changed_and_retracted_records_are_found_as_they_are(shop: FlaskClient) -> None:
    shop.patch("/v1/builds/langtur-1/fixes/shudder", json={"remedy": "Pinion angle set"}, headers={"If-Match": "*"})
    assert (found(shop, "shimmed"), found(shop, "pinion angle")) == ([], ["shudder"])
    shop.delete("/v1/builds/langtur-1/fixes/shudder", headers={"If-Match": "*"})
    assert found(shop, "shudder") == []


def test_a_beginning_of_many_words_finds_all_of_them(shop: FlaskClient) -> None:
    for number in range(20):
        shop.post("/v1/builds/langtur-1/fixes", json={"id": f"n{number}", "title": f"kestwick{number:02d}a"})
    assert found(shop, "kestwick") == [f"n{number}" for number in reversed(range(20))]
    assert found(shop, "kestwick1") == [f"n{number}" for number in reversed(range(10, 20))]
    assert found(shop, "kestwick07a") == ["n7"]
