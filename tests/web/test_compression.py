"""Answers in gzip (RFC 9110, sections 8.4, 8.8.3, 12.5.3 and 13): what is compressed, how it is named, and that naming it back works."""

from __future__ import annotations

import gzip
import json
from typing import Any

import pytest
from flask import Flask, Response, request
from flask.testing import FlaskClient

from service.app import create_app
from service.web import compression
from service.web.examples import demo
from tests import devices

GZIP = {"Accept-Encoding": "gzip, deflate, br"}


@pytest.fixture
def paired(guarded_app: Flask) -> FlaskClient:
    """A paired device that reads the demo build."""
    client = devices.client(guarded_app, devices.token(guarded_app, "owner"))
    assert client.post("/v1/documents", json=demo()).status_code == 201
    return client


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def test_a_large_answer_is_compressed_for_who_reads_it(client: FlaskClient) -> None:
    plain, packed = client.get("/v1/vocabulary"), client.get("/v1/vocabulary", headers=GZIP)
    assert "Content-Encoding" not in plain.headers and packed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.data) == plain.data
    assert len(packed.data) * 4 < len(plain.data)
    assert int(packed.headers["Content-Length"]) == len(packed.data)
    assert plain.headers["Vary"] == packed.headers["Vary"] == "Accept-Encoding"


@pytest.mark.parametrize("accepts", ["", "identity", "gzip;q=0", "br", "*;q=0"])
def test_who_does_not_read_gzip_gets_none(client: FlaskClient, accepts: str) -> None:
    assert "Content-Encoding" not in client.get("/v1/vocabulary", headers={"Accept-Encoding": accepts}).headers


def test_a_small_answer_is_not(client: FlaskClient) -> None:
    small = client.get("/healthz", headers=GZIP)
    assert "Content-Encoding" not in small.headers and small.headers["Vary"] == "Accept-Encoding"


def test_other_bytes_have_another_strong_tag_and_both_are_known_again(client: FlaskClient) -> None:
    plain, packed = client.get("/v1/vocabulary"), client.get("/v1/vocabulary", headers=GZIP)
    assert plain.headers["ETag"] != packed.headers["ETag"] and not packed.headers["ETag"].startswith("W/")
    for had in (plain, packed):
        again = client.get("/v1/vocabulary", headers={**GZIP, "If-None-Match": had.headers["ETag"]})
        assert (again.status_code, again.data, again.headers["ETag"]) == (304, b"", had.headers["ETag"])
        assert again.headers["Vary"] == "Accept-Encoding"
    assert client.get("/v1/vocabulary", headers={**GZIP, "If-None-Match": '"other-gzip"'}).status_code == 200


def test_errors_are_compressed_too(client: FlaskClient) -> None:
    body = {"format": "as-fitted/build/1", "car": {}, "build": {}, "parts": [{"kind": "nothing", "x": n} for n in range(30)]}
    refused = client.post("/v1/checks", json=body, headers=GZIP)
    assert refused.status_code == 422 and refused.headers["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(refused.data))["errors"]


def test_a_change_names_what_was_read_compressed(keeping: FlaskClient) -> None:
    keeping.post("/v1/cars", json={"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957, "color": "green " * 300})
    read = keeping.get("/v1/cars/c", headers=GZIP)
    assert read.headers["Content-Encoding"] == "gzip" and read.headers["ETag"] == '"1-gzip"'
    changed = keeping.patch("/v1/cars/c", json={"color": "red"}, headers={**GZIP, "If-Match": read.headers["ETag"]})
    assert (changed.status_code, changed.headers["ETag"]) == (200, '"2"')
    assert keeping.patch("/v1/cars/c", json={"color": "blue"}, headers={"If-Match": read.headers["ETag"]}).status_code == 412
    assert keeping.get("/v1/cars/c", headers={**GZIP, "If-None-Match": '"1-gzip", "2"'}).status_code == 304


def test_a_list_keeps_its_weak_tag_in_any_encoding(keeping: FlaskClient) -> None:
    for number in range(12):
        keeping.post("/v1/cars", json={"id": f"c{number}", "make": "Tarnock", "model": "Stookman", "year": 1957, "color": "green " * 20})
    plain, packed = keeping.get("/v1/cars"), keeping.get("/v1/cars", headers=GZIP)
    assert packed.headers["Content-Encoding"] == "gzip"
    assert plain.headers["ETag"] == packed.headers["ETag"] and plain.headers["ETag"].startswith("W/")
    assert keeping.get("/v1/cars", headers={**GZIP, "If-None-Match": packed.headers["ETag"]}).status_code == 304


@pytest.mark.parametrize(("kind", "headers"), [("image/jpeg", {}), ("application/pdf", {}), ("application/zip", {}), ("font/woff2", {}),
                                               ("application/json", {"Cache-Control": "no-store"}), ("application/json", {"Content-Encoding": "br"})])
def test_never_what_is_compressed_already_or_holds_a_secret(kind: str, headers: dict[str, str]) -> None:
    app = Flask(__name__)
    compression.register(app)
    app.add_url_rule("/x", "x", lambda: Response(b"a" * 5000, content_type=kind, headers=headers))
    answered = app.test_client().get("/x", headers=GZIP)
    assert answered.data == b"a" * 5000 and answered.headers.get("Content-Encoding") == headers.get("Content-Encoding")


def test_the_encoding_is_taken_out_of_tags_before_a_view_sees_them() -> None:
    app = Flask(__name__)
    compression.register(app)
    seen: list[Any] = []
    app.add_url_rule("/x", "x", lambda: (seen.append((request.if_match.as_set(), request.if_none_match.as_set())), "")[1])
    app.test_client().get("/x", headers={"If-Match": '"3-gzip", "4"', "If-None-Match": '"a-gzip-b"'})
    assert seen == [({"3", "4"}, {"a-gzip-b"})]


def test_a_paired_phone_gets_large_answers_compressed(paired: FlaskClient) -> None:
    build = f"/v1/builds/{demo()['build']['id']}"
    for path in ("checks", "document", "parts", "what-if"):
        call = paired.post if path == "what-if" else paired.get
        answered = call(f"{build}/{path}", headers=GZIP, json={"changes": {}} if path == "what-if" else None)
        assert answered.status_code == 200, answered.text
        assert answered.headers["Content-Encoding"] == "gzip" and "private" in answered.headers["Cache-Control"], path
        assert "Accept-Encoding" in answered.headers["Vary"]


def test_what_hands_out_a_token_is_not_compressed(paired: FlaskClient) -> None:
    made = paired.post("/v1/shares", json={"car": demo()["car"]["id"]}, headers=GZIP)
    assert made.status_code == 201 and len(made.data) > 1024
    assert "no-store" in made.headers["Cache-Control"] and "Content-Encoding" not in made.headers
