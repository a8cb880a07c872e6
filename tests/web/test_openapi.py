"""The interface's description: every route is in it, it is valid, and its examples do what they say."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator
from openapi_spec_validator import OpenAPIV31SpecValidator

from service.app import create_app
from service.settings import Settings
from service.web.openapi import openapi, undescribed
from service.web.problems import CONTENT_TYPE
from tests.kept import sqlite_url

JSON = "application/json"


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FlaskClient]:
    folder = tmp_path_factory.mktemp("data")
    app = create_app(Settings(data=folder, database=sqlite_url(folder), open=True))
    yield app.test_client()
    app.extensions["asfitted"].database.close()


@pytest.fixture(scope="module")
def described(client: FlaskClient) -> dict[str, Any]:
    found: dict[str, Any] = client.get("/v1/openapi.json").get_json()
    return found


def test_every_route_is_described(client: FlaskClient) -> None:
    assert undescribed(client.application) == []


def test_the_description_is_valid(described: dict[str, Any]) -> None:
    OpenAPIV31SpecValidator(described).validate()


def test_every_call_that_takes_json_has_an_example_of_its_schema(described: dict[str, Any]) -> None:
    tried = 0
    for path, methods in described["paths"].items():
        for method, call in methods.items():
            media = call.get("requestBody", {}).get("content", {}).get(JSON)
            if media is None:
                continue
            assert "example" in media, f"{method} {path} has no example"
            Draft202012Validator({**media["schema"], "components": described["components"]}).validate(media["example"])
            tried += 1
    assert tried >= 20


def test_every_parameter_of_an_address_says_what_it_is(described: dict[str, Any]) -> None:
    for path, methods in described["paths"].items():
        for method, call in methods.items():
            named = {item["name"] for item in call.get("parameters", []) if item["in"] == "path"}
            assert all(f"{{{name}}}" in path for name in named) and path.count("{") == len(named), f"{method} {path}"


def test_the_examples_are_taken_as_they_stand(keeping: FlaskClient, described: dict[str, Any]) -> None:
    paths = described["paths"]

    def example(method: str, path: str) -> Any:
        return paths[path][method]["requestBody"]["content"][JSON]["example"]

    car = keeping.post("/v1/cars", json=example("post", "/v1/cars"))
    assert car.status_code == 201
    build = keeping.post(f"/v1/cars/{car.get_json()['id']}/builds", json=example("post", "/v1/cars/{car}/builds"))
    assert build.status_code == 201
    here = f"/v1/builds/{build.get_json()['id']}"
    for name in ("parts", "specs", "measurements", "fixes", "fasteners", "tasks", "drives", "signoffs"):
        record = {**example("post", f"/v1/builds/{{build}}/{name}"), "id": f"new-{name}"}
        kept = keeping.post(f"{here}/{name}", json=record)
        assert kept.status_code == 201, kept.get_json()
        changed = keeping.patch(kept.headers["Location"], json=example("patch", f"/v1/builds/{{build}}/{name}/{{record}}"), headers={"If-Match": kept.headers["ETag"]})
        assert changed.status_code == 200, changed.get_json()
    for path in ("/v1/checks", "/v1/what-if", "/v1/documents"):
        assert keeping.post(path, json=example("post", path)).status_code in (200, 201)
    assert keeping.post(f"{here}/what-if", json=example("post", "/v1/builds/{build}/what-if")).status_code == 200


def test_the_answer_is_of_its_schema(client: FlaskClient, described: dict[str, Any]) -> None:
    example = described["paths"]["/v1/checks"]["post"]["requestBody"]["content"][JSON]["example"]
    found = client.post("/v1/checks", json=example).get_json()
    Draft202012Validator({"$ref": "#/components/schemas/answer", "components": described["components"]}).validate(found)
    assert found["results"]


def test_problems_are_of_their_schema(client: FlaskClient, described: dict[str, Any]) -> None:
    found = client.post("/v1/cars", json={"make": 7})
    assert found.status_code == 422
    assert found.content_type == CONTENT_TYPE
    Draft202012Validator({"$ref": "#/components/schemas/problem", "components": described["components"]}).validate(found.get_json())


def test_the_page_reads_without_the_internet(client: FlaskClient, described: dict[str, Any]) -> None:
    page = client.get("/v1/openapi.html")
    text = page.get_data(as_text=True)
    assert page.content_type.startswith("text/html")
    assert "//" not in text.replace("<!doctype html>", "").partition("<main>")[0], "nothing is loaded from elsewhere"
    assert "<script" not in text
    for methods in described["paths"].values():
        for call in methods.values():
            assert f'id="{call["operationId"]}"' in text


def test_operations_have_names_of_their_own(client: FlaskClient) -> None:
    names = [call["operationId"] for methods in openapi(client.application)["paths"].values() for call in methods.values()]
    assert len(names) == len(set(names))


def test_asked_again_it_is_not_sent_again(client: FlaskClient) -> None:
    first = client.get("/v1/openapi.json")
    again = client.get("/v1/openapi.json", headers={"If-None-Match": first.headers["ETag"]})
    assert again.status_code == 304
    assert not again.data
    assert json.loads(first.data)["openapi"].startswith("3.1")
