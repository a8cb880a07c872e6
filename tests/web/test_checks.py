"""The stateless calls: checks, what-if, reference, and problems."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest
from flask.testing import FlaskClient

from service.app import create_app
from service.document.json_schema import build_schema
from service.settings import DEMO_BUILDS, Settings

SHAFT: dict[str, Any] = {
    "format": "as-fitted/build/1",
    "car": {"make": "Example", "model": "One", "year": 1962},
    "build": {"use": "street"},
    "parts": [
        {"id": "e", "kind": "engine", "specs": {"redline": "6000 rpm"}},
        {"id": "t", "kind": "transmission", "specs": {"forward_ratios": [2.48, 1.48, 1.0, 0.75]}},
        {"id": "d", "kind": "driveshaft", "specs": {"length": "52 in", "outer_diameter": "3 in", "wall": "0.083 in"}},
    ],
}


@pytest.fixture
def client() -> FlaskClient:
    return create_app().test_client()


def test_checks_answer(client: FlaskClient) -> None:
    answer = client.post("/v1/checks", json=SHAFT)
    assert answer.status_code == 200
    found = {item["check"]: item for item in answer.json["results"]}
    assert found["driveline.critical_speed"]["verdict"] == "fail"
    assert sum(answer.json["counts"].values()) == len(answer.json["results"])


def test_what_if_says_what_changed(client: FlaskClient) -> None:
    answer = client.post("/v1/what-if", json={"document": SHAFT, "changes": {"driveshaft.outer_diameter": "4 in", "engine.redline": "5000 rpm"}})
    assert answer.status_code == 200
    changed = {item["check"]: item for item in answer.json["changed"]}
    assert changed["driveline.critical_speed"]["before"]["verdict"] == "fail"
    assert changed["driveline.critical_speed"]["after"]["verdict"] == "pass"


@pytest.mark.parametrize("path", sorted(DEMO_BUILDS.glob("*.json")), ids=lambda path: path.stem)
def test_demo_builds_are_answered_and_fit_the_schema(client: FlaskClient, path: Any) -> None:
    document = json.loads(path.read_text(encoding="utf-8"))
    jsonschema.validate(document, build_schema())
    answer = client.post("/v1/checks", json=document)
    assert answer.status_code == 200
    assert answer.json["results"]


def test_the_schema_is_a_schema(client: FlaskClient) -> None:
    schema = client.get("/v1/schema/build.json")
    assert schema.content_type == "application/schema+json"
    jsonschema.Draft202012Validator.check_schema(schema.json)


@pytest.mark.parametrize("where", ["/v1/vocabulary", "/v1/catalog", "/v1/schema/build.json", "/v1/vocabulary.html", "/v1/catalog.html"])
def test_reference_pages_are_conditional(client: FlaskClient, where: str) -> None:
    first = client.get(where)
    assert first.status_code == 200
    assert client.get(where, headers={"If-None-Match": first.headers["ETag"]}).status_code == 304


@pytest.mark.parametrize(
    ("data", "content_type", "status", "says"),
    [
        (b"{", "application/json", 400, "not JSON"),
        (b'{"a": Infinity}', "application/json", 400, "Infinity"),
        (b"[" * 100_000, "application/json", 400, "nested"),
        (b"{}", "application/json", 422, ""),
        (b"[]", "application/json", 422, "JSON object"),
        (b"{}", "text/plain", 415, "application/json"),
    ],
)
def test_bad_bodies(client: FlaskClient, data: bytes, content_type: str, status: int, says: str) -> None:
    for where in ("/v1/checks", "/v1/what-if"):
        answer = client.post(where, data=data, content_type=content_type)
        assert answer.status_code == status
        assert answer.content_type == "application/problem+json"
        assert answer.json["status"] == status
    answer = client.post("/v1/checks", data=data, content_type=content_type)
    assert says in json.dumps(answer.json)


def test_a_document_too_large() -> None:
    client = create_app(Settings(largest_request=1000)).test_client()
    answer = client.post("/v1/checks", data=b" " * 2000, content_type="application/json")
    assert answer.status_code == 413
    assert answer.content_type == "application/problem+json"


def test_what_if_errors_name_document_and_changes(client: FlaskClient) -> None:
    answer = client.post(
        "/v1/what-if", json={"document": {**SHAFT, "car": {}}, "changes": {"driveshaft.lenght": "1 in", "engine.redline": "5 kg", "partz": []}}
    )
    assert answer.status_code == 422
    assert {item["pointer"] for item in answer.json["errors"]} == {
        "/document/car/make",
        "/document/car/model",
        "/document/car/year",
        "/changes/driveshaft.lenght",
        "/changes/engine.redline",
        "/changes/partz",
    }


def test_unknown_paths_are_problems(client: FlaskClient) -> None:
    answer = client.get("/v1/nothing")
    assert (answer.status_code, answer.content_type) == (404, "application/problem+json")
    assert client.get("/v1/checks").status_code == 405


def test_security_headers(client: FlaskClient) -> None:
    headers = client.get("/healthz").headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert "unsafe-inline" not in headers["Content-Security-Policy"]


def what_if(client: FlaskClient, changes: Any, **document: Any) -> Any:
    return client.post("/v1/what-if", json={"document": {**SHAFT, **document}, "changes": changes})


def test_a_what_if_takes_several_lists_that_name_each_other(client: FlaskClient) -> None:
    answer = what_if(client, {"parts": [{"id": "n", "kind": "engine"}], "fixes": [{"title": "new engine", "parts_added": ["n"], "safety": True, "system": "brakes"}]})
    assert answer.status_code == 200
    assert "readiness.safety_items" in {item["check"] for item in answer.json["changed"]}


def test_a_what_if_may_leave_out_a_record_that_others_name(client: FlaskClient) -> None:
    fixes = [{"id": "f", "title": "shake", "parts_added": ["d"]}]
    assert what_if(client, {"parts": []}, fixes=fixes).status_code == 200
    assert what_if(client, {"fixes": [{"id": "f", "title": "shake", "parts_added": ["x"]}]}).json["errors"][0]["pointer"] == "/changes/fixes/0/parts_added/0"


def test_a_what_if_that_takes_a_fact_away(client: FlaskClient) -> None:
    changed = what_if(client, {"driveshaft.wall": None}).json["changed"]
    shaft = next(item for item in changed if item["check"] == "driveline.critical_speed")
    assert shaft["after"]["missing"] == ["driveshaft.wall"]


def test_a_what_if_of_the_promised_date(client: FlaskClient) -> None:
    build = {"use": "street", "opened_on": "2026-06-08", "promised_on": "2026-06-08"}
    answer = what_if(client, {"build.promised_on": "2026-07-31"}, build=build, tasks=[{"id": "paint", "title": "paint", "estimate": "20 h"}])
    changed = next(item for item in answer.json["changed"] if item["check"] == "schedule.critical_path")
    assert (changed["before"]["verdict"], changed["after"]["verdict"]) == ("fail", "pass")


@pytest.mark.parametrize(("changes", "pointer"), [
    ([], "/changes"), ({"": 1}, "/changes/"), ({"car": {}}, "/changes/car"), ({"absent": ["radiatr"]}, "/changes/absent/0"),
    ({"build.use": "racing"}, "/changes/build.use"), ({"measurements": [{"value": "1 in"}]}, "/changes/measurements/0/fact"),
])
def test_changes_that_mean_nothing(client: FlaskClient, changes: Any, pointer: str) -> None:
    answer = what_if(client, changes)
    assert answer.status_code == 422
    assert [error["pointer"] for error in answer.json["errors"]] == [pointer]
