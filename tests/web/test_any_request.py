"""Whatever is sent: no mistake of the service, no answer that the description does not have (schemathesis on the served description)."""

from __future__ import annotations

import os
import re
from collections import Counter
from collections.abc import Iterator
from typing import Any
from urllib.parse import unquote, urlsplit
from uuid import UUID

import pytest
import schemathesis
from flask import Flask, request
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.strategies import booleans, sampled_from
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
    unsupported_method,
)

from service.app import create_app
from service.settings import Settings
from service.web.examples import ONE_OF, demo
from service.web.needs import Role, needed
from tests.devices import client, token
from tests.kept import sqlite_url

#: More of them in the long form: ASFITTED_LONG=1.
EXAMPLES = 25 if os.environ.get("ASFITTED_LONG") else 4

ROLES = {"reader": Role.READER, "builder": Role.BUILDER, "owner": Role.OWNER}
CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_headers_conformance, response_schema_conformance, unsupported_method]


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    """The application with the demo build in it, which the examples are about."""
    folder = tmp_path_factory.mktemp("data")
    app = create_app(Settings(data=folder, database=sqlite_url(folder), open=True))
    # The test client asks for gzip and does not unpack it.
    app.before_request(lambda: request.environ.pop("HTTP_ACCEPT_ENCODING", None) and None)
    assert app.test_client().post("/v1/documents", json=demo()).status_code == 201
    yield app
    app.extensions["asfitted"].database.close()


@pytest.fixture(scope="module")
def api(app: Flask) -> Any:
    return schemathesis.openapi.from_wsgi("/v1/openapi.json", app)


def test_any_request(api: Any) -> None:
    wrong: dict[str, str] = {}
    seen: Counter[int] = Counter()
    for found in api.get_all_operations():
        operation = found.ok()
        try:
            _ask(_plain(operation), seen)
            _try(operation, seen)
        except Exception as error:  # noqa: BLE001
            wrong[operation.label] = str(error)
    assert not wrong, "\n\n".join(f"{label}: {text}" for label, text in wrong.items())
    assert {200, 201, 404, 422, 428} <= set(seen), f"too tame: {dict(seen)}"


def _of_the_demo(case: Any) -> None:
    """Ask about what there is, so that more than the refusals are tried."""
    lists = [name for name in ONE_OF if f"/{name}" in case.path and demo().get(name)]
    known = {"car": demo()["car"]["id"], "build": demo()["build"]["id"], "record": demo()[lists[0]][0]["id"] if lists else "none"}
    case.path_parameters = {name: known.get(name, value) for name, value in (case.path_parameters or {}).items()}
    if case.headers and "If-Match" in case.headers:
        case.headers["If-Match"] = "*"


def _plain(operation: Any) -> Any:
    """The call as the description's own example makes it, of the demo build: what is drawn comes on top of it."""
    pieces = {item["name"]: item["example"] for item in operation.definition.raw.get("parameters", ()) if item["in"] == "path"}
    content = operation.definition.raw.get("requestBody", {}).get("content", {}).get("application/json", {})
    case = operation.Case(path_parameters=pieces, **({"body": content["example"], "media_type": "application/json"} if "example" in content else {}))
    _of_the_demo(case)
    return case


def _ask(case: Any, seen: Counter[int]) -> None:
    # What is packed is told of in a header, which this reader passes over.
    response = case.call(headers={"Accept-Encoding": "identity"})
    seen[response.status_code] += 1
    case.validate_response(response, checks=CHECKS)


def _try(operation: Any, seen: Counter[int]) -> None:
    @given(known=booleans(), case=operation.as_strategy(generation_mode=GenerationMode.POSITIVE) | operation.as_strategy(generation_mode=GenerationMode.NEGATIVE))
    @settings(max_examples=EXAMPLES, deadline=None, database=None, derandomize=True, phases=(Phase.explicit, Phase.generate),
              suppress_health_check=list(HealthCheck))
    def attempt(case: Any, known: bool) -> None:
        if known:
            _of_the_demo(case)
        _ask(case, seen)

    attempt()


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    """The application with the demo build in it, which asks for tokens."""
    folder = tmp_path_factory.mktemp("guarded")
    app = create_app(Settings(data=folder, database=sqlite_url(folder)))
    app.before_request(lambda: request.environ.pop("HTTP_ACCEPT_ENCODING", None) and None)
    assert client(app, token(app, "owner", name="desk")).post("/v1/documents", json=demo()).status_code == 201
    yield app
    app.extensions["asfitted"].database.close()


@pytest.fixture(scope="module")
def askers(guarded: Flask) -> dict[str, str | None]:
    """Everyone there is, each with a token or none."""
    car = demo()["car"]["id"]
    return {"nobody": None, "stranger": "x" * 43, "revoked": token(guarded, "owner", revoked=True), "expired": token(guarded, "reader", car=car, days=-1),
            "reader": token(guarded, "reader", car=car, days=1), "builder": token(guarded, "builder"), "owner": token(guarded, "owner")}


def test_any_writing_request_from_everyone(guarded: Flask, askers: dict[str, str | None]) -> None:
    """With every kind of token and none: a changing call that is not for who asks is refused before what was sent is looked at."""
    wrong: dict[str, str] = {}
    seen: Counter[tuple[str, int]] = Counter()
    for found in schemathesis.openapi.from_wsgi("/v1/openapi.json", guarded).get_all_operations():
        operation = found.ok()
        # Who revokes the others would leave nobody to ask.
        if operation.method.upper() in ("GET", "HEAD") or operation.label.startswith(("DELETE /v1/devices", "DELETE /v1/shares")):
            continue
        try:
            _try_as(operation, askers, seen)
        except Exception as error:  # noqa: BLE001
            wrong[operation.label] = str(error)
    assert not wrong, "\n\n".join(f"{label}: {text}" for label, text in wrong.items())
    assert {asker for asker, _ in seen} == set(askers) and ("owner", 422) in seen and ("builder", 403) in seen, dict(seen)


def _try_as(operation: Any, askers: dict[str, str | None], seen: Counter[tuple[str, int]]) -> None:
    routes, method = operation.app.url_map.bind("localhost"), operation.method.upper()
    view = routes.match(re.sub(r"\{\w+\}", str(UUID(int=0)), operation.full_path), method)[0]

    @given(asker=sampled_from(sorted(askers)), known=booleans(), case=operation.as_strategy(generation_mode=GenerationMode.POSITIVE)
           | operation.as_strategy(generation_mode=GenerationMode.NEGATIVE))
    @settings(max_examples=3 * EXAMPLES, deadline=None, database=None, derandomize=True, phases=(Phase.explicit, Phase.generate),
              suppress_health_check=list(HealthCheck))
    def attempt(asker: str, case: Any, known: bool) -> None:
        if known:
            _of_the_demo(case)
        bearer = askers[asker]
        response = case.call(headers={"Accept-Encoding": "identity", **({"Authorization": f"Bearer {bearer}"} if bearer else {})})
        seen[asker, response.status_code] += 1
        case.validate_response(response, checks=[not_a_server_error, response_headers_conformance])
        # An address that there is none of is told to anyone.
        allowed = ROLES.get(asker, Role.ANYONE) >= needed(view) or not routes.test(unquote(urlsplit(response.request.url).path), method)
        refused = response.status_code in ((401,) if asker not in ROLES else (401, 403, 404))
        assert allowed or refused, (asker, response.status_code)

    attempt()
