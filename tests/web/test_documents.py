"""Documents in and out, and the checks on what is kept."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.settings import DEMO_BUILDS

SHAFT: dict[str, Any] = {
    "format": "as-fitted/build/1",
    "car": {"make": "Example", "model": "One", "year": 1962},
    "build": {"use": "street"},
    "parts": [
        {"kind": "engine", "specs": {"redline": "6000 rpm"}},
        {"kind": "transmission", "specs": {"forward_ratios": [2.48, 1.48, 1.0, 0.75]}},
        {"id": "d", "kind": "driveshaft", "specs": {"length": "52 in", "outer_diameter": "3 in", "wall": "0.083 in"}},
    ],
}


@pytest.mark.parametrize("path", sorted(DEMO_BUILDS.glob("*.json")), ids=lambda path: path.stem)
def test_a_document_comes_back_equal(keeping: FlaskClient, path: Path) -> None:
    document = json.loads(path.read_text(encoding="utf-8"))
    made = keeping.post("/v1/documents", json=document)
    assert made.status_code == 201
    assert keeping.get(f"{made.headers['Location']}/document").json == document
    assert keeping.post("/v1/documents", json=document).status_code == 200


def test_two_visits_of_one_car_are_two_builds(keeping: FlaskClient) -> None:
    for path in sorted(DEMO_BUILDS.glob("oskervik*.json")):
        assert keeping.post("/v1/documents", json=json.loads(path.read_text(encoding="utf-8"))).status_code == 201
    assert [build["id"] for build in keeping.get("/v1/cars/oskervik-langtur-1966/builds").json] == ["langtur-2018", "langtur-2026"]


def test_a_document_without_ids_comes_in_once(keeping: FlaskClient) -> None:
    first, again = (keeping.post("/v1/documents", json=SHAFT) for _ in range(2))
    assert (first.status_code, again.status_code, first.json["build"]) == (201, 200, again.json["build"])
    assert [part["id"] for part in keeping.get(f"{first.headers['Location']}/parts").json] == ["parts-1", "parts-2", "d"]


@pytest.mark.parametrize(("change", "pointer", "says"), [
    (lambda document: document["parts"][2]["specs"].update(wall="0.095 in"), "/parts/2", "specs"),
    (lambda document: document["parts"].append({"id": "new", "kind": "battery"}), "/parts/3", "no parts entry"),
    (lambda document: document["parts"].pop(), "/parts", "not in the document"),
    (lambda document: document["car"].update(color="red"), "/car", "color"),
    (lambda document: document["build"].update(use="track"), "/build", "use"),
    (lambda document: document.update(absent=["battery"]), "/absent", "another list"),
])
def test_what_differs_is_listed_and_nothing_is_overwritten(keeping: FlaskClient, change: Any, pointer: str, says: str) -> None:
    document = {**deepcopy(SHAFT), "car": {"id": "c", **SHAFT["car"]}, "build": {"id": "b", "use": "street"}}
    keeping.post("/v1/documents", json=document)
    before = keeping.get("/v1/builds/b/document").json
    change(document)
    answer = keeping.post("/v1/documents", json=document)
    assert answer.status_code == 409
    assert [(item["pointer"], says in item["detail"]) for item in answer.json["errors"]] == [(pointer, True)]
    assert keeping.get("/v1/builds/b/document").json == before


def test_what_was_retracted_does_not_come_back(keeping: FlaskClient) -> None:
    document = {**SHAFT, "build": {"id": "b", "use": "street"}}
    keeping.post("/v1/documents", json=document)
    keeping.delete("/v1/builds/b/parts/d?reason=bent", headers={"If-Match": "*"})
    answer = keeping.post("/v1/documents", json=document)
    assert answer.status_code == 409
    assert "retracted here (bent)" in answer.json["errors"][0]["detail"]


def test_defaults_typed_out_make_no_difference(keeping: FlaskClient) -> None:
    document = {**deepcopy(SHAFT), "car": {"id": "c", **SHAFT["car"]}, "build": {"id": "b", "use": "street"}}
    keeping.post("/v1/documents", json=document)
    document["parts"][2]["status"] = "fitted"
    document["build"]["units"] = "us"
    document["parts"][0]["id"], document["parts"][1]["id"] = "parts-1", "parts-2"
    assert keeping.post("/v1/documents", json=document).status_code == 200


def test_bad_documents(keeping: FlaskClient) -> None:
    assert keeping.post("/v1/documents", data=b"{", content_type="application/json").status_code == 400
    assert keeping.post("/v1/documents", json={**SHAFT, "parts": [{"kind": "wing"}]}).json["errors"][0]["pointer"] == "/parts/0/kind"
    assert keeping.post("/v1/documents", json={**SHAFT, "build": {"id": "a/b", "use": "street"}}).json["errors"][0]["pointer"] == "/build/id"
    assert keeping.get("/v1/cars").json == []


def test_checks_on_what_is_kept(keeping: FlaskClient) -> None:
    build = keeping.post("/v1/documents", json=SHAFT).headers["Location"]
    kept, stateless = keeping.get(f"{build}/checks").json, keeping.post("/v1/checks", json=keeping.get(f"{build}/document").json).json
    assert kept == stateless
    shaft = keeping.get(f"{build}/parts/d")
    keeping.patch(f"{build}/parts/d", json={"specs": {"outer_diameter": "4 in"}}, headers={"If-Match": shaft.headers["ETag"]})
    keeping.patch(f"{build}/parts/parts-1", json={"specs": {"redline": "5000 rpm"}}, headers={"If-Match": "*"})
    verdict = {item["check"]: item["verdict"] for item in keeping.get(f"{build}/checks").json["results"]}
    assert verdict["driveline.critical_speed"] == "pass"


def test_what_if_on_what_is_kept(keeping: FlaskClient) -> None:
    build = keeping.post("/v1/documents", json=SHAFT).headers["Location"]
    answer = keeping.post(f"{build}/what-if", json={"changes": {"driveshaft.outer_diameter": "4 in", "engine.redline": "5000 rpm"}})
    assert {item["check"]: item["after"]["verdict"] for item in answer.json["changed"]}["driveline.critical_speed"] == "pass"
    assert keeping.get(f"{build}/parts/d").json["specs"]["outer_diameter"] == "3 in"
    assert keeping.post(f"{build}/what-if", json={"changes": {"driveshaft.width": "4 in"}}).json["errors"][0]["pointer"] == "/changes/driveshaft.width"
    assert keeping.post(f"{build}/what-if", json={"document": {}}).status_code == 422


@pytest.mark.parametrize("path", ["/document", "/checks", ""])
def test_a_build_that_is_not_there(keeping: FlaskClient, path: str) -> None:
    assert keeping.get(f"/v1/builds/none{path}").status_code == 404
