"""Whatever is sent: no mistake of the service, no answer that the description does not have (schemathesis on the served description)."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from flask import Flask, request
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.strategies import booleans
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
from tests.kept import sqlite_url

#: More of them in the long form: ASFITTED_LONG=1.
EXAMPLES = 25 if os.environ.get("ASFITTED_LONG") else 4

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
