"""A build that continues another, through the interface: once, whole, and only of the same car."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.document.visits import FIRST


@pytest.fixture
def shop(keeping: FlaskClient) -> FlaskClient:
    """A car that was handed over in 2018."""
    assert keeping.post("/v1/documents", json=copy.deepcopy(FIRST)).status_code == 201
    return keeping


def begin(shop: FlaskClient, key: str = "k", **more: Any) -> Any:
    return shop.post("/v1/cars/c/builds", json={"id": "second", "continues": "first", "opened_on": "2026-10-05", **more}, headers={"Idempotency-Key": key})


def test_it_begins_as_the_last_one_ended(shop: FlaskClient) -> None:
    made = begin(shop)
    assert made.status_code == 201, made.text
    assert {key: made.json[key] for key in ("car", "use", "units", "absent", "continues")} == {
        "car": "c", "use": "touring", "units": "us", "absent": ["brake_booster"], "continues": "first"}
    document = shop.get("/v1/builds/second/document").json
    assert {name: len(document[name]) for name in ("parts", "specs", "measurements", "fasteners", "fixes", "tasks", "drives", "signoffs", "photos", "visits")} == {
        "parts": 4, "specs": 3, "measurements": 0, "fasteners": 1, "fixes": 1, "tasks": 0, "drives": 0, "signoffs": 0, "photos": 0, "visits": 1}
    assert shop.get("/v1/builds/second/visits").json[0]["title"] == "Made sound"
    assert shop.get("/v1/builds/second/checks").status_code == 200
    assert shop.get("/v1/builds/first/document").json["parts"][0]["photos"] == ["p"], "the last build stays as it was"


def test_the_phone_says_that_a_value_is_of_then(shop: FlaskClient) -> None:
    begin(shop)
    facts = shop.get("/capture/builds/second").json["facts"]
    assert facts["driveshaft.length"] == "57.9 in, measured 2018-06-12 at an earlier visit"
    assert facts["car.mass"] == "2,900 lb", "what was stated stands as it was"


def test_twice_is_the_same_as_once(shop: FlaskClient) -> None:
    first, again, other_key = begin(shop), begin(shop), begin(shop, key="another")
    assert (first.status_code, again.status_code, other_key.status_code) == (201, 201, 200)
    assert first.json == again.json == other_key.json
    assert len(shop.get("/v1/builds/second/parts").json) == 4


def test_what_is_given_goes_before_what_held(shop: FlaskClient) -> None:
    made = begin(shop, use="track", absent=[])
    assert (made.json["use"], made.json["absent"]) == ("track", [])


@pytest.mark.parametrize("continues", ["none", "other", 7])
def test_only_a_build_of_the_car_can_be_continued(shop: FlaskClient, continues: Any) -> None:
    shop.post("/v1/cars", json={"id": "d", "make": "Tarnock", "model": "Stookman", "year": 1957})
    shop.post("/v1/cars/d/builds", json={"id": "other", "use": "street"})
    refused = begin(shop, continues=continues)
    assert refused.status_code == 422
    assert [error["pointer"] for error in refused.json["errors"]] == ["/continues"]
    assert shop.get("/v1/builds/second").status_code == 404


def test_what_a_build_continues_stays(shop: FlaskClient) -> None:
    begin(shop)
    refused = shop.patch("/v1/builds/second", json={"continues": "second"}, headers={"If-Match": "*"})
    assert refused.status_code == 422 and refused.json["errors"][0]["pointer"] == "/continues"


def test_the_document_of_a_return_goes_out_and_comes_in_elsewhere(shop: FlaskClient) -> None:
    begin(shop)
    document = shop.get("/v1/builds/second/document").json
    assert shop.post("/v1/documents", json=document).status_code == 200, "the same is kept already"
    document["build"]["id"] = document["visits"][0]["title"] = "third"
    assert shop.post("/v1/documents", json=document).status_code == 201
    assert shop.get("/v1/builds/third/visits").json[0]["title"] == "third"


def test_a_recall_lists_a_part_that_came_along_once(shop: FlaskClient) -> None:
    shop.patch("/v1/builds/first/parts/shaft", json={"part_number": "VS-204", "maker": "Halvard"}, headers={"If-Match": "*"})
    begin(shop)
    found = shop.get("/v1/recall?part_number=VS-204").json
    assert [(item["build"]["id"], item["part"]["id"]) for item in found] == [("second", "shaft")]
    shop.patch("/v1/builds/second/parts/shaft", json={"status": "removed"}, headers={"If-Match": "*"})
    assert shop.get("/v1/recall?part_number=VS-204").json == []
